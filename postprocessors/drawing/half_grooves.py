"""Grooves and undercuts of turned work, as its half section is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pathgen.input.units import Units, spoken
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.turned import TurnedSetup

Points = list[tuple[float, float]]  # z, x


def with_grooves(outline: Points, setup: TurnedSetup) -> Points:
    """Return an outline, from the right face to the left, with its grooves sunk into it."""
    for groove in (each for each in setup.features if isinstance(each, Groove)):
        outline = _sunk(outline, groove)
    return outline


def _sunk(outline: Points, groove: Groove) -> Points:
    """Return an outline with one groove sunk into the level line that it lies in."""
    right, left = -groove.right.middle, -groove.left.middle
    deep = groove.diameter.middle / 2
    for index, ((z1, x1), (z2, x2)) in enumerate(pairwise(outline)):
        if x1 == x2 and z1 >= right and left >= z2:
            corners = [(right, x1), (right, deep), (left, deep), (left, x1)]
            return [*outline[: index + 1], *corners, *outline[index + 1 :]]
    return outline


def rows_of_grooves(setup: TurnedSetup, units: Units) -> Iterator[tuple[str, float, float]]:
    """Yield each groove in words, with how far from the right face it goes from and to; mm."""
    for groove in setup.features:
        if isinstance(groove, Groove):
            across = spoken(groove.diameter.nominal, units)
            words = f"{groove.name} \N{LATIN CAPITAL LETTER O WITH STROKE}{across}"
            yield words, groove.right.nominal, groove.left.nominal
