"""The planes in which a control goes along arcs, and arcs in upright planes as short straights.

Source: NISTIR 6556 (RS274/NGC version 3), 3.5.3 and 3.5.6, 4.3.6.1: seen from the plus end of the
axis across the plane, G3 turns from the plane's first axis towards its second.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

CHORD_ERROR = 0.0005  # mm between an arc and the straights read for it
WHOLE = 1e-9  # mm between the ends of an arc that is a whole turn
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A plane by its axes: 0 for x, 1 for y, 2 for z."""

    name: str
    first: int
    second: int
    offsets: tuple[str, str]  # the letters of the centre along its first and second axis

    @property
    def across(self) -> int:
        """Return the axis at right angles to it, along which a helix goes."""
        return 3 - self.first - self.second

    @property
    def words(self) -> tuple[str, str]:
        """Return the letters of its two axes."""
        return "XYZ"[self.first], "XYZ"[self.second]

    def of(self, point: Point) -> tuple[float, float]:
        """Return a point's place in the plane."""
        return point[self.first], point[self.second]


LEVEL = 170
PLANES = {
    LEVEL: Plane(name="x-y", first=0, second=1, offsets=("I", "J")),
    180: Plane(name="z-x", first=2, second=0, offsets=("K", "I")),
    190: Plane(name="y-z", first=1, second=2, offsets=("J", "K")),
}


def straights(
    plane: Plane, ends: tuple[Point, Point], centre: tuple[float, float], *, clockwise: bool
) -> Iterator[Point]:
    """Yield the ends of straights that stand for an arc, or a helix, the last its very end; mm.

    >>> way = list(straights(PLANES[180], ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0)), (0.0, 0.0),
    ...     clockwise=False))
    >>> len(way), way[-1]
    (25, (0.0, 0.0, -1.0))
    """
    start, end = ends
    first, last = plane.of(start), plane.of(end)
    radius = math.dist(first, centre)
    begin = math.atan2(first[1] - centre[1], first[0] - centre[0])
    finish = math.atan2(last[1] - centre[1], last[0] - centre[0])
    sweep = (begin - finish if clockwise else finish - begin) % math.tau
    sweep = math.tau if math.dist(first, last) <= WHOLE else sweep
    each = 2 * math.acos(max(0.0, 1 - CHORD_ERROR / radius)) if radius > CHORD_ERROR else math.tau
    count = max(1, math.ceil(sweep / each))
    for step in range(1, count):
        share = step / count
        angle = begin + sweep * share * (-1 if clockwise else 1)
        reach = radius + share * (math.dist(last, centre) - radius)
        place = [0.0, 0.0, 0.0]
        place[plane.first] = centre[0] + reach * math.cos(angle)
        place[plane.second] = centre[1] + reach * math.sin(angle)
        across = plane.across
        place[across] = start[across] + share * (end[across] - start[across])
        yield place[0], place[1], place[2]
    yield end
