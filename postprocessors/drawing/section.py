"""The section A-A, seen from the front: thickness, depths, and what goes on beneath the blank."""

from __future__ import annotations

import math
from itertools import pairwise, product

from pathgen.job.job import Keepout
from postprocessors.drawing.dimensions import STACK, Dimension, draw_stack
from postprocessors.drawing.gone import draw_gone_in_section
from postprocessors.drawing.lettering import ACROSS, SMALL
from postprocessors.drawing.marks import hatch, pattern, zigzag
from postprocessors.drawing.paths import Hole, Work
from postprocessors.drawing.scale import Extent, View, scale_name, sheet_box
from postprocessors.drawing.scene import (
    ON_PLANE,
    Scene,
    front_of,
)
from postprocessors.drawing.section_window import ABOVE, LEVEL, LEVEL_RUN, Section
from postprocessors.drawing.sheet import (
    ADJACENT,
    CENTRE,
    HEAVY,
    LABEL,
    NARROW,
    WIDE,
    Box,
    Lettering,
    Point,
    Sheet,
    box_of,
    written,
)
from postprocessors.drawing.spheres import draw_sphere_in_section, half_across, round_ended
from postprocessors.drawing.voids import Void, cones_of, voids_of

LYING = 1e-6  # a box this little above the underside still lies beneath it, mm


def draw_section(
    sheet: Sheet, scene: Scene, section: Section, left_top: tuple[float, float]
) -> None:
    """Draw the section with the left top corner of its body at a place."""
    left, top = left_top
    x0, _, _, z1 = section.window
    view = View(section.scale, left - x0 * section.scale, top + z1 * section.scale)
    body = sheet_box(view, section.window)
    heading = f"A\N{EN DASH}A ({scale_name(section.scale)})"
    sheet.text((body.centre[0], top - 2.5), heading, Lettering(3.5, "middle", bold=True))
    place = {
        "data_scale": f"{view.scale:g}",
        "data_zero": f"{written(view.left)} {written(view.foot)}",
    }
    with sheet.group("section", **place):
        with sheet.clipped(body.grown(WIDE.width / 2)):
            _draw_holding(sheet, view, scene, section)
            _draw_blank(sheet, view, scene, section)
            _draw_tools(sheet, view, scene)
        _draw_bed(sheet, view, scene, section)
        _draw_breaks(sheet, view, scene, section)
        _draw_heights(sheet, view, scene, body)
        _draw_levels(sheet, view, section, body)
    _name_holding(sheet, view, scene, section)


def _solids(scene: Scene, section: Section) -> list[Extent]:
    """Return the cut faces of the blank, as rectangles in x and z."""
    voids = voids_of(scene, scene.plane)
    low, high = max(scene.low[0], section.window[0]), min(scene.high[0], section.window[2])
    edges = sorted({low, high, *(min(max(x, low), high) for v in voids for x in (v.low, v.high))})
    solids = []
    for a, b in pairwise(edges):
        top = scene.high[2]
        over = [void for void in voids if void.low <= (a + b) / 2 <= void.high]
        for void in sorted(over, key=lambda each: -each.top):
            solids.append(Extent(a, void.top, b, top))
            top = min(top, void.floor)
        solids.append(Extent(a, scene.low[2], b, top))
    return [solid for solid in solids if not solid.empty]


def _draw_blank(sheet: Sheet, view: View, scene: Scene, section: Section) -> None:
    """Draw the blank cut through: hatched, with the walls and floors of slots and holes heavy."""
    plane = scene.plane
    for solid in _solids(scene, section):
        sheet.lines(hatch(sheet_box(view, solid), 1), NARROW)
    draw_gone_in_section(sheet, view, scene, plane)
    blank = Extent(scene.low[0], scene.low[2], scene.high[0], scene.high[2])
    sheet.rectangle(sheet_box(view, blank), WIDE)
    for cone in cones_of(scene, plane):
        sheet.filled([view.at(*corner) for corner in cone], "white")
    for sphere in scene.spheres:
        half = half_across(sphere, scene.low, scene.high)
        draw_sphere_in_section(sheet, view, sphere, scene.tilting, half)
    for void in voids_of(scene, plane):
        _draw_void(sheet, view, scene, void)
    for cone in cones_of(scene, plane):
        sheet.polyline([view.at(*corner) for corner in cone], HEAVY)


def _draw_void(sheet: Sheet, view: View, scene: Scene, void: Void) -> None:
    """Draw the walls of what is cut away, its floor, and the roof over the head of a T-slot."""
    for x in (void.low, void.high):
        if scene.low[0] < x < scene.high[0]:
            sheet.line(view.at(x, void.top), view.at(x, void.floor), HEAVY)
    if void.has_floor:
        sheet.line(view.at(void.low, void.floor), view.at(void.high, void.floor), HEAVY)
    if void.mouth is not None:
        for a, b in ((void.low, void.mouth[0]), (void.mouth[1], void.high)):
            sheet.line(view.at(a, void.top), view.at(b, void.top), HEAVY)


