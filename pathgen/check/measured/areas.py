"""Areas as the moves leave them: floors, walls, corners left, pieces that come loose."""

from __future__ import annotations

from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.measured.area_metal import Measuring
from pathgen.check.measured.area_sizes import area_sizes
from pathgen.check.measured.beside import gone_at, gone_layers
from pathgen.check.measured.concentric import area_off_axis
from pathgen.check.measured.filed import filed_walls, to_file
from pathgen.check.measured.finished import NOISE
from pathgen.check.measured.finished_areas import FinishedArea
from pathgen.check.wanted.areas import (
    bridged,
    floors,
    grown_by,
    least_region,
    low,
    mill_radius,
    most_region,
    outside_at,
)
from pathgen.check.wanted.outline import largest_region
from pathgen.job.areas import Outside, Pocket
from pathgen.job.job import Area

BELOW = 0.02  # mm under the deepest floor, where what is gone is deeper than that
NOTHING: BaseGeometry = shapely.Polygon()


def measure_area(context: Context, area: Area) -> FinishedArea:
    """Return an area as the moves leave it."""
    measuring = Measuring(context, area)
    least = least_region(area, context).difference(_deeper(context, area))
    left = _corners_left(context, area, least)
    least = least.difference(left)
    least = least.difference(bridged(context, area)).difference(to_file(context, area))
    wanted = floors(area, context)[1]
    floor = measuring.floor(least)
    loose = _loose(measuring, area)
    if not loose.is_empty:
        least = least.difference(loose.buffer(NOISE))
        measuring.gone = loose.buffer(NOISE)
        floor = measuring.floor(least)
    level = min(max(wanted, floor[1]), measuring.top)
    finished = FinishedArea(
        area=area,
        least=least,
        most=most_region(area, context),
        floor=floor,
        walls_to=level,
        corners_left=left,
        loose=loose,
        sizes=(),
    )
    off = area_off_axis(context, area)
    sizes = (*area_sizes(measuring, finished), *(() if off is None else (off,)))
    return replace(finished, sizes=sizes)


def _deeper(context: Context, area: Area) -> BaseGeometry:
    """Return where an area has no floor: holes begin in it, or what was gone before is deeper."""
    holes = [h for h in context.setup.holes if h.floor is not None and h.floor.of == area.name]
    regions = [grown_by(largest_region(each), NOISE) for each in holes]
    if not area.through:
        under = floors(area, context)[0] - BELOW
        regions.append(grown_by(gone_at(gone_layers(context), under), NOISE))
    return shapely.union_all(regions)


def _corners_left(context: Context, area: Area, least: BaseGeometry) -> BaseGeometry:
    """Return the metal that stays in corners tighter than the smallest cutter used, if it may."""
    if not isinstance(area, Pocket | Outside) or area.corners != "left":
        return NOTHING
    radius = mill_radius(context, most_region(area, context), largest=False)
    if radius == 0:
        return NOTHING
    if not filed_walls(context, area).is_empty:  # there it stays so far off the walls
        radius += area.file_to_line or 0.0
    whole = least if isinstance(area, Pocket) else outside_at(area, context, low)
    reached = whole.buffer(-radius, quad_segs=64).buffer(radius, quad_segs=64)
    near = context.metal.plan.intersection(whole)
    left: BaseGeometry = near.difference(reached.buffer(2 * NOISE))
    return left if left.area > NOISE**2 else NOTHING


def _loose(measuring: Measuring, area: Area) -> BaseGeometry:
    """Return the metal within a through area that is cut free all round, so that it drops out."""
    if not area.through:
        return NOTHING
    under = measuring.context.box[0][2]
    region = most_region(area, measuring.context)
    metal = shapely.get_parts(measuring.metal(under, measuring.context.metal.plan))
    inside = grown_by(region, NOISE)
    free = [
        part
        for part in metal
        if part.area > NOISE and inside.covers(part) and not isinstance(area, Outside)
    ]
    return shapely.union_all(free) if free else NOTHING
