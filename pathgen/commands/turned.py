"""Turned work: its planner, its check, its drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pathgen.check.mates import with_plays
from pathgen.check.turning.check import check_turned
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.plan.turning.planners import plan_turned_setup
from postprocessors.drawing.half_section import draw_turned

if TYPE_CHECKING:
    from pathgen.check.findings import Report
    from pathgen.commands.proving import Proof, Workplace
    from pathgen.moves.plan import Heading, PlannedSetup, Run


def of_lathe(place: Workplace) -> tuple[TurnedJob, TurnedSetup]:
    """Return the job and the setup of a workplace where something is turned."""
    job, setup = place.job, place.setup
    assert isinstance(job, TurnedJob), "milled work has a module of its own"
    assert isinstance(setup, TurnedSetup), "so have its setups"
    return job, setup


def planned(place: Workplace) -> PlannedSetup:
    """Return the plan of a setup."""
    return plan_turned_setup(*of_lathe(place), place.machine, place.shop.crib)


def checked(place: Workplace, run: Run) -> Report:
    """Return what a run makes of the blank."""
    return check_turned(run, *of_lathe(place), place.machine, place.shop.crib)


def completed(report: Report, place: Workplace, file: str) -> Report:
    """Return the report of all cases with the plays of the mates."""
    return with_plays(report, *of_lathe(place), file)


def drawing(proof: Proof, headings: Sequence[Heading]) -> str:
    """Return the drawing of what was made, as SVG."""
    job, setup = of_lathe(proof.place)
    return draw_turned(job, setup, proof.run, proof.place.machine)
