"""Plan and section to scale for a printed page, A4 or Letter upright: no frame, no notes."""

from __future__ import annotations

from postprocessors.drawing.frame import BAR, PRINTED_HIGH, PRINTED_WIDE
from postprocessors.drawing.plan_dimensions import margins
from postprocessors.drawing.scale import SCALES
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import Box, Sheet
from postprocessors.drawing.svg import Layout, Room, arranged, draw_views

STEP = 4.0  # no more than this is given away
NOWHERE = Box(0.0, 0.0, 0.0, 0.0)  # for notes


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
    return sheet.picture(title, (PRINTED_WIDE, layout.views.bottom + BAR))


def _layout(scene: Scene) -> Layout | None:
    """Return the layout at the largest scale, as low as it can be."""
    for scale in SCALES:
        page = Box(0.0, 0.0, PRINTED_WIDE, PRINTED_HIGH)
        room = Room(scale, scene.plan_window(scale), margins(scene, scale), page, NOWHERE, 0)
        found = next(arranged(scene, [room]), None)
        if found is not None:
            return _lowest(scene, room, found)
    return None


def _lowest(scene: Scene, room: Room, found: Layout) -> Layout:
    """Return the layout in the least height in which there is one, to a step."""
    low, high = 0.0, found.views.bottom
    while high - low > STEP:
        middle = (low + high) / 2
        lower = next(
            arranged(scene, [room._replace(views=Box(0.0, 0.0, PRINTED_WIDE, middle))]), None
        )
        if lower is None:
            low = middle
        else:
            found, high = lower, middle
    return found
