"""A block that is cut from the top and then from another side, for tests; lengths in mm."""

from __future__ import annotations

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.job.job import Job
from tests.read_jobs import job_from, reading, the_shop

# A slot on the top, 4 deep, from 10 to 50 in x, 16 to 24 in y; then what is given.
BLOCK = """
title = "saddle of the nipping press"
units = "mm"
blank = { form = "bar", length = 60, width = 40, thickness = 12, material = "mild steel" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "vice" }
datum.x = { face = "left", tool = "pin", tool_diameter = 4 }
datum.y = { face = "front", tool = "pin", tool_diameter = 4 }
datum.z = { face = "top" }
[[setup.feature]]
kind = "slot"
name = "way"
along = "x"
centre = [30, 20]
length = 40
width = 8
depth = 4
"""
SECOND = """
[[setup]]
name = "second"
machine = "converted-mill"
hold = { how = "vice", beneath = 20 }
"""
OVER = """
up = "bottom"
towards_you = "back"
datum.x = { face = "left", tool = "pin", tool_diameter = 4 }
datum.y = { face = "back", tool = "pin", tool_diameter = 4 }
datum.z = { face = "bottom" }
"""
PINS = """
[[setup.feature]]
kind = "holes"
name = "pins"
at = [[6, 8], [54, 8]]
diameter = 5
depth = 5
"""


def read(*texts: str) -> tuple[Job | None, list[str]]:
    """Return the block's job with a second setup, and all that was wrong in it."""
    return reading(BLOCK + SECOND + "".join(texts), "saddle")


def job_with(*texts: str) -> Job:
    """Return the block's job with a second setup."""
    return job_from(BLOCK + SECOND + "".join(texts), "saddle")


def proofs(*texts: str, machine: str = "converted-mill") -> list[Proof]:
    """Return what is made of the block in both setups."""
    return list(prove_job(job_with(*texts), the_shop(), machine, lambda _: None))
