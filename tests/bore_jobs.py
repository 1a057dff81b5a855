"""Jobs with a bore for tests: a cheek with one, and what is made of it."""

from __future__ import annotations

from functools import cache

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.job.job import Job
from tests.read_jobs import job_from, reading, the_shop

CHEEK = """
title = "bearing cheek"
units = "mm"
[blank]
form = "bar"
length = 80
width = 50
thickness = {thickness}
material = "mild steel"
[[setup]]
name = "bore"
machine = "converted-mill"
hold = {{ how = "vice", beneath = {beneath} }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
{there}
[[setup.feature]]
kind = "bore"
name = "bush seat"
at = [40, 25]
{feature}
"""
OLD = """
[[setup.feature]]
kind = "holes"
name = "old hole"
at = [40, 25]
diameter = {diameter}
depth = "through"
there = true
"""
THROUGH = 'diameter = 18\ndiameter_fit = "H7"\ndepth = "through"'
BY_HEAD = f'{THROUGH}\nways = {{ way = "boring head" }}'


def job_text(feature: str, there: str = "", thickness: float = 14, beneath: float = 10) -> str:
    """Return the text of the job with a bore, and with what is there already."""
    return CHEEK.format(feature=feature, there=there, thickness=thickness, beneath=beneath)


def read(feature: str, there: str = "", thickness: float = 14) -> tuple[Job | None, list[str]]:
    """Return the job with a bore, and all that was wrong in it."""
    return reading(job_text(feature, there, thickness), "cheek")


@cache
def made(
    feature: str,
    machine: str = "converted-mill",
    there: str = "",
    thickness: float = 14,
    beneath: float = 10,
) -> Proof:
    """Return the cheek as it would be made on a machine."""
    job = job_from(job_text(feature, there, thickness, beneath), "cheek")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    return proof
