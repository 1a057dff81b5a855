"""What a job asks for that is turned from round bar: the blank, the setups, the features.

The frame of a setup: z along the axis of the spindle, 0 at the finished right face and plus to the
right; x is the distance from that axis, a radius. What a person reads is diameters.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TypeAlias

from pathgen.input.units import Units
from pathgen.input.where import Where
from pathgen.job.dies import DieThread
from pathgen.job.grooves import Groove
from pathgen.job.inside import AxialHole, Bored, Recess
from pathgen.job.knurls import Knurl
from pathgen.job.mates import Mate
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.job.turned_edges import TurnedEdge

LOW = 0.2  # mm by which a shoulder is higher than its corner's radius, so that it can be told
OVERHANG = 4.0  # diameters of work that may stand out without a centre: common practice, 3 to 4


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundBlank:
    """A round bar, as measured; lengths in mm."""

    diameter: float
    length: float
    material: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedStep:
    """One diameter of a profile, and how far from the right face its shoulder is; mm."""

    diameter: Size
    to: Size


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """Several diameters from one profile, from the right face to the left, each the larger."""

    name: str
    steps: tuple[TurnedStep, ...]
    corner: float  # the largest radius that may stay in the corner at a shoulder, mm
    where: Where = field(compare=False, repr=False)

    @property
    def end(self) -> float:
        """Return the z of the last step's end at its most, mm."""
        return -self.steps[-1].to.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """The part cut off at a length from its right face; mm."""

    name: str
    length: Size
    where: Where = field(compare=False, repr=False)


TurnedFeature: TypeAlias = (
    Turned | Parted | AxialHole | Bored | Recess | TurnedEdge | Screwed | Groove | Knurl | DieThread
)  # a closed union: later features are added here


def place_words(index: int) -> str:
    """Return which of several diameters one is, counted from the right face, in words.

    >>> place_words(0), place_words(3)
    ('first', '4th')
    """
    words = ("first", "second", "third")
    return words[index] if index < len(words) else f"{index + 1}th"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChuckHold:
    """How far the bar stands out of which chuck, and the person's own words; mm."""

    chuck: str
    stick_out: float  # from the jaws to the blank's end
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedRound:
    """A part that comes from an earlier setup, its other end to the right now; lengths in mm."""

    length: Size  # overall, from the end that was faced before: what facing this one leaves
    comes: RoundBlank  # as it comes: its diameter at the right end, its length
    held: float  # the diameter that the jaws close on
    behind: float  # the diameter of what stands behind all that is turned now
    outside: tuple[tuple[float, float], ...]  # from the first end: how far, which diameter


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedSetup:
    """One clamping in a lathe: the end is faced first, then the features come in their order."""

    name: str
    machine: str
    hold: ChuckHold
    facing: float  # how much is faced off the end, mm
    features: tuple[TurnedFeature, ...]
    round: TurnedRound | None = None  # of a part that was turned round in the jaws
    where: Where = field(compare=False, repr=False)

    @property
    def jaws_at(self) -> float:
        """Return the z of the jaws' front, mm."""
        return self.facing - self.hold.stick_out


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedJob:
    """A job file for a lathe, read and checked; lengths in mm whatever it was written in."""

    name: str  # the file's stem: the folder of its outputs
    title: str
    units: Units
    tolerance_class: str
    blank: RoundBlank
    setups: tuple[TurnedSetup, ...]
    digest: str
    mates: tuple[Mate, ...] = ()
    where: Where = field(compare=False, repr=False)

    def at(self, setup: TurnedSetup) -> TurnedJob:
        """Return the job with the blank as it comes to a setup."""
        return self if setup.round is None else replace(self, blank=setup.round.comes)

    def held(self, setup: TurnedSetup) -> float:
        """Return the diameter that the jaws close on in a setup, mm."""
        return self.blank.diameter if setup.round is None else setup.round.held

    def comes(self, setup: TurnedSetup) -> tuple[tuple[float, float, float], ...]:
        """Return the outside of what a setup begins with: from a z to a z, at a radius; mm."""
        right = setup.facing
        if setup.round is None:
            return ((right - self.blank.length, right, self.blank.diameter / 2),)
        left = begins = right - setup.round.comes.length
        lands = []
        for to, diameter in setup.round.outside:
            ends = min(left + to, right)
            lands.append((begins, ends, diameter / 2))
            begins = ends
        return tuple(land for land in lands if land[0] < land[1])
