"""One setup drawn for the person at the machine: plan, section, passes and findings, as SVG."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from pathgen.input.where import Refusal
from pathgen.job.job import Job, JobSetup
from pathgen.moves.plan import Run
from pathgen.shop.cutters import Cutter
from postprocessors.drawing.dimensions import Margins
from postprocessors.drawing.found import FindingLike
from postprocessors.drawing.frame import BAR, COLUMN, FRAME, INSET, TITLE, draw_frame
from postprocessors.drawing.marks import scale_bar
from postprocessors.drawing.notes import Entry, draw_notes, height_in
from postprocessors.drawing.plan_dimensions import margins
from postprocessors.drawing.plan_view import draw_plan
from postprocessors.drawing.scale import SCALES, Extent, View
from postprocessors.drawing.scene import Scene, scene_of
from postprocessors.drawing.scene_notes import entries, title_rows
from postprocessors.drawing.section import draw_section
from postprocessors.drawing.section_window import (
    HEADING,
    LEFT,
    Section,
    part_sections,
    whole_section,
)
from postprocessors.drawing.sheet import NARROW, Box, Point, Sheet

COLUMNS = 3  # of the notes under the views
MOST_BESIDE = 2  # columns of the notes beside the views
TRIED_SCALES = 2  # one step smaller is taken if the notes then have room
MOST_NOTES = 78.0  # greatest height of the notes under the views


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where everything stands: boxes on the sheet, the plan's view, the section and its corner."""

    scale: float
    views: Box
    notes: Box
    columns: int
    plan: View
    section: Section
    section_at: tuple[float, float]


def draw_setup(
    job: Job,
    setup: JobSetup,
    run: Run,
    cutters: Sequence[Cutter],
    findings: Sequence[FindingLike] = (),
) -> str:
    """Return an A4 drawing of one setup as a self-contained SVG, lengths in the job's units.

    The plan and the section are in true proportion at a scale of ISO 5455. The group of class
    "plan" states its scale (``data-scale``) and the sheet's place of the zero (``data-zero``).

    Args:
        job: the job the setup belongs to.
        setup: which setup to draw.
        run: what its program or sheet does, in the setup's frame, mm.
        cutters: the crib, from which the points of the drills are taken by name.
        findings: what the check found; those with a place are flagged there, all are listed.

    Raises:
        Refusal: the part does not find room on the sheet at 1:50.
    """
    scene = scene_of(job, setup, run, cutters, findings)
    layout = _layout(scene)
    sheet = Sheet()
    draw_frame(sheet, title_rows(scene, layout.scale))
    columns = layout.columns
    beside = layout.notes.left > layout.views.right
    edge = (layout.notes.left - INSET, layout.notes.top - INSET)
    far = (edge[0], FRAME.bottom - TITLE) if beside else (FRAME.right, edge[1])
    sheet.line(edge if not beside else (edge[0], FRAME.top), far, NARROW)
    title = f"{job.title}: {setup.name}"
    draw_notes(sheet, partial(entries, scene), layout.notes, columns, title)
    draw_views(sheet, scene, layout)
    return sheet.svg(title)


def draw_views(sheet: Sheet, scene: Scene, layout: Layout) -> None:
    """Draw the plan, the section and the scale bar where a layout has them."""
    _draw_bar(sheet, scene, layout)
    draw_section(sheet, scene, layout.section, layout.section_at)
    draw_plan(sheet, layout.plan, scene, layout.views)


def _draw_bar(sheet: Sheet, scene: Scene, layout: Layout) -> None:
    """Draw the scale bar of the plan at the foot of the views."""
    length = scene.units.bar(layout.scale)
    words = f"{scene.units.number(length)} {scene.job.units} (plan)"
    at = (layout.views.left + 1.0, layout.views.bottom + BAR - 3.0)
    scale_bar(sheet, at, length * layout.scale, words)


def _layout(scene: Scene) -> Layout:
    """Return the layout at the largest scale; of equal ones the one that shows most.

    One in which the notes have room goes before another, if the scale is at most one step smaller.
    """
    found: list[list[Layout]] = []
    for scale in SCALES:
        layouts = list(_layouts(scene, scale))
        if layouts:
            found.append(layouts)
        if len(found) == TRIED_SCALES or (found and _with_all_notes(scene, found[-1])):
            break
    for layouts in found:
        with_notes = _with_all_notes(scene, layouts)
        if with_notes is not None:
            return with_notes
    if found:
        return found[0][0]
    blank = scene.job.blank
    raise Refusal(
        scene.setup.where,
        f"cannot draw a blank of {blank.length:g} x {blank.width:g} x {blank.thickness:g} mm on A4",
        "check the blank's sizes and the job's units; the least scale is 1:50",
    )


def _with_all_notes(scene: Scene, layouts: list[Layout]) -> Layout | None:
    """Return the first of some layouts in which all the notes have room."""
    for layout in layouts:
        width = layout.notes.width / layout.columns - INSET
        if height_in(entries(scene, width), layout.columns) <= layout.notes.height:
            return layout
    return None


