"""Turned work in the small pictures of its passes: the half section, and what each pass takes."""

from __future__ import annotations

from dataclasses import dataclass, field

from postprocessors.drawing.half_scene import HalfScene
from postprocessors.drawing.half_view import (
    draw_held,
    draw_metal,
    draw_outline,
    draw_threads,
    region_path,
)
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.sheet import CENTRE, NARROW, WIDE, Box, Pen, Sheet
from postprocessors.drawing.strip import CELL, HIGH, Paint, Stage

EDGE = 4.0  # about the half section, mm of the picture
BEHIND = 6.0  # of the bar behind the jaws' front, mm of the picture
BESIDE = 3.0  # of air
LEAST = Pen(0.8)  # about what a pass takes, so that the thinnest is seen


@dataclass(frozen=True, slots=True)
class HalfInSmall:
    """The half section in the small."""

    scene: HalfScene
    paint: Paint = "fill"
    _view: View = field(init=False, compare=False, repr=False)
    _window: Extent = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Fit the half section into a picture."""
        bare = self.scene.window(0.0, 0.0)
        room = CELL - 8.0 - BEHIND - BESIDE, HIGH - BESIDE
        scale = min(room[0] / (bare[2] - bare[0]), room[1] / bare[3])
        window = self.scene.window(BEHIND / scale, BESIDE / scale)
        view = View(scale, EDGE - window[0] * scale, EDGE + window[3] * scale)
        object.__setattr__(self, "_view", view)
        object.__setattr__(self, "_window", window)

    @property
    def box(self) -> Box:
        """Return the room of the half section."""
        return sheet_box(self._view, self._window)

    def cuts_in(self, stage: Stage) -> bool:
        """Return whether a pass takes something."""
        return any(stage.holds(each.number) for each in self.scene.taken)

    def draw_under(self, sheet: Sheet) -> None:
        """Draw the metal as it comes, hatched."""
        draw_metal(sheet, self._view, self.scene.comes, self._window[0], NARROW)

    def draw_pass(self, sheet: Sheet, stage: Stage) -> None:
        """Draw what a pass takes."""
        taken = self.scene.removed(stage.first, stage.end)
        sheet.path(region_path(self._view, taken), LEAST)

    def draw_over(self, sheet: Sheet) -> None:
        """Draw what holds the bar, and what is wanted."""
        draw_held(sheet, self._view, self.scene, self._window)
        draw_outline(sheet, self._view, self.scene, self._window[0], WIDE)
        draw_threads(sheet, self._view, self.scene)
        low, high = (self._view.at(z, 0.0) for z in self._window[::2])
        sheet.line(low, high, CENTRE)
