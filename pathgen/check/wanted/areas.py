"""The plane regions of an area at its limits: what must be cleared, and what may be."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias, assert_never

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.legs import CHORD_ERROR, FEED, Floats, Mask
from pathgen.check.wanted.outline import FAR
from pathgen.job.areas import (
    Bridge,
    Facing,
    Free,
    Outside,
    Pocket,
    Rectangular,
    Round,
    Step,
    contour_with,
)
from pathgen.job.contour import Contour, heading_at
from pathgen.job.job import Area
from pathgen.job.sizes import Size

if TYPE_CHECKING:
    from numpy.typing import NDArray

RING = 0.5  # round a part that is cut out, so wide a ring must be cleared at least, mm
INTO = 0.5  # a bridge is looked at from so far within the part, mm,
BRIDGED = 60.0  # to further out than any cut round a part is wide, mm
MANY = 1000  # legs from which on it is worth while to tell apart those that stay well within:
SHORT = 0.25  # of the radius; so long at most, and farther than that and the radius from the edge
MITRE = 20.0  # sharp corners stay sharp when a region is grown


Lines: TypeAlias = "NDArray[np.object_]"


def low(size: Size) -> float:
    """Return the lower limit of a size, mm."""
    return size.low


def high(size: Size) -> float:
    """Return the upper limit of a size, mm."""
    return size.high


def region_of(contour: Contour) -> BaseGeometry:
    """Return what a contour encloses, its arcs in chords within `CHORD_ERROR`."""
    return shapely.Polygon(contour.points(CHORD_ERROR))


def grown_by(region: BaseGeometry, distance: float) -> BaseGeometry:
    """Return a region with its walls moved out, or in where the distance is below 0, mm."""
    if distance == 0:
        return region
    moved: BaseGeometry = region.buffer(
        distance, join_style="mitre", mitre_limit=MITRE, quad_segs=64
    )
    return moved


def lines_of(starts: Floats, ends: Floats) -> Lines:
    """Return legs, from (n, 2) to (n, 2), as lines."""
    return np.asarray(shapely.linestrings(np.stack([starts, ends], axis=1)))


def come_within(region: BaseGeometry, starts: Floats, ends: Floats, distance: Floats) -> Mask:
    """Return which legs, from (n, 2) to (n, 2), come within distances, (n,), of a region."""
    shapely.prepare(region)
    near: Mask = np.asarray(shapely.contains_xy(region, *ends.T))  # quicker than of a line
    rest = np.flatnonzero(~near)
    near[rest] = _lines_within(region, lines_of(starts[rest], ends[rest]), distance[rest])
    return near


def _lines_within(region: BaseGeometry, lines: Lines, distance: Floats) -> Mask:
    """Return which lines, (n,), come within distances, (n,), of a region."""
    shapely.prepare(region)
    near: Mask = np.zeros(len(lines), dtype=np.bool_)
    for far in np.unique(distance).tolist():  # one a cutter
        rows = distance == far
        near[rows] = shapely.dwithin(region, lines[rows], far)
    return near


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AreaOutline:
    """A region in which a cutter may cut, as the rule of what lies outside asks for it."""

    region: BaseGeometry

    def reach(self, starts: Floats, ends: Floats, radius: Floats) -> Floats:
        """Return how far legs' cutters reach beyond the region, (n,), mm; minus within.

        Args:
            starts: where the legs begin, (n, 2), mm; nan where it is not known.
            ends: where they end.
            radius: of the cutters, (n,).
        """
        starts = np.where(np.isnan(starts), ends, starts)
        beyond: Floats = np.full(len(starts), -np.inf)
        rows = np.flatnonzero(~self._well_within(starts, ends, radius))
        beyond[rows] = self._reach(lines_of(starts[rows], ends[rows]), radius[rows])
        return beyond

    def _well_within(self, starts: Floats, ends: Floats, radius: Floats) -> Mask:
        """Return which legs surely keep their cutter off the edge: short ones with both ends so."""
        within: Mask = np.zeros(len(starts), dtype=np.bool_)
        if len(starts) < MANY:
            return within
        short = np.hypot(*(ends - starts).T) <= SHORT * radius
        for each in np.unique(radius[short]).tolist():  # one a cutter
            rows = np.flatnonzero(short & (radius == each))
            inner = self.region.buffer(-(1 + SHORT) * each - NOISE)
            shapely.prepare(inner)
            within[rows] = shapely.contains_xy(inner, *starts[rows].T)
            within[rows] &= shapely.contains_xy(inner, *ends[rows].T)
        return within

    def _reach(self, lines: Lines, radius: Floats) -> Floats:
        """Return how far the cutters reach beyond the region as they go along lines, (n,), mm."""
        shapely.prepare(self.region)
        edge = self.region.boundary
        inside = shapely.covers(self.region, lines)
        near = ~inside | _lines_within(edge, lines, radius)
        away = np.full(len(lines), np.inf)  # those that stay well within are asked no further
        away[near] = shapely.distance(edge, lines[near])
        beyond: Floats = np.where(inside, radius - away, radius + away + CHORD_ERROR)
        return beyond


def nominal_region(area: Area, context: Context) -> BaseGeometry:
    """Return what is to be cleared at the nominal sizes, in plan."""
    match area:
        case Pocket():
            islands = [region_of(island) for island in area.islands]
            return region_of(area.contour).difference(shapely.union_all(islands))
        case Outside():
            return world(context).difference(region_of(area.contour))
        case Step():
            return _strips(area, context, lambda size: size.nominal)
        case Facing():
            return world(context)
        case _:
            assert_never(area)


def most_region(area: Area, context: Context) -> BaseGeometry:
    """Return what may be cleared at most, where the area should lie."""
    match area:
        case Pocket():
            islands = [
                grown_by(region_of(island), -_of_islands(area, high)) for island in area.islands
            ]
            return _pocket(area, high).difference(shapely.union_all(islands))
        case Outside():
            return outside_at(area, context, high)
        case Step():
            return _strips(area, context, high)
        case Facing():
            return world(context)
        case _:
            assert_never(area)


def least_region(area: Area, context: Context) -> BaseGeometry:
    """Return what must be cleared at least, where the area should lie."""
    plan = context.metal.plan
    match area:
        case Pocket():
            islands = [
                grown_by(region_of(island), -_of_islands(area, low)) for island in area.islands
            ]
            region = _pocket(area, low).difference(shapely.union_all(islands))
        case Outside():
            part = grown_by(region_of(area.contour), -area.departure.low)
            whole = plan if area.cleared else grown_by(part, RING)
            region = whole.difference(part)
        case Step():
            region = _strips(area, context, low)
        case Facing():
            region = plan
        case _:
            assert_never(area)
    return region.intersection(plan)


def outside_at(outside: Outside, context: Context, pick: Callable[[Size], float]) -> BaseGeometry:
    """Return all that lies outside a part at one of its limits, far beyond the blank too."""
    part = grown_by(region_of(outside.contour), -pick(outside.departure))
    return world(context).difference(part)


def _pocket(pocket: Pocket, pick: Callable[[Size], float]) -> BaseGeometry:
    """Return a pocket at one of its limits, without its islands."""
    match pocket.shape:
        case Round():
            corner = 0.0
        case Rectangular() as shape:
            corner = shape.corner_low if pick is high else shape.corner_high
        case Free(departure=departure):
            return grown_by(region_of(pocket.contour), pick(departure))
        case _:
            assert_never(pocket.shape)
    contour = contour_with(pocket, pick, corner)
    return region_of(pocket.contour if contour is None else contour)


def _of_islands(pocket: Pocket, pick: Callable[[Size], float]) -> float:
    return 0.0 if pocket.island_departure is None else pick(pocket.island_departure)


def _strips(step: Step, context: Context, pick: Callable[[Size], float]) -> BaseGeometry:
    """Return the strips along the edges, running on beyond the blank."""
    (x0, y0, _), (x1, y1, _) = context.box
    width = pick(step.width)
    boxes = {
        "left": (x0 - FAR, y0 - FAR, x0 + width, y1 + FAR),
        "right": (x1 - width, y0 - FAR, x1 + FAR, y1 + FAR),
        "front": (x0 - FAR, y0 - FAR, x1 + FAR, y0 + width),
        "back": (x0 - FAR, y1 - width, x1 + FAR, y1 + FAR),
    }
    return shapely.union_all([shapely.box(*boxes[edge]) for edge in step.edges])


def world(context: Context) -> BaseGeometry:
    """Return the blank seen from above and far beyond it."""
    (x0, y0, _), (x1, y1, _) = context.box
    box: BaseGeometry = shapely.box(x0 - FAR, y0 - FAR, x1 + FAR, y1 + FAR)
    return box


def floors(area: Area, context: Context) -> tuple[float, float]:
    """Return between which heights the floor has to lie, z: (-inf, underside) when through."""
    under, top = context.box[0][2], context.box[1][2]
    if isinstance(area, Facing):
        return under + area.thickness.low, under + area.thickness.high
    if area.depth is None:
        return -math.inf, under
    return top - area.depth.high, top - area.depth.low


def bridge_zone(outside: Outside, bridge: Bridge, width: float) -> BaseGeometry:
    """Return the strip outside the part that a bridge of a width goes across; mm."""
    x, y = bridge.at
    heading = heading_at(outside.contour, bridge.at)
    along = (math.cos(heading) * width / 2, math.sin(heading) * width / 2)
    out = (math.sin(heading), -math.cos(heading))  # the part lies to the left
    corners = [
        (x + side * along[0] + far * out[0], y + side * along[1] + far * out[1])
        for side, far in ((-1, -INTO), (1, -INTO), (1, BRIDGED), (-1, BRIDGED))
    ]
    return shapely.Polygon(corners)


def mill_radius(context: Context, region: BaseGeometry, *, largest: bool) -> float:
    """Return the radius of the smallest, or largest, mill that was fed within a region, mm."""
    legs = context.legs
    fed = np.flatnonzero((legs.kind == FEED) & (legs.tool >= 0) & (legs.low < context.box[1][2]))
    if not len(fed) or region.is_empty:
        return 0.0
    over = shapely.contains_xy(region, legs.end[fed, 0], legs.end[fed, 1])
    mills = [tool.mills for tool in legs.tools]
    fed = fed[over & np.array(mills, dtype=bool)[legs.tool[fed]]]
    if not len(fed):
        return 0.0
    radii = legs.radius[fed]
    return float(radii.max() if largest else radii.min())


def bridged(context: Context, area: Area) -> BaseGeometry:
    """Return where bridges, and what a cutter leaves beside them, may stand."""
    if not isinstance(area, Outside) or not area.bridges:
        return shapely.Polygon()
    reach = 2 * mill_radius(context, most_region(area, context), largest=True)
    return shapely.union_all(
        [bridge_zone(area, bridge, bridge.width + reach + 2 * NOISE) for bridge in area.bridges]
    )
