"""All passes side by side as small pictures: what is gone before each, and what it takes."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Literal, Protocol, TypeAlias

from postprocessors.drawing.lettering import SMALL, shortened
from postprocessors.drawing.sheet import Box, Lettering, Point, Sheet

CELL, ACROSS = 58.0, 3  # width of a picture, and how many stand in a row
HIGH = 44.0  # greatest height of a picture
GAP = 5.0
WORDS = 10.5  # under a picture
BETWEEN = 3.0  # pictures that a page lays out: three of them stand in a row on paper
LIGHT, DARK = "#d8d8d8", "#8a8a8a"  # gone before a pass, and where it goes
Paint: TypeAlias = Literal["stroke", "fill"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One pass: its number and words, and the steps or lines from the first to before the last."""

    number: int
    title: str
    cutter: str
    first: int
    end: int

    def holds(self, number: int) -> bool:
        """Return whether a step or a line is one of its own."""
        return self.first <= number < self.end


class Small(Protocol):
    """How a kind of work is shown in the small: what lies under the passes, a pass, what is over.

    The passes are painted light or dark, by strokes as wide as the cutter or as filled areas.
    """

    @property
    def paint(self) -> Paint:
        """Return how a pass takes its colour."""

    @property
    def box(self) -> Box:
        """Return the room of a picture, mm, about its own zero."""

    def cuts_in(self, stage: Stage) -> bool:
        """Return whether there is something to show of a pass."""

    def draw_under(self, sheet: Sheet) -> None:
        """Draw what lies under the passes."""

    def draw_pass(self, sheet: Sheet, stage: Stage) -> None:
        """Draw where a pass goes."""

    def draw_over(self, sheet: Sheet) -> None:
        """Draw what lies over the passes."""


def draw_strip(small: Small, stages: Sequence[Stage], name: str = "strip-") -> str | None:
    """Return the pictures of the passes that cut, as one SVG; None where none does.

    Where a pass goes is dark; what is gone before it is light.

    Args:
        small: how the work is shown.
        stages: the passes.
        name: begins the names of its parts, which a page must hold once only.
    """
    shown = [stage for stage in stages if small.cuts_in(stage)]
    if not shown:
        return None
    sheet = Sheet(name)
    _keep_parts(sheet, small, shown)
    row = small.box.height + WORDS + GAP
    for index in range(len(shown)):
        at = (index % ACROSS) * (CELL + GAP), index // ACROSS * row
        _draw_stage(sheet, small, at, shown[: index + 1])
    rows = -(-len(shown) // ACROSS)
    wide = min(len(shown), ACROSS) * (CELL + GAP)
    return sheet.picture("The passes in order", (wide, rows * row))


def draw_strip_apart(small: Small, stages: Sequence[Stage], name: str = "strip-") -> str:
    """Return the pictures of the passes that cut, an SVG each, for a page to lay out; or nothing.

    Before them stands one that shows nothing: the parts that they are put together from.
    """
    shown = [stage for stage in stages if small.cuts_in(stage)]
    if not shown:
        return ""
    parts = Sheet(name)
    _keep_parts(parts, small, shown)
    pictures = [parts.picture("Parts of the pictures", (0.0, 0.0))]
    for index, stage in enumerate(shown):
        sheet = Sheet(name)
        _draw_stage(sheet, small, (0.0, 0.0), shown[: index + 1])
        size = CELL + BETWEEN, small.box.bottom + WORDS
        pictures.append(sheet.picture(f"{stage.number}. {stage.title}", size))
    return "".join(pictures)  # without a gap, which would take room between them


def _keep_parts(sheet: Sheet, small: Small, stages: Sequence[Stage]) -> None:
    """Keep what the pictures are put together from."""
    with sheet.kept("under"):
        small.draw_under(sheet)
    with sheet.kept("over"):
        small.draw_over(sheet)
    for stage in stages:
        with sheet.kept(f"pass-{stage.number}"):
            small.draw_pass(sheet, stage)


def _draw_stage(sheet: Sheet, small: Small, at: Point, stages: Sequence[Stage]) -> None:
    """Draw the picture of the last of some passes, with its words, at a place of the sheet."""
    *before, now = stages
    sheet.show("under", at)
    with _painted(sheet, small, "before", LIGHT):
        for stage in before:
            sheet.show(f"pass-{stage.number}", at)
    with _painted(sheet, small, "now", DARK):
        sheet.show(f"pass-{now.number}", at)
    sheet.show("over", at)
    words = f"{now.number}. {now.title}"
    for line, said in enumerate((words, now.cutter)):
        foot = (small.box.left + at[0], small.box.bottom + at[1] + SMALL + 2.4 + 3.6 * line)
        sheet.text(foot, shortened(said, CELL, SMALL), Lettering(SMALL, bold=line == 0))


def _painted(sheet: Sheet, small: Small, kind: str, colour: str) -> AbstractContextManager[None]:
    """Keep together what is painted in a colour."""
    if small.paint == "stroke":
        return sheet.group(kind, stroke=colour)
    return sheet.group(f"{kind} filled", stroke=colour, fill=colour)
