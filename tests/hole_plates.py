"""Jobs with holes for tests: a plate with a given feature, and what is made of it."""

from __future__ import annotations

from functools import cache

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof, Workplace
from pathgen.job.job import Job
from tests.read_jobs import job_from, reading, the_shop

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


def job_text(feature: str, beneath: float = 10) -> str:
    """Return the text of the job with a feature of holes."""
    return PLATE.format(feature=feature, beneath=beneath)


def read(feature: str, beneath: float = 10) -> tuple[Job | None, list[str]]:
    """Return the job with a feature of holes, and all that was wrong in it."""
    return reading(job_text(feature, beneath), "plate")


def job_with(feature: str, beneath: float = 10) -> Job:
    return job_from(job_text(feature, beneath), "plate")


@cache
def made(feature: str, machine: str = "converted-mill", beneath: float = 10) -> Proof:
    """Return the plate with a feature of holes as it would be made on a machine."""
    (proof,) = prove_job(job_with(feature, beneath), the_shop(), machine, lambda _: None)
    return proof


def prove(text: str, machine: str = "converted-mill") -> Proof:
    """Return what the text of a job comes to on a machine."""
    (proof,) = prove_job(job_from(text, "plate"), the_shop(), machine, lambda _: None)
    return proof


def findings(place: Workplace, text: str) -> list[Finding]:
    """Return what stops the work in an edited program or sheet."""
    report = prove_text(place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]
