"""Going more slowly into the corners of a ring, where the cut widens ahead of the mill."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import shapely
from shapely.ops import substring

from pathgen.moves.moves import Move
from pathgen.plan.areas.along import Clearing, Spot, along

SHARP_DEG = 20.0  # a corner that turns less widens the cut too little to be slowed for
# Of the radius: so much before it meets the next wall's straight the mill meets what the ring
# within left rounded in the corner.
ROUNDED = 0.5


class Slow(NamedTuple):
    """A stretch of a way, mm along it, that is gone slowly, and at which share of the feed."""

    first: float
    last: float
    share: float


def ring_slowed(
    clearing: Clearing, corners: Sequence[Spot], z: float, what: str, *, inside_left: bool
) -> Iterator[Move]:
    """Yield the way round a ring at a depth, more slowly into each corner.

    Args:
        clearing: what the way is made with; its step is that to the ring within.
        corners: of the ring, back to where it begins.
        z: of the pass, mm.
        what: the ring, in words.
        inside_left: whether what is cleared already lies on the left of the way.
    """
    slow = _slow_stretches(clearing, corners, inside_left=inside_left)
    if not slow:
        yield from along(clearing, corners, z, what)
        return
    line = shapely.LineString(corners)
    stops = sorted({0.0, float(line.length), *(end for each in slow for end in each[:2])})
    for first, last in pairwise(stops):
        middle = (first + last) / 2
        share = min((s.share for s in slow if s.first < middle < s.last), default=1.0)
        part = [(float(x), float(y)) for x, y in substring(line, first, last).coords]
        if len(part) < 2:
            continue
        figures = replace(clearing.figures, feed=max(1.0, clearing.figures.feed * share))
        words = what if share == 1.0 else f"{what}, slowly into the corner"
        yield from along(replace(clearing, figures=figures), part, z, words)


def _slow_stretches(
    clearing: Clearing, corners: Sequence[Spot], *, inside_left: bool
) -> tuple[Slow, ...]:
    """Return the stretches before those corners that turn away from the metal."""
    found = []
    so_far = 0.0
    for before, at, after in zip(corners, corners[1:], corners[2:], strict=False):
        so_far += math.dist(before, at)
        turn = _turn_deg(before, at, after) * (1.0 if inside_left else -1.0)
        if turn > SHARP_DEG:
            long = clearing.step * math.tan(math.radians(turn / 2))
            long += ROUNDED * clearing.cutter.radius
            first = max(so_far - long, 0.0)
            found.append(
                Slow(first, so_far, corner_share(clearing.step, clearing.cutter.radius, turn))
            )
    return tuple(found)


def _turn_deg(before: Spot, at: Spot, after: Spot) -> float:
    """Return by how much a way turns at a corner, degrees, plus to the left."""
    heading = math.atan2(at[1] - before[1], at[0] - before[0])
    turned = math.atan2(after[1] - at[1], after[0] - at[0]) - heading
    return math.degrees((turned + math.pi) % (2 * math.pi) - math.pi)


def corner_share(step: float, radius: float, turn_deg: float) -> float:
    """Return the share of the feed at which a corner is taken, so that a turn cuts no more metal.

    Along a straight a mill of radius r that cuts a width s beside it is in the metal over an angle
    a with cos a = 1 - s / r; at the end of a stretch into a corner the angle is larger by the turn.

    >>> corner_share(5.0, 5.0, 90.0)
    0.5

    Source: the geometry; that the chips of a turn are to stay alike is common practice.
    """
    along_deg = in_metal_deg(step, radius)
    return along_deg / min(along_deg + turn_deg, 180.0)


def in_metal_deg(step: float, radius: float) -> float:
    """Return over which angle a mill is in the metal along a straight, degrees.

    Straight out from one ring to the next it comes to be in the metal over twice that.

    >>> round(in_metal_deg(5.0, 5.0), 6)
    90.0
    """
    return math.degrees(math.acos(max(-1.0, 1 - step / radius)))
