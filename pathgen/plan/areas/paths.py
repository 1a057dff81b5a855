"""The ways of a mill in an area on a machine that goes along arcs: down, ring by ring, walls."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.moves.moves import Arc, Feed, Move, Rapid
from pathgen.plan.areas.along import Clearing, Spot, along, start_of
from pathgen.plan.areas.corners import corner_share, in_metal_deg, ring_slowed
from pathgen.plan.areas.rings import Node, beginning_at, out_to

RAMP_DEG = 3.0  # how steep a mill goes down along its way (common practice, no source)
HELIX_SHARE = 0.4  # of the diameter: the radius of a helix down, so that no core is left
LEAST_HELIX = 0.3  # of the diameter: a smaller one leaves a mill's uncut centre standing
RAMP_OFF = 0.05  # mm that a ramp may lie off its ring: the allowance is left all the same
SAME = 1e-6


def clear(clearing: Clearing, nodes: tuple[Node, ...]) -> Iterator[Move]:
    """Yield the clearing of each depth, ring by ring from within."""
    count = len(clearing.depths)
    above = 0.0
    for number, z in enumerate(clearing.depths, start=1):
        what = f"depth {number} of {count}"
        for node in nodes:
            yield from _Walk(clearing, above, z, what).of(node)
        above = z


@dataclass(slots=True)
class _Walk:
    """One depth of one place: where the mill stands on its way from ring to ring."""

    clearing: Clearing
    above: float  # z of what is cleared so far
    z: float
    what: str
    at: Spot | None = None

    def of(self, node: Node) -> Iterator[Move]:
        """Yield the way through all rings within a node, then its own, and up."""
        yield from self._node(node)
        yield from self._up()

    def _node(self, node: Node) -> Iterator[Move]:
        for row, inner in enumerate(node.inner):
            if row:
                yield from self._up()
            yield from self._node(inner)
        if not node.inner:
            yield from self._down(node)
        for ring, is_outer in zip(node.rings, (True, *(False,) * len(node.rings)), strict=False):
            yield from self._ring(node, ring, is_outer=is_outer)

    def _up(self) -> Iterator[Move]:
        if self.at is not None:
            yield Rapid(*self.at, self.clearing.clear)
            self.at = None

    def _ring(self, node: Node, ring: shapely.LinearRing, *, is_outer: bool) -> Iterator[Move]:
        """Yield the way to a ring through what is free to cut, and once round it."""
        clearing = self.clearing
        start = self.at or start_of(ring, clearing)
        climb = clearing.climb
        if clearing.core and not node.inner:
            climb = not climb  # most of the metal stands within this ring, not round it
        corners = beginning_at(ring, start, anticlockwise=is_outer == climb)
        link = shapely.LineString([start, corners[0]])
        if self.at is None or not node.reach.covers(link):
            yield from self._up()
            yield from ramp_along(clearing, corners, (self.above, self.z), self.what)
        elif math.dist(start, corners[0]) > SAME:
            yield Feed(*corners[0], self.z, self._feed_out(), clearing.how("to the ring"))
        what = f"{self.what}: ring"
        if is_outer and node.specks:
            yield from along(clearing, out_to(corners, node.specks), self.z, what)
        elif clearing.step > 0 and node.inner:
            left = climb  # what is cleared lies inside the region, on the left of an outer ring
            yield from ring_slowed(clearing, corners, self.z, what, inside_left=left)
        else:
            yield from along(clearing, corners, self.z, what)
        self.at = corners[-1]

    def _feed_out(self) -> float:
        """Return the feed straight out to the next ring: slower, as the cut widens on the way."""
        clearing = self.clearing
        if clearing.step == 0:
            return clearing.figures.feed
        along_deg = in_metal_deg(clearing.step, clearing.cutter.radius)
        share = corner_share(clearing.step, clearing.cutter.radius, along_deg)
        return clearing.figures.feed * share

    # ------------------------------------------------------------ down

    def _down(self, node: Node) -> Iterator[Move]:
        """Yield the way down at the innermost place: a helix where there is room, else a ramp."""
        clearing = self.clearing
        circle = shapely.maximum_inscribed_circle(node.region, tolerance=0.01)
        (x, y), room = circle.coords[0], float(circle.length)
        radius = min(HELIX_SHARE * clearing.cutter.diameter, room)
        if radius < LEAST_HELIX * clearing.cutter.diameter or clearing.entry == "ramp":
            return  # its ring is ramped into
        yield from self._helix((float(x), float(y)), radius)

    def _helix(self, centre: Spot, radius: float) -> Iterator[Move]:
        """Yield a helix down to the depth, and once round at it."""
        clearing = self.clearing
        x, y = centre
        start = (x + radius, y)
        top = clearing.just_above(self.above)
        yield Rapid(*start, clearing.clear, clearing.how(f"{self.what}: over the way down"))
        yield Rapid(*start, top)
        drop = 2 * math.pi * radius * math.tan(math.radians(RAMP_DEG))
        turns = max(1, math.ceil((top - self.z) / drop - 1e-9))
        feed = clearing.figures.plunge
        clockwise = not clearing.climb
        for turn in range(1, turns + 1):
            z = top + (self.z - top) * turn / turns
            how = clearing.how(f"{self.what}: down a helix")
            yield Arc(*start, z, x, y, clockwise=clockwise, feed=feed, how=how)
        how = clearing.how(f"{self.what}: once round")
        yield Arc(*start, self.z, x, y, clockwise=clockwise, feed=feed, how=how)
        self.at = start


def ramp_along(
    clearing: Clearing, corners: Sequence[Spot], heights: tuple[float, float], what: str
) -> Iterator[Move]:
    """Yield the way down along a ring, round and round, at a gentle slope.

    Args:
        clearing: what the way is made with.
        corners: of the ring, back to where it begins.
        heights: z of what is cleared so far, and of the pass.
        what: which pass it is.

    Raises:
        Refusal: the ring is too short to go down along.
    """
    above, z = heights
    top = clearing.just_above(above)
    yield Rapid(*corners[0], clearing.clear, clearing.how(f"{what}: over the way down"))
    yield Rapid(*corners[0], top)
    line = shapely.LineString(corners)
    if line.length < clearing.cutter.diameter / 2 and not clearing.cutter.cuts_at_centre:
        raise Refusal(
            clearing.where,
            f"{clearing.cutter.name} does not cut at its centre and has no room to go down",
            "name a slot drill, or make the area wider",
        )
    low = max([z, *(min(bridge[3], top) for bridge in clearing.bridges)])
    yield from _sloping(clearing, line, (top, low), f"{what}: down a ramp")
    if low > z:  # from the top of the bridges on straight down, away from them
        how = clearing.how(f"{what}: down beside the bridges")
        yield Feed(*corners[0], z, clearing.figures.plunge, how)


def _sloping(
    clearing: Clearing, line: BaseGeometry, heights: tuple[float, float], what: str
) -> Iterator[Move]:
    """Yield the way down along a closed line from one height to another, ending where it began.

    It goes in straights between the line's corners, each a little lower.
    """
    top, bottom = heights
    slope = math.tan(math.radians(RAMP_DEG))
    length = float(line.length)
    if length < SAME:
        x, y = line.coords[0]
        yield Feed(x, y, bottom, clearing.figures.plunge, clearing.how(what))
        return
    rounds = max(1, math.ceil((top - bottom) / slope / length - 1e-9))
    drop = (top - bottom) / rounds
    corners = [(float(x), float(y)) for x, y in _thinned(line).coords]
    so_far, whole = 0.0, _round(corners)
    for turn in range(rounds):
        for before, after in pairwise(corners):
            so_far += math.dist(before, after)
            z = max(top - drop * so_far / whole, bottom)
            if turn == rounds - 1 and after is corners[-1]:
                z = bottom
            yield Feed(*after, z, clearing.figures.plunge, clearing.how(what))


def _thinned(line: BaseGeometry) -> BaseGeometry:
    """Return a line with fewer corners, where a ramp need not be exact."""
    thin: BaseGeometry = line.simplify(RAMP_OFF)
    return thin


def _round(corners: Sequence[Spot]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(corners))
