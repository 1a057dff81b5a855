"""The last cut along each wall of an area: on to it and off it by an arc, depth by depth."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.moves.moves import Arc, Feed, Move, Rapid
from pathgen.plan.area_along import Clearing, Spot, along, start_of
from pathgen.plan.rings import beginning_at

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
