"""Jobs with holes for tests: a plate with a given feature, and what is made of it."""

from __future__ import annotations

from functools import cache

from pathgen.check.findings import Finding
from pathgen.commands.proving import Proof, Workplace, prove_job, prove_text
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.job.job import Job
from pathgen.job.load import read_job
from pathgen.reckon.drills import drill_diameter
from pathgen.shop.shop import Shop, find_shop

PLATE = """
title = "hinge plate"
units = "mm"
[blank]
form = "bar"
length = 100
width = 60
thickness = 20
material = "mild steel"
[[setup]]
name = "holes"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = {beneath} }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top" }}
[[setup.feature]]
kind = "holes"
name = "pins"
{feature}
"""


@cache
def the_shop() -> Shop:
    faults = Faults()
    found = find_shop(None, faults)
    faults.raise_any()
    return found


def read(feature: str, beneath: float = 10) -> tuple[Job | None, list[str]]:
    """Return the job with a feature of holes, and all that was wrong in it."""
    faults = Faults()
    text = PLATE.format(feature=feature, beneath=beneath)
    table = parse_toml(text, "plate.toml", faults, named=drill_diameter)
    assert table is not None
    return read_job(table, "plate"), [str(error) for error in faults.errors]


def job_with(feature: str, beneath: float = 10) -> Job:
    job, errors = read(feature, beneath)
    assert job is not None, errors
    return job


@cache
def made(feature: str, machine: str = "converted-mill", beneath: float = 10) -> Proof:
    """Return the plate with a feature of holes as it would be made on a machine."""
    (proof,) = prove_job(job_with(feature, beneath), the_shop(), machine, lambda _: None)
    return proof


def findings(place: Workplace, text: str) -> list[Finding]:
    """Return what stops the work in an edited program or sheet."""
    report = prove_text(place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]
