"""Work inside on the shipped lathes, for tests: one collar with a hole on its axis."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.job.load import read_job
from pathgen.job.turning.turned import TurnedJob
from pathgen.reckon.drills import drill_diameter
from tests.read_jobs import the_shop

COLLAR = """
units = "mm"
blank = { form = "round", diameter = 30, length = 50, material = "mild steel" }
[[setup]]
name = "turning"
machine = "converted-lathe"
hold = { chuck = "three-jaw", stick_out = 30 }
facing = 0.5
[[setup.feature]]
kind = "turned"
name = "outside"
steps = [{ diameter = 28, to = 17 }]
"""
PARTED = """
[[setup.feature]]
kind = "parted"
name = "off the bar"
length = 14
"""
BORED = """
[[setup.feature]]
kind = "bored"
name = "bore"
steps = [{ diameter = 22, to = 4 }, { diameter = 18, to = "through" }]
[[setup.feature]]
kind = "recess"
name = "recess"
diameter = 21
start = 7
width = 4
"""
REAMED = """
[[setup.feature]]
kind = "drilled"
name = "pin hole"
diameter = 8
diameter_fit = "H7"
depth = 12
finish = "reamed"
"""
TAPPED = """
[[setup.feature]]
kind = "drilled"
name = "screw hole"
tapped = "M6"
depth = 10
"""
BLIND = """
[[setup.feature]]
kind = "bored"
name = "cup"
steps = [{ diameter = 20, to = 8 }]
"""


def job_of(text: str) -> tuple[TurnedJob | None, list[str]]:
    """Return the job of a text, and all that is wrong in it."""
    faults = Faults()
    table = parse_toml(text, "collar.toml", faults, named=drill_diameter)
    assert table is not None
    job = read_job(table, "collar")
    assert job is None or isinstance(job, TurnedJob)
    return job, [str(error) for error in faults.errors]


@cache
def made(text: str, machine: str) -> Proof:
    """Return a job as made on a lathe.

    Raises:
        Refusal: it cannot be made.
    """
    job, wrong = job_of(text)
    assert job is not None, wrong
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    return proof


def found_in(proof: Proof, text: str) -> list[Finding]:
    """Return what is found in an edited program or sheet, cautions left out."""
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


def sheet_of(proof: Proof) -> dict[str, Any]:
    """Return a sheet as it was parsed, to be edited."""
    raw: dict[str, Any] = json.loads(proof.text)
    return raw
