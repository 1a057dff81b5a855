"""Along walls one handle at a time: straight where they go along an axis, else in steps.

Along a wall off the axes the cutter touches at stops so near to one another that the ridge
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
NO_CORNER = 0.05  # mm: what chords leave of a corner that the cutter makes by its own radius
LONG = 2.0  # mm: a longer straight of a line off the axes is none of an arc's chords
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A way of the cutter's centre, a wall on its left: each place along an axis from the last.

    Either one straight along a wall, or the steps along a wall that is filed.
    """

    places: tuple[Spot, ...]
    filed: bool


def runs_along(
    ring: shapely.LinearRing, stepping: Stepping, *, anticlockwise: bool
) -> tuple[Run, ...]:
    """Return the runs along a closed line of the cutter's centre, in order and end to end.

    Args:
        ring: the line.
        stepping: what the steps are worked out with.
        anticlockwise: which way round; the wall has to lie on the left.

    Raises:
        ValueError: no steps are within the limit.
    """
    corners = [(float(x), float(y)) for x, y in ring.coords[:-1]]
    if bool(ring.is_ccw) != anticlockwise:
        corners.reverse()
    corners = _with_half_way(_without_doubles(corners))
    straight = [
        _on_axis(a, b) and not stepping.walls.off_axes(_middle(a, b))
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    ]
    first = _first(corners, straight)
    corners = [*corners[first:], *corners[:first], corners[first]]
    straight = [*straight[first:], *straight[:first]]
    lines = _with_own_corners(list(_lines(corners, straight)), stepping.walls)
    return tuple(
        Run(places=tuple(line if not filed else _stepped(line, stepping)), filed=filed)
        for line, filed in lines
    )


def _without_doubles(corners: list[Spot]) -> list[Spot]:
    return [
        corner
        for corner, before in zip(corners, [corners[-1], *corners[:-1]], strict=True)
        if math.dist(corner, before) > SAME
    ]


def _with_half_way(corners: list[Spot]) -> list[Spot]:
    """Return the corners of a closed line, with the middle of its longest straight among them.

    Where steps begin there, they come back to it head on, and no metal is left beside the way.
    """
    afters = [*corners[1:], corners[0]]
    lengths = [math.dist(a, b) for a, b in zip(corners, afters, strict=True)]
    row = max(range(len(lengths)), key=lengths.__getitem__)
    if _on_axis(corners[row], afters[row]):
        return corners
    return [*corners[: row + 1], _middle(corners[row], afters[row]), *corners[row + 1 :]]


def _on_axis(a: Spot, b: Spot) -> bool:
    return min(abs(a[0] - b[0]), abs(a[1] - b[1])) <= SAME


def _middle(a: Spot, b: Spot) -> Spot:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _first(corners: list[Spot], straight: list[bool]) -> int:
    """Return where to begin a closed line: where a straight does, else half-way along one.

    Of a line without straights farthest left.
    """
    if all(straight):  # at a real corner, not within a straight
        count = len(corners)
        return next(
            row
            for row in range(count)
            if not _on_axis(corners[row - 1], corners[(row + 1) % count])
        )
    starts = [row for row, each in enumerate(straight) if each and not straight[row - 1]]
    if starts:
        return starts[0]
    lengths = [math.dist(corners[row - 1], each) for row, each in enumerate(corners)]
    longest = max(range(len(lengths)), key=lengths.__getitem__)
    return longest if lengths[longest] > LONG else corners.index(min(corners))


def _lines(corners: list[Spot], straight: list[bool]) -> Iterator[tuple[list[Spot], bool]]:
    """Yield the straights along axes, each from corner to corner, and what lies between them."""
    line, filed = [corners[0]], not straight[0]
    for row, (after, along) in enumerate(zip(corners[1:], straight, strict=True)):
        turns = along and len(line) > 1 and not filed and not _on_axis(line[0], after)
        if row and (along == filed or turns):
            yield line, filed
            line, filed = [line[-1]], not along
        if along and len(line) > 1:
            line[-1] = after  # on along the same straight
        else:
            line.append(after)
    yield line, filed


def _with_own_corners(
    lines: list[tuple[list[Spot], bool]], walls: Walls
) -> list[tuple[list[Spot], bool]]:
    """Return lines without corners between walls along the axes, which need no steps.

    There the straights before and after are drawn out to where they meet: in an inside corner,
    that the cutter makes by its own radius, and about an outside one.
    """
    kept: list[tuple[list[Spot], bool]] = []
    for row, (line, filed) in enumerate(lines):
        none = _is_speck(line) or not walls.off_axes(_half_way(line))
        if filed and row > 0 and len(lines) > 2 and none:
            before = lines[row - 1][0]
            after = lines[(row + 1) % len(lines)][0]
            meet = _meeting(before, after)
            if meet is not None:
                before[-1], after[0] = meet, meet
                continue
        kept.append((line, filed))
    return kept


def _half_way(line: list[Spot]) -> Spot:
    whole = shapely.LineString(line)
    return _at(whole, whole.length / 2)


def _is_speck(line: list[Spot]) -> bool:
    xs, ys = zip(*line, strict=True)
    return bool(max(max(xs) - min(xs), max(ys) - min(ys)) <= NO_CORNER)


def _meeting(before: list[Spot], after: list[Spot]) -> Spot | None:
    """Return where two straights square to one another meet; None where they are not."""
    level = abs(before[0][1] - before[-1][1]) <= SAME
    next_level = abs(after[0][1] - after[-1][1]) <= SAME
    if level == next_level:
        return None
    return (after[0][0], before[0][1]) if level else (before[0][0], after[0][1])


# ---------------------------------------------------------------- steps


def _stepped(line: Sequence[Spot], stepping: Stepping) -> list[Spot]:
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
    if not _on_axis(at, to):
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
    return [_at(line, stop) for stop in stops[:-1]] + [piece[-1]]


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
                x, y = _at(line, at)
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
    at, to = _at(line, pair[0]), _at(line, pair[1])
    if math.dist(at, to) <= AS_NEAR:
        return True
    return bool(stepping.free.covers(shapely.LineString([at, *_step(at, to)])))


def _stays(line: shapely.LineString, pair: tuple[float, float], stepping: Stepping) -> float:
    """Return how high the ridge between two stops stands on the wall, mm.

    Its top is where the cutter's outlines at the two stops meet, on the side of the wall.
    """
    (x0, y0), (x1, y1) = _at(line, pair[0]), _at(line, pair[1])
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


def _at(line: shapely.LineString, along: float) -> Spot:
    point = line.interpolate(along)
    return float(point.x), float(point.y)
