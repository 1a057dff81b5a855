"""Plan and section to scale for a printed page, A4 or Letter upright: no frame, no notes."""

from __future__ import annotations

from postprocessors.drawing.plan_dimensions import margins
from postprocessors.drawing.scale import SCALES
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import Box, Sheet
from postprocessors.drawing.svg import BAR, Layout, Room, arranged, draw_views

WIDE = 184.0  # mm: what both papers have between margins of 13 mm
HIGHEST = 150.0  # a page holds more, but its head stands above
STEP = 5.0  # heights that are tried


def draw_printed_views(scene: Scene) -> str | None:
    """Return the plan and the section with a scale bar, as SVG of true size to stand in a page.

    The group of class "plan" states its scale. None where the part finds no room at 1:50.
    """
    layout = _layout(scene)
    if layout is None:
        return None
    sheet = Sheet("views-")
    draw_views(sheet, scene, layout)
    title = "Plan and section, to scale"
    return sheet.picture(title, (WIDE, layout.views.bottom + BAR))


def _layout(scene: Scene) -> Layout | None:
    """Return the layout at the largest scale, as low as it can be."""
    for scale in SCALES:
        around, window = margins(scene, scale), scene.plan_window(scale)
        nowhere = Box(0.0, 0.0, 0.0, 0.0)
        high = STEP
        while high <= HIGHEST:
            views = Box(0.0, 0.0, WIDE, high)
            room = Room(scale, window, around, views, nowhere, 0)
            found = next(arranged(scene, [room]), None)
            if found is not None:
                return found
            high += STEP
    return None
