"""What is asked of a chain of holes, and how it is answered."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.places import PLACE_ADVICE, Handle, handle_of, place_table
from pathgen.reckon.chains import (
    Chain,
    chain_at_pitch,
    chain_between,
    default_web,
    overlap_crest,
    usual_allowance,
)
from pathgen.reckon.drill_series import Drill, drill_name
from pathgen.reckon.holes import Position, from_datum
from pathgen.reckon.outlines import Ring, Side, Stand, ring_on_circle, ring_on_rectangle

NOISE = 1e-9  # mm
SOURCES = (
    (
        "holes by dividing the cut-out by the pitch, the left-over shared: Chain drilling, The "
        "Home Shop Machinist, reader's tip"
    ),
    "usual webs and allowance: common practice, no source",
)
MEETS = "the last hole must stand off the first by a web: if not, a turn was miscounted on the way"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was asked; lengths in mm, None where nothing was said."""

    length: float | None
    width: float | None
    circle: float | None
    rectangle: tuple[float, ...] | None
    corner: float | None
    outside: bool
    drill: float | None
    web: float | None
    pitch: float | None
    allowance: float | None
    at: Position | None
    angle: Fraction
    turn: float | None
    divisions: float | None

    def refuse_strays(self) -> None:
        """Refuse more or less than one shape, and what does not go with it.

        Raises:
            ValueError: says what to leave out or to give.
        """
        shapes = {"--length": self.length, "--circle": self.circle, "--rectangle": self.rectangle}
        given = [name for name, value in shapes.items() if value is not None]
        if len(given) != 1:
            raise ValueError(
                "a chain goes along one slot or round one outline; give one of --length, --circle "
                "and --rectangle"
            )
        strays = {
            "--width": self.width is not None and self.length is None,
            "--pitch": self.pitch is not None and self.length is None,
            "--angle": bool(self.angle) and self.length is None,
            "--corner": self.corner is not None and self.rectangle is None,
            "--outside": self.outside and self.length is not None,
            "--web": self.web is not None and self.pitch is not None,
        }
        for name, stray in strays.items():
            if stray:
                with_what = "--pitch" if name == "--web" else given[0]
                raise ValueError(f"{name} does not go with {with_what}; leave out one of the two")

    @property
    def handle(self) -> Handle | None:
        """Return the dial to give readings on, None where none is told."""
        return handle_of(self.turn, self.divisions)

    def stand(self, held: Sequence[Drill]) -> tuple[Stand, str]:
        """Return drill, web and allowance, as asked for or as is usual, and what the drill is.

        Raises:
            ValueError: no drill that leaves the allowance in a slot of this width.
        """
        allowance = usual_allowance() if self.allowance is None else self.allowance
        drill, note = self._drill(held, allowance)
        web = default_web(drill) if self.web is None else self.web
        side: Side = "outside" if self.outside else "inside"
        return Stand(drill=drill, web=web, allowance=allowance, side=side), note

    def _drill(self, held: Sequence[Drill], allowance: float) -> tuple[float, str]:
        most = math.inf if self.width is None else self.width - 2 * allowance
        if self.drill is not None:
            if self.drill > most + NOISE:
                raise ValueError(
                    f"a {self.drill:g} drill leaves less than {allowance:g} a side in a slot "
                    f"{self.width:g} wide; give one of at most {most:g}, or a smaller --allowance"
                )
            return self.drill, drill_name(self.drill) or ""
        if self.width is None:
            raise ValueError("no drill is told; give --drill, or for a slot its --width")
        fitting = [drill for drill in held if drill.diameter <= most + NOISE]
        if not fitting:
            raise ValueError(
                f"the crib has no drill of {most:g} or less, for a slot {self.width:g} wide; "
                "give --drill or a smaller --allowance"
            )
        largest = fitting[-1]
        return largest.diameter, f"{largest.name}: the largest of the crib that leaves enough"


# ---------------------------------------------------------------- along a slot


