"""Squaring up a block in the vice: six setups, a face each, in the order of the trade.

Each face rests on, or against the fixed jaw, what was machined before; a round bar behind the
moving jaw lets the work lie against the fixed one whatever the rough face is like (common practice,
no source).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias

from pathgen.input.units import Units, spoken
from pathgen.input.where import Where
from pathgen.job.areas import AreaWays, Facing
from pathgen.job.frame import OUTWARD, Box, Face, Frame, Lie
from pathgen.job.job import Datum, Hold, JobSetup, Keepout
from pathgen.job.sizes import Size
from pathgen.job.stock import Stock, stock_after

ABOVE_JAWS = 2.0  # mm of the work that stay above the jaws once it is cut
JAW_DEEP = 30.0  # mm that a jaw is taken to go back from its face
Sizes: TypeAlias = tuple[Size, Size, Size]  # along x, y and z of the blank


class Turn(NamedTuple):
    """One of the six: which face is cut, what rests against the fixed jaw, how it is told."""

    lie: Lie
    second: bool  # the face across from one that was cut: to size
    bar: bool  # a round bar behind the moving jaw
    lines: tuple[str, ...]
    trial: str


TURNS = (
    Turn(
        Lie("top", "front"),
        second=False,
        bar=True,
        lines=(
            "The flattest rough face is the one to be marked back: it goes against the fixed jaw,",
            "which is away from you; the face marked bottom on parallels.",
        ),
        trial="clean all over; it is the face that all others are squared from",
    ),
    Turn(
        Lie("front", "bottom"),
        second=False,
        bar=True,
        lines=("The face marked top, machined, flat against the fixed jaw: wipe both clean.",),
        trial="square to the face marked top: try square, no light anywhere along it",
    ),
    Turn(
        Lie("back", "bottom"),
        second=True,
        bar=True,
        lines=(
            "The face marked top against the fixed jaw, the one marked front down on parallels.",
            "Tap it down, the bar just nipping, until neither parallel moves; then tighten.",
        ),
        trial="measured at both ends and the middle: alike, or a chip was under it",
    ),
    Turn(
        Lie("bottom", "back"),
        second=True,
        bar=False,
        lines=(
            "The face marked top down on parallels, front and back, both machined, in the jaws.",
            "Tap it down until neither parallel moves.",
        ),
        trial="measured at all four corners: alike, or a chip was under it",
    ),
    Turn(
        Lie("right", "bottom"),
        second=False,
        bar=False,
        lines=(
            "On end, the face marked top against the fixed jaw.",
            "Set it upright before tightening: a square on the bed of the vice, its blade against",
            "the face marked front; or an indicator run up and down that face.",
        ),
        trial="square to top and to front: try square, both ways",
    ),
    Turn(
        Lie("left", "bottom"),
        second=True,
        bar=False,
        lines=(
            "On end, the face marked top against the fixed jaw, the machined end down: tap it",
            "down, and see that a square shows no light against the face marked front.",
        ),
        trial="measured at all four corners",
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Jaws:
    """A vice's jaws: how deep the work goes into them, how long they are, how far they open; mm."""

    height: float
    width: float
    opening: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SquareUp:
    """A block to be squared up on all six sides, before all else; lengths in mm."""

    machine: str
    units: Units  # that the sheet speaks
    sizes: Sizes
    leaves: Sizes  # of the first face of each pair, half of what is too much off
    at_most: float | None  # depth of a cut
    ways: AreaWays
    jaws: Jaws
    round_bar: float  # diameter
    touch: Datum  # of x and y, whatever the face
    depth: Datum
    where: Where = field(compare=False, repr=False)


def squaring_setups(wanted: SquareUp, stock: Stock) -> Iterator[JobSetup]:
    """Yield the six setups of squaring up a block, as it comes rough."""
    for number, turn in enumerate(TURNS, start=1):
        setup = _setup(wanted, stock, (number, turn))
        yield setup
        stock = stock_after(stock, setup.features, setup.frame, setup.name)


def gripped(wanted: SquareUp, box: Box, turn: Turn, off: float) -> tuple[float, float]:
    """Return how much of the work stands above the jaws and how much they hold, mm.

    Args:
        wanted: whose jaws they are.
        box: of the work as it comes, in the setup's frame.
        turn: which of the six it is.
        off: what is taken off.
    """
    above = max(off + ABOVE_JAWS, box.height - wanted.jaws.height)
    return above, box.height - above


