"""Milled work: its planner, its check, its drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pathgen.check.check import check_setup
from pathgen.check.mates import with_plays
from pathgen.commands.page_parts import Parts, Shown
from pathgen.input.units import figure
from pathgen.job.job import Job, JobSetup
from pathgen.moves.moves import Rapid
from pathgen.moves.on_table import seen_from_the_work
from pathgen.moves.set_over import seen_from_set_over
from pathgen.plan.planners import plan_setup
from postprocessors.drawing.chart import draw_chart
from postprocessors.drawing.plan_strip import PlanInSmall
from postprocessors.drawing.printed_views import draw_printed_views
from postprocessors.drawing.scene import Scene, scene_of
from postprocessors.drawing.stages import stages_of
from postprocessors.drawing.strip import draw_strip, draw_strip_apart
from postprocessors.drawing.svg import draw_setup
from postprocessors.drawing.touch_sketch import draw_touches
from postprocessors.page.pages import Pictures

if TYPE_CHECKING:
    from pathgen.check.findings import Report
    from pathgen.commands.proving import Proof, Workplace
    from pathgen.job.named import AnyJob
    from pathgen.moves.plan import Heading, PlannedSetup, Run

TIMES = "\N{MULTIPLICATION SIGN}"


def of_mill(place: Workplace) -> tuple[Job, JobSetup]:
    """Return the job and the setup of a workplace where something is milled."""
    job, setup = place.job, place.setup
    assert isinstance(job, Job), "turned work has a module of its own"
    assert isinstance(setup, JobSetup), "so have its setups"
    return job, setup


def planned(place: Workplace, begins_at: int = 0) -> PlannedSetup:
    """Return the plan of a setup, or of what is left of it from a pass on."""
    return plan_setup(*of_mill(place), place.machine, place.shop.crib, begins_at)


def stopped(plan: PlannedSetup, made: int) -> PlannedSetup:
    """Return the plan of the first passes, the cutter then drawn up for hands, as it is left."""
    up = next(item for item in plan.after if isinstance(item, Rapid))
    after = (Rapid(math.nan, math.nan, up.z, up.how),)
    return replace(plan, passes=plan.passes[:made], after=after)


def checked(place: Workplace, run: Run) -> Report:
    """Return what a run makes of the blank."""
    return check_setup(run, *of_mill(place), place.machine, place.shop.cutters, left=place.left)


def completed(report: Report, place: Workplace, file: str) -> Report:
    """Return the report of all cases with the plays of the mates."""
    return with_plays(report, *of_mill(place), file)


def blank_words(job: AnyJob) -> str:
    """Return what the blank is."""
    assert isinstance(job, Job), "turned work has a module of its own"
    blank = job.blank
    sizes = [blank.length, blank.width, blank.thickness]
    if blank.is_shaft:
        sizes = [blank.thickness, blank.length]
    size = f" {TIMES} ".join(figure(each, job.units) for each in sizes)
    return f"{blank.material}, {'round ' if blank.is_shaft else ''}{size} {job.units}"


def run_seen(proof: Proof) -> Run:
    """Return a run as the work sees it: where a table turns the work, the cutter goes round."""
    setup = of_mill(proof.place)[1]
    if setup.set_over is not None:
        return seen_from_set_over(proof.run, setup.set_over.angle_deg)
    return proof.run if setup.table is None else seen_from_the_work(proof.run, setup.table.centre)


def scene(proof: Proof, parts: Parts) -> Scene:
    """Return what the drawings of a proof show."""
    run = replace(run_seen(proof), headings=parts.headings)
    return scene_of(*of_mill(proof.place), run, proof.place.shop.cutters)


def shown(proof: Proof, parts: Parts) -> Shown:
    """Return what a page shows of a setup."""
    drawn = scene(proof, parts)
    cuts, stands = stages_of(run_seen(proof), drawn.cutters, drawn.high[2])
    by_card = [replace(cut, number=parts.card_of(cut.number)) for cut in cuts]
    pictures = Pictures(
        chart=draw_chart(drawn, by_card),
        views=draw_printed_views(drawn) or "",
        sketch=draw_touches(drawn, proof.run) or "",
        strip=draw_strip_apart(PlanInSmall(drawn, cuts), parts.stages(proof.run)),
    )
    job, setup = of_mill(proof.place)
    return Shown(blank_words(job), _hold_words(setup), pictures, stands)


def _hold_words(setup: JobSetup) -> str:
    """Return how the work is held; of work set over also that it is drawn as it lies before."""
    if setup.set_over is None:
        return setup.hold.how
    angle = f"{abs(setup.set_over.angle_deg):.10g} degrees {setup.set_over.way}"
    return f"{setup.hold.how}, set over {angle}; drawn as it lies before that"


def strip(proof: Proof, parts: Parts, name: str) -> str:
    """Return the pictures of all passes for a page, whose parts have names that begin so."""
    return draw_strip_apart(_in_small(proof, parts), parts.stages(proof.run), name)


def passes(proof: Proof, parts: Parts) -> str:
    """Return the pictures of all passes as one drawing, as SVG; or nothing."""
    return draw_strip(_in_small(proof, parts), parts.stages(proof.run)) or ""


def _in_small(proof: Proof, parts: Parts) -> PlanInSmall:
    drawn = scene(proof, parts)
    return PlanInSmall(drawn, stages_of(run_seen(proof), drawn.cutters, drawn.high[2])[0])


def drawing(proof: Proof, headings: Sequence[Heading]) -> str:
    """Return the drawing of what was made, as SVG, its passes under their headings."""
    from pathgen.check.findings import listed  # noqa: PLC0415

    job, setup = of_mill(proof.place)
    run = replace(run_seen(proof), headings=tuple(headings))
    return draw_setup(job, setup, run, proof.place.shop.cutters, listed(proof.report.findings))