def along_slot(say: Wording, length: float, asked: Asked, stand: Stand, note: str) -> Answer:
    """Return the chain along a slot."""
    if asked.pitch is not None:
        found = chain_at_pitch(length, stand.drill, asked.pitch)
        sums = tuple(_pitch_sums(say, length, stand.drill, asked.pitch))
    else:
        found = chain_between(length, stand.drill, stand.web, stand.allowance)
        sums = tuple(_slot_sums(say, length, stand, found))
    start = asked.at or (0.0, 0.0)
    line = ((along, 0.0) for along in found.places)
    places = from_datum(line, start, float(asked.angle))
    return Answer(
        title=f"Chain of {say.both(stand.drill)} holes along {say.both(length)}",
        rows=tuple(_slot_rows(asked, stand, found, note)),
        tables=(place_table("From the datum", places, (), asked.handle),),
        formula=sums,
        advice=(*PLACE_ADVICE, *_trade(found.holes)),
        cautions=tuple(_slot_cautions(say, stand.drill, found)),
        sources=SOURCES,
    )


def _slot_rows(asked: Asked, stand: Stand, found: Chain, note: str) -> Iterator[Row]:
    yield Row(quantity="drill", value=stand.drill, unit="mm", note=note)
    yield Row(quantity="holes", value=float(found.holes), places=0, note=f"{found.moves} moves")
    if found.moves:
        yield Row(quantity="pitch", value=found.pitch, unit="mm", places=3)
        yield Row(quantity="web", value=found.web, unit="mm", places=3, note="metal between two")
    if found.moves and found.pitch < stand.drill:
        crest = overlap_crest(stand.drill, found.pitch)
        yield Row(quantity="crests between holes", value=crest, unit="mm", places=3)
    first = found.places[0]
    yield Row(quantity="first centre", value=first, unit="mm", places=3, note="from the end")
    left = first - stand.drill / 2
    yield Row(quantity="left at each end", value=left, unit="mm", places=3)
    if asked.width is not None:
        wall = (asked.width - stand.drill) / 2
        yield Row(quantity="left on each wall", value=wall, unit="mm", places=3)


def _slot_sums(say: Wording, length: float, stand: Stand, found: Chain) -> Iterator[str]:
    drill = say.figure(stand.drill)
    pitch = f"{drill} {_signed(say, stand.web)}"
    span = length - 2 * stand.allowance - stand.drill
    yield (
        f"first to last = length - 2 x allowance - drill = {say.figure(length)} - 2 x "
        f"{say.figure(stand.allowance)} - {drill} = {say.length(span, 3)}"
    )
    yield (
        f"moves = whole part of first to last / (drill + web) = {say.figure(span)} / ({pitch}) = "
        f"{plain(span / (stand.drill + stand.web), 3)}: {found.moves}"
    )
    if found.moves:
        yield (
            f"pitch = first to last / moves = {say.figure(span)} / {found.moves} = "
            f"{say.length(found.pitch, 3)}"
        )


def _signed(say: Wording, length: float) -> str:
    return f"{'-' if length < 0 else '+'} {say.figure(abs(length))}"


def _pitch_sums(say: Wording, length: float, drill: float, pitch: float) -> Iterator[str]:
    yield (
        f"moves = whole part of (length - drill) / pitch = ({say.figure(length)} - "
        f"{say.figure(drill)}) / {say.figure(pitch)} = {plain((length - drill) / pitch, 3)}"
    )


def _slot_cautions(say: Wording, drill: float, found: Chain) -> Iterator[str]:
    if found.moves:
        yield from _web_cautions(say, drill, found.web)
    else:
        yield "two holes do not fit: there is one, in the middle"


def _web_cautions(say: Wording, drill: float, web: float) -> Iterator[str]:
    usual = default_web(drill)
    if web < -NOISE:
        yield (
            "THE HOLES RUN INTO ONE ANOTHER, and a drill wanders into the one before: drill every "
            "second one, plug those or take a slot drill for the rest"
        )
    elif web < usual - NOISE:
        yield (
            f"the drill may wander into the hole before: a web of {say.both(usual)} or more is "
            "usual for this one"
        )


