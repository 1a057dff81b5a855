"""The way that planned or read moves go, reckoned apart from the code under test; lengths in mm."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pathgen.moves.actions import FitCutter, Zero
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item, PlannedSetup
from pathgen.shop.machines import Control

GAP = 0.5  # left above the last bottom on the way back down for the next peck, mm
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Leg:
    """A stretch of the way: fast or not, and points along it."""

    fast: bool
    points: tuple[Point, ...]
    exact: bool = True  # False for the levels of pecks, which hang on a rounded depth

    @property
    def length(self) -> float:
        return sum(math.dist(a, b) for a, b in pairwise(self.points))


def legs(items: Iterable[Item]) -> Iterator[Leg]:
    """Yield the legs of moves, from the first place that is wholly known."""
    at: Point = (math.nan, math.nan, math.nan)
    for item in items:
        if isinstance(item, (FitCutter, Zero)):
            at = (math.nan, math.nan, math.nan)
        for fast, exact, points in steps(item, at):
            if not math.isnan(sum(at)):
                yield Leg(fast, (at, *points), exact)
            at = points[-1]


def steps(item: Item, at: Point) -> Iterator[tuple[bool, bool, tuple[Point, ...]]]:
    """Yield (fast, exact, points) of one item."""
    if isinstance(item, (Rapid, Feed)):
        yield isinstance(item, Rapid), True, ((item.x, item.y, item.z),)
    elif isinstance(item, Arc):
        yield False, True, tuple(along(item, at))
    elif isinstance(item, Drill):
        for fast, z in ups_and_downs(item):
            yield fast, z in (item.clear, item.bottom, item.left_at), ((item.x, item.y, z),)


def ups_and_downs(hole: Drill) -> Iterator[tuple[bool, float]]:
    """Yield the levels of a hole, pecks from its clear plane."""
    yield True, hole.clear
    bottom = hole.clear - hole.peck if hole.peck else hole.bottom
    while bottom > hole.bottom + 1e-9:
        yield False, bottom
        yield True, hole.clear
        yield True, bottom + min(GAP, hole.peck / 2)
        bottom -= hole.peck
    yield False, hole.bottom
    if hole.feed_out:
        yield False, hole.clear
    yield True, hole.left_at


def along(arc: Arc, start: Point) -> Iterator[Point]:
    """Yield points along an arc, a fifth of a degree or so apart, the last at its very end."""
    dx, dy = start[0] - arc.centre_x, start[1] - arc.centre_y
    ex, ey = arc.x - arc.centre_x, arc.y - arc.centre_y
    sense = -1 if arc.clockwise else 1
    turned = math.atan2(sense * (dx * ey - dy * ex), dx * ex + dy * ey) % math.tau
    if math.hypot(arc.x - start[0], arc.y - start[1]) < 1e-9:
        turned = math.tau
    turned += math.tau * arc.turns
    count = max(8, math.ceil(turned / math.radians(0.2)))
    first, last = math.hypot(dx, dy), math.hypot(ex, ey)
    begin = math.atan2(dy, dx)
    for k in range(1, count):
        share = k / count
        radius = first + share * (last - first)
        angle = begin + sense * share * turned
        yield (
            arc.centre_x + radius * math.cos(angle),
            arc.centre_y + radius * math.sin(angle),
            start[2] + share * (arc.z - start[2]),
        )
    yield arc.x, arc.y, arc.z


def resampled(found: Sequence[Leg], count: int) -> list[Point]:
    """Return points at even shares of the whole way."""
    points: list[Point] = []
    for leg in found:  # which may begin elsewhere than the last one ended, after a change of cutter
        points += leg.points[points[-1:] == [leg.points[0]] :]
    lengths = [math.dist(a, b) for a, b in pairwise(points)]
    total = sum(lengths)
    result: list[Point] = []
    done, index = 0.0, 0
    for k in range(count + 1):
        wanted = total * k / count
        while index < len(lengths) - 1 and done + lengths[index] < wanted:
            done += lengths[index]
            index += 1
        share = (wanted - done) / lengths[index] if lengths[index] else 0.0
        a, b = points[index], points[index + 1]
        result.append(tuple(p + min(1.0, share) * (q - p) for p, q in zip(a, b)))  # type: ignore[arg-type]
    return result


def all_items(setup: PlannedSetup) -> list[Item]:
    return [
        *setup.before,
        *(item for each in setup.passes for item in each.items),
        *setup.after,
    ]


def count_of(control: Control) -> float:
    """Return the length of the last decimal, mm."""
    return float((25.4 if control.units == "in" else 1.0) / 10**control.decimals)


def slack_of(leg: Leg, control: Control) -> float:
    """Return by how much the length of a leg may change: by rounding, and as chords of an arc.

    A chord 0.002 mm off an arc of radius r spans sqrt(8 x 0.002 / r) and is shorter by a 24th of
    that cubed times r: in a whole turn by 2 pi / 3 x 0.002 = 0.0042 mm, here in at most three.
    """
    return 4 * count_of(control) + (0.0126 if len(leg.points) > 2 else 0.0) + 1e-6
