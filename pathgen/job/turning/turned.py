"""What a job asks for that is turned from round bar: the blank, the setups, the features.

The frame of a setup: z along the axis of the spindle, 0 at the finished right face and plus to the
right; x is the distance from that axis, a radius. What a person reads is diameters.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TypeAlias

from pathgen.input.units import Units
from pathgen.input.where import Where
from pathgen.job.mates import Mate
from pathgen.job.sizes import Size
from pathgen.job.turning.ball_neck import BallNeck
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.faceplate import Flat, Segment
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.holding import Carried, Hold
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.screwed import Screwed

LOW = 0.2  # mm by which a shoulder is higher than its corner's radius, so that it can be told


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
    Turned
    | Parted
    | AxialHole
    | Bored
    | Recess
    | TurnedEdge
    | Screwed
    | Groove
    | Knurl
    | DieThread
    | CentreHole
    | Segment
    | TurnedDish
    | BallNeck
    | BoredTaper
)  # a closed union: later features are added here


def place_words(index: int) -> str:
    """Return which of several diameters one is, counted from the right face, in words.

    >>> place_words(0), place_words(3)
    ('first', '4th')
    """
    words = ("first", "second", "third")
    return words[index] if index < len(words) else f"{index + 1}th"


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedSetup:
    """One clamping in a lathe: the end is faced first, then the features come in their order.

    Of a part that comes from an earlier setup the end may be as that left it: ``facing`` is 0 then.
    """

    name: str
    machine: str
    hold: Hold
    facing: float  # how much is faced off the end, mm
    features: tuple[TurnedFeature, ...]
    carried: Carried | None = None  # of a part that comes from an earlier setup
    overall: Size | None = None  # its length once this end is faced, where that is measured
    where: Where = field(compare=False, repr=False)

    @property
    def jaws_at(self) -> float:
        """Return the z of the front of what holds it: of the jaws, or of the dog; mm."""
        return self.facing - self.hold.stick_out

    @property
    def came_hollow(self) -> float:
        """Return how wide the right end is hollow as it comes, faced where it is; mm."""
        return 0.0 if self.carried is None else self.carried.mouth

    @property
    def mouth(self) -> float:
        """Return how wide the right end is hollow when tools are touched there, mm.

        By a centre hole of this setup, or by what came hollow.
        """
        holes = (each for each in self.features if isinstance(each, CentreHole))
        return max([self.came_hollow, *(hole.diameter.high for hole in holes)])


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
    flat: Flat | None = None  # the piece itself, where that is flat; the blank is what it sweeps
    where: Where = field(compare=False, repr=False)

    def at(self, setup: TurnedSetup) -> TurnedJob:
        """Return the job with the blank as it comes to a setup."""
        comes = setup.carried
        if comes is None:
            return self
        blank = replace(self.blank, diameter=comes.diameter, length=comes.length)
        return replace(self, blank=blank)

    def held(self, setup: TurnedSetup) -> float:
        """Return the diameter that is held in a setup, mm."""
        return self.blank.diameter if setup.carried is None else setup.carried.held

    def comes(self, setup: TurnedSetup) -> tuple[tuple[float, float, float], ...]:
        """Return the outside of what a setup begins with: from a z to a z, at a radius; mm."""
        right = setup.facing
        if setup.carried is None:
            return ((right - self.blank.length, right, self.blank.diameter / 2),)
        left = begins = right - setup.carried.length
        lands = []
        for to, diameter in setup.carried.outside:
            ends = min(left + to, right)
            lands.append((begins, ends, diameter / 2))
            begins = ends
        return tuple(land for land in lands if land[0] < land[1])

    def radius_at(self, setup: TurnedSetup, z: float) -> float:
        """Return the radius at a z of what a setup begins with, mm."""
        at = (radius for left, right, radius in self.comes(setup) if left <= z <= right)
        return max(at, default=self.blank.diameter / 2)
