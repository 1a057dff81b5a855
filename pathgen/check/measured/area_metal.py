"""The metal about an area: what is cleared of it at any height, and how far its walls lie off."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.legs import CHORD_ERROR
from pathgen.check.metal.sweeps import SAME
from pathgen.check.wanted.areas import (
    grown_by,
    most_region,
    nominal_region,
    region_of,
)
from pathgen.check.wanted.chamfered import under_chamfers
from pathgen.job.areas import Outside, Pocket
from pathgen.job.job import Area

SHRUNK = 0.02  # the floor is looked at this far from its walls, mm
AROUND = 5.0  # mm beyond its walls within which metal cut away is taken for the area's
NOTHING: BaseGeometry = shapely.Polygon()


@dataclass(slots=True, eq=False)
class Measuring:
    """One area in the metal left."""

    context: Context
    area: Area
    top: float = field(init=False)  # just under the top face, z
    nominal: BaseGeometry = field(init=False)
    ground: BaseGeometry = field(init=False)  # the blank but for other features
    gone: BaseGeometry = field(
        init=False, default_factory=shapely.Polygon
    )  # came loose, lifted out

    def __post_init__(self) -> None:
        self.top = under_chamfers(self.context, self.area) - 2 * SAME
        self.nominal = nominal_region(self.area, self.context)
        plan = self.context.metal.plan
        others = [
            most_region(each, self.context)
            for each in self.context.setup.areas
            if each is not self.area and not isinstance(each, Outside)
        ]
        self.ground = plan.difference(shapely.union_all(others)) if others else plan

    def cleared(self, level: float, within: BaseGeometry) -> BaseGeometry:
        """Return what is cleared of a region just above a level."""
        return within.difference(self.metal(level, within))

    def metal(self, level: float, within: BaseGeometry) -> BaseGeometry:
        """Return the metal in a region just above a level."""
        found: BaseGeometry = self.context.metal.metal_in(within.difference(self.gone), level)
        return found

    # ------------------------------------------------------------ floor

    def floor(self, least: BaseGeometry) -> tuple[float, float]:
        """Return the lowest place cut and the highest metal of the floor, z."""
        context = self.context
        inner = grown_by(least, -SHRUNK).intersection(context.metal.plan)
        under, top = context.box[0][2], context.box[1][2]
        if inner.area < SHRUNK**2:
            return top, top
        levels = context.metal.levels_near(inner, under)
        whole = inner.area - SHRUNK**2
        # What was cut from above leaves the less metal the higher one looks.
        lowest = bisect_left(levels, x=True, key=lambda z: self.metal(z, inner).area < whole)
        highest = bisect_left(
            levels, x=True, lo=lowest, key=lambda z: self.metal(z, inner).area < SHRUNK**2
        )
        return [*levels, top][lowest], [*levels, top][highest]

    # ------------------------------------------------------------ walls

    @property
    def islands(self) -> BaseGeometry:
        """Return a pocket's islands with what lies near to them, where its walls are not."""
        if not isinstance(self.area, Pocket):
            return shapely.Polygon()
        near = AROUND / 10
        return shapely.union_all([grown_by(region_of(each), near) for each in self.area.islands])

    def round(self, pocket: Pocket, level: float) -> tuple[float, float, float, float] | None:
        """Return centre, least and greatest diameter of what is cleared about a round pocket."""
        window = grown_by(region_of(pocket.contour), AROUND).intersection(self.ground)
        parts = shapely.get_parts(self.cleared(level, window))
        part = max(parts, key=lambda each: float(each.area), default=None)
        if part is None or part.area < NOISE:
            return None
        ring = shapely.Polygon(part.exterior)
        centre = ring.centroid
        corners = shapely.points(shapely.get_coordinates(ring.exterior))
        most = 2 * float(shapely.distance(corners, centre).max())
        least = 2 * float(ring.exterior.distance(centre)) + 2 * CHORD_ERROR
        return centre.x, centre.y, min(least, most), most

    def span(self, axis: int, level: float, corner: float) -> tuple[float, float, float, float]:
        """Return the outermost cut and the innermost metal of both walls across an axis, mm.

        Args:
            axis: 0 for the walls at the left and right, 1 for front and back.
            level: down to which the metal is looked at, z.
            corner: how far from the corners the walls are straight, mm.
        """
        box = self.area.box
        across = 1 - axis
        first, last = box[across] + corner, box[across + 2] - corner
        middle = (box[axis] + box[axis + 2]) / 2
        cut, metal = [], []
        for side in (0, 1):
            far = (box[axis] - AROUND, middle) if side == 0 else (middle, box[axis + 2] + AROUND)
            strip = box_along(axis, far, (first, last)).intersection(self.ground)
            strip = strip.difference(self.islands)
            which = axis + 2 * side
            cleared = near_parts(self.cleared(self.top, strip), self.nominal)
            cut.append(cleared.bounds[which] if not cleared.is_empty else middle)
            standing = self.metal(level, strip)
            inner = axis + 2 * (1 - side)
            metal.append(standing.bounds[inner] if not standing.is_empty else cut[-1])
        return cut[0], cut[1], metal[0], metal[1]

    def departure(
        self, nominal: BaseGeometry, level: float, judged: BaseGeometry, filed: BaseGeometry
    ) -> tuple[float, float]:
        """Return how far walls lie off where they should: least (metal left) and most (cut away).

        Args:
            nominal: what is to be cleared, at nominal size.
            level: down to which the metal is looked at, z.
            judged: the region about these walls.
            filed: where metal may stay, for a file to take off.
        """
        edge = nominal.boundary
        near = judged.intersection(self.ground)
        # A hole or a slot beside a wall is no part of it, however near.
        over = near_parts(self.cleared(self.top, near), nominal).difference(nominal)
        standing = self.metal(level, near.intersection(nominal).difference(filed))
        return -furthest(standing, edge), furthest(over, edge)


def near_parts(region: BaseGeometry, feature: BaseGeometry) -> BaseGeometry:
    """Return the parts of a region that meet a feature."""
    parts = shapely.get_parts(region)
    return shapely.union_all(parts[shapely.intersects(parts, feature)])


def furthest(region: BaseGeometry, edge: BaseGeometry) -> float:
    """Return how far a region reaches from an edge, mm; 0 when it is empty."""
    if region.area < NOISE**2:
        return 0.0
    corners = shapely.points(shapely.get_coordinates(region))
    return float(shapely.distance(corners, edge).max())


def box_along(axis: int, along: tuple[float, float], across: tuple[float, float]) -> BaseGeometry:
    """Return the box between two places along an axis and two across it, mm."""
    corners = (
        (along[0], across[0], along[1], across[1])
        if axis == 0
        else (across[0], along[0], across[1], along[1])
    )
    box: BaseGeometry = shapely.box(*corners)
    return box
