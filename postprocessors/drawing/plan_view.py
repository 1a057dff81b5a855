"""The plan: the blank from above with what is wanted, what holds it, and what the cutters do."""

from __future__ import annotations

import math

from pathgen.job.job import Keepout
from pathgen.job.slot import Slot
from postprocessors.drawing.gone import draw_gone_in_plan
from postprocessors.drawing.marks import (
    arrowhead,
    cross,
    hatch,
    pattern,
    zigzag,
)
from postprocessors.drawing.paths import Edge, Hole, Work, chains
from postprocessors.drawing.plan_areas import area_boxes, draw_wanted_areas
from postprocessors.drawing.plan_dimensions import draw_dimensions
from postprocessors.drawing.plan_holes import draw_wanted_holes, hole_boxes
from postprocessors.drawing.plan_labels import label_plan
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.scene import Scene, plan_of
from postprocessors.drawing.sheet import (
    ADJACENT,
    CENTRE,
    HEAVY,
    HIDDEN,
    NARROW,
    WIDE,
    Box,
    Lettering,
    Pen,
    Point,
    Sheet,
    written,
)
from postprocessors.drawing.spheres import draw_spheres_in_plan
from postprocessors.drawing.turned_in_place import draw_turned_in_place

LEAST_ARROWED = 5.0  # a stretch shorter than this on the sheet carries no arrow, mm
LEAST_CUTTER = 0.8  # a cutter's radius on the sheet below which its circle is left out, mm


def draw_plan(sheet: Sheet, view: View, scene: Scene, within: Box) -> None:
    """Draw the plan in its place; lettering that can be moved stays within a box."""
    window = sheet_box(view, scene.plan_window(view.scale))
    place = {
        "data_scale": f"{view.scale:g}",
        "data_zero": f"{written(view.left)} {written(view.foot)}",
    }
    with sheet.group("plan", **place):
        for keepout in scene.setup.hold.keepouts:
            draw_keepout(sheet, view, scene, keepout)
        sheet.rectangle(sheet_box(view, scene.plan_blank()), WIDE)
        draw_gone_in_plan(sheet, view, scene)
        draw_turned_in_place(sheet, view, scene)
        with sheet.group("wanted"):
            for slot in scene.slots:
                sheet.path(slot_path(view, slot), HEAVY, "slot")
                _centre_line(sheet, view, slot)
            for t_slot in scene.t_slots:
                sheet.path(slot_path(view, t_slot.head), HIDDEN, "head")
            draw_wanted_areas(sheet, view, scene)
            draw_spheres_in_plan(sheet, view, scene.spheres)
            draw_wanted_holes(sheet, view, scene)
        with sheet.clipped(window.grown(0.4)):
            _draw_holes(sheet, view, scene)
            for index, work in enumerate(scene.mills):
                _draw_work(sheet, view, work, index)
        for slot in (*scene.slots, *(each.head for each in scene.t_slots)):
            sheet.block(_slot_box(view, slot))
        for box in (*hole_boxes(view, scene), *area_boxes(view, scene)):
            sheet.block(box)
        draw_dimensions(sheet, view, scene, window)
        _plane_ends(sheet, view, scene, window)
    label_plan(sheet, view, scene, within)


def _slot_box(view: View, slot: Slot) -> Box:
    """Return the room of a slot on the sheet."""
    if slot.turned is not None:
        return sheet_box(view, Extent(*slot.box))
    half = slot.width.nominal / 2
    (x0, y0), (x1, y1) = (
        slot.point(end, slot.centre_line + side)
        for end, side in ((slot.low_end, -half), (slot.high_end, half))
    )
    return sheet_box(view, Extent(x0, y0, x1, y1))


def slot_path(view: View, slot: Slot) -> str:
    """Return a slot's outline in true proportion, open where it runs out of the blank."""
    radius = slot.width.nominal / 2
    low = slot.low_end + (0.0 if slot.open_low else radius)
    high = slot.high_end - (0.0 if slot.open_high else radius)
    near, far = slot.centre_line - radius, slot.centre_line + radius
    corners = [(low, near), (high, near), (high, far), (low, far)]
    a, b, c, d = (_pair(view.at(*slot.point(*corner))) for corner in corners)
    # Along x the round ends bulge with the sense 0 of SVG; along y the outline is mirrored.
    sweep = 0 if slot.along == "x" else 1
    on_sheet = written(radius * view.scale)
    arc = f"A{on_sheet},{on_sheet} 0 0 {sweep} "
    over_high = f"M{c}" if slot.open_high else f"{arc}{c}"
    over_low = "" if slot.open_low else f"{arc}{a}"
    return f"M{a}L{b}{over_high}L{d}{over_low}"


def _pair(point: Point) -> str:
    return f"{written(point[0])},{written(point[1])}"


def _centre_line(sheet: Sheet, view: View, slot: Slot) -> None:
    """Draw the centre line at both ends of a slot; within it the cutter's ways take its place."""
    beyond, into = 4.0 / view.scale, 1.5 / view.scale
    for end, sign in ((slot.low_end, -1), (slot.high_end, 1)):
        start = view.at(*slot.point(end - sign * into, slot.centre_line))
        sheet.line(start, view.at(*slot.point(end + sign * beyond, slot.centre_line)), NARROW)


