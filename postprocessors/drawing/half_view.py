"""The section of turned work through its axis: above as it is cut, below as it is wanted.

What is left is hatched, what is removed too, the other way and wider apart; each pass that removes
something is numbered in what it takes. Metal that the view ends in is broken off by a zigzag.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely.affinity import affine_transform
from shapely.geometry import MultiLineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from pathgen.job.turning.held_on import KeepOut
from postprocessors.drawing.half_inside import hollow
from postprocessors.drawing.half_knurls import knurl_lines
from postprocessors.drawing.half_scene import FAR, HalfScene, edges_of
from postprocessors.drawing.half_threads import threads
from postprocessors.drawing.lettering import SMALL
from postprocessors.drawing.marks import HATCH, hatch, zigzag
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.sheet import (
    ADJACENT,
    CENTRE,
    HEAVY,
    NARROW,
    WIDE,
    Box,
    Lettering,
    Pen,
    Point,
    Sheet,
    written,
)
from postprocessors.drawing.strip import Stage

COARSE = 2 * HATCH  # between the lines of what is removed
LEAST_TURN_DEG = 12.0  # less than that is the next chord of a curve, not an edge
FINE = 0.01  # mm on the sheet that an outline may be off
OVER = 4.0  # the axis goes on beyond the view, mm of the sheet
LEAST = 3.0  # a pass is numbered in what it takes where that is so thick, mm of the sheet


def draw_section_of_axis(
    sheet: Sheet, view: View, scene: HalfScene, window: Extent, stages: Sequence[Stage]
) -> None:
    """Draw both halves of the section; nothing outside the window, mirrored below the axis."""
    above = sheet_box(view, window)
    whole = Box(above.left, above.top, above.right, 2 * view.foot - above.top)
    with sheet.clipped(whole.grown(0.5)):
        for sign in (1, -1):
            draw_held(sheet, view, scene, window, sign)
            draw_threads(sheet, view, scene, sign)
            draw_knurls(sheet, view, scene, sign)
        _draw_removed(sheet, view, scene, stages)
        with sheet.group("left"):
            draw_metal(sheet, view, scene.left, window[0])
        _draw_wanted_half(sheet, view, scene, window[0])
        draw_outline(sheet, view, scene, window[0])
    _draw_breaks(sheet, view, scene, window[0])
    sheet.line((whole.left - OVER, view.foot), (whole.right + OVER, view.foot), CENTRE)
    for stage in stages:
        _number(sheet, view, scene, stage)


def region_path(view: View, region: BaseGeometry) -> str:
    """Return a region in SVG's notation, to be filled by the rule that SVG takes unless told."""
    rings: list[str] = []
    for part in shapely.get_parts(shapely.simplify(region, FINE / view.scale)):
        if part.geom_type == "Polygon" and part.area > 0:
            part = orient(part)  # noqa: PLW2901 - holes the other way round
            rings += [_ring(view, ring.coords) for ring in (part.exterior, *part.interiors)]
    return "".join(rings)


def _ring(view: View, corners: Sequence[Sequence[float]]) -> str:
    places = (view.at(each[0], each[1]) for each in corners)
    return "M" + "L".join(f"{written(x)},{written(y)}" for x, y in places) + "Z"


def hatched(
    view: View, region: BaseGeometry, slope: int, spacing: float = HATCH
) -> list[tuple[Point, Point]]:
    """Return the hatching of a region of the half plane, as it lies on the sheet."""
    shown = affine_transform(region, [view.scale, 0, 0, -view.scale, view.left, view.foot])
    if shown.is_empty:
        return []
    cut = shapely.intersection(
        MultiLineString(hatch(Box(*(float(v) for v in shown.bounds)), slope, spacing)), shown
    )
    lines = [part.coords for part in shapely.get_parts(cut) if part.length]
    return [((a[0], a[1]), (b[0], b[1])) for a, b in lines]


def draw_metal(sheet: Sheet, view: View, metal: BaseGeometry, left: float, pen: Pen = WIDE) -> None:
    """Draw metal that is cut through: hatched, with its edges."""
    shown = metal.intersection(box(left, -FAR, FAR, FAR))
    sheet.lines(hatched(view, shown, 1), NARROW)
    for line in edges_of(shown, left):
        sheet.polyline([view.at(*place) for place in line], pen)


def draw_held(sheet: Sheet, view: View, scene: HalfScene, window: Extent, sign: int = 1) -> None:
    """Draw what holds the work above the axis, or with -1 below it."""
    with sheet.group("jaws"):
        for each in scene.held:
            for line in edges_of(shown_of(each, window), window[0]):
                sheet.polyline([view.at(z, sign * x) for z, x in line], ADJACENT)


def shown_of(held: KeepOut, window: Extent) -> BaseGeometry:
    """Return what a window shows of what holds the work."""
    return Polygon(held.corners).intersection(box(*window))


