"""Steps along walls off the axes, one handle at a time.

The cutter touches at stops so near to one another that the ridge
between two of them stays within a limit. From stop to stop it goes along one axis and then along
the other, on the side away from the wall.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import shapely
from shapely.geometry.base import BaseGeometry

Spot: TypeAlias = tuple[float, float]
SAME = 1e-6  # mm: two coordinates nearer than this are one
SHARP_DEG = 15.0  # a bend of a line by more is a corner, which a stop goes into
FARTHEST = 0.9  # of the diameter: stops are never farther apart
AS_NEAR = 0.12  # mm: stops nearer than this leave no ridge
JOG = 0.5  # mm: nearer to the end of a wall along an axis the line may jump a little aside
LEAST_STEP = 0.15  # mm: a wall that wants stops nearer than this is refused
HALVINGS = 24


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Walls:
    """The walls of an area as lines: those along the axes, cut to size, and the others; mm."""

    along: BaseGeometry
    filed: BaseGeometry

    def off_axes(self, place: Spot) -> bool:
        """Return whether the wall nearest to a place is one off the axes."""
        if self.filed.is_empty or self.along.is_empty:
            return not self.filed.is_empty
        point = shapely.Point(place)
        return float(self.filed.distance(point)) < float(self.along.distance(point))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stepping:
    """What stops along walls are worked out with; mm."""

    radius: float  # of the cutter
    least: float  # a handle is wound by so much at least, so that the slide surely moves
    most: float  # that may stay on a wall off the axes
    free: BaseGeometry  # where the centre may be
    walls: Walls


def stepped(line: Sequence[Spot], stepping: Stepping) -> list[Spot]:
    """Return the places to go to along a line in steps, its ends among them."""
    places = [line[0]]
    for piece in _even_ways(_without_jogs(line)):
        for touch in _touches(piece, stepping):
            at = places[-1]
            places.extend(_step(at, _surely(at, touch, stepping.least)))
    return places


def _without_jogs(line: Sequence[Spot]) -> list[Spot]:
    """Return a line without the jogs at its ends, where it comes from a wall along an axis."""
    first, last = line[0], line[-1]
    inner = [
        place for place in line[1:-1] if min(math.dist(place, first), math.dist(place, last)) > JOG
    ]
    return [first, *inner, last]


def _surely(at: Spot, to: Spot, least: float) -> Spot:
    """Return the place to go to so that no handle is wound by less than surely moves its slide.

    It may lie farther from the wall than the one asked for, by less than ``least``, never nearer.
    """
    found = list(to)
    left = (at[1] - to[1], to[0] - at[0])  # towards the wall
    for axis in (0, 1):
        way = to[axis] - at[axis]
        if abs(way) < least:
            away = way * left[axis] < 0
            found[axis] = at[axis] + math.copysign(least, way) if away else at[axis]
    return found[0], found[1]


def _step(at: Spot, to: Spot) -> Iterator[Spot]:
    """Yield the places of one step: along one axis, then the other, away from the wall."""
    if not on_axis(at, to):
        # Of the two ways round, that on the right: the wall lies on the left.
        across, away = to[0] - at[0], to[1] - at[1]
        yield (to[0], at[1]) if across * away > 0 else (at[0], to[1])
    yield to


def _even_ways(line: Sequence[Spot]) -> Iterator[list[Spot]]:
    """Yield the pieces of a line along which neither x nor y turns back, and without corners."""
    piece = [line[0]]
    signs = [0, 0]
    for row, (a, b) in enumerate(pairwise(line)):
        ways = [_sign(b[axis] - a[axis]) for axis in (0, 1)]
        back = any(one * other < 0 for one, other in zip(ways, signs, strict=True))
        if row and (back or _bend_deg(line[row - 1], a, b) > SHARP_DEG):
            yield piece
            piece, signs = [a], [0, 0]
        piece.append(b)
        signs = [way or sign for way, sign in zip(ways, signs, strict=True)]
    yield piece


def _sign(value: float) -> int:
    return 0 if abs(value) <= SAME else (1 if value > 0 else -1)


def _bend_deg(a: Spot, b: Spot, c: Spot) -> float:
    first = math.atan2(b[1] - a[1], b[0] - a[0])
    second = math.atan2(c[1] - b[1], c[0] - b[0])
    return abs(math.degrees((second - first + math.pi) % (2 * math.pi) - math.pi))


def _touches(piece: list[Spot], stepping: Stepping) -> list[Spot]:
    """Return where the cutter touches along a piece, its end the last; evenly where that does.

    Raises:
        ValueError: the stops would be too near to one another.
    """
    line = shapely.LineString(piece)
    stops = list(_farthest(line, stepping))
    # A bend has a stop within it, so that a small round is not gone over by way of its middle.
    count = max(len(stops), 2 if len(piece) > 2 else 1)
    even = [line.length * row / count for row in range(1, count + 1)]
    pairs = pairwise([0.0, *even])
    if all(_fits(line, pair, stepping) for pair in pairs):
        stops = even
    return [place_at(line, stop) for stop in stops[:-1]] + [piece[-1]]


def _farthest(line: shapely.LineString, stepping: Stepping) -> Iterator[float]:
    """Yield how far along each stop lies, each as far from the last as the limit allows; mm."""
    at = 0.0
    while at < line.length - SAME:
        far = min(line.length, at + 2 * FARTHEST * stepping.radius)
        if not _fits(line, (at, far), stepping):
            near = at
            for _ in range(HALVINGS):
                middle = (near + far) / 2
                if _fits(line, (at, middle), stepping):
                    near = middle
                else:
                    far = middle
            if near - at < LEAST_STEP:
                x, y = place_at(line, at)
                raise ValueError(
                    f"the wall near x {x:.2f} y {y:.2f} mm bends too tightly for steps"
                )
            far = near
        yield far
        at = far


def _fits(line: shapely.LineString, pair: tuple[float, float], stepping: Stepping) -> bool:
    """Return whether a step from stop to stop leaves no more than it may, and has room."""
    if _stays(line, pair, stepping) > stepping.most:
        return False
    at, to = place_at(line, pair[0]), place_at(line, pair[1])
    if math.dist(at, to) <= AS_NEAR:
        return True
    return bool(stepping.free.covers(shapely.LineString([at, *_step(at, to)])))


def _stays(line: shapely.LineString, pair: tuple[float, float], stepping: Stepping) -> float:
    """Return how high the ridge between two stops stands on the wall, mm.

    Its top is where the cutter's outlines at the two stops meet, on the side of the wall.
    """
    (x0, y0), (x1, y1) = place_at(line, pair[0]), place_at(line, pair[1])
    chord = math.hypot(x1 - x0, y1 - y0)
    if chord <= AS_NEAR:
        return 0.0
    if chord >= 2 * stepping.radius:
        return math.inf
    out = math.sqrt(stepping.radius**2 - chord**2 / 4) / chord
    top = shapely.Point((x0 + x1) / 2 - (y1 - y0) * out, (y0 + y1) / 2 + (x1 - x0) * out)
    walls = stepping.walls
    return min(
        float(each.distance(top)) for each in (walls.filed, walls.along) if not each.is_empty
    )


def place_at(line: shapely.LineString, along: float) -> Spot:
    """Return the place so far along a line, mm."""
    point = line.interpolate(along)
    return float(point.x), float(point.y)


def on_axis(a: Spot, b: Spot) -> bool:
    """Return whether one place lies along x or along y from another."""
    return min(abs(a[0] - b[0]), abs(a[1] - b[1])) <= SAME
