"""Along a line in an area: straights and arcs at a depth, lifted over bridges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.ops import substring

from pathgen.input.where import Where
from pathgen.moves.moves import Arc, Feed, How, Move
from pathgen.plan.areas.curves import Stretch, stretches
from pathgen.plan.cutting import Cutting
from pathgen.plan.heights import just_above
from pathgen.plan.holes.circling import edge_feed
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearing:
    """What a mill's way in an area is made with; mm."""

    cutter: Cutter
    figures: Cutting
    machine: Machine
    depths: tuple[float, ...]  # z of each pass, falling
    clear: float
    climb: bool
    entry: str | None  # what the job asks for: "helix", "ramp"
    where: Where
    bridges: tuple[tuple[float, float, float, float], ...] = ()  # x, y, half width, z of the top
    step: float = 0.0  # from ring to ring; 0: corners are not slowed for
    core: bool = False  # what lies within the innermost rings stands: a part, a chain's middle

    def just_above(self, cleared: float) -> float:
        """Return down to which z the mill may go fast where all is cut to a height, mm."""
        return min(just_above(self.machine, cleared), self.clear)

    def how(self, what: str) -> How:
        """Return what a cutting move carries."""
        return How(makes="size", what=what)


def along(clearing: Clearing, corners: Sequence[Spot], z: float, what: str) -> Iterator[Move]:
    """Yield the way along corners at a depth, up and over bridges where there are any."""
    if not any(top > z for *_, top in clearing.bridges):
        at = corners[0]
        for stretch in stretches(corners):
            yield _move(clearing, at, stretch, z, what)
            at = stretch.to
        return
    yield from _over_bridges(clearing, corners, z, what)


def _move(clearing: Clearing, at: Spot, stretch: Stretch, z: float, what: str) -> Move:
    """Return the move along a stretch, its feed that of the cutting edge at a wall within."""
    if stretch.centre is None:
        return Feed(*stretch.to, z, clearing.figures.feed, clearing.how(what))
    x, y = stretch.centre
    feed = edge_feed(clearing.figures, clearing.cutter, math.dist(at, stretch.centre))
    return Arc(*stretch.to, z, x, y, clockwise=stretch.clockwise, feed=feed, how=clearing.how(what))


def _over_bridges(
    clearing: Clearing, corners: Sequence[Spot], z: float, what: str
) -> Iterator[Move]:
    """Yield the way along corners, lifted over each bridge that stands above the depth."""
    line = shapely.LineString(corners)
    lifts = []
    for x, y, half, top in clearing.bridges:
        if top <= z:
            continue
        reach = half + clearing.cutter.radius
        middle = float(shapely.line_locate_point(line, shapely.Point(x, y)))
        lifts.append((middle - reach, middle + reach, top))
    for first, last, height in _pieces(lifts, float(line.length), z):
        part = substring(line, first, last)
        places = [(float(px), float(py)) for px, py in part.coords]
        if len(places) < 2:
            continue
        words = f"{what}, over a bridge" if height > z else what
        yield Feed(*places[0], height, clearing.figures.plunge, clearing.how(words))
        at = places[0]
        for stretch in stretches(places):
            yield _move(clearing, at, stretch, height, words)
            at = stretch.to


def _pieces(
    lifts: Sequence[tuple[float, float, float]], length: float, z: float
) -> Iterator[tuple[float, float, float]]:
    """Yield the pieces of a closed way: from, to, and the height to go at; mm along it."""
    spans = []
    for first, last, top in lifts:
        for shift in (-length, 0.0, length):
            low, high = max(first + shift, 0.0), min(last + shift, length)
            if high > low:
                spans.append((low, high, top))
    stops = sorted({0.0, length, *(s for span in spans for s in span[:2])})
    for low, high in pairwise(stops):
        middle = (low + high) / 2
        yield low, high, max([z, *(top for a, b, top in spans if a < middle < b)])


def start_of(ring: shapely.LinearRing, clearing: Clearing) -> Spot:
    """Return where to begin a ring: in its longest straight, where a mark shows least.

    Away from bridges, if there are any.
    """
    corners = [(float(x), float(y)) for x, y in ring.coords]
    pairs = sorted(pairwise(corners), key=lambda pair: -math.dist(*pair))
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pairs]

    def free(place: Spot) -> bool:
        return all(
            math.dist(place, (x, y)) > half + 2 * clearing.cutter.diameter
            for x, y, half, _ in clearing.bridges
        )

    return next((place for place in middles if free(place)), middles[0])
