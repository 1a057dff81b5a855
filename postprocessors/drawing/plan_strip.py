"""Milled work in the small pictures of its passes: the plan, and each cut as wide as its cutter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from postprocessors.drawing.chart import Views, draw_cuts, draw_plan_of, views_of
from postprocessors.drawing.scale import sheet_box
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import Box, Sheet
from postprocessors.drawing.stages import Cut
from postprocessors.drawing.strip import CELL, HIGH, Paint, Stage


@dataclass(frozen=True, slots=True)
class PlanInSmall:
    """The plan in the small."""

    scene: Scene
    cuts: Sequence[Cut]  # all of the run, in order
    paint: Paint = "stroke"
    _views: Views = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Fit the plan into a picture."""
        object.__setattr__(self, "_views", views_of(self.scene, CELL - 8.0, HIGH))

    @property
    def box(self) -> Box:
        """Return the room of the plan."""
        return sheet_box(self._views.plan, self._views.window)

    def cuts_in(self, stage: Stage) -> bool:
        """Return whether a pass has cuts."""
        return any(stage.holds(cut.number) for cut in self.cuts)

    def draw_under(self, sheet: Sheet) -> None:
        """Draw nothing: what is wanted is looked at through the cuts."""

    def draw_pass(self, sheet: Sheet, stage: Stage) -> None:
        """Draw the cuts of a pass, alike so that those in a row become one."""
        own = [replace(cut, number=stage.number) for cut in self.cuts if stage.holds(cut.number)]
        draw_cuts(sheet, self.scene, self._views.plan, own)

    def draw_over(self, sheet: Sheet) -> None:
        """Draw the blank, what holds it, and what is wanted."""
        draw_plan_of(sheet, self.scene, self._views.plan, ())
