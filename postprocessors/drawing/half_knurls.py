"""Knurls of turned work, as its half section is drawn: thin lines at the edge, as is usual."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.units import Units, spoken
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.turned import TurnedSetup

Line = tuple[tuple[float, float], tuple[float, float]]  # from z, x to z, x
SHOWN = 2.0  # pitches under the outside that the lines go: to be told as a knurl, not a depth


def knurl_lines(setup: TurnedSetup) -> Iterator[Line]:
    """Yield the thin lines that stand for knurls: along the axis, or crossing; mm."""
    for knurl in (each for each in setup.features if isinstance(each, Knurl)):
        right, out = -knurl.start.middle, knurl.land.middle / 2
        left, low = right - knurl.width.middle, out - SHOWN * knurl.pitch
        if knurl.pattern == "straight":
            for count in range(1, 4):
                level = out - SHOWN * knurl.pitch * count / 3
                yield (right, level), (left, level)
            continue
        run = out - low
        for count in range(int((right - left) / knurl.pitch)):
            z = right - count * knurl.pitch
            far = max(z - run, left)
            yield (z, out), (far, out - (z - far))
            yield (z, low), (far, low + (z - far))


def rows_of_knurls(setup: TurnedSetup, units: Units) -> Iterator[tuple[str, float, float]]:
    """Yield each knurl in words, with how far from the right face it goes from and to; mm."""
    for knurl in setup.features:
        if isinstance(knurl, Knurl):
            words = f"{knurl.name}, {knurl.pattern} knurl of {spoken(knurl.pitch, units)}"
            start = knurl.start.nominal
            yield words, start, start + knurl.width.nominal
