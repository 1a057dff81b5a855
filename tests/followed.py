"""Sheets to be followed in tests: made once, by `make`'s own way."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

from pathgen.commands.loading import load_all
from pathgen.commands.outputs import job_files
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.steps import MeasureStep, Sheet, TouchStep, WindStep

JOBS = Path(__file__).parents[1] / "jobs"


@cache
def proofs(job: str, machine: str) -> tuple[Proof, ...]:
    """Return the proofs of a demo job on a machine."""
    jobs = load_all(JOBS / f"{job}.toml", machine)
    return tuple(p for each, shop in jobs for p in prove_job(each, shop, machine, lambda _: None))


@cache
def files(job: str, machine: str) -> dict[str, str]:
    """Return what `make` writes for a demo job on a machine, by name."""
    return {name: text for _, name, text in job_files(proofs(job, machine), machine)}


def proof_of(job: str, machine: str, setup: str) -> Proof:
    """Return the proof of one setup of a demo job, or of one of the jobs of a press file."""
    return next(each for each in proofs(job, machine) if each.place.setup.name == setup)


@cache
def sheet(job: str, machine: str, setup: str = "slot") -> Sheet:
    """Return the sheet of one setup on a machine with handles."""
    return load_sheet(proof_of(job, machine, setup).text, "sheet")


class Places(NamedTuple):
    """Steps of the fence bar's sheet that tests go to, whatever their numbers."""

    noted: int  # the second of two touches, whose total is noted
    half: int  # the wind half-way between the two, which follows it
    measured: int  # the width
    spot: int  # the first cut
    up: int  # drawing up after it
    chain: int  # the first step of the pass of chain drilling
    drilled: int  # its first cut
    rough: int  # the first step of the roughing pass
    last: int


@cache
def places(machine: str) -> Places:
    """Return where the fence bar's sheet has what tests go to."""
    of = sheet("fence-bar", machine)
    starts = {each.title.partition(":")[0]: each.first for each in of.operations}
    winds = [step for step in of.steps if isinstance(step, WindStep)]
    cuts = [step.number for step in winds if step.cut]
    touches = [step for step in of.steps if isinstance(step, TouchStep) and step.note]
    return Places(
        noted=touches[0].number,
        half=next(step.number for step in winds if step.rule),
        measured=next(step.number for step in of.steps if isinstance(step, MeasureStep)),
        spot=cuts[0],
        up=next(step.number for step in winds if step.number > cuts[0]),
        chain=starts["chain drill"],
        drilled=next(number for number in cuts if number > starts["chain drill"]),
        rough=starts["rough"],
        last=len(of.steps),
    )
