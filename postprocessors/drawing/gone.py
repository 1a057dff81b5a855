"""What is gone of the blank before the setup: in narrow lines, broken where it lies hidden."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from pathgen.job.areas import Facing
from pathgen.job.gone import Layer, gone_before, layers_before
from postprocessors.drawing.scale import View
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import HIDDEN, NARROW, Pen, Point, Sheet

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

UNDER = 1e-6  # mm under the upper face: what ends lower is hidden from above
FAR = 1e4  # mm: beyond any blank


def gone_words(scene: Scene) -> list[str]:
    """Return what is gone, each with where it was cut; whole faces go without saying."""
    return [
        f"{gone.feature.name}: " + (f"cut in setup {gone.setup}" if gone.setup else "there already")
        for gone in gone_before(scene.job, scene.setup)
        if not isinstance(gone.feature, Facing)
    ]


def draw_gone_in_plan(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw the outlines of what is gone, seen from above."""
    layers = layers_before(scene.job, scene.setup)
    if not layers:
        return
    with sheet.group("gone"):
        for layer in layers:
            pen = NARROW if layer.span(2)[1] > scene.high[2] - UNDER else HIDDEN
            for ring in _rings(layer.plan()):
                _outline(sheet, view, ring, pen)


def draw_gone_in_section(sheet: Sheet, view: View, scene: Scene, plane: float) -> None:
    """Draw what of it a plane across y cuts: no metal, so no hatching."""
    cut = [_cut(layer, plane) for layer in layers_before(scene.job, scene.setup)]
    rings = [ring for region in cut if region is not None for ring in _rings(region)]
    for ring in rings:
        sheet.filled([view.at(*corner) for corner in ring], "white")
    for ring in rings:
        _outline(sheet, view, ring, NARROW)


def _outline(sheet: Sheet, view: View, ring: list[Point], pen: Pen) -> None:
    points = [view.at(*corner) for corner in ring]
    sheet.polyline([*points, points[0]], pen)


def _rings(region: BaseGeometry) -> Iterator[list[Point]]:
    """Yield the outlines of a region, those of its islands too."""
    import shapely  # noqa: PLC0415 - heavy; only jobs with something gone need it

    for part in shapely.get_parts(region):
        if part.area > 0:
            for ring in (part.exterior, *part.interiors):
                yield [(x, y) for x, y in ring.coords[:-1]]


def _cut(layer: Layer, plane: float) -> BaseGeometry | None:
    """Return what a plane across y cuts, in x and z; None where it misses it."""
    import shapely  # noqa: PLC0415

    low, high = layer.span(1)
    if not low < plane < high:
        return None
    if layer.axis == 1:
        return layer.region
    if layer.axis == 2:
        line = shapely.LineString([(-FAR, plane), (FAR, plane)])
        spans = [part.bounds[::2] for part in shapely.get_parts(layer.region.intersection(line))]
        return shapely.union_all([shapely.box(a, layer.low, b, layer.high) for a, b in spans])
    line = shapely.LineString([(plane, -FAR), (plane, FAR)])
    spans = [part.bounds[1::2] for part in shapely.get_parts(layer.region.intersection(line))]
    return shapely.union_all([shapely.box(layer.low, a, layer.high, b) for a, b in spans])
