"""An area that is cut on handles: what with, and the way from place to place."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.job.areas import Outside, Pocket
from pathgen.moves.moves import Feed, How, Move, Rapid, Rule
from pathgen.plan.areas.region import ALLOWANCE
from pathgen.plan.bench import Bench
from pathgen.plan.cutting import Cutting, slot_depth
from pathgen.plan.hands.bridges import Span, lifted
from pathgen.plan.hands.region import Filing, HandRegion
from pathgen.plan.hands.runs import Run, runs_along
from pathgen.plan.hands.steps import SAME, Stepping
from pathgen.plan.hands.walls import Spot
from pathgen.plan.heights import just_above
from pathgen.shop.cutters import Cutter

SIDE_MARGIN = 0.7  # of a full slot's section: what the last cut takes along a wall at most
MOST_SHARE = 0.15  # of the diameter: what roughing leaves on ridges at most
OVER_FINE = 0.2  # mm that roughing leaves on ridges more than finishing, at least
ROUNDED = 1e-5  # mm
SLIGHT = 0.05  # mm by which a way through what is cleared may rub


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Work:
    """An area, what it is cut with, and where the cutter may go; mm."""

    area: Pocket | Outside
    bench: Bench
    cutter: Cutter
    ground: HandRegion
    filing: Filing | None
    bridges: tuple[Span, ...]

    @property
    def allowance(self) -> float:
        """Return what roughing leaves on walls, beside ridges, mm."""
        return self.area.ways.allowance or ALLOWANCE

    @property
    def left(self) -> float:
        """Return what roughing leaves on walls at most, ridges counted, mm."""
        if self.filing is None:
            return self.allowance
        full = slot_depth(self.bench.machine, self.cutter, self.bench.material)
        wide = SIDE_MARGIN * full * self.cutter.diameter / -self.ground.floor
        least = max(self.filing.most, self.allowance) + OVER_FINE
        return max(least, min(wide, MOST_SHARE * self.cutter.diameter))

    def height_at(self, place: Spot, z: float) -> float:
        """Return how low the cutter may go at a place: to z, or over a bridge."""
        return max([z, *(each.top for each in self.bridges if each.part_within(place, place))])

    def rings(self, centre: BaseGeometry, most: float) -> Iterator[tuple[Run, ...]]:
        """Yield the runs along each wall, with the wall on the left.

        Raises:
            Refusal: a wall bends too tightly for steps.
        """
        turning = self.filing.turning if self.filing else 0.0
        free = centre.buffer(SLIGHT)
        shapely.prepare(free)
        stepping = Stepping(
            radius=self.cutter.radius,
            least=turning,
            most=most - turning,
            free=free,
            walls=self.ground.walls,
        )
        for part in shapely.get_parts(centre):
            rings = [(part.exterior, False)] if self.ground.outer else []
            for ring, way in (*rings, *((ring, True) for ring in part.interiors)):
                try:
                    yield runs_along(ring, stepping, anticlockwise=way)
                except ValueError as error:
                    raise Refusal(
                        self.area.where, str(error), "name a smaller cutter, or grant more to file"
                    ) from error


def along_places(
    work: Work,
    figures: Cutting,
    places: Sequence[Spot],
    z: float,
    words: str,
    rules: tuple[Rule, ...] = (),
) -> Iterator[Move]:
    """Yield the way from place to place at a depth, up and over bridges."""
    at, height = places[0], work.height_at(places[0], z)
    count = len(places) - 1
    for number, (place, level) in enumerate(lifted(places, z, work.bridges), start=1):
        if level != height:
            if level > height:  # above it first, so that its top is come to from above
                yield Rapid(*at, just_above(work.bench.machine, level), How(what="up"))
            over = How(makes="size", what=f"{words}: {'on a bridge' if level > z else 'down'}")
            yield Feed(*at, level, figures.plunge, over)
            height = level
        if math.dist(at, place) < SAME:
            continue
        to = _squared(work, at, place)
        step = f"{words}, {number} of {count}" if count > 1 and not work.bridges else words
        yield Feed(*to, level, figures.feed, How(makes="stop", what=step, rules=rules))
        at = to


def _squared(work: Work, at: Spot, place: Spot) -> Spot:
    """Return a place exactly along an axis from another.

    A step may have ended a little farther from its wall than asked for, by less than a handle is
    ever wound: the way goes on from there.
    """
    least = max(ROUNDED, work.filing.turning - ROUNDED if work.filing else 0.0)
    x, y = (old if abs(new - old) < least else new for old, new in zip(at, place, strict=True))
    return x, y


def told(figures: Cutting, moves: Sequence[Move]) -> Cutting:
    """Return the figures of moves: where all go straight down, the feed is that of going down."""
    feeds = [move.feed for move in moves if isinstance(move, Feed)]
    return replace(figures, feed=max(feeds, default=figures.feed))


def deeper(moves: Sequence[Move]) -> float:
    """Return how far one level of cuts lies below the next above it at most, mm."""
    levels = {move.z for move in moves if isinstance(move, Feed)}
    return max(above - z for above, z in pairwise([0.0, *sorted(levels, reverse=True)]))
