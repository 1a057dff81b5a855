"""Planning chamfers: a countersink led along an edge, its end a little below what it takes off.

Round an edge where the machine goes along arcs; else along straight edges that run out at both
ends.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.job.areas import Edge, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.contour import reversed_contour
from pathgen.job.slot import Slot
from pathgen.job.t_slot import TSlot
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Term
from pathgen.plan import cautions
from pathgen.plan.areas.along import Clearing
from pathgen.plan.areas.region import BEYOND, wanted_outside, wanted_pocket
from pathgen.plan.areas.strips import AXIS, step_width
from pathgen.plan.areas.walls import walls
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cutting import Cutting, cutting
from pathgen.plan.heights import just_above
from pathgen.plan.slots.scheme import choose_scheme
from pathgen.shop.cutters import Cutter

BELOW = 0.3  # mm that a cutter's end is kept below the chamfer, at least: its very end hardly cuts
MOST_AT_ONCE = 1.0  # mm of a chamfer's width that come off in one pass (common practice, no source)
SPARE = 0.1  # mm of the cutter's slope that stay above the face, and of its end above a floor
SAME_ANGLE = 0.5  # degrees
LEAST_LIP = 0.5  # mm of the lip of a T-slot that stay upright (common practice, no source)
LEAST_ROOM = 0.25  # mm off the middle of a slot: a tighter way round is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Led:
    """How a cutter is led along an edge; mm."""

    cutter: Cutter
    figures: Cutting
    off: float  # of its axis from the wall under the edge
    tips: tuple[float, ...]  # z of its end, falling


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight edge that runs out at both ends; mm."""

    name: str
    edge: Edge  # on which side of the metal it lies, as an edge of the blank's own
    at: float  # across


def plan_chamfer(chamfer: Chamfer, bench: Bench) -> tuple[Operation, ...]:
    """Return the operation that cuts a chamfer.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    led = _led(chamfer, bench)
    lines = _lines(chamfer, bench)
    if lines:
        moves = [move for line in lines for move in _along(line, led, bench)]
    elif bench.machine.interpolates:
        moves = list(_round(chamfer, led, bench))
    else:
        raise Refusal(
            chamfer.where,
            f"the edge of {chamfer.of!r} goes round, which handles cannot follow one at a time",
            "leave the chamfer out and break the edge by file; or take a converted mill",
        )
    width = chamfer.width.middle
    return (
        Operation(
            purpose="chamfer",
            cutter=led.cutter,
            cutting=led.figures,
            why=f"{bench.say(width)} wide along the face, the cutter's end "
            f"{bench.say(-led.tips[-1])} deep beside the edge",
            moves=tuple(moves),
            notes=(cautions.CONVENTIONAL,),
        ),
    )


def _led(chamfer: Chamfer, bench: Bench) -> Led:
    """Return the smallest cutter of the angle whose slope reaches over the chamfer, and its way.

    Raises:
        Refusal: there is none, or its end would come down to the floor.
    """
    cutter = _cutter(chamfer, bench)
    width = chamfer.width.middle
    count = max(1, math.ceil(width / MOST_AT_ONCE - 1e-9))
    tips = even_depths(-BELOW, -BELOW - chamfer.depth(width), chamfer.depth(width) / count)
    floor = _floor(chamfer, bench)
    if tips[-1] < floor + SPARE:
        raise Refusal(
            chamfer.where.at("width"),
            f"the cutter's end goes {bench.say(-tips[-1])} deep, and the floor of {chamfer.of!r} "
            f"is {bench.say(-floor)} deep",
            "make the chamfer narrower, or break the edge by file",
        )
    of = _of(chamfer, bench)
    if isinstance(of, TSlot) and chamfer.depth(chamfer.width.high) > of.lip - LEAST_LIP:
        raise Refusal(
            chamfer.where.at("width"),
            f"a chamfer up to {bench.say(chamfer.depth(chamfer.width.high))} deep on the "
            f"{bench.say(of.lip)} of metal over the head of {chamfer.of!r}",
            f"leave {bench.say(LEAST_LIP)} of it upright, or more",
        )
    return Led(
        cutter=cutter,
        figures=cutting(bench.machine, cutter, bench.material, "countersinking"),
        off=cutter.tip / 2 + BELOW * cutter.spread,
        tips=tips,
    )


def _cutter(chamfer: Chamfer, bench: Bench) -> Cutter:
    """Return the countersink that the job names, or the smallest that does."""
    wanted = 180 - 2 * chamfer.angle_deg
    high = chamfer.depth(chamfer.width.middle) + BELOW + SPARE

    def suits(cutter: Cutter) -> bool:
        alike = abs(cutter.point_angle_deg - wanted) <= SAME_ANGLE
        return alike and min(cutter.point_length, cutter.reach) >= high

    what = f"a countersink of {wanted:g} degrees with a slope {bench.say(high)} high or more"
    if chamfer.cutter is not None:
        where = chamfer.where.at("cutter")
        cutter = bench.named(chamfer.cutter, ("countersink",), where)
        if not suits(cutter):
            raise Refusal(where, f"{cutter.name} does not make this chamfer", f"name {what}")
        return cutter
    fitting = [each for each in bench.of_kind("countersink") if suits(each)]
    if not fitting:
        raise Refusal(
            chamfer.where.at("width"),
            f"no cutter of the crib makes a chamfer of {chamfer.angle_deg:g} degrees, "
            f"{bench.say(chamfer.width.middle)} wide",
            f"put into it {what}, or break the edge by file",
        )
    return fitting[0]


def _of(chamfer: Chamfer, bench: Bench) -> Slot | TSlot | Pocket | Outside | Step | None:
    """Return the feature whose edge it is; None for the blank's own."""
    named = [each for each in bench.setup.features if each.name == chamfer.of]
    for each in named:
        if isinstance(each, Slot | TSlot | Pocket | Outside | Step):
            return each
    return None


