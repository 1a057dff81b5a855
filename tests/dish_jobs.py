"""The swivel seat's dish on each kind of machine, and what an edit of its sheet or program does."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from pathgen.check.findings import Finding, Report
from pathgen.commands.proving import prove_setup, prove_text
from pathgen.commands.workplace import Proof, Workplace
from pathgen.job.job import Job
from pathgen.shop.machines import Machine
from tests.read_jobs import changed, job_from, reading, the_shop

SEAT = Path(__file__).parents[1] / "jobs" / "swivel-seat.toml"
Changes = tuple[tuple[str, str], ...]


def seat_job(*changes: tuple[str, str], mated: bool = True) -> Job:
    """Return the swivel seat, with changes of its text, with what lies in it or without."""
    text = SEAT.read_text(encoding="utf-8")
    text = text if mated else text.partition("[[mate]]")[0]
    return job_from(changed(text, *changes), SEAT.stem)


def seat_errors(*changes: tuple[str, str]) -> str:
    """Return all that is wrong with the swivel seat's job once its text was changed."""
    _, errors = reading(changed(SEAT.read_text(encoding="utf-8"), *changes), SEAT.stem)
    return "\n".join(str(error) for error in errors)


def place_of(job: Job, machine: Machine) -> Workplace:
    """Return the first setup of a job on a machine."""
    return Workplace(job=job, setup=job.setups[0], machine=machine, shop=the_shop())


@cache
def dish_on(machine: str, changes: Changes = ()) -> Proof:
    """Return the dish as made on a machine, proved."""
    place = place_of(seat_job(*changes), the_shop().machines[machine])
    proof = prove_setup(place, lambda _: None)
    assert proof.report.ok, proof.report.findings
    return proof


@cache
def dish_by_head(feeds: str, machine: str = "bench-mill-metric") -> Proof:
    """Return the dish on a machine whose head tilts, fed by its knee or its quill."""
    own = the_shop().machines[machine]
    assert own.tilt is not None
    head = replace(own.tilt, part="head", name="head", feeds=feeds, leans="right")  # type: ignore[arg-type]
    place = place_of(seat_job(), replace(own, tilt=head))
    return prove_setup(place, lambda _: None)


def report_of(proof: Proof, text: str) -> Report:
    """Return the report of an edited text."""
    return prove_text(proof.place, text, "edited", lambda _: None).report


def wrong(report: Report) -> list[Finding]:
    """Return the findings that are no cautions."""
    return [each for each in report.findings if each.severity == "finding"]


def sheet_edited(edit: Callable[[list[dict[str, Any]]], None], proof: Proof) -> Report:
    """Return the report of a sheet whose steps were edited; they are numbered anew."""
    sheet = json.loads(proof.text)
    steps: list[dict[str, Any]] = sheet["steps"]
    firsts = {each["first"]: steps[each["first"] - 1] for each in sheet["operations"]}
    edit(steps)
    for number, step in enumerate(steps, start=1):
        step["number"] = number
    for each in sheet["operations"]:
        each["first"] = firsts[each["first"]]["number"]
    return report_of(proof, json.dumps(sheet))


def of_kind(steps: list[dict[str, Any]], kind: str) -> list[dict[str, Any]]:
    """Return the steps of a kind."""
    return [step for step in steps if step["kind"] == kind]


@cache
def dome_on(machine: str) -> Proof:
    """Return the domed rest as made on a machine, proved."""
    text = (Path(__file__).parent / "dome_job.toml").read_text(encoding="utf-8")
    proof = prove_setup(
        place_of(job_from(text, "rest"), the_shop().machines[machine]), lambda _: None
    )
    assert proof.report.ok, proof.report.findings
    return proof
