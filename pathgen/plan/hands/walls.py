"""The last cut down walls along the axes on handles: one straight each, to size."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.moves.moves import AXES, Axis, Feed, How, Move, Rapid, Rule, Term
from pathgen.plan.bench import Bench
from pathgen.plan.cutting import Cutting
from pathgen.plan.heights import just_above

Spot = tuple[float, float]
OFF_A_CORNER = 0.5  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A wall along an axis: how the cutter's centre goes along it; mm."""

    name: str
    start: Spot
    end: Spot
    sums: tuple[tuple[Axis, tuple[Term, ...]], ...]  # of its place across
    start_rules: tuple[Rule, ...] = ()  # how its ends follow what was measured
    end_rules: tuple[Rule, ...] = ()


def off_its_corner(start: Spot, end: Spot) -> Spot:
    """Return where to come down to a wall: a little along it, where the wall before is not touched.

    In the corner the end of the wall before it may stand proud by what the slack varies, which a
    cutter that comes down there fast would meet. What lies between was cut with the wall before.
    """
    length = math.dist(start, end)
    if length < 4 * OFF_A_CORNER:
        return start
    share = OFF_A_CORNER / length
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def on_to_wall(
    wall: Wall, heights: tuple[float, float], figures: Cutting, bench: Bench
) -> Iterator[Move]:
    """Yield the way down to a wall's start, come to from above so that its place is exact.

    Args:
        wall: which.
        heights: down to where all is cut already, and how deep the cut goes, z; mm.
        figures: the feeds.
        bench: the machine it is cut on.
    """
    above, z = heights
    what, rules = wall.name, wall.start_rules
    over = How(makes="size", what=f"{what}: over its start", rules=rules, sums=wall.sums)
    yield Rapid(*wall.start, bench.clear, over)
    if above < 0:
        yield Rapid(*wall.start, just_above(bench.machine, above), How(rules=rules))
    down = How(makes="size", what=f"{what}: down", rules=rules)
    yield Feed(*wall.start, z, figures.plunge, down)


def wall_cut(
    wall: Wall, heights: tuple[float, float], figures: Cutting, bench: Bench
) -> Iterator[Move]:
    """Yield one cut along a wall, and up; as `on_to_wall`."""
    yield from on_to_wall(wall, heights, figures, bench)
    along = How(makes="stop", what=f"{wall.name}: along", rules=wall.end_rules)
    yield Feed(*wall.end, heights[1], figures.feed, along)
    yield Rapid(*wall.end, bench.clear, How(rules=wall.end_rules))


def rules_about(middle: Spot, place: Spot, measure: str) -> tuple[Rule, ...]:
    """Return how a wall's place follows the measurement: half of what was too wide, inwards."""
    return tuple(
        Rule(axis=axis, measure=measure, factor=-0.5 if at > centre else 0.5)
        for axis, at, centre in zip(AXES[:2], place, middle, strict=True)
    )
