"""A block that is cut from the top and then from another side, for tests; lengths in mm."""

from __future__ import annotations

from pathgen.commands.proving import Proof, prove_job
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.job.job import Job
from pathgen.job.load import read_job
from pathgen.reckon.drills import drill_diameter
from tests.hole_plates import the_shop

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
    faults = Faults()
    text = BLOCK + SECOND + "".join(texts)
    table = parse_toml(text, "saddle.toml", faults, named=drill_diameter)
    assert table is not None
    return read_job(table, "saddle"), [str(error) for error in faults.errors]


def job_with(*texts: str) -> Job:
    """Return the block's job with a second setup."""
    job, errors = read(*texts)
    assert job is not None, errors
    return job


def proofs(*texts: str, machine: str = "converted-mill") -> list[Proof]:
    """Return what is made of the block in both setups."""
    return list(prove_job(job_with(*texts), the_shop(), machine, lambda _: None))
