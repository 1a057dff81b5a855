"""The runs along a closed line of the cutter's centre: straights along walls, and steps between."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from pathgen.plan.hands.steps import SAME, Spot, Stepping, Walls, on_axis, place_at, stepped

NO_CORNER = 0.05  # mm: what chords leave of a corner that the cutter makes by its own radius
LONG = 2.0  # mm: a longer straight of a line off the axes is none of an arc's chords


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
        on_axis(a, b) and not stepping.walls.off_axes(_middle(a, b))
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    ]
    first = _first(corners, straight)
    corners = [*corners[first:], *corners[:first], corners[first]]
    straight = [*straight[first:], *straight[:first]]
    lines = _with_own_corners(list(_lines(corners, straight)), stepping.walls)
    return tuple(
        Run(places=tuple(line if not filed else stepped(line, stepping)), filed=filed)
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
    if on_axis(corners[row], afters[row]):
        return corners
    return [*corners[: row + 1], _middle(corners[row], afters[row]), *corners[row + 1 :]]


def _middle(a: Spot, b: Spot) -> Spot:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _first(corners: list[Spot], straight: list[bool]) -> int:
    """Return where to begin a closed line: where a straight does, else half-way along one.

    Of a line without straights farthest left.
    """
    if all(straight):  # at a real corner, not within a straight
        count = len(corners)
        return next(
            row for row in range(count) if not on_axis(corners[row - 1], corners[(row + 1) % count])
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
        turns = along and len(line) > 1 and not filed and not on_axis(line[0], after)
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
    return place_at(whole, whole.length / 2)


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