def _floor(chamfer: Chamfer, bench: Bench) -> float:
    """Return the z of the floor below the edge, mm; -inf for none."""
    of = _of(chamfer, bench)
    if isinstance(of, Outside) and of.bridges:
        bottom = bench.bottom if of.depth is None else -of.depth.middle
        return bottom + max(bridge.height for bridge in of.bridges)
    return -math.inf if of is None or of.depth is None else -of.depth.middle


# ---------------------------------------------------------------- straight edges


def _lines(chamfer: Chamfer, bench: Bench) -> list[Line]:
    """Return the straight edges that it consists of; none where it goes round."""
    of = _of(chamfer, bench)
    (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
    faces: dict[Edge, float] = {"left": x0, "right": x1, "front": y0, "back": y1}
    if of is None:
        round_it = bench.machine.interpolates and len(chamfer.edges) == len(faces)
        edges = () if round_it else chamfer.edges
        return [Line(name=f"{edge} edge", edge=edge, at=faces[edge]) for edge in edges]
    if isinstance(of, Step):
        width = step_width(of, bench)
        walls_at = {e: faces[e] + (width if e in ("left", "front") else -width) for e in of.edges}
        return [Line(name=f"{edge} edge", edge=edge, at=at) for edge, at in walls_at.items()]
    slot = of.neck if isinstance(of, TSlot) else of
    if isinstance(slot, Slot) and slot.open_low and slot.open_high:
        half = choose_scheme(slot, bench).wall
        low, high = slot.centre_line - half, slot.centre_line + half
        # The slot's front wall is the back edge of the metal in front of it, and so on.
        near: Edge = "back" if slot.along == "x" else "right"
        far: Edge = "front" if slot.along == "x" else "left"
        return [
            Line(name=f"{far} wall", edge=near, at=low),
            Line(name=f"{near} wall", edge=far, at=high),
        ]
    return []


def _along(line: Line, led: Led, bench: Bench) -> Iterator[Move]:
    """Yield the passes along a straight edge, the metal on the left: against the cutter's turn."""
    across: Axis = AXIS[line.edge]
    low, high = bench.job.blank_box(bench.setup)
    row = 1 if across == "x" else 0
    reach = led.cutter.radius + BEYOND
    ends = (low[row] - reach, high[row] + reach)
    outwards = -1.0 if line.edge in ("left", "front") else 1.0
    at = line.at + outwards * led.off
    start, end = ends if line.edge in ("front", "right") else ends[::-1]

    def point(along: float) -> tuple[float, float]:
        return (at, along) if across == "x" else (along, at)

    terms = (
        Term(line.name, line.at),
        Term(f"half of the end of the {led.cutter.name}", outwards * led.cutter.tip / 2),
        Term("its slope beside the wall", outwards * BELOW * led.cutter.spread),
    )
    above = 0.0
    for z in led.tips:
        over = How(makes="size", what=f"{line.name}: over the start", sums=((across, terms),))
        yield Rapid(*point(start), bench.clear, over)
        yield Rapid(*point(start), min(just_above(bench.machine, above), bench.clear))
        down = How(makes="size", what=f"{line.name}: down, outside the work")
        yield Feed(*point(start), z, led.figures.plunge, down)
        along = How(makes="air", what=f"{line.name}: along")
        yield Feed(*point(end), z, led.figures.feed, along)
        yield Rapid(*point(end), bench.clear)
        above = z


# ---------------------------------------------------------------- round


def _round(chamfer: Chamfer, led: Led, bench: Bench) -> Iterator[Move]:
    """Yield the way round an edge, on to it and off it by an arc."""
    of = _of(chamfer, bench)
    region = _open_region(of, led, bench)
    centre = region.buffer(-led.off, join_style="mitre", quad_segs=64)
    outer = not (of is None or isinstance(of, Outside))
    if centre.is_empty or _too_tight(of, led):
        raise Refusal(
            chamfer.where.at("of"),
            f"the {led.cutter.name} does not come along the edge of {chamfer.of!r}: its corners, "
            f"or all of it, are tighter than the {bench.say(led.off)} that it needs to the wall",
            "put a countersink with a smaller end into the crib, or break the edge by file",
        )
    clearing = Clearing(
        cutter=led.cutter,
        figures=led.figures,
        machine=bench.machine,
        depths=led.tips,
        clear=bench.clear,
        climb=False,
        entry=None,
        where=chamfer.where,
    )
    yield from walls(clearing, centre, outer)


def _too_tight(of: Slot | TSlot | Pocket | Outside | Step | None, led: Led) -> bool:
    """Return whether an inside corner is tighter than the cutter beside the wall."""
    match of:
        case Pocket():
            return of.contour.tightest < led.off
        case Outside():
            return reversed_contour(of.contour).tightest < led.off
        case Slot() | TSlot():
            slot = of.neck if isinstance(of, TSlot) else of
            return slot.width.middle / 2 - led.off < LEAST_ROOM
        case _:
            return False


def _open_region(
    of: Slot | TSlot | Pocket | Outside | Step | None, led: Led, bench: Bench
) -> BaseGeometry:
    """Return what is open beside the edge, at the middle of the limits."""
    (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
    out = 2 * led.cutter.diameter + BEYOND
    match of:
        case Pocket():
            return wanted_pocket(of, bench).region
        case Outside():
            return wanted_outside(of, bench, 4 * led.cutter.diameter, 0.0).region
        case Slot() | TSlot():
            return _slot_region(of.neck if isinstance(of, TSlot) else of, out, bench)
        case _:
            blank = shapely.box(x0, y0, x1, y1)
            around: BaseGeometry = shapely.box(x0 - out, y0 - out, x1 + out, y1 + out)
            return around.difference(blank)


def _slot_region(slot: Slot, out: float, bench: Bench) -> BaseGeometry:
    """Return a slot in plan, running on beyond the blank where it is open."""
    scheme = choose_scheme(slot, bench)
    half = scheme.wall
    low = slot.low_end - out if slot.open_low else scheme.low + half
    high = slot.high_end + out if slot.open_high else scheme.high - half
    ends = [slot.point(low, slot.centre_line), slot.point(high, slot.centre_line)]
    region: BaseGeometry = shapely.LineString(ends).buffer(half, quad_segs=64)
    return region
