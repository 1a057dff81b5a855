"""The outline of a lathe tool from above, in the half plane of z (along) and x (from the axis).

It is given as convex parts, since what a convex outline sweeps in going straight is the hull of its
first and its last place: exact but for the nose, a polygon about it within 0.0005 mm.
"""

from __future__ import annotations

import math
from functools import cache
from typing import NamedTuple

import shapely
from shapely.geometry import MultiPoint, Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.shop.turning_tools import TurningTool

CORNERS = 64  # of the polygon about a nose: a multiple of 4, so that its extreme places are exact
HOLDER = 80.0  # mm that the shank goes on outwards: more than any lathe has


@cache
def outline(tool: TurningTool) -> tuple[Polygon, ...]:
    """Return the convex parts of a tool whose place is 0, 0."""
    if tool.kind == "parting":
        blade = box(0.0, 0.0, tool.width, tool.reach)
        return blade, box(0.0, tool.reach, tool.shank, tool.reach + HOLDER)
    return _cutting_end(tool), box(0.0, tool.reach, tool.shank, tool.reach + HOLDER)


def _cutting_end(tool: TurningTool) -> Polygon:
    """Return the end of a turning tool: its nose between its two edges, up to the shank."""
    nose = tool.nose_radius
    lead, trail = math.radians(tool.approach_deg), math.radians(tool.back_deg)
    leading = (-math.cos(lead), math.sin(lead))  # along the edges, away from the nose
    trailing = (math.cos(trail), math.sin(trail))
    points = [*_about(nose)] if nose else [(0.0, 0.0)]
    far = 2 * (tool.reach + tool.shank)
    for (along, out), (off_z, off_x) in (
        (leading, (-leading[1], leading[0])),
        (trailing, (trailing[1], -trailing[0])),
    ):
        points.append((nose + nose * off_z + far * along, nose + nose * off_x + far * out))
    hull = MultiPoint(points).convex_hull.intersection(box(-far, 0.0, tool.shank, tool.reach))
    assert isinstance(hull, Polygon)
    return hull


def _about(radius: float) -> list[tuple[float, float]]:
    """Return the corners of a polygon about a nose that touches both of the place's lines."""
    far = radius / math.cos(math.pi / CORNERS)
    angles = [(each + 0.5) * 2 * math.pi / CORNERS for each in range(CORNERS)]
    return [(radius + far * math.cos(a), radius + far * math.sin(a)) for a in angles]


class Swept(NamedTuple):
    """What a tool sweeps in a move: its cutting end, and the shank behind that."""

    end: BaseGeometry
    shank: BaseGeometry

    @property
    def whole(self) -> BaseGeometry:
        """Return both."""
        return shapely.union_all([self.end, self.shank])


def swept(tool: TurningTool, start: tuple[float, float], end: tuple[float, float]) -> Swept:
    """Return what a tool sweeps in going straight between two places (z, x), mm."""
    cutting, shank = (
        shapely.union_all([_moved(part, start), _moved(part, end)]).convex_hull
        for part in outline(tool)
    )
    return Swept(cutting, shank)


def _moved(part: Polygon, to: tuple[float, float]) -> Polygon:
    return Polygon([(z + to[0], x + to[1]) for z, x in part.exterior.coords])
