"""A mill led round in a round place: down by a helix, on to the wall, round, and off it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.moves.moves import Arc, Feed, How, Move, Rapid
from pathgen.plan.cutting import FINISH_DEPTH_SHARE, SIDE_MARGIN, Cutting
from pathgen.plan.holes.drilling import Target
from pathgen.shop.cutters import Cutter

LEAST_CIRCLE = 0.5  # mm off the centre: on tighter circles the slides of a small machine stall
WIDTH_SHARE = 0.4  # of a mill's diameter: how much wider one ring makes the hole, a side
# How steep a mill goes down where its middle meets metal (common practice, no source).
RAMP_DEG = 3.0


def edge_feed(figures: Cutting, mill: Cutter, radius: float) -> float:
    """Return the feed of a mill's centre on a circle inside a wall, mm/min.

    The figures are those of the cutting edge: the centre goes slower, as its radius is to the
    wall's.
    """
    return max(1.0, figures.feed * radius / (radius + mill.radius))


def once_round(
    target: Target, z: float, offset: float, cutter: tuple[Cutter, Cutting]
) -> Iterator[Arc]:
    """Yield the way from the centre on to the wall, round, and back, against the cutter's turn."""
    mill, figures = cutter
    x, y = target.x, target.y

    def arc(end: float, centre: float, what: str) -> Arc:
        reach = offset if centre == x else offset / 2
        feed = edge_feed(figures, mill, reach)
        how = How(makes="size", what=what)
        return Arc(end, y, z, centre, y, clockwise=True, feed=feed, how=how)

    yield arc(x + offset, x + offset / 2, "on to the wall")
    yield arc(x + offset, x, "round")
    yield arc(x, x + offset / 2, "off the wall")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A circle that a mill's centre goes down along; mm."""

    radius: float
    drop: float  # depth that it goes down a turn at most


def rings(mill: Cutter, opened: tuple[float, float], deep: float, total: float) -> tuple[Ring, ...]:
    """Return the rings that open a hole from one diameter to another, the narrowest first.

    Args:
        mill: what is led round.
        opened: the diameters from and to which a hole is opened, mm.
        deep: how deep a cut as wide as the mill may be, mm.
        total: how deep the hole is, mm.
    """
    start, end = opened
    widening = (end - start) / 2
    count = max(1, math.ceil(widening / (WIDTH_SHARE * mill.diameter) - 1e-9))
    found = []
    before = start / 2
    for number in range(1, count + 1):
        radius = start / 2 + widening * number / count - mill.radius
        if radius < LEAST_CIRCLE and number < count:
            continue  # the next one takes it along
        drop = _drop(mill, (radius, before), deep, total)
        found.append(Ring(radius=radius, drop=drop))
        before = radius + mill.radius
    return tuple(found)


def _drop(mill: Cutter, ring: tuple[float, float], deep: float, total: float) -> float:
    """Return how far a mill may go down a turn, mm.

    As far as along a wall where all of the depth at once would not be too much for it; else half as
    deep as in a slot, for where it has come round it stands a turn lower than where it began. Where
    its middle, which may not cut, meets metal, at a gentle slope.
    """
    radius, before = ring
    width = radius + mill.radius - before
    drop = min(total, FINISH_DEPTH_SHARE * mill.diameter)
    if width * total > SIDE_MARGIN * deep * mill.diameter:
        drop = deep / 2
    if radius + mill.radius / 2 > before:
        drop = min(drop, 2 * math.pi * radius * math.tan(math.radians(RAMP_DEG)))
    return drop


def down_a_helix(
    target: Target,
    ring: Ring,
    heights: tuple[float, float],
    cutter: tuple[Cutter, Cutting],
) -> Iterator[Move]:
    """Yield a mill's way from the axis on to a ring, down it turn by turn, round, and back.

    It begins and ends on the axis, at the first height; it goes against the cutter's turn.
    """
    mill, figures = cutter
    (x, y), (top, floor), radius = (target.x, target.y), heights, ring.radius
    feed = edge_feed(figures, mill, radius)
    turns = max(1, math.ceil((top - floor) / ring.drop - 1e-9))
    yield Feed(x + radius, y, top, figures.feed, How(makes="size", what="out to the ring, in air"))
    for turn in range(1, turns + 1):
        z = floor if turn == turns else top + (floor - top) * turn / turns
        how = How(makes="size", what="down a helix")
        yield Arc(x + radius, y, z, x, y, clockwise=True, feed=feed, how=how)
    yield Arc(
        x + radius, y, floor, x, y, clockwise=True, feed=feed, how=How(makes="size", what="round")
    )
    yield Feed(x, y, floor, figures.feed, How(makes="size", what="back to the middle"))
    yield Rapid(x, y, top)
