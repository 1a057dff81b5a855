"""From the corners of a region's edge back to straights and arcs, as a machine goes them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple, TypeAlias

Spot: TypeAlias = tuple[float, float]
FIT = 0.002  # mm that corners may lie off the arc that stands for them
FEW = 12  # so many corners are all looked at, of more only some
LEAST_CORNERS = 5  # fewer corners are no arc
MOST_TURN = math.pi * 0.95  # of one arc: a longer one becomes two, which any control reads alike
MOST_BEND = 0.3  # radians between two chords of one arc


class Stretch(NamedTuple):
    """A straight to a place, or an arc about a centre; mm."""

    to: Spot
    centre: Spot | None = None
    clockwise: bool = False


def stretches(corners: Sequence[Spot]) -> Iterator[Stretch]:
    """Yield the straights and arcs through corners, from the first on; mm.

    A row of corners that lie on a circle, evenly bent one way, becomes an arc.

    >>> turn = [(math.cos(a / 20), math.sin(a / 20)) for a in range(21)]
    >>> [step.centre is not None for step in stretches([*turn, (0.0, 5.0)])]
    [True, False]
    """
    at = 0
    while at < len(corners) - 1:
        last = _arc_until(corners, at)
        if last - at + 1 >= LEAST_CORNERS:
            circle = _circle(corners[at], corners[(at + last) // 2], corners[last])
            if circle is not None:
                clockwise = _turn(*corners[at : at + 3]) < 0
                yield Stretch(corners[last], circle[:2], clockwise)
                at = last
                continue
        at += 1
        yield Stretch(corners[at])


def _arc_until(corners: Sequence[Spot], first: int) -> int:
    """Return the last corner up to which those from ``first`` on lie on one arc."""
    if first + 2 >= len(corners):
        return first + 1
    start = _turn(*corners[first : first + 3])
    if abs(start) < 1e-9 or abs(start) > MOST_BEND:
        return first + 1
    if not _fits(corners, first, first + 2):
        return first + 1
    last, turned = first + 2, abs(start)
    while last + 1 < len(corners):
        turn = _turn(*corners[last - 1 : last + 2])
        turned += abs(turn)
        if turn * start <= 0 or abs(turn) > MOST_BEND or turned > MOST_TURN:
            break
        if not _fits(corners, first, last + 1):
            break
        last += 1
    return last


def _fits(corners: Sequence[Spot], first: int, last: int) -> bool:
    """Return whether corners lie on the circle through the first, the middle and the last.

    The chords have to be so short, too, that between them the circle stays as near.
    """
    circle = _circle(corners[first], corners[(first + last) // 2], corners[last])
    if circle is None:
        return False
    x, y, radius = circle
    longest = 2 * math.sqrt(2 * radius * FIT)
    if math.dist(corners[last - 1], corners[last]) > longest:
        return False
    if math.dist(corners[first], corners[first + 1]) > longest:
        return False
    among: Sequence[int] = range(first, last + 1)
    if len(among) > FEW:  # those before were looked at when the arc was shorter
        among = (first + 1, (3 * first + last) // 4, (first + 3 * last) // 4, last - 1)
    return all(abs(math.dist(corners[row], (x, y)) - radius) < FIT for row in among)


def _circle(a: Spot, b: Spot, c: Spot) -> tuple[float, float, float] | None:
    """Return centre and radius of the circle through three places; None on a straight."""
    bx, by, cx, cy = b[0] - a[0], b[1] - a[1], c[0] - a[0], c[1] - a[1]
    double = 2 * (bx * cy - by * cx)
    if abs(double) < 1e-12:
        return None
    square_b, square_c = bx * bx + by * by, cx * cx + cy * cy
    x = (cy * square_b - by * square_c) / double
    y = (bx * square_c - cx * square_b) / double
    return a[0] + x, a[1] + y, math.hypot(x, y)


def _turn(a: Spot, b: Spot, c: Spot) -> float:
    """Return the turn at the middle one of three places, radians, left above 0."""
    first = math.atan2(b[1] - a[1], b[0] - a[0])
    second = math.atan2(c[1] - b[1], c[0] - b[0])
    return (second - first + math.pi) % (2 * math.pi) - math.pi