def draw_outline(sheet: Sheet, view: View, scene: HalfScene, left: float, pen: Pen = HEAVY) -> None:
    """Draw the edges of the wanted part above the axis."""
    with sheet.group("wanted"):
        for line in edges_of(scene.wanted.intersection(box(left, -FAR, FAR, FAR)), left):
            sheet.polyline([view.at(*place) for place in line], pen)


def draw_threads(sheet: Sheet, view: View, scene: HalfScene, sign: int = 1) -> None:
    """Draw each thread above the axis, or with -1 below it.

    As drawings have it: a narrow line at its root, a wide one at its end.
    """
    with sheet.group("thread"):
        for _, right, left, outer, root in threads(scene.setup):
            sheet.line(view.at(right, sign * root), view.at(left, sign * root), NARROW)
            sheet.line(view.at(left, sign * root), view.at(left, sign * outer), WIDE)


def draw_knurls(sheet: Sheet, view: View, scene: HalfScene, sign: int = 1) -> None:
    """Draw the narrow lines that stand for knurls above the axis, or with -1 below it."""
    with sheet.group("knurl"):
        for ends in knurl_lines(scene.setup):
            (z0, x0), (z1, x1) = ends
            sheet.line(view.at(z0, sign * x0), view.at(z1, sign * x1), NARROW)


def _draw_removed(sheet: Sheet, view: View, scene: HalfScene, stages: Sequence[Stage]) -> None:
    """Draw what goes, pass by pass, and the bar as it comes."""
    with sheet.group("removed"):
        for stage in stages:
            region = scene.removed(stage.first, stage.end, threads=False)
            if not region.is_empty:
                sheet.lines(hatched(view, region, -1, COARSE), NARROW)
                sheet.path(region_path(view, region), NARROW)
    with sheet.group("blank"):
        for line in edges_of(scene.comes, -FAR):
            for sign in (1, -1):
                sheet.polyline([view.at(z, sign * x) for z, x in line], ADJACENT)


def _draw_wanted_half(sheet: Sheet, view: View, scene: HalfScene, left: float) -> None:
    """Draw the wanted part below the axis, and the edges that are seen behind its hollow."""
    with sheet.group("below"):
        mirrored = affine_transform(scene.wanted, [1, 0, 0, -1, 0, 0])
        draw_metal(sheet, view, mirrored, left, HEAVY)
        for z, x in seen_behind(scene):
            sheet.line(view.at(z, 0.0), view.at(z, -x), WIDE)


def seen_behind(scene: HalfScene) -> Iterator[Point]:
    """Yield the edges behind a hollow: where along the axis, and how far they go from it.

    A curve has none but at its ends, though it is drawn in chords.
    """
    edge = hollow(scene.setup, float(shapely.bounds(scene.wanted)[0]))
    reach: dict[float, float] = {}
    for before, at, after in zip([None, *edge], edge, [*edge[1:], None], strict=False):
        if before is None or after is None or turned_deg(before, at, after) > LEAST_TURN_DEG:
            reach[at[0]] = min(at[1], reach.get(at[0], at[1]))
    yield from ((z, x) for z, x in sorted(reach.items()) if x > 0)


def turned_deg(before: Point, at: Point, after: Point) -> float:
    """Return by how much a line turns at a place.

    >>> turned_deg((0.0, 0.0), (1.0, 0.0), (1.0, 2.0))
    90.0
    """
    into = math.atan2(at[1] - before[1], at[0] - before[0])
    out = math.atan2(after[1] - at[1], after[0] - at[0])
    return abs(math.degrees(math.remainder(out - into, math.tau)))


def _draw_breaks(sheet: Sheet, view: View, scene: HalfScene, left: float) -> None:
    """Break off the metal that goes on to the left of the view."""
    below = affine_transform(scene.wanted, [1, 0, 0, -1, 0, 0])
    for metal in (scene.left, below):
        low, _, high, _ = (float(each) for each in shapely.bounds(metal))
        if not low < left < high:
            continue
        cut = metal.intersection(shapely.LineString([(left, -FAR), (left, FAR)]))
        for part in shapely.get_parts(cut):
            (_, a), (_, b) = part.coords[0], part.coords[-1]
            zigzag(sheet, view.at(left, a), view.at(left, b))


def _number(sheet: Sheet, view: View, scene: HalfScene, stage: Stage) -> None:
    """Write the number of a pass into the thickest of what it takes, where there is room."""
    parts = shapely.get_parts(scene.removed(stage.first, stage.end, threads=False))
    words = str(stage.number)
    need = LEAST / view.scale
    for part in sorted(parts, key=lambda each: -each.area):
        circle = shapely.maximum_inscribed_circle(part)
        if circle.length * 2 >= need:
            x, y = view.at(*circle.coords[0])
            sheet.text((x, y + SMALL / 2), words, Lettering(SMALL, "middle", backed=True))
            return
