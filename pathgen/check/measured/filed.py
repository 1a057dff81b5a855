"""Walls that a person files to a line: what handles may leave on them, as the job grants it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.area_metal import Measuring, furthest
from pathgen.check.measured.finished import NOISE, finished_size
from pathgen.check.measured.finished_areas import FinishedArea
from pathgen.check.metal.legs import CHORD_ERROR
from pathgen.check.wanted.areas import bridged, nominal_region
from pathgen.job.areas import Outside, Pocket, Rectangular
from pathgen.job.contour import Contour, chords
from pathgen.job.job import Area
from pathgen.job.on_table import turned_radius
from pathgen.job.sizes import Size

BESIDE = 3.0  # mm from a filed wall within which metal counts as left on it
ON_OTHERS = 0.1  # mm from a wall along an axis within which metal counts as left on that one
NONE: BaseGeometry = shapely.MultiLineString()


def filed_walls(context: Context, area: Area) -> BaseGeometry:
    """Return the walls of an area that are filed, as lines: those off the axes, cut by handles.

    None on a machine that follows them, where the job grants nothing, and of the outline of a
    rectangular pocket, whose corners have limits of their own.
    """
    if not isinstance(area, Pocket | Outside) or area.file_to_line is None:
        return NONE
    if context.machine.interpolates or turned_radius(context.setup, area) is not None:
        return NONE
    lines = [
        shapely.LineString([start, *chords(start, segment, CHORD_ERROR)])
        for contour in _free_contours(area)
        for start, segment in contour.off_axes()
    ]
    return shapely.line_merge(shapely.union_all(lines)) if lines else NONE


def _free_contours(area: Pocket | Outside) -> Iterator[Contour]:
    if isinstance(area, Outside) or not isinstance(area.shape, Rectangular):
        yield area.contour
    if isinstance(area, Pocket):
        yield from area.islands


def to_file(context: Context, area: Area) -> BaseGeometry:
    """Return where metal may stay beside walls that are filed, as much as the job grants; mm."""
    lines = filed_walls(context, area)
    granted = area.file_to_line if isinstance(area, Pocket | Outside) else None
    if lines.is_empty or granted is None:
        return shapely.Polygon()
    zone: BaseGeometry = lines.buffer(granted + NOISE, quad_segs=32)
    return zone


def size_to_file(measuring: Measuring, finished: FinishedArea) -> Iterator[FinishedSize]:
    """Yield how much is left to be filed off an area's walls, where any is."""
    area, context = finished.area, measuring.context
    lines = filed_walls(context, area)
    if lines.is_empty or not isinstance(area, Pocket | Outside) or area.file_to_line is None:
        return
    wanted = Size(
        nominal=area.file_to_line, low=0.0, high=area.file_to_line, basis="as the job lets be filed"
    )
    near = lines.buffer(BESIDE, cap_style="flat").intersection(measuring.ground)
    near = near.intersection(nominal_region(area, context)).difference(finished.corners_left)
    near = near.difference(bridged(context, area)).difference(_beside_others(area))
    standing = measuring.metal(finished.walls_to, near.difference(finished.loose.buffer(NOISE)))
    inner = lines.difference(shapely.MultiPoint(_ends(lines)).buffer(BESIDE))
    least = float((lines if inner.is_empty else inner).distance(near.difference(standing)))
    found = (least, max(furthest(standing, lines), least))
    doubt = math.sqrt(2) * max(context.run.doubt.setting[:2])
    yield finished_size(area.name, "to file", wanted, found, doubt)


def _beside_others(area: Pocket | Outside) -> BaseGeometry:
    """Return where metal belongs to walls along the axes, which have a size of their own."""
    lines = []
    for contour in _free_contours(area):
        off = {start for start, _ in contour.off_axes()}
        lines += [
            shapely.LineString([start, segment.to])
            for start, segment in contour.legs()
            if start not in off
        ]
    whole: BaseGeometry = shapely.MultiLineString(lines).buffer(ON_OTHERS)
    return whole


def _ends(lines: BaseGeometry) -> list[tuple[float, float]]:
    """Return where walls that are filed end beside others."""
    ends = shapely.get_coordinates(lines.boundary).tolist()
    return [(x, y) for x, y in ends]


def filing_findings(context: Context, finished: FinishedArea) -> Iterator[Finding]:
    """Yield the caution of what is left to be filed, or the finding that it is too much."""
    size = next((each for each in finished.sizes if each.quantity == "to file"), None)
    if size is None:
        return
    found = f"{size.least:.2f} to {size.most:.2f} mm"
    if size.ok:
        yield context.finding_by(
            "to file",
            f"{found} stay in steps on curved and slanted walls of {size.feature!r}, of the "
            f"{size.wanted.high:.2f} mm that the job lets be filed",
            None,
            f"file {size.feature!r} to its scribed line and measure",
            amount=size.most,
            severity="caution",
        )
    else:
        yield context.finding_by(
            "to file",
            f"{found} stay on curved and slanted walls of {size.feature!r}, where the job lets "
            f"{size.wanted.high:.2f} mm be filed",
            None,
            f"lay the steps along {size.feature!r} closer, or come nearer to the line",
            amount=size.most - size.wanted.high,
        )