def _trade(holes: int) -> Iterator[str]:
    """Yield what is done besides drilling."""
    yield "spot every hole first; lock the slides before each is drilled"
    if holes > 1:
        yield "saw or file through the webs; what they held comes loose, so hold it"


# ---------------------------------------------------------------- round an outline


def round_outline(say: Wording, asked: Asked, stand: Stand, note: str) -> Answer:
    """Return the chain round a circle or a rectangle."""
    at = asked.at or (0.0, 0.0)
    if asked.circle is not None:
        sides: tuple[float, ...] = (asked.circle,)
        ring = ring_on_circle(asked.circle, stand, at)
        datum = "From the circle's centre"
        sums = tuple(_circle_sums(say, asked.circle, stand, ring))
    else:
        ring, sides = _rectangle(asked, stand, at)
        datum = "From the low left corner of the rectangle"
        sums = tuple(_side_sums(say, sides, stand))
    outline = " x ".join(say.both(side) for side in sides)
    title = "From the datum" if asked.at else datum
    return Answer(
        title=f"Chain of {say.both(stand.drill)} holes {stand.side} {outline}",
        rows=tuple(_ring_rows(stand, ring, note)),
        tables=(place_table(title, ring.places, (), asked.handle),),
        formula=sums,
        advice=(*PLACE_ADVICE, *_trade(ring.holes), MEETS),
        cautions=tuple(_ring_cautions(say, asked, stand, ring)),
        sources=("chord = D sin(180 / N)", SOURCES[1]),
    )


def _rectangle(asked: Asked, stand: Stand, at: Position) -> tuple[Ring, tuple[float, ...]]:
    sides = asked.rectangle or ()
    if len(sides) != 2:
        raise ValueError('a rectangle has two sides; write --rectangle "80 x 50"')
    return ring_on_rectangle((sides[0], sides[1]), asked.corner or 0.0, stand, at), sides


def _ring_rows(stand: Stand, ring: Ring, note: str) -> Iterator[Row]:
    yield Row(quantity="drill", value=stand.drill, unit="mm", note=note)
    yield Row(quantity="holes", value=float(ring.holes), places=0, note="all round")
    yield Row(quantity="least web", value=ring.web, unit="mm", places=3, note="metal between two")
    yield Row(
        quantity="centres stand off",
        value=abs(stand.off),
        unit="mm",
        places=3,
        note="the finished outline: half the drill and the allowance",
    )


def _circle_sums(say: Wording, circle: float, stand: Stand, ring: Ring) -> Iterator[str]:
    yield from _side_sums(say, (circle,), stand)
    line = circle + 2 * stand.off
    exact = 180 / math.degrees(math.asin((stand.drill + stand.web) / line))
    yield (
        f"holes = whole part of 180 / asin((drill + web) / line) = 180 / "
        f"asin(({say.figure(stand.drill)} {_signed(say, stand.web)}) / {say.figure(line)}) = "
        f"{plain(exact, 3)}: {ring.holes}"
    )


def _side_sums(say: Wording, sides: Sequence[float], stand: Stand) -> Iterator[str]:
    sign = "+" if stand.off > 0 else "-"
    for side in sides:
        yield (
            f"line of the centres = {say.figure(side)} {sign} {say.figure(stand.drill)} {sign} 2 x "
            f"{say.figure(stand.allowance)} = {say.length(side + 2 * stand.off, 3)}"
        )


def _ring_cautions(say: Wording, asked: Asked, stand: Stand, ring: Ring) -> Iterator[str]:
    yield from _web_cautions(say, stand.drill, ring.web)
    if asked.rectangle is not None and not asked.outside:
        corner = min(asked.corner or 0.0, -stand.off)
        left = -math.sqrt(2) * stand.off - stand.drill / 2 - (math.sqrt(2) - 1) * corner
        if left > stand.allowance + NOISE:
            yield f"in the corners {say.both(left)} stays, which the round drill does not reach"
    if min(min(place) for place in ring.places) < -NOISE:
        yield (
            "readings below zero do not suit a dial that only counts up: with --at say where the "
            "outline lies from a datum to its left and nearer to you"
        )