def draw_keepout(sheet: Sheet, view: View, scene: Scene, keepout: Keepout) -> None:
    """Draw a jaw, clamp or parallel: hatched, or only its hidden outline if the blank covers it."""
    window = scene.plan_window(view.scale)
    whole, shown = plan_of(keepout), plan_of(keepout).common(window)
    if shown.empty:
        return
    box = sheet_box(view, shown)
    with sheet.group("keepout"):
        if not scene.seen_from_above(keepout):
            sheet.rectangle(box, HIDDEN)
            return
        for part in _uncovered(scene, keepout, shown):
            sheet.lines(hatch(sheet_box(view, part), -1), NARROW)
        cut = [a != b for a, b in zip(whole, shown, strict=True)]
        pen = ADJACENT if keepout.high[2] > scene.low[2] + 1e-6 else HIDDEN
        draw_outline(sheet, box, pen, (cut[0], cut[3], cut[2], cut[1]))


def draw_outline(sheet: Sheet, box: Box, pen: Pen, cut: tuple[bool, bool, bool, bool]) -> None:
    """Draw a box's sides (left, top, right, bottom): break lines where it goes on beyond."""
    left, top, right, bottom = box
    sides = (
        ((left, bottom), (left, top)),
        ((left, top), (right, top)),
        ((right, top), (right, bottom)),
        ((right, bottom), (left, bottom)),
    )
    for (start, end), broken in zip(sides, cut, strict=True):
        if broken:
            zigzag(sheet, start, end)
        else:
            sheet.line(start, end, pen)


def _uncovered(scene: Scene, keepout: Keepout, shown: Extent) -> list[Extent]:
    """Return the parts of a box that lie open to the eye from above, as rectangles."""
    blank = scene.plan_blank()
    if keepout.high[2] > scene.low[2] + 1e-6:
        return [shown]
    x0, y0, x1, y1 = shown
    low, high = max(y0, blank[1]), min(y1, blank[3])
    parts = [
        Extent(x0, y0, x1, min(y1, blank[1])),
        Extent(x0, max(y0, blank[3]), x1, y1),
        Extent(x0, low, min(x1, blank[0]), high),
        Extent(max(x0, blank[2]), low, x1, high),
    ]
    return [part for part in parts if not part.empty]


def _draw_holes(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw every hole to size with a cross at its centre."""
    with sheet.group("holes"):
        for work in scene.works:
            for hole in work.holes:
                radius = _mouth(scene, work, hole) * view.scale
                sheet.circle(view.at(hole.x, hole.y), radius, NARROW, "drilled")
        widest = max([work.radius for work in scene.works if work.holes], default=0.0)
        for x, y in scene.holes:
            cross(sheet, view.at(x, y), min(1.2, max(0.5, widest * view.scale)), NARROW)


def _mouth(scene: Scene, work: Work, hole: Hole) -> float:
    """Return the radius of a hole at the top face, mm: less than the drill's for a mere spot."""
    deep = max(0.0, scene.high[2] - hole.bottom)
    cutter = scene.cutters.get(work.name)
    return work.radius if cutter is None else cutter.radius_at(deep)


def _draw_work(sheet: Sheet, view: View, work: Work, index: int) -> None:
    """Draw one pass: the ways of the cutter's axis, which way it cuts, and the cutter once."""
    pen = pattern(index)
    with sheet.group("pass", data_cutter=work.name, data_cuts=str(work.cuts)):
        for chain in chains(work.edges):
            sheet.polyline([view.at(*place) for place in chain], pen)
        arrowed = [e for e in work.edges if _on_sheet(view, e) >= LEAST_ARROWED]
        longest = sorted(work.edges, key=lambda e: -_on_sheet(view, e))[:1]
        for edge in arrowed or longest:
            _arrows(sheet, view, edge, index)
        if work.radius * view.scale >= LEAST_CUTTER:
            sheet.circle(view.at(*work.shown_at(index)), work.radius * view.scale, pen, "cutter")


def _on_sheet(view: View, edge: Edge) -> float:
    return math.dist(edge.start, edge.end) * view.scale


def _arrows(sheet: Sheet, view: View, edge: Edge, index: int) -> None:
    """Draw an arrowhead for each way a stretch is cut, set off from those of other passes."""
    start, end = view.at(*edge.start), view.at(*edge.end)
    share = 0.35 + 0.12 * (index % 3)
    for on, at, sign in ((edge.forth, share, 1), (edge.back, 1 - share, -1)):
        if on:
            tip = (start[0] + at * (end[0] - start[0]), start[1] + at * (end[1] - start[1]))
            arrowhead(sheet, tip, (sign * (end[0] - start[0]), sign * (end[1] - start[1])))


def _plane_ends(sheet: Sheet, view: View, scene: Scene, window: Box) -> None:
    """Mark the ends of the cutting plane A-A, seen from the front, on both sides of the plan."""
    _, y = view.at(0.0, scene.plane)
    for edge, sign in ((window.left, -1), (window.right, 1)):
        sheet.line((edge + sign * 1.0, y), (edge + sign * 3.5, y), CENTRE)
        sheet.line((edge + sign * 3.5, y), (edge + sign * 7.5, y), HEAVY)
        foot = (edge + sign * 6.5, y)
        sheet.line((foot[0], y + 6.0), foot)
        arrowhead(sheet, foot, (0.0, -1.0))
        at = (edge + sign * 6.5, y + 10.0)
        near, far = sorted((edge + sign * 1.0, edge + sign * 8.0))
        sheet.block(Box(near, y - 0.8, far, y + 6.0))
        sheet.text(at, "A", Lettering(3.5, "middle", backed=True, bold=True))