def facing_of(wanted: SquareUp, box: Box, turn: Turn) -> Facing:
    """Return the facing of one of the six."""
    axis = OUTWARD[turn.lie.up].axis
    thickness = (wanted.sizes if turn.second else wanted.leaves)[axis]
    return Facing(
        name=f"{turn.lie.up} face",
        thickness=thickness,
        off=box.height - thickness.middle,
        at_most=wanted.at_most,
        ways=wanted.ways,
        strips=((box.low[0], box.low[1], box.high[0], box.high[1]),),
        trial=turn.trial,
        where=wanted.where,
    )


def frame_of(stock: Stock, lie: Lie) -> Frame:
    """Return the frame of a setup whose zeros are its left, its near and its upper face."""
    origin = [0.0, 0.0, 0.0]
    for face in _zeros(lie):
        way = OUTWARD[face]
        origin[way.axis] = stock.box.end(way)
    return Frame(lie, (origin[0], origin[1], origin[2]))


def _zeros(lie: Lie) -> tuple[Face, Face, Face]:
    return lie.faces(0)[0], lie.faces(1)[0], lie.up


def _setup(wanted: SquareUp, stock: Stock, which: tuple[int, Turn]) -> JobSetup:
    """Return one of the six setups."""
    number, turn = which
    frame = frame_of(stock, turn.lie)
    box = frame.box_into(stock.box)
    facing = facing_of(wanted, box, turn)
    above, held = gripped(wanted, box, turn, facing.off)
    x, y, z = (
        _datum(each, face)
        for each, face in zip(
            (wanted.touch, wanted.touch, wanted.depth), _zeros(turn.lie), strict=True
        )
    )
    return JobSetup(
        name=f"square up {number} {turn.lie.up}",
        machine=wanted.machine,
        hold=Hold(
            how="vice",
            lines=tuple(_lines(wanted, turn, above, held)),
            keepouts=tuple(_keepouts(wanted, box, turn, above)),
            beneath=0.0,
        ),
        datum_x=x,
        datum_y=y,
        datum_z=z,
        features=(facing,),
        origin=frame.origin,
        lie=turn.lie,
        where=wanted.where,
    )


def _datum(like: Datum, face: Face) -> Datum:
    """Return a datum at a face, found as another is."""
    return Datum(
        faces=(face,),
        tool=like.tool,
        tool_diameter=like.tool_diameter,
        paper=like.paper,
        uncertainty=like.uncertainty,
        dial_reads=like.dial_reads,
        spindle=like.spindle,
    )


def _lines(wanted: SquareUp, turn: Turn, above: float, held: float) -> Iterator[str]:
    """Yield how the work is held."""

    def say(length: float) -> str:
        return spoken(round(length, 1), wanted.units)

    yield from turn.lines
    if turn.bar:
        yield (
            f"A round bar of {say(wanted.round_bar)} along the moving jaw, half-way down what is "
            f"held: {say(held / 2)} below the jaws' upper edge."
        )
    yield (
        f"{say(above)} of it stand above the jaws, no less, or they are cut into; "
        f"{say(held)} are held."
    )
    if above > held:
        yield "It stands higher than it is held: light cuts, and see that it cannot be rocked."


def _keepouts(wanted: SquareUp, box: Box, turn: Turn, above: float) -> Iterator[Keepout]:
    """Yield the jaws, and the bar where there is one, as boxes."""
    jaws = wanted.jaws
    (x0, y0, _), (x1, y1, top) = box
    middle = (x0 + x1) / 2
    left, right = middle - jaws.width / 2, middle + jaws.width / 2
    high, low = top - above, top - above - jaws.height
    near = y0 - (wanted.round_bar if turn.bar else 0.0)
    yield Keepout(name="fixed jaw", low=(left, y1, low), high=(right, y1 + JAW_DEEP, high))
    yield Keepout(name="moving jaw", low=(left, near - JAW_DEEP, low), high=(right, near, high))
    if turn.bar:
        yield Keepout(name="round bar", low=(left, near, low), high=(right, y0, high))
