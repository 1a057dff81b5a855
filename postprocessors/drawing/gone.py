"""What is gone of the blank before the setup: in narrow lines, broken where it lies hidden."""

from __future__ import annotations

import math

from pathgen.job.gone import Prism, gone_before
from postprocessors.drawing.scale import View
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import HIDDEN, NARROW, Pen, Point, Sheet

SIDES = 24  # of a quarter of a round end
UNDER = 1e-6  # mm under the upper face: what ends lower is hidden from above
Corner = tuple[float, float]


def gone_words(scene: Scene) -> list[str]:
    """Return what is gone, each with where it was cut."""
    return [
        f"{gone.feature.name}: " + (f"cut in setup {gone.setup}" if gone.setup else "there already")
        for gone in gone_before(scene.job, scene.setup)
    ]


def draw_gone_in_plan(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw the outlines of what is gone, seen from above."""
    prisms = _prisms(scene)
    if not prisms:
        return
    with sheet.group("gone"):
        for prism in prisms:
            pen = NARROW if prism.span(2)[1] > scene.high[2] - UNDER else HIDDEN
            _outline(sheet, view, _seen_along(prism, 2), pen)


def draw_gone_in_section(sheet: Sheet, view: View, scene: Scene, plane: float) -> None:
    """Draw what of it a plane across y cuts: no metal, so no hatching."""
    cut = [shape for prism in _prisms(scene) if (shape := _cut(prism, plane))]
    for shape in cut:
        sheet.filled([view.at(*corner) for corner in shape], "white")
    for shape in cut:
        _outline(sheet, view, shape, NARROW)


def _prisms(scene: Scene) -> list[Prism]:
    """Return what is gone, in the setup's frame."""
    frame = scene.setup.frame
    gone = gone_before(scene.job, scene.setup)
    return [prism.seen_in(frame) for each in gone for prism in each.prisms()]


def _outline(sheet: Sheet, view: View, shape: list[Corner], pen: Pen) -> None:
    points: list[Point] = [view.at(*corner) for corner in shape]
    sheet.polyline([*points, points[0]], pen)


def _cut(prism: Prism, plane: float) -> list[Corner]:
    """Return the outline, in x and z, of what a plane across y cuts; empty where it misses it."""
    low, high = prism.span(1)
    if not low < plane < high:
        return []
    if prism.axis == 1:
        return _seen_along(prism, 1)
    core_low, core_high = prism.core
    off = max(core_low[1] - plane, plane - core_high[1], 0.0)
    half = math.sqrt(max(prism.radius**2 - off**2, 0.0))
    across = 2 - prism.axis  # of x and z the one that the radius widens
    first, last = core_low[across] - half, core_high[across] + half
    start, end = core_low[prism.axis], core_high[prism.axis]
    spans = ((first, last), (start, end)) if across == 0 else ((start, end), (first, last))
    (x0, x1), (z0, z1) = spans
    return [(x0, z0), (x1, z0), (x1, z1), (x0, z1)]


def _seen_along(prism: Prism, axis: int) -> list[Corner]:
    """Return the outline of a prism looked at along an axis: in the other two, in their order."""
    a, b = (each for each in range(3) if each != axis)
    if prism.axis != axis:
        (x0, x1), (y0, y1) = prism.span(a), prism.span(b)
        return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    low, high = prism.core
    centres = ((high[a], high[b]), (low[a], high[b]), (low[a], low[b]), (high[a], low[b]))
    corners = []
    for quarter, (x, y) in enumerate(centres):
        for step in range(SIDES + 1):
            angle = math.pi / 2 * (quarter + step / SIDES)
            corners.append((x + prism.radius * math.cos(angle), y + prism.radius * math.sin(angle)))
    return corners
