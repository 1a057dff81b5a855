"""All passes side by side as small pictures: what is gone before each, and what it takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from postprocessors.drawing.chart import draw_cuts, draw_plan_of, views_of
from postprocessors.drawing.lettering import SMALL, shortened
from postprocessors.drawing.scale import sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import Box, Lettering, Point, Sheet
from postprocessors.drawing.stages import Cut

CELL, ACROSS = 58.0, 3  # width of a picture, and how many stand in a row
HIGH = 44.0  # greatest height of a picture
GAP = 5.0
WORDS = 10.5  # under a picture
LIGHT, DARK = "#d8d8d8", "#8a8a8a"  # gone before a pass, and where it goes


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One pass: its number and words, and the steps or lines from the first to before the last."""

    number: int
    title: str
    cutter: str
    first: int
    end: int


def draw_strip(
    scene: Scene, cuts: Sequence[Cut], stages: Sequence[Stage], name: str = "strip-"
) -> str | None:
    """Return the pictures of the passes that cut, as SVG; None where none does.

    Where a pass goes is dark; what is gone before it is light.

    Args:
        scene: what is drawn.
        cuts: all cuts of the run, in order.
        stages: the passes.
        name: begins the names of its parts, which a page must hold once only.
    """
    shown = [stage for stage in stages if any(_of(stage, cut) for cut in cuts)]
    if not shown:
        return None
    views = views_of(scene, CELL - 8.0, HIGH)
    sheet = Sheet(name)
    with sheet.kept("plan"):
        draw_plan_of(sheet, scene, views.plan, ())
    for stage in shown:
        with sheet.kept(f"pass-{stage.number}"):
            alike = [replace(cut, number=stage.number) for cut in cuts if _of(stage, cut)]
            draw_cuts(sheet, scene, views.plan, alike)
    box = sheet_box(views.plan, views.window)
    row = box.height + WORDS + GAP
    for index in range(len(shown)):
        at = (index % ACROSS) * (CELL + GAP), index // ACROSS * row
        _draw_stage(sheet, box, at, shown[: index + 1])
    rows = -(-len(shown) // ACROSS)
    wide = min(len(shown), ACROSS) * (CELL + GAP)
    return sheet.picture("The passes in order", (wide, rows * row))


def _of(stage: Stage, cut: Cut) -> bool:
    return stage.first <= cut.number < stage.end


def _draw_stage(sheet: Sheet, box: Box, at: Point, stages: Sequence[Stage]) -> None:
    """Draw the picture of the last of some passes, with its words, at a place of the sheet."""
    *before, now = stages
    with sheet.group("before", stroke=LIGHT):
        for stage in before:
            sheet.show(f"pass-{stage.number}", at)
    with sheet.group("now", stroke=DARK):
        sheet.show(f"pass-{now.number}", at)
    sheet.show("plan", at)
    words = f"{now.number}. {now.title}"
    for line, said in enumerate((words, now.cutter)):
        foot = (box.left + at[0], box.bottom + at[1] + SMALL + 2.4 + 3.6 * line)
        sheet.text(foot, shortened(said, CELL, SMALL), Lettering(SMALL, bold=line == 0))
