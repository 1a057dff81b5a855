"""Turned work: its planner, its check, its drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from shapely import union_all

from pathgen.check.findings import listed
from pathgen.check.mates import with_plays
from pathgen.check.turning.check import check_turned
from pathgen.check.turning.stages import stages_of_turning
from pathgen.commands.page_parts import Parts, Shown, stages_of_run
from pathgen.input.units import figure
from pathgen.job.held_on import held_on, keep_outs
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.moves.actions import Spindle
from pathgen.moves.plan import joined
from pathgen.plan.turning.planners import plan_turned_setup
from postprocessors.drawing.half_scene import HalfScene
from postprocessors.drawing.half_section import draw_printed_section, draw_turned
from postprocessors.drawing.half_strip import HalfInSmall
from postprocessors.drawing.on_faceplate import draw_on_faceplate
from postprocessors.drawing.strip import draw_strip, draw_strip_apart
from postprocessors.drawing.turned_chart import draw_turned_chart
from postprocessors.page.pages import Pictures

if TYPE_CHECKING:
    from pathgen.check.findings import Report
    from pathgen.commands.proving import Proof, Workplace
    from pathgen.job.named import AnyJob
    from pathgen.moves.plan import Heading, PlannedSetup, Run

TIMES = "\N{MULTIPLICATION SIGN}"


def of_lathe(place: Workplace) -> tuple[TurnedJob, TurnedSetup]:
    """Return the job and the setup of a workplace where something is turned."""
    job, setup = place.job, place.setup
    assert isinstance(job, TurnedJob), "milled work has a module of its own"
    assert isinstance(setup, TurnedSetup), "so have its setups"
    return job.at(setup), setup


def planned(place: Workplace, begins_at: int = 0) -> PlannedSetup:
    """Return the plan of a setup, or of what is left of it from a pass on."""
    return plan_turned_setup(*of_lathe(place), place.machine, place.shop.crib, begins_at)


def stopped(plan: PlannedSetup, made: int) -> PlannedSetup:
    """Return the plan of the first passes, the spindle then stopped."""
    return replace(plan, passes=plan.passes[:made], after=(Spindle(rpm=0.0),))


def checked(place: Workplace, run: Run) -> Report:
    """Return what a run makes of the blank."""
    return check_turned(run, *of_lathe(place), place.machine, place.shop.crib, left=place.left)


def completed(report: Report, place: Workplace, file: str) -> Report:
    """Return the report of all cases with the plays of the mates."""
    return with_plays(report, *of_lathe(place), file)


def blank_words(job: AnyJob) -> str:
    """Return what the blank is."""
    assert isinstance(job, TurnedJob), "milled work has a module of its own"
    if job.flat is not None:
        sizes = (job.flat.length, job.flat.width, job.flat.thickness)
        size = f" {TIMES} ".join(figure(each, job.units) for each in sizes)
        return f"{job.blank.material}, flat {size} {job.units}"
    across, length = (figure(each, job.units) for each in (job.blank.diameter, job.blank.length))
    return f"{job.blank.material}, round {across} {TIMES} {length} {job.units}"


def scene(proof: Proof) -> HalfScene:
    """Return what the drawings of a proof show."""
    place = proof.place
    job, setup = of_lathe(place)
    crib = place.shop.crib
    run = proof.run if proof.done is None else joined(proof.done, proof.run)
    stages = stages_of_turning(run, job, setup, place.machine, crib, left=place.left)
    own = tuple(each for each in stages.taken if each.number)  # not by the passes before a stop
    earlier = [each.metal for each in stages.taken if not each.number]
    comes = stages.comes.difference(union_all(earlier)) if earlier else stages.comes
    return HalfScene(
        job=job,
        setup=setup,
        machine=place.machine.title,
        held=keep_outs(job, setup, held_on(setup, place.machine)),
        comes=comes,
        taken=own,
        left=stages.left,
        findings=listed(proof.report.findings),
    )


def shown(proof: Proof, parts: Parts) -> Shown:
    """Return what a page shows of a setup."""
    drawn = scene(proof)
    stages = parts.stages(proof.run)
    pictures = Pictures(
        chart=draw_turned_chart(drawn, parts.card_of),
        views=draw_printed_section(drawn, stages),
        strip=draw_strip_apart(HalfInSmall(drawn), stages),
        strip_said="Hatched: what is left.",
    )
    job, setup = of_lathe(proof.place)
    return Shown(blank_words(job), setup.hold.called, pictures, ())


def strip(proof: Proof, parts: Parts, name: str) -> str:
    """Return the pictures of all passes for a page, whose parts have names that begin so."""
    return draw_strip_apart(HalfInSmall(scene(proof)), parts.stages(proof.run), name)


def passes(proof: Proof, parts: Parts) -> str:
    """Return the pictures of all passes as one drawing, as SVG; or nothing."""
    return draw_strip(HalfInSmall(scene(proof)), parts.stages(proof.run)) or ""


def drawing(proof: Proof, headings: Sequence[Heading]) -> str:
    """Return the drawing of what was made, as SVG, its passes under their headings."""
    job, setup = of_lathe(proof.place)
    if job.flat is not None:
        return draw_on_faceplate(job, setup, proof.run, proof.place.machine)
    return draw_turned(scene(proof), stages_of_run(headings, proof.run))
