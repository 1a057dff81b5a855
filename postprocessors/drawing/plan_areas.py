"""Wanted areas in the plan: their contours, islands and walls, their sizes, and what they are."""

from __future__ import annotations

import math
from typing import NamedTuple, assert_never

from pathgen.job.areas import Facing, Free, Outside, Pocket, Rectangular, Step
from pathgen.job.contour import Contour, Straight, swept_angle
from postprocessors.drawing.area_section import wall_at, walls_of
from postprocessors.drawing.area_words import limited
from postprocessors.drawing.dimensions import Dimension
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import HEAVY, WIDE, Box, Sheet, written


class AreaDimensions(NamedTuple):
    """The dimensions of areas, by the side of the plan that they stand on."""

    left: list[Dimension]
    top: list[Dimension]
    right: list[Dimension]
    bottom: list[Dimension]


def draw_wanted_areas(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw the walls of all areas, islands and bridges too."""
    for area in scene.areas:
        match area:
            case Pocket():
                for contour in (area.contour, *area.islands):
                    sheet.path(contour_path(view, contour), HEAVY, "pocket")
            case Outside():
                _draw_outside(sheet, view, area)
            case Step():
                for line in walls_of(scene, area):
                    sheet.polyline([view.at(*place) for place in line], HEAVY)
            case Facing():
                pass  # the blank's own outline bounds it
            case _:
                assert_never(area)


def _draw_outside(sheet: Sheet, view: View, area: Outside) -> None:
    """Draw the contour of a part, and a circle about each bridge."""
    sheet.path(contour_path(view, area.contour), HEAVY, "outside")
    for bridge in area.bridges:
        sheet.circle(view.at(*bridge.at), bridge.width / 2 * view.scale, WIDE, "bridge")


def contour_path(view: View, contour: Contour) -> str:
    """Return a contour in true proportion, its arcs as arcs."""
    path = f"M{_pair(view.at(*contour.start))}"
    for start, segment in contour.legs():
        to = _pair(view.at(*segment.to))
        if isinstance(segment, Straight):
            path += f"L{to}"
            continue
        radius = written(math.dist(start, segment.centre) * view.scale)
        large = int(swept_angle(start, segment) > math.pi)
        # The sheet's y points down, so that an anticlockwise arc has the sense 0 of SVG.
        path += f"A{radius},{radius} 0 {large} {int(segment.clockwise)} {to}"
    return f"{path}Z"


def _pair(point: tuple[float, float]) -> str:
    return f"{written(point[0])},{written(point[1])}"


def area_boxes(view: View, scene: Scene) -> list[Box]:
    """Return the room of each pocket and island on the sheet."""
    return [
        sheet_box(view, Extent(*contour.box))
        for area in scene.areas
        if isinstance(area, Pocket)
        for contour in (area.contour,)
    ]


# ---------------------------------------------------------------- sizes


def area_dimensions(scene: Scene, view: View) -> AreaDimensions:
    """Return the dimensions of areas: middles from the datums, lengths, widths, walls."""
    found = AreaDimensions([], [], [], [])
    for area in scene.areas:
        match area:
            case Pocket():
                _of_pocket(scene, view, area, found)
            case Outside():
                _of_box(scene, view, area.contour, found)
            case Step():
                _of_step(scene, view, area, found)
            case Facing():
                pass
            case _:
                assert_never(area)
    return found


def _of_pocket(scene: Scene, view: View, pocket: Pocket, found: AreaDimensions) -> None:
    x, y = pocket.x.nominal, pocket.y.nominal
    if isinstance(pocket.shape, Free):
        _of_box(scene, view, pocket.contour, found)
        return
    words = scene.units.number
    found.bottom.append(_level(view, (0.0, x), (0.0, y), words(abs(x))))
    found.left.append(_upright(view, (0.0, y), (0.0, x), words(abs(y))))
    if isinstance(pocket.shape, Rectangular):
        x0, y0, x1, y1 = pocket.contour.box
        long, wide = pocket.shape.length, pocket.shape.width
        found.top.append(_level(view, (x0, x1), (y1, y1), limited(scene.units, long)))
        found.right.append(_upright(view, (y0, y1), (x1, x1), limited(scene.units, wide)))


def _of_box(scene: Scene, view: View, contour: Contour, found: AreaDimensions) -> None:
    """Add the box of a free contour from the datums."""
    x0, y0, x1, y1 = contour.box
    words = scene.units.number
    found.bottom.extend(_level(view, (0.0, x), (0.0, y0), words(abs(x))) for x in (x0, x1))
    found.left.extend(_upright(view, (0.0, y), (0.0, x0), words(abs(y))) for y in (y0, y1))


def _of_step(scene: Scene, view: View, step: Step, found: AreaDimensions) -> None:
    """Add what is taken off at each edge, or what is left between."""
    x0, y0 = scene.low[:2]
    x1, y1 = scene.high[:2]
    upright = set(step.edges) <= {"front", "back"}
    faces = (y0, y1) if upright else (x0, x1)
    pairs = []
    for edge in step.edges:
        at = wall_at(scene, step, edge)
        face = faces[0] if edge in ("left", "front") else faces[1]
        pairs.append((min(at, face), max(at, face), limited(scene.units, step.width)))
    if step.left is not None:
        low = pairs[0][1] if step.edges[0] in ("left", "front") else faces[0]
        high = pairs[-1][0] if step.edges[-1] in ("right", "back") else faces[1]
        pairs = [(low, high, limited(scene.units, step.left))]
    for low, high, words in pairs:
        if upright:
            found.right.append(_upright(view, (low, high), (x1, x1), words))
        else:
            found.top.append(_level(view, (low, high), (y1, y1), words))


def _level(
    view: View, places: tuple[float, float], starts: tuple[float, float], words: str
) -> Dimension:
    """Return a dimension along x between two places, its lines starting at heights y; mm."""
    ends = sorted(view.at(x, y) for x, y in zip(places, starts, strict=True))
    (low, from_low), (high, from_high) = ends
    return Dimension(low=low, high=high, from_low=from_low, from_high=from_high, words=words)


def _upright(
    view: View, places: tuple[float, float], starts: tuple[float, float], words: str
) -> Dimension:
    """Return a dimension along y between two places, its lines starting at places x; mm."""
    ends = sorted(view.at(x, y)[::-1] for y, x in zip(places, starts, strict=True))
    (low, from_low), (high, from_high) = ends
    return Dimension(
        low=low, high=high, from_low=from_low, from_high=from_high, words=words, upright=True
    )
