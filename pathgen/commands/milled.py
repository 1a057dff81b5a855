"""Milled work: its planner, its check, its drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pathgen.check.check import check_setup
from pathgen.check.mates import with_plays
from pathgen.job.job import Job, JobSetup
from pathgen.plan.planners import plan_setup
from postprocessors.drawing.svg import draw_setup

if TYPE_CHECKING:
    from pathgen.check.findings import Report
    from pathgen.commands.proving import Proof, Workplace
    from pathgen.moves.plan import Heading, PlannedSetup, Run


def of_mill(place: Workplace) -> tuple[Job, JobSetup]:
    """Return the job and the setup of a workplace where something is milled."""
    job, setup = place.job, place.setup
    assert isinstance(job, Job), "turned work has a module of its own"
    assert isinstance(setup, JobSetup), "so have its setups"
    return job, setup


def planned(place: Workplace) -> PlannedSetup:
    """Return the plan of a setup."""
    return plan_setup(*of_mill(place), place.machine, place.shop.crib)


def checked(place: Workplace, run: Run) -> Report:
    """Return what a run makes of the blank."""
    return check_setup(run, *of_mill(place), place.machine, place.shop.cutters, left=place.left)


def completed(report: Report, place: Workplace, file: str) -> Report:
    """Return the report of all cases with the plays of the mates."""
    return with_plays(report, *of_mill(place), file)


def drawing(proof: Proof, headings: Sequence[Heading]) -> str:
    """Return the drawing of what was made, as SVG, its passes under their headings."""
    from pathgen.check.findings import listed  # noqa: PLC0415

    job, setup = of_mill(proof.place)
    run = replace(proof.run, headings=tuple(headings))
    return draw_setup(job, setup, run, proof.place.shop.cutters, listed(proof.report.findings))
