"""The picture beside a sheet for a lathe that is followed: the half section, pass by pass."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby

from postprocessors.drawing.chart import placed
from postprocessors.drawing.half_scene import HalfScene
from postprocessors.drawing.half_view import (
    draw_held,
    draw_metal,
    draw_outline,
    draw_threads,
    region_path,
)
from postprocessors.drawing.scale import View, sheet_box
from postprocessors.drawing.sheet import CENTRE, NARROW, WIDE, Sheet

ACROSS, HIGHEST = 180.0, 120.0  # room of the half section, mm of the picture
EDGE = 4.0
JAW = 12.0  # shown of the bar behind the jaws' front, mm
ROUND = 14.0  # of air shown about the bar, mm


def draw_turned_chart(scene: HalfScene, card_of: Callable[[int], int]) -> str:
    """Return the picture as SVG to stand within a page.

    Args:
        scene: what is drawn.
        card_of: returns the card that a step or a line belongs to.
    """
    window = scene.window(JAW, ROUND)
    scale = min(ACROSS / (window[2] - window[0]), HIGHEST / window[3])
    view = View(scale, EDGE - window[0] * scale, EDGE + window[3] * scale)
    sheet = Sheet("chart-")
    box = sheet_box(view, window)
    with placed(sheet, "half", view, "z x"), sheet.clipped(box.grown(0.4)):
        with sheet.group("metal"):
            draw_metal(sheet, view, scene.comes, window[0], NARROW)
        for number, each in groupby(scene.taken, lambda taken: card_of(taken.number)):
            with sheet.group("depth", data_number=str(number)):
                for taken in each:
                    sheet.path(region_path(view, taken.metal), NARROW)
        draw_outline(sheet, view, scene, window[0])
        draw_threads(sheet, view, scene)
        sheet.line(view.at(window[0], 0.0), view.at(window[2], 0.0), CENTRE)
        draw_held(sheet, view, scene, window)
        with sheet.group("tool"):
            sheet.circle((0.0, 0.0), 1.5, WIDE)
    return sheet.picture(
        "Half section: where the tool is, what is cut", (box.right + EDGE, box.bottom + EDGE)
    )
