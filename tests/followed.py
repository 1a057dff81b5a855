"""Sheets to be followed in tests: made once, by `make`'s own way."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pathgen.commands.outputs import job_files
from pathgen.commands.proving import Proof, load_all, prove_job
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.steps import Sheet

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
