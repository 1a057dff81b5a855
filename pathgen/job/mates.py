"""Mates: two parts that go together, how they should, and the limits that follow from it.

One part has a size with room in it, which a job makes: a slot's width. What goes in is there
already, as measured, or is the blank of a job, or what another job leaves standing, anywhere within
its limits. The play is the room less what goes in.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias, assert_never

from pathgen.input.where import Where
from pathgen.reckon.fits import Fit, Play, class_limits, play_for

BlankSize: TypeAlias = Literal["width", "length", "thickness"]
GIVE_OR_TAKE = 0.2  # of a play stated by one figure; common practice, no source
NOISE = 1e-9  # mm; of float sums
DECIMALS = 9  # limits are rounded to so many, so that 9.9 + 0.1 is 10


@dataclass(frozen=True, slots=True, kw_only=True)
class TradeWord:
    """How parts go together, by a word of the trade: "close slide"."""

    said: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedPlay:
    """How parts go together, by the play itself, mm; negative is interference."""

    said: str
    least: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class IsoFit:
    """How parts go together, by the ISO 286 classes of the room and of what goes in."""

    said: str
    hole: str
    shaft: str


Go: TypeAlias = TradeWord | StatedPlay | IsoFit


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomRef:
    """Which size has the room: a size of a feature, of a job by its name ("" for this job)."""

    job: str
    feature: str
    size: str
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class BlankRef:
    """What goes in, where that is the blank of a job ("" for this job)."""

    job: str
    size: BlankSize
    said: str
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeRef:
    """What goes in, where that is made by another job: a size of a feature that stands."""

    job: str
    feature: str
    size: str
    said: str
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What goes in: its least and largest size as measured, mm, and how that was written."""

    least: float
    most: float
    said: str
    where: Where = field(compare=False, repr=False)


Outside: TypeAlias = BlankRef | MadeRef | Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedMate:
    """A mate as a file has it, before the sizes it names are looked up."""

    name: str
    inside: RoomRef
    outside: Outside
    go: Go
    where: Where = field(compare=False, repr=False)  # of how they go together


@dataclass(frozen=True, slots=True, kw_only=True)
class Mate:
    """A mate of one setup of a job: the size with room, what goes in, the wanted play; mm."""

    name: str
    setup: str
    feature: str
    size: str
    outside: Measured
    wanted: Play
    said: str  # how they should go together, in the words of the file
    where: Where = field(compare=False, repr=False)

    @property
    def basis(self) -> str:
        """Return what limits that come from this mate are put down to: "free slide on 9.9 mm"."""
        return f"{self.said} on {self.outside.said}"


def stated_play(said: str, figures: tuple[float, ...]) -> StatedPlay:
    """Return the play stated by its least and most, mm; or by one figure, give or take a fifth.

    >>> play = stated_play("0.25 mm play", (0.25,))
    >>> round(play.least, 3), round(play.most, 3)
    (0.2, 0.3)
    """
    if len(figures) == 1:
        room = GIVE_OR_TAKE * abs(figures[0])
        return StatedPlay(said=said, least=figures[0] - room, most=figures[0] + room)
    return StatedPlay(said=said, least=figures[0], most=figures[1])


def wanted_play(go: Go, nominal: float) -> Play:
    """Return the play that parts should have, mm, at a nominal size of the room.

    Raises:
        ValueError: no figures for such a size, or a class outside the tables.

    >>> wanted_play(TradeWord(said="close slide"), 32.0).largest
    0.06
    """
    match go:
        case TradeWord():
            return play_for(go.said, nominal)
        case StatedPlay():
            return Play(smallest=go.least, largest=go.most, source="stated")
        case IsoFit():
            hole, shaft = class_limits(nominal, go.hole), class_limits(nominal, go.shaft)
            fit = Fit(hole=hole, shaft=shaft)
            least, most = fit.smallest_clearance, fit.largest_clearance
            return Play(smallest=least, largest=most, source="ISO 286-1:2010")
        case _:  # pragma: no cover
            assert_never(go)


def room_limits(go: Go, nominal: float, outside: Measured) -> tuple[float, float]:
    """Return the least and most that the room may be for what goes in, mm; perhaps crossed.

    For a fit they are those of the hole's class, whatever goes in.

    Raises:
        ValueError: as `wanted_play`.
    """
    if isinstance(go, IsoFit):
        hole = class_limits(nominal, go.hole)
        low, high = hole.smallest, hole.largest
    else:
        play = wanted_play(go, nominal)
        low, high = outside.most + play.smallest, outside.least + play.largest
    return round(low, DECIMALS), round(high, DECIMALS)


def play_between(room: tuple[float, float], outside: Measured) -> tuple[float, float]:
    """Return the least and most play of a room between its limits and what goes in, mm."""
    least, most = room[0] - outside.most, room[1] - outside.least
    return round(least, DECIMALS), round(most, DECIMALS)
