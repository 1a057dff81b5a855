"""A sketch of how the zeros are found: the blank from above, and each touch in its order."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.moves.actions import Touch, Zero
from pathgen.moves.moves import Axis
from pathgen.moves.plan import Run
from postprocessors.drawing.chart import views_of
from postprocessors.drawing.gone import draw_gone_in_plan
from postprocessors.drawing.marks import arrowhead, place_label, zero_mark
from postprocessors.drawing.plan_view import draw_keepout
from postprocessors.drawing.scale import View, sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import NARROW, WIDE, Box, Point, Sheet

WIDE_SKETCH, HIGH_SKETCH = 74.0, 56.0  # most room of the plan, mm
ROUND = 14.0  # about it, for the touching tool and its words
APPROACH = 7.0  # length of the arrow by which the tool comes
LEAST = 1.4  # a smaller tool is drawn so large in radius, mm on paper
ALONG = (0.3, 0.62)  # where along a face its touches are drawn, shares of its length


def draw_touches(scene: Scene, run: Run) -> str | None:
    """Return the sketch as SVG to stand within a page; None where nothing is touched from a side.

    The order numbers are those of the touches in the sheet; each says what the axis then reads.
    """
    touches = list(_touches(run))
    if not touches:
        return None
    views = views_of(scene, WIDE_SKETCH, HIGH_SKETCH)
    view = View(views.plan.scale, views.plan.left + ROUND, views.plan.foot + ROUND)
    box = sheet_box(view, scene.plan_blank())
    size = (box.right + ROUND + 16.0, sheet_box(view, views.window).bottom + ROUND)
    sheet = Sheet("touches-")
    for keepout in scene.setup.hold.keepouts:
        draw_keepout(sheet, view, scene, keepout)
    sheet.rectangle(box, WIDE)
    draw_gone_in_plan(sheet, view, scene)
    room = Box(0.0, 0.0, *size)
    zero_mark(sheet, view.at(0.0, 0.0), room)
    for number, (axis, touch) in enumerate(touches, start=1):
        _draw_touch(sheet, scene, view, (f"{number}: {axis} {_read(scene, touch.at)}", axis, touch))
    return sheet.picture("How the zeros are found", size)


def _touches(run: Run) -> Iterator[tuple[Axis, Touch]]:
    """Yield the touches from the sides, in order."""
    for item in run.items:
        if isinstance(item, Zero) and item.axis != "z":
            yield from ((item.axis, touch) for touch in item.touches)


def _read(scene: Scene, at: float) -> str:
    return scene.units.number(at)


def _draw_touch(sheet: Sheet, scene: Scene, view: View, what: tuple[str, Axis, Touch]) -> None:
    """Draw the tool where it touches, the way it comes, and what the axis then reads."""
    words, axis, touch = what
    centre = view.at(*_place(scene, axis, touch))
    radius = max(touch.radius * view.scale, LEAST)
    way: Point = (float(touch.towards), 0.0) if axis == "x" else (0.0, -float(touch.towards))
    # A tool drawn larger than it is stays on its own side of the face.
    off = radius - touch.radius * view.scale
    centre = (centre[0] - off * way[0], centre[1] - off * way[1])
    sheet.circle(centre, radius, WIDE, "touching")
    start = (
        centre[0] - (radius + APPROACH) * way[0],
        centre[1] - (radius + APPROACH) * way[1],
    )
    tip = (centre[0] - radius * way[0], centre[1] - radius * way[1])
    sheet.line(start, tip, NARROW)
    arrowhead(sheet, tip, way, 2.2)
    sheet.block(Box(*centre, *centre).grown(radius))
    x, y = centre
    beside = [(x + 12.0, y + 5.5), (x + 12.0, y - 4.0), (x - 12.0, y + 6.0), (x, y - 8.0)]
    place_label(sheet, words, beside, Box(0.0, 0.0, 400.0, 400.0))


def _place(scene: Scene, axis: Axis, touch: Touch) -> tuple[float, float]:
    """Return where the tool's axis is at a touch, mm; along the face where there is room."""
    (x0, y0, _), (x1, y1, _) = scene.low, scene.high
    datum = scene.setup.datum("x" if axis == "x" else "y")
    beside = datum.picked.beside if datum.picked is not None else math.nan
    if axis == "x":
        along = beside if math.isfinite(beside) else y0 + ALONG[0] * (y1 - y0)
        return touch.at, along
    along = beside if math.isfinite(beside) else x0 + ALONG[1] * (x1 - x0)
    return along, touch.at
