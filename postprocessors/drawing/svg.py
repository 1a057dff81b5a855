"""One setup drawn for the person at the machine: plan, section, passes and findings, as SVG."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.job import Job, JobSetup
from pathgen.moves.plan import Run
from pathgen.shop.cutters import Cutter
from postprocessors.drawing.marks import scale_bar
from postprocessors.drawing.notes import Entry, draw_notes, draw_title_block, entries, height_in
from postprocessors.drawing.paths import works_of
from postprocessors.drawing.plan_view import Margins, draw_plan, margins
from postprocessors.drawing.scale import SCALES, View
from postprocessors.drawing.scene import FindingLike, Scene
from postprocessors.drawing.section import (
    HEADING,
    LEFT,
    Section,
    draw_section,
    part_section,
    whole_section,
)
from postprocessors.drawing.sheet import NARROW, WIDE, Box, Sheet

FRAME = Box(20.0, 10.0, 287.0, 200.0)  # ISO 5457 (from memory): 20 mm to bind on, else 10 mm
TITLE = 22.5  # height of the title block
BAR = 8.0  # room for the scale bar under the views
INSET = 3.0  # from the frame to what is drawn
COLUMN = 74.0  # width of the notes beside the views
COLUMNS = 3  # of the notes under the views
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

    The plan and the section are in true proportion at a scale of ISO 5455. The group of class "plan"
    states its scale (``data-scale``) and the sheet's place of the zero (``data-zero``).

    Args:
        job: the job the setup belongs to.
        setup: which setup to draw.
        run: what its program or sheet does, in the setup's frame, mm.
        cutters: the crib, from which the points of the drills are taken by name.
        findings: what the check found; those with a place are flagged there, all are listed.

    Raises:
        Refusal: the part does not find room on the sheet at 1:50.
    """
    scene = Scene(
        job=job,
        setup=setup,
        works=works_of(run),
        cutters={cutter.name: cutter for cutter in cutters},
        findings=tuple(findings),
    )
    layout = _layout(scene)
    sheet = Sheet()
    sheet.rectangle(FRAME, WIDE)
    columns = layout.columns
    beside = columns == 1
    edge = (layout.notes.left - INSET, layout.notes.top - INSET)
    far = (edge[0], FRAME.bottom - TITLE) if beside else (FRAME.right, edge[1])
    sheet.line(edge if not beside else (edge[0], FRAME.top), far, NARROW)
    draw_title_block(sheet, scene, Box(*FRAME[:1], FRAME.bottom - TITLE, *FRAME[2:]), layout.scale)
    draw_notes(sheet, entries(scene, layout.notes.width / columns - INSET), layout.notes, columns)
    _draw_bar(sheet, scene, layout)
    draw_section(sheet, scene, layout.section, layout.section_at)
    draw_plan(sheet, layout.plan, scene, layout.views)
    return sheet.svg(f"{job.title}: {setup.name}")


def _draw_bar(sheet: Sheet, scene: Scene, layout: Layout) -> None:
    """Draw the scale bar of the plan at the foot of the views."""
    length = scene.units.bar(layout.scale)
    words = f"{scene.units.number(length)} {scene.job.units} in the plan"
    at = (layout.views.left + 1.0, layout.views.bottom + BAR - 3.0)
    scale_bar(sheet, at, length * layout.scale, words)


def _layout(scene: Scene) -> Layout:
    """Return the layout with the largest scale; of equal ones that with the notes at the side."""
    for scale in SCALES:
        around = margins(scene, scale)
        for views, notes, columns in _halves(scene):
            for layout in _arranged(scene, scale, around, (views, notes, columns)):
                return layout
    blank = scene.job.blank
    raise Refusal(
        scene.setup.where,
        f"draw a blank of {blank.length:g} x {blank.width:g} x {blank.thickness:g} mm on A4 at 1:50",
        "check the blank's sizes and the job's units",
    )


def _halves(scene: Scene) -> Iterator[tuple[Box, Box, int]]:
    """Yield how the sheet is shared between views and notes: side by side, one above the other."""
    inner = Box(
        FRAME.left + INSET, FRAME.top + INSET, FRAME.right - INSET, FRAME.bottom - TITLE - INSET
    )
    split = inner.right - COLUMN
    notes = Box(split + INSET, inner.top, inner.right, inner.bottom)
    yield Box(inner.left, inner.top, split - INSET, inner.bottom - BAR), notes, 1
    found: list[Entry] = entries(scene, inner.width / COLUMNS - INSET)
    top = inner.bottom - min(MOST_NOTES, height_in(found, COLUMNS) + 1.0)
    views = Box(inner.left, inner.top, inner.right, top - 2 * INSET - BAR)
    yield views, Box(inner.left, top, inner.right, inner.bottom), COLUMNS


def _arranged(
    scene: Scene, scale: float, around: Margins, share: tuple[Box, Box, int]
) -> Iterator[Layout]:
    """Yield the ways in which plan and section find room: the section under the plan, beside it."""
    views, notes, columns = share
    x0, y0, x1, y1 = scene.plan_window(scale)
    wide, high = (x1 - x0) * scale, (y1 - y0) * scale
    plan_high = around.top + high + around.bottom
    whole = whole_section(scene, scale)
    part = part_section(scene, scale)
    for section, aligned in ((whole, True), (part, False)):
        if section is None:
            continue
        left = max(around.left, LEFT if aligned else 0.0)
        right = max(around.right, section.right if aligned else 0.0)
        own = LEFT + section.body[0] + section.right
        needed = max(left + wide + right, 0.0 if aligned else own)
        if needed > views.width or plan_high + section.height > views.height:
            continue
        spare_x = (views.width - needed) / 2
        spare_y = (views.height - plan_high - section.height) / 3
        x, y = views.left + spare_x + left, views.top + spare_y + around.top
        foot = y + high + around.bottom + spare_y + HEADING
        plan = View(scale, x - x0 * scale, y + y1 * scale)
        corner = (x if aligned else views.left + (views.width - own) / 2 + LEFT, foot)
        yield Layout(
            scale=scale,
            views=views,
            notes=notes,
            columns=columns,
            plan=plan,
            section=section,
            section_at=corner,
        )
    own = around.left + wide + around.right + LEFT + part.body[0] + part.right
    if own <= views.width and max(plan_high, part.height) <= views.height:
        spare = (views.width - own) / 3
        x, y = (
            views.left + spare + around.left,
            views.top + (views.height - plan_high) / 2 + around.top,
        )
        plan = View(scale, x - x0 * scale, y + y1 * scale)
        corner = (
            x + wide + around.right + spare + LEFT,
            views.top + (views.height - part.height) / 2 + HEADING,
        )
        yield Layout(
            scale=scale,
            views=views,
            notes=notes,
            columns=columns,
            plan=plan,
            section=part,
            section_at=corner,
        )
