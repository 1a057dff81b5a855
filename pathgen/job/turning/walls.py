"""The wall that stays between what is hollow in turned work and its outside."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.inside import AxialHole, Bored, Inside, Recess
from pathgen.job.turning.turned import RoundBlank, Turned, TurnedSetup

WALL = 0.5  # mm of metal that stays about a bore, or under its floor, at least; our choice


def thin_walls(setup: TurnedSetup, blank: RoundBlank) -> list[str]:
    """Return what of the inside leaves less than a wall to the outside, in words."""
    steps = [step for each in setup.features if isinstance(each, Turned) for step in each.steps]
    outside = [(step.to.low, step.diameter.low) for step in steps]
    outside.append((math.inf, blank.diameter))
    found = []
    for feature in setup.features:
        if isinstance(feature, AxialHole | Bored | Recess | BoredTaper):
            least = _thinnest(feature, outside)
            if least is not None:
                found.append(
                    f"{feature.name} leaves no wall of {WALL:g} mm in an outside of {least:g} mm"
                )
    return found


def _thinnest(feature: Inside | BoredTaper, outside: list[tuple[float, float]]) -> float | None:
    """Return the outside diameter in which a feature leaves no wall, mm; None where it does."""
    for start, end, across in _stretches(feature):
        right = 0.0
        for to, least in outside:
            if start < to and end > right and across + 2 * WALL > least:
                return least
            right = to
    return None


def _stretches(feature: Inside | BoredTaper) -> Iterator[tuple[float, float, float]]:
    """Yield from where to where a feature has which diameter, all at their most; mm."""
    match feature:
        case AxialHole():
            deep = math.inf if feature.depth is None else feature.depth.high
            yield 0.0, deep, feature.diameter.high
        case Recess():
            yield feature.start.low, feature.end, feature.diameter.high
        case Bored():
            right = 0.0
            for step in feature.steps:
                left = math.inf if step.to is None else step.to.high
                yield right, left, step.diameter.high
                right = left
        case BoredTaper():
            yield 0.0, feature.along, 2 * (feature.out + feature.beside)
