"""The ways of a mill in an area on a machine that goes along arcs: down, ring by ring, walls."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from pathgen.input.where import Refusal, Where
from pathgen.moves.moves import Arc, Feed, How, Move, Rapid
from pathgen.plan.curves import Stretch, stretches
from pathgen.plan.cutting import Cutting
from pathgen.plan.rings import Node, beginning_at
from pathgen.shop.cutters import Cutter

Spot = tuple[float, float]
RAMP_DEG = 3.0  # how steep a mill goes down along its way (common practice, no source)
HELIX_SHARE = 0.4  # of the diameter: the radius of a helix down, so that no core is left
LEAST_HELIX = 0.3  # of the diameter: a smaller one leaves a mill's uncut centre standing
ABOVE = 0.5  # mm above the last depth down to which a mill goes in the air
LEAD = 2.0  # mm: the radius of the arc on to a wall at most
SLOWEST = 0.25  # of the feed, on a tight arc
SAME = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearing:
    """What a mill's way in an area is made with; mm."""

    cutter: Cutter
    figures: Cutting
    depths: tuple[float, ...]  # z of each pass, falling
    clear: float
    climb: bool
    entry: str | None  # what the job asks for: "helix", "ramp"
    where: Where
    bridges: tuple[tuple[float, float, float, float], ...] = ()  # x, y, half width, z of the top

    def how(self, what: str) -> How:
        """Return what a cutting move carries."""
        return How(makes="size", what=what)


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
        corners = beginning_at(ring, start, anticlockwise=is_outer == clearing.climb)
        link = shapely.LineString([start, corners[0]])
        reachable = node.region.buffer(SAME)
        if self.at is None or not reachable.covers(link):
            yield from self._up()
            yield from self._ramp(corners)
        elif math.dist(start, corners[0]) > SAME:
            feed = Feed(*corners[0], self.z, clearing.figures.feed, clearing.how("to the ring"))
            yield feed
        yield from along(clearing, corners, self.z, f"{self.what}: ring")
        self.at = corners[-1]

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
        top = self.above + ABOVE
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

    def _ramp(self, corners: Sequence[Spot]) -> Iterator[Move]:
        """Yield the way down along a ring, round and round, at a gentle slope.

        Raises:
            Refusal: the ring is too short to go down along.
        """
        clearing = self.clearing
        top = self.above + ABOVE
        yield Rapid(*corners[0], clearing.clear, clearing.how(f"{self.what}: over the way down"))
        yield Rapid(*corners[0], top)
        line = shapely.LineString(corners)
        if line.length < clearing.cutter.diameter / 2 and not clearing.cutter.cuts_at_centre:
            raise Refusal(
                clearing.where,
                f"{clearing.cutter.name} does not cut at its centre and has no room to go down",
                "name a slot drill, or make the area wider",
            )
        low = max([self.z, *(min(bridge[3], top) for bridge in clearing.bridges)])
        yield from _sloping(clearing, line, (top, low), f"{self.what}: down a ramp")
        if low > self.z:  # from the top of the bridges on straight down, away from them
            how = clearing.how(f"{self.what}: down beside the bridges")
            yield Feed(*corners[0], self.z, clearing.figures.plunge, how)


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
    so_far = 0.0
    for turn in range(rounds):
        for before, after in pairwise(corners):
            so_far += math.dist(before, after)
            z = max(top - drop * so_far / _round(corners), bottom)
            if turn == rounds - 1 and after is corners[-1]:
                z = bottom
            yield Feed(*after, z, clearing.figures.plunge, clearing.how(what))


def _thinned(line: BaseGeometry) -> BaseGeometry:
    """Return a line with fewer corners, where a ramp need not be exact."""
    thin: BaseGeometry = line.simplify(0.002)
    return thin


def _round(corners: Sequence[Spot]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(corners))


# ---------------------------------------------------------------- along a line


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
    feed = clearing.figures.feed
    if stretch.centre is None:
        return Feed(*stretch.to, z, feed, clearing.how(what))
    x, y = stretch.centre
    radius = math.dist(at, stretch.centre)
    feed *= max(SLOWEST, radius / (radius + clearing.cutter.radius))
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


# ---------------------------------------------------------------- walls


