"""The outline of a lathe tool from above, in the half plane of z (along) and x (from the axis).

It is given as convex parts, since what a convex outline sweeps in going straight is the hull of its
first and its last place: exact but for the nose, a polygon about it within 0.0005 mm.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import scale
from shapely.geometry import MultiPoint, Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.turning_tools import GROOVING, TurningTool

CORNERS = 64  # of the polygon about a nose: a multiple of 4, so that its extreme places are exact
BAR_BEHIND = 0.5  # mm by which the end of a bar stays behind its point; common practice, no source
ABOUT = 10.0  # mm by which what holds a bar is wider than it, to both sides, at least
MANY = 4096  # sweeps that are kept: most moves are alike in most cases of a sheet
HOLDER = 80.0  # mm that the shank goes on outwards: more than any lathe has


@cache
def outline(tool: TurningTool) -> tuple[Polygon, ...]:
    """Return the convex parts of a tool whose place is 0, 0."""
    if tool.kind in GROOVING:
        blade = box(0.0, 0.0, tool.width, tool.reach)
        return blade, box(0.0, tool.reach, tool.shank, tool.reach + HOLDER)
    if tool.kind == "dishing":  # it looks along the axis, and its shank lies across behind it
        sides = box(tool.nose_radius, 0.0, tool.reach, tool.width)
        nose = MultiPoint([*_about(tool.nose_radius), *sides.exterior.coords]).convex_hull
        middle = tool.nose_radius
        shank = box(tool.reach, middle - tool.shank / 2, tool.reach + tool.shank, middle + HOLDER)
        assert isinstance(nose, Polygon)
        return nose, shank
    if tool.kind == "knurling":  # the wheels stand in the middle of what holds them
        left = (tool.width - tool.shank) / 2
        wheels = box(0.0, 0.0, tool.width, tool.reach)
        return wheels, box(left, tool.reach, left + tool.shank, tool.reach + HOLDER)
    if tool.kind == "threading":  # the point stands in the middle of the shank
        left = tool.nose_radius - tool.shank / 2
        shank = box(left, tool.reach, left + tool.shank, tool.reach + HOLDER)
        return _cutting_end(tool, left), shank
    return _cutting_end(tool), box(0.0, tool.reach, tool.shank, tool.reach + HOLDER)


def _cutting_end(tool: TurningTool, left: float | None = None) -> Polygon:
    """Return the end of a turning tool: its nose between its two edges, up to the shank.

    ``left`` is where its shank begins to the left of its place; None: the edges say how far.
    """
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
    hull = MultiPoint(points).convex_hull.intersection(
        box(-far if left is None else left, 0.0, (left or 0.0) + tool.shank, tool.reach)
    )
    assert isinstance(hull, Polygon)
    return hull


def _about(radius: float) -> list[tuple[float, float]]:
    """Return the corners of a polygon about a nose that touches both of the place's lines."""
    far = radius / math.cos(math.pi / CORNERS)
    angles = [(each + 0.5) * 2 * math.pi / CORNERS for each in range(CORNERS)]
    return [(radius + far * math.cos(a), radius + far * math.sin(a)) for a in angles]


class Parts(NamedTuple):
    """The convex parts of a tool whose place is 0, 0: those that cut, and what is behind them."""

    cutting: tuple[Polygon, ...]
    behind: tuple[Polygon, ...]


@cache
def parts_of(tool: TurningTool | AxialTool) -> Parts:
    """Return the convex parts of a tool; those of a bar reach beyond the axis, where x is below 0.

    What is behind the point of an inside tool is its bar and what holds that.
    """
    if isinstance(tool, AxialTool):
        return _parts_on_axis(tool)
    if not tool.inside:
        end, shank = outline(tool)
        return Parts((end,), (shank,))
    far = -(tool.reach + tool.bar)
    begins, left = BAR_BEHIND, None
    if tool.kind == "inside threading":  # the bar goes on past the middle of the point
        begins = left = tool.nose_radius - tool.end_beyond
    end = (
        box(0.0, -tool.reach, tool.width, 0.0)
        if tool.kind == "recessing"
        else scale(_cutting_end(tool, left), xfact=1.0, yfact=-1.0, origin=(0.0, 0.0))
    )
    holder = box(tool.overhang, far - ABOUT, tool.overhang + HOLDER, ABOUT)
    return Parts((end,), (box(begins, far, tool.overhang, -tool.reach), holder))


def _parts_on_axis(tool: AxialTool) -> Parts:
    """Return the parts of a drill, a centre drill or a reamer, half of them: x from the axis."""
    cutting = [
        Polygon([(low, 0.0), (low, inner), (high, outer), (high, 0.0)])
        for (low, inner), (high, outer) in pairwise(tool.edge)
    ]
    radius = tool.diameter / 2
    cutting.append(box(tool.point_length, 0.0, tool.reach, radius))
    return Parts(
        tuple(part for part in cutting if part.area > 0),
        (box(tool.reach, 0.0, tool.reach + HOLDER, max(radius, tool.shank / 2)),),
    )


class Swept(NamedTuple):
    """What a tool sweeps in a move: its cutting end, the shank behind that, and both."""

    end: BaseGeometry
    shank: BaseGeometry
    whole: BaseGeometry


@lru_cache(MANY)
def swept(
    tool: TurningTool | AxialTool, start: tuple[float, float], end: tuple[float, float]
) -> Swept:
    """Return what a tool sweeps in going straight between two places (z, x), mm.

    What is beyond the axis meets the work, which turns, as if it were on this side of it.
    """
    ends = np.array((start, end))
    cutting, behind = (
        _together([_folded(_hull(corners, ends)) for corners in parts]) for parts in _corners(tool)
    )
    return Swept(cutting, behind, shapely.union_all([cutting, behind]))


@cache
def _corners(tool: TurningTool | AxialTool) -> tuple[tuple[NDArray[np.float64], ...], ...]:
    """Return the corners of what cuts and of what is behind it, (n, 2) a part; z and x, mm."""
    return tuple(
        tuple(shapely.get_coordinates(part)[:-1] for part in parts) for parts in parts_of(tool)
    )


def _hull(corners: NDArray[np.float64], ends: NDArray[np.float64]) -> BaseGeometry:
    """Return what a convex part sweeps from one place to another."""
    every = (corners[np.newaxis, :, :] + ends[:, np.newaxis, :]).reshape(-1, 2)
    hull = shapely.convex_hull(shapely.multipoints(every))
    assert isinstance(hull, BaseGeometry), "one hull of one set of corners"
    return hull


def _together(sweeps: list[BaseGeometry]) -> BaseGeometry:
    """Return the union of what parts sweep."""
    return sweeps[0] if len(sweeps) == 1 else shapely.union_all(sweeps)


def _folded(sweep: BaseGeometry) -> BaseGeometry:
    """Return a sweep with what lies beyond the axis laid over to this side."""
    z, x, far_z, far_x = sweep.bounds
    if x >= 0:
        return sweep
    over = scale(sweep, xfact=1.0, yfact=-1.0, origin=(0.0, 0.0))
    this_side = box(z - 1, 0.0, far_z + 1, max(far_x, -x) + 1)
    return shapely.union_all([sweep.intersection(this_side), over.intersection(this_side)])
