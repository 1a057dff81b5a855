"""Screw-cut parts as made on the shipped lathes, for tests: one case of a sheet is followed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pathgen.check.findings import Report
from pathgen.check.turning.check import check_turned
from pathgen.input.where import Faults
from pathgen.job.load import load_job
from pathgen.job.turning.turned import TurnedJob, TurnedSetup
from pathgen.moves.plan import PlannedSetup, Run
from pathgen.plan.turning.planners import plan_turned_setup
from pathgen.shop.machines import Machine
from postprocessors.dials.cases import Case
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from postprocessors.dials.replay import replay
from postprocessors.dials.writer import write_sheet
from postprocessors.gcode.turned_reader import read_turned_program
from postprocessors.gcode.turned_writer import write_turned_program
from tests.read_jobs import the_shop

SCREW = Path(__file__).parents[1] / "jobs" / "adjusting-screw.toml"
NUT = SCREW.with_name("spindle-nut.toml")


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A setup of a job on a lathe: its plan, its sheet or program, and what that does."""

    job: TurnedJob
    machine: Machine
    plan: PlannedSetup
    text: str
    run: Run
    report: Report

    @property
    def setup(self) -> TurnedSetup:
        return self.job.setups[0]


@cache
def screw(machine: str) -> Made:
    """Return the screw as made on a lathe."""
    return made(_read(SCREW), the_shop().machines[machine])


@cache
def nut(machine: str) -> Made:
    """Return the spindle nut as made on a lathe."""
    return made(_read(NUT), the_shop().machines[machine])


def screw_of(folder: Path, machine: str, *changes: tuple[str, str]) -> Made:
    """Return the screw as made from a job in which words were changed.

    Raises:
        Refusal: it cannot be made.
    """
    return _changed(SCREW, folder, machine, changes)


def nut_of(folder: Path, machine: str, *changes: tuple[str, str]) -> Made:
    """Return the nut as made from a job in which words were changed.

    Raises:
        Refusal: it cannot be made.
    """
    return _changed(NUT, folder, machine, changes)


def _changed(job: Path, folder: Path, machine: str, changes: tuple[tuple[str, str], ...]) -> Made:
    text = job.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    path = folder / job.name
    path.write_text(text, encoding="utf-8")
    return made(_read(path), the_shop().machines[machine])


def _read(path: Path) -> TurnedJob:
    faults = Faults()
    job = load_job(path, faults)
    faults.raise_any()
    assert isinstance(job, TurnedJob)
    return job


def made(job: TurnedJob, machine: Machine) -> Made:
    """Return a job as made on a lathe."""
    plan = plan_turned_setup(job, job.setups[0], machine, the_shop().crib)
    if machine.manual:
        text = dump_sheet(write_sheet(plan, machine, job.units))
    else:
        text = write_turned_program(plan, machine)
    run = _run(machine, text)
    report = check_turned(run, job, job.setups[0], machine, the_shop().crib)
    return Made(job=job, machine=machine, plan=plan, text=text, run=run, report=report)


def _run(machine: Machine, text: str) -> Run:
    """Return what a program does, or a sheet in one case of the slack."""
    if machine.control is not None:
        return read_turned_program(text, x_words=machine.control.x_words)
    return replay(load_sheet(text, "edited"), machine, Case(play=-1, slack=0), file="edited")


def codes_of(machine: str, text: str) -> set[str]:
    """Return the codes of what is found in an edited program or sheet of the screw."""
    return codes_in(screw(machine), text)


def codes_in(known: Made, text: str) -> set[str]:
    """Return the codes of what is found in an edited program or sheet, cautions left out."""
    run = _run(known.machine, text)
    report = check_turned(run, known.job, known.setup, known.machine, the_shop().crib)
    return {each.code for each in report.findings if each.severity == "finding"}