def walls(clearing: Clearing, centre: BaseGeometry, is_outer: bool) -> Iterator[Move]:  # noqa: FBT001
    """Yield the last cut along each wall, on to it and off it by an arc.

    Args:
        clearing: what the way is made with.
        centre: where the cutter's centre may be when it touches the walls.
        is_outer: whether the outer edge is a wall, and not only those round islands or the part.
    """
    for part in shapely.get_parts(centre):
        rings = [(part.exterior, True)] if is_outer else []
        rings.extend((ring, False) for ring in part.interiors)
        for ring, outer in rings:
            yield from _wall(clearing, part, ring, is_outer=outer)


def _wall(
    clearing: Clearing, part: shapely.Polygon, ring: shapely.LinearRing, *, is_outer: bool
) -> Iterator[Move]:
    """Yield the cuts along one wall, depth by depth."""
    anticlockwise = is_outer == clearing.climb
    corners = beginning_at(ring, start_of(ring, clearing), anticlockwise=anticlockwise)
    nxt = corners[1]
    heading = math.atan2(nxt[1] - corners[0][1], nxt[0] - corners[0][0])
    # Where the cutter may be lies to the left of an anticlockwise outer ring, and so on.
    side = 1.0 if anticlockwise == is_outer else -1.0
    into = heading + side * math.pi / 2
    lead = _lead(part, corners[0], into, clearing)
    count = len(clearing.depths)
    before = 0.0
    for number, z in enumerate(clearing.depths, start=1):
        what = f"wall, {number} of {count}" if count > 1 else "wall"
        yield from _lead_on(clearing, (corners[0], heading, into, lead), (before, z), what)
        yield from along(clearing, corners, z, what)
        yield from _lead_off(clearing, (corners[0], heading, into, lead), z)
        before = z


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


def _lead(part: shapely.Polygon, at: Spot, into: float, clearing: Clearing) -> float:
    """Return the radius of the arc on to a wall that there is room for, mm; 0 for none."""
    for radius in (LEAD, LEAD / 2, LEAD / 4):
        centre = (at[0] + radius * math.cos(into), at[1] + radius * math.sin(into))
        disc = shapely.Point(centre).buffer(radius * 0.98)
        if part.covers(disc) and radius < clearing.cutter.diameter:
            return radius
    return 0.0


def _lead_on(
    clearing: Clearing,
    where: tuple[Spot, float, float, float],
    heights: tuple[float, float],
    what: str,
) -> Iterator[Move]:
    """Yield the way down in what is cleared, and by a quarter turn on to the wall."""
    at, heading, into, lead = where
    above, z = heights
    start = _lead_place(at, heading, into, lead, sign=-1)
    yield Rapid(*start, clearing.clear, clearing.how(f"{what}: over the start"))
    yield Rapid(*start, above + ABOVE)
    yield Feed(*start, z, clearing.figures.plunge, clearing.how(f"{what}: down"))
    if lead > 0:
        centre = (at[0] + lead * math.cos(into), at[1] + lead * math.sin(into))
        yield _quarter(clearing, start, at, centre, z, f"{what}: on to it")


def _lead_off(
    clearing: Clearing, where: tuple[Spot, float, float, float], z: float
) -> Iterator[Move]:
    """Yield the quarter turn off the wall, and up."""
    at, heading, into, lead = where
    end = _lead_place(at, heading, into, lead, sign=1)
    if lead > 0:
        centre = (at[0] + lead * math.cos(into), at[1] + lead * math.sin(into))
        yield _quarter(clearing, at, end, centre, z, "off the wall")
    yield Rapid(*end, clearing.clear)


def _lead_place(at: Spot, heading: float, into: float, lead: float, *, sign: int) -> Spot:
    """Return where the arc on to a wall begins (sign -1), or that off it ends (sign 1)."""
    return (
        at[0] + lead * (math.cos(into) + sign * math.cos(heading)),
        at[1] + lead * (math.sin(into) + sign * math.sin(heading)),
    )


def _quarter(clearing: Clearing, start: Spot, end: Spot, centre: Spot, z: float, what: str) -> Arc:
    """Return the quarter turn from a place to another about a centre."""
    turn = (start[0] - centre[0]) * (end[1] - centre[1]) - (start[1] - centre[1]) * (
        end[0] - centre[0]
    )
    return Arc(
        *end,
        z,
        *centre,
        clockwise=turn < 0,
        feed=clearing.figures.feed,
        how=clearing.how(what),
    )