def _layouts(scene: Scene, scale: float) -> Iterator[Layout]:
    """Yield the layouts that find room: first those with the whole section under the plan."""
    around, halves = margins(scene, scale), tuple(_halves(scene))
    window = scene.plan_window(scale)
    rooms = [Room(scale, window, around, views, notes, columns) for views, notes, columns in halves]
    yield from arranged(scene, rooms)


def arranged(scene: Scene, rooms: Sequence[Room]) -> Iterator[Layout]:
    """Yield the layouts that find room, those with the whole section under the plan first."""
    scale = rooms[0].scale
    whole = whole_section(scene, scale)
    for room in rooms:
        yield from room.whole(whole)
    for room in rooms:
        for part in part_sections(scene, scale):
            yield from room.under(part)
            yield from room.beside(part)


def _halves(scene: Scene) -> Iterator[tuple[Box, Box, int]]:
    """Yield how the sheet is shared between views and notes: side by side, one above the other.

    Where the views are small enough, many notes stand beside them in more than one column.
    """
    inner = Box(
        FRAME.left + INSET, FRAME.top + INSET, FRAME.right - INSET, FRAME.bottom - TITLE - INSET
    )
    yield _side_by_side(inner, 1)
    found: list[Entry] = entries(scene, inner.width / COLUMNS - INSET)
    top = inner.bottom - min(MOST_NOTES, height_in(found, COLUMNS) + 1.0)
    views = Box(inner.left, inner.top, inner.right, top - 2 * INSET - BAR)
    yield views, Box(inner.left, top, inner.right, inner.bottom), COLUMNS
    yield _side_by_side(inner, MOST_BESIDE)


def _side_by_side(inner: Box, columns: int) -> tuple[Box, Box, int]:
    """Return the boxes of views and notes, the notes to the right in so many columns."""
    split = inner.right - COLUMN * columns
    views = Box(inner.left, inner.top, split - INSET, inner.bottom - BAR)
    return views, Box(split + INSET, inner.top, inner.right, inner.bottom), columns


class Room(NamedTuple):
    """The room for the plan and its section at one scale, and the ways to arrange them in it."""

    scale: float
    window: Extent
    around: Margins
    views: Box
    notes: Box
    columns: int

    @property
    def wide(self) -> float:
        """Return the width of the plan's window on the sheet, mm."""
        return (self.window[2] - self.window[0]) * self.scale

    @property
    def high(self) -> float:
        """Return the height of the plan with its dimensions, mm."""
        window = (self.window[3] - self.window[1]) * self.scale
        return self.around.top + window + self.around.bottom

    def whole(self, section: Section | None) -> Iterator[Layout]:
        """Yield the section as wide as the plan, under it and in line with it."""
        if section is None:
            return
        left, right = max(self.around.left, LEFT), max(self.around.right, section.right)
        spare_x = (self.views.width - left - self.wide - right) / 2
        spare_y = (self.views.height - self.high - section.height) / 3
        if min(spare_x, spare_y) >= 0:
            x = self.views.left + spare_x + left
            y = self.views.top + spare_y + self.high + spare_y + HEADING
            yield self._layout((x, self.views.top + spare_y), section, (x, y))

    def under(self, section: Section) -> Iterator[Layout]:
        """Yield a section in part under the plan."""
        own = LEFT + section.body[0] + section.right
        spare_x = (self.views.width - self.around.left - self.wide - self.around.right) / 2
        spare_y = (self.views.height - self.high - section.height) / 3
        if min(spare_x, spare_y, self.views.width - own) >= 0:
            x = self.views.left + spare_x + self.around.left
            across = self.views.left + (self.views.width - own) / 2 + LEFT
            y = self.views.top + spare_y + self.high + spare_y + HEADING
            yield self._layout((x, self.views.top + spare_y), section, (across, y))

    def beside(self, section: Section) -> Iterator[Layout]:
        """Yield a section in part to the right of the plan."""
        plan = self.around.left + self.wide + self.around.right
        spare_x = (self.views.width - plan - LEFT - section.body[0] - section.right) / 3
        spare_y = (self.views.height - self.high) / 2
        below = (self.views.height - section.height) / 2
        if min(spare_x, spare_y, below) >= 0:
            x = self.views.left + spare_x + self.around.left
            across = self.views.left + 2 * spare_x + plan + LEFT
            corner = (across, self.views.top + below + HEADING)
            yield self._layout((x, self.views.top + spare_y), section, corner)

    def _layout(self, plan: Point, section: Section, corner: Point) -> Layout:
        """Return the layout with the left edge and the top of the plan's room at a place."""
        x0, _, _, y1 = self.window
        foot = plan[1] + self.around.top + y1 * self.scale
        return Layout(
            scale=self.scale,
            views=self.views,
            notes=self.notes,
            columns=self.columns,
            plan=View(self.scale, plan[0] - x0 * self.scale, foot),
            section=section,
            section_at=corner,
        )
