"""Turned work: its planner, its check, its drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pathgen.check.mates import with_plays
from pathgen.check.turning.check import check_turned
from pathgen.commands.page_parts import Parts, Shown
from pathgen.input.units import figure
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.plan.turning.planners import plan_turned_setup
from postprocessors.drawing.half_section import draw_turned
from postprocessors.drawing.turned_chart import draw_turned_chart
from postprocessors.page.pages import Pictures, as_image

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


def planned(place: Workplace) -> PlannedSetup:
    """Return the plan of a setup."""
    return plan_turned_setup(*of_lathe(place), place.machine, place.shop.crib)


def checked(place: Workplace, run: Run) -> Report:
    """Return what a run makes of the blank."""
    return check_turned(run, *of_lathe(place), place.machine, place.shop.crib, left=place.left)


def completed(report: Report, place: Workplace, file: str) -> Report:
    """Return the report of all cases with the plays of the mates."""
    return with_plays(report, *of_lathe(place), file)


def blank_words(job: AnyJob) -> str:
    """Return what the blank is."""
    assert isinstance(job, TurnedJob), "milled work has a module of its own"
    across, length = (figure(each, job.units) for each in (job.blank.diameter, job.blank.length))
    return f"{job.blank.material}, round {across} {TIMES} {length} {job.units}"


def shown(proof: Proof, parts: Parts) -> Shown:
    """Return what a page shows of a setup."""
    job, setup = of_lathe(proof.place)
    machine = proof.place.machine
    pictures = Pictures(
        chart=draw_turned_chart(job, setup, proof.run, parts.card_of),
        views=as_image(draw_turned(job, setup, proof.run, machine), "Half section"),
        views_said="The half section, not to scale.",
    )
    return Shown(blank_words(job), setup.hold.called, pictures, ())


def strip(proof: Proof, parts: Parts, name: str) -> str:
    """Return nothing: passes in the half plane are not drawn one by one."""
    return ""


def drawing(proof: Proof, headings: Sequence[Heading]) -> str:
    """Return the drawing of what was made, as SVG."""
    job, setup = of_lathe(proof.place)
    return draw_turned(job, setup, proof.run, proof.place.machine)
