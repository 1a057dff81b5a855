"""The part as each setup leaves it for the next: its outside, its ends; sizes at their middles."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.holding import SAWN, End
from pathgen.job.turning.inside import AxialHole, Bored, depth_of
from pathgen.job.turning.turned import Parted, RoundBlank, Turned, TurnedFeature, TurnedSetup

NEARLY = 1e-9


class Land(NamedTuple):
    """A stretch of one diameter; mm."""

    length: float
    diameter: float
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A part between two setups, from its right end to its left."""

    lands: tuple[Land, ...]
    right: End = SAWN
    left: End = SAWN

    @classmethod
    def bar(cls, blank: RoundBlank) -> Standing:
        """Return the blank as it comes."""
        return cls(lands=(Land(blank.length, blank.diameter),))

    @property
    def length(self) -> float:
        """Return how long it is, mm."""
        return sum(land.length for land in self.lands)

    @property
    def outside(self) -> tuple[tuple[float, float], ...]:
        """Return its diameters from the left end on: how far each goes, and what it is; mm."""
        way, found = 0.0, []
        for land in reversed(self.lands):
            way += land.length
            found.append((way, land.diameter))
        return tuple(found)

    def land_at(self, way: float) -> tuple[Land, float, float]:
        """Return the land at a way from the right end, and from where to where it goes, mm.

        Where two meet it is that on the right.
        """
        begins = 0.0
        for land in self.lands:
            if way <= begins + land.length + NEARLY:
                return land, begins, begins + land.length
            begins += land.length
        return self.lands[-1], begins - self.lands[-1].length, begins

    def behind(self, way: float) -> float:
        """Return the diameter just to the left of a way from the right end, mm."""
        return self.land_at(way + 2 * NEARLY)[0].diameter

    def turned_round(self) -> Standing:
        """Return the part with its other end to the right."""
        return Standing(lands=self.lands[::-1], right=self.left, left=self.right)

    def faced(self, facing: float) -> Standing:
        """Return the part with so much faced off its right end, a centre hole in that with it."""
        end = self.right
        if end.hole is None and end.deep > facing:
            right = End(faced=True, deep=end.deep - facing, mouth=end.mouth)
        else:
            right = End(faced=True)
        return replace(self, lands=_from(self.lands, facing), right=right)

    def after(self, setup: TurnedSetup) -> Standing:
        """Return what a setup leaves of the part, which lies as it does in that setup."""
        faced = self.faced(setup.facing) if setup.facing else self
        lands = faced.lands
        for feature in setup.features:
            if isinstance(feature, Turned):
                lands = _turned(lands, feature)
        right = _drilled(faced.right, setup.features)
        parted = next((each for each in setup.features if isinstance(each, Parted)), None)
        if parted is None:
            return Standing(lands=lands, right=right, left=faced.left)
        left = End(deep=right.deep, mouth=right.mouth) if math.isinf(right.deep) else SAWN
        return Standing(lands=_up_to(lands, parted.length.middle), right=right, left=left)


def _drilled(end: End, features: Iterable[TurnedFeature]) -> End:
    """Return the right end with what was put into it on its axis."""
    for each in features:
        if isinstance(each, CentreHole):
            mouth = max(end.mouth, each.diameter.high)
            end = replace(end, hole=each, deep=max(end.deep, each.deepest), mouth=mouth)
        elif isinstance(each, AxialHole | Bored):
            deep = depth_of(each)
            widest = each.diameter if isinstance(each, AxialHole) else each.steps[0].diameter
            deepest = math.inf if deep is None else max(end.deep, deep)
            end = replace(end, deep=deepest, mouth=max(end.mouth, widest.high))
        elif isinstance(each, BoredTaper):
            end = replace(end, mouth=max(end.mouth, 2 * (each.out + each.beside)))
    return end


def _turned(lands: tuple[Land, ...], turned: Turned) -> tuple[Land, ...]:
    """Return lands with a profile turned from the right end."""
    ends = [step.to.middle for step in turned.steps]
    own = [
        Land(to - begins, step.diameter.middle, turned=True)
        for step, begins, to in zip(turned.steps, [0.0, *ends], ends, strict=False)
    ]
    return (*own, *_from(lands, ends[-1]))


def _from(lands: tuple[Land, ...], way: float) -> tuple[Land, ...]:
    """Return the lands from a way on."""
    rest = []
    begins = 0.0
    for land in lands:
        ends = begins + land.length
        if ends > way + NEARLY:
            rest.append(land._replace(length=ends - max(begins, way)))
        begins = ends
    return tuple(rest)


def _up_to(lands: tuple[Land, ...], way: float) -> tuple[Land, ...]:
    """Return the lands up to a way."""
    kept = []
    begins = 0.0
    for land in lands:
        if begins < way - NEARLY:
            kept.append(land._replace(length=min(land.length, way - begins)))
        begins += land.length
    return tuple(kept)