def _draw_holding(sheet: Sheet, view: View, scene: Scene, section: Section) -> None:
    """Draw jaws, clamps and parallels: hatched where they are cut, else only their outline."""
    plane = scene.plane
    drawn: set[Extent] = set()
    for keepout in _not_cut_away(scene):
        outline = front_of(keepout)
        shown = outline.common(section.window)
        if shown.empty or outline in drawn:
            continue
        drawn.add(outline)
        box = sheet_box(view, outline)
        if keepout.low[1] < plane < keepout.high[1]:
            sheet.lines(hatch(sheet_box(view, shown), -1), NARROW)
        sheet.rectangle(box, ADJACENT)
    # The blank stands before what lies behind it.
    blank = Extent(scene.low[0], scene.low[2], scene.high[0], scene.high[2])
    sheet.filled(_corners(sheet_box(view, blank)), "white")


def _corners(box: Box) -> list[tuple[float, float]]:
    return [(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]


def _name_holding(sheet: Sheet, view: View, scene: Scene, section: Section) -> None:
    """Write the names of what holds the blank where it shows beside or beneath it."""
    names: dict[Extent, list[str]] = {}
    for keepout in _not_cut_away(scene):
        behind = " (behind)" if keepout.low[1] >= scene.plane else ""
        names.setdefault(front_of(keepout), []).append(f"{keepout.name}{behind}")
    seen = section.window.common(Extent(-math.inf, scene.bed, math.inf, math.inf))
    for outline, called in names.items():
        shown = outline.common(seen)
        parts = [] if shown.empty else _beside_blank(scene, shown)
        for words, part in product((", ".join(called), *called), parts):
            room = sheet_box(view, part).grown(-0.5)
            at = (room.centre[0], room.bottom - 1.5)
            if sheet.free(box_of(at, words, LABEL), room):
                sheet.text(at, words, LABEL)
                break


def _not_cut_away(scene: Scene) -> list[Keepout]:
    """Return what the section cuts or shows behind it; what stands in front is cut away."""
    return [each for each in scene.setup.hold.keepouts if each.high[1] > scene.plane]


def _beside_blank(scene: Scene, shown: Extent) -> list[Extent]:
    """Return where a box can be named: beneath the blank if it lies there, else around it."""
    x0, z0, x1, z1 = shown
    if z1 <= scene.low[2] + LYING:
        return [shown]
    parts = [
        Extent(x0, max(z0, scene.high[2]), x1, z1),
        Extent(x0, z0, min(x1, scene.low[0]), z1),
        Extent(max(x0, scene.high[0]), z0, x1, z1),
    ]
    return [part for part in parts if not part.empty]


def _draw_tools(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw each drill that reaches the plane at its lowest, and each cutter at one place."""
    plane = scene.plane
    for work in scene.works:
        near = max(ON_PLANE * work.diameter, 0.05)
        for hole in work.holes:
            if abs(hole.y - plane) <= near:
                _draw_drill(sheet, view, scene, (work, hole))
    for index, work in enumerate(scene.mills):
        first = work.shown_at(index)
        cutter = scene.cutters.get(work.name)
        if cutter is not None and cutter.round_end is not None and math.isfinite(work.deepest_x):
            top = view.at(0.0, scene.high[2] + 2 * ABOVE / view.scale)[1]
            outline = round_ended(view, (work.deepest_x, work.deepest), cutter.round_end, top)
            with sheet.group("cutter", data_cutter=work.name):
                sheet.polyline(outline, pattern(index))
        elif math.isfinite(work.deepest):
            left, bottom = view.at(first[0] - work.radius, work.deepest)
            right, top = view.at(first[0] + work.radius, scene.high[2] + 2 * ABOVE / view.scale)
            with sheet.group("cutter", data_cutter=work.name):
                pen = pattern(index)
                up, down = _neck(view, scene, work, (first[0], top))
                sides = (up, down) if up else ([(left, top)], [(right, top)])
                sheet.polyline([*sides[0], (left, bottom), (right, bottom), *sides[1]], pen)
                sheet.line((left, bottom), (right, bottom), WIDE)


def _neck(
    view: View, scene: Scene, work: Work, at: tuple[float, float]
) -> tuple[list[Point], list[Point]]:
    """Return the outline of a cutter above its head: its left side down, its right side up.

    Both empty for a cutter that is as wide above.

    Args:
        view: onto the part.
        scene: all that is drawn.
        work: what the cutter does.
        at: the x of its axis, mm, and the sheet's y up to which it is drawn.
    """
    cutter = scene.cutters.get(work.name)
    if cutter is None or cutter.undercut is None:
        return [], []
    roof = work.deepest + cutter.undercut.height
    x, half = at[0], cutter.undercut.neck / 2
    (a, shoulder), (b, _) = view.at(x - half, roof), view.at(x - work.radius, roof)
    (c, _), (d, _) = view.at(x + half, roof), view.at(x + work.radius, roof)
    near = [(a, at[1]), (a, shoulder), (b, shoulder)]
    return near, [(d, shoulder), (c, shoulder), (c, at[1])]


def _draw_drill(sheet: Sheet, view: View, scene: Scene, what: tuple[Work, Hole]) -> None:
    """Draw a drill at its lowest: with its end as in the crib, flat if it is not there."""
    work, hole = what
    cutter = scene.cutters.get(work.name)
    if cutter is not None and cutter.head is not None:
        cutter = None  # its end is flat, as wide as it is set to
    top = scene.high[2]
    shoulder = hole.bottom + (cutter.point_length if cutter else 0.0)
    if shoulder < top:
        half = [(work.radius, top), (work.radius, shoulder)]
    else:  # a spot, not as deep as its cone is high
        half = [(cutter.radius_at(top - hole.bottom) if cutter else work.radius, top)]
    half.append((cutter.radius_at(0.0) if cutter else work.radius, hole.bottom))
    outline = [(hole.x - away, z) for away, z in half]
    outline += [(hole.x + away, z) for away, z in reversed(half)]
    outline = list(dict.fromkeys(outline))  # a point is both sides' own
    with sheet.group("drill", data_cutter=work.name):
        sheet.polyline([view.at(x, z) for x, z in outline], NARROW)
        over = 1.5 / view.scale
        sheet.line(view.at(hole.x, top + over), view.at(hole.x, hole.bottom - over), CENTRE)


def _draw_bed(sheet: Sheet, view: View, scene: Scene, section: Section) -> None:
    """Draw what lies beneath the air, as a line with strokes under it, if it lies near enough."""
    if scene.bed < section.window[1]:
        return
    x0, _, x1, _ = section.window
    left, y = view.at(x0, scene.bed)
    right, _ = view.at(x1, scene.bed)
    sheet.line((left, y), (right, y), WIDE)
    sheet.lines(hatch(Box(left, y, right, y + 2.0), -1, 1.4), NARROW)


def _draw_breaks(sheet: Sheet, view: View, scene: Scene, section: Section) -> None:
    """Draw a break line where the blank goes on beyond the section's window."""
    for x in (section.window[0], section.window[2]):
        if scene.low[0] + 1e-6 < x < scene.high[0] - 1e-6:
            zigzag(
                sheet,
                view.at(x, scene.high[2] + 1.5 / view.scale),
                view.at(x, scene.low[2] - 1.5 / view.scale),
            )


def _draw_heights(sheet: Sheet, view: View, scene: Scene, body: Box) -> None:
    """Draw the dimensions on the left: the thickness, and the air beneath where it is shown."""
    left, _ = view.at(max(scene.low[0], (body.left - view.left) / view.scale), 0.0)
    heights = [(scene.low[2], scene.high[2])]
    rows = [[_height(view, scene, span, left)] for span in heights]
    draw_stack(sheet, rows, min(left, body.left) - STACK, -1)


def _height(view: View, scene: Scene, span: tuple[float, float], left: float) -> Dimension:
    """Return an upright dimension between two heights."""
    (_, high), (_, low) = view.at(0.0, span[0]), view.at(0.0, span[1])
    words = scene.units.number(span[1] - span[0])
    if scene.job.blank.is_shaft:
        words = f"{ACROSS}{words}"
    return Dimension(low=low, high=high, from_low=left, from_high=left, words=words, upright=True)


def _draw_levels(sheet: Sheet, view: View, section: Section, body: Box) -> None:
    """Write the levels on the right, spread apart, and lead to their heights."""
    heights = [view.at(0.0, z)[1] for z, _ in section.levels]
    spread = _spread(heights, body)
    for y, foot, (z, words) in zip(heights, spread, section.levels, strict=True):
        x = body.right
        if z >= section.window[1]:
            sheet.polyline(
                [
                    (x + 0.5, y),
                    (x + 2.5, y),
                    (x + LEVEL_RUN - 2.5, foot),
                    (x + LEVEL_RUN - 0.7, foot),
                ]
            )
        at = (x + LEVEL_RUN, foot + SMALL / 2)
        sheet.text(at, words, Lettering(SMALL))


def _spread(heights: list[float], body: Box) -> list[float]:
    """Return heights moved apart so far as their words need, and kept beside the section."""
    placed: list[float] = []
    for y in heights:
        placed.append(max(y, placed[-1] + LEVEL) if placed else y)
    over = max(0.0, placed[-1] - max(body.bottom, body.top + LEVEL * len(heights)) + 1.0)
    highest = body.bottom + 1e9
    for index in range(len(placed) - 1, -1, -1):
        placed[index] = min(placed[index] - (over if index == len(placed) - 1 else 0.0), highest)
        highest = placed[index] - LEVEL
    return placed
