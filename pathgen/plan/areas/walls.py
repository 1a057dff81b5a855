"""The last cut along each wall of an area: on to it and off it by an arc, depth by depth."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.moves.moves import Arc, Feed, Move, Rapid
from pathgen.plan.areas.along import Clearing, Spot, along, start_of
from pathgen.plan.areas.rings import beginning_at, moved_in
from pathgen.plan.holes.circling import edge_feed

SHARP_DEG = 30.0  # a corner of the way that turns more is sharp
LEAD = 2.0  # mm: the radius of the arc on to a wall at most


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


def widest_finish(region: BaseGeometry, radius: float, allowance: float) -> float:
    """Return how wide the last cut along the walls is, mm, averaged over a radius of its way.

    That is the allowance, but for sharp corners, which the roughing could not get as far into.

    Args:
        region: that is cleared.
        radius: of the cutter, mm.
        allowance: left on each wall by the roughing, mm.
    """
    centre = moved_in(region, radius)
    cleared = moved_in(moved_in(region, radius + allowance), -radius)
    widest = allowance
    for part in shapely.get_parts(centre):
        for ring in (part.exterior, *part.interiors):
            for corner in _sharp(ring):
                way = ring.intersection(corner.buffer(radius / 2))
                cut = way.buffer(radius).intersection(region).difference(cleared)
                widest = max(widest, float(cut.area) / radius)
    return widest


def _sharp(ring: shapely.LinearRing) -> list[shapely.Point]:
    """Return the corners at which a ring turns sharply."""
    places = shapely.get_coordinates(ring)[:-1]
    along = np.roll(places, -1, axis=0) - places
    heading = np.degrees(np.arctan2(along[:, 1], along[:, 0]))
    turn = np.abs((heading - np.roll(heading, 1) + 180) % 360 - 180)
    return [shapely.Point(place) for place in places[turn > SHARP_DEG]]


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
    yield Rapid(*start, clearing.just_above(above))
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
    """Return the quarter turn from a place to another about a centre, to a wall outside it."""
    turn = (start[0] - centre[0]) * (end[1] - centre[1]) - (start[1] - centre[1]) * (
        end[0] - centre[0]
    )
    return Arc(
        *end,
        z,
        *centre,
        clockwise=turn < 0,
        feed=edge_feed(clearing.figures, clearing.cutter, math.dist(start, centre)),
        how=clearing.how(what),
    )
