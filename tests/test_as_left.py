"""A faced top lies where it was cut, and what is measured from it is measured from there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pathgen.check.as_left import as_left
from pathgen.check.metal.left import Cut, Left
from pathgen.check.metal.sweeps import Sweep
from pathgen.job.frame import UPRIGHT
from pathgen.job.job import Job, JobSetup
from tests.read_jobs import job_from

JOB = """
title = "Swivel seat of the nipping press"
units = "mm"
blank = { form = "bar", length = 60, width = 30, thickness = 10, material = "brass" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "clamps", beneath = 10 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "face"
name = "top"
thickness = 9
[[setup]]
name = "slot"
machine = "converted-mill"
hold = { how = "clamps", beneath = 10 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "slot"
name = "way"
along = "x"
width = 6
length = 30
centre = [30, 15]
depth = 4
"""


def setting() -> tuple[Job, JobSetup]:
    job = job_from(JOB, "seat")
    return job, job.setups[1]


def faced(z: float, width: float = 40.0) -> Left:
    """Return what one pass along the middle of the bar leaves, at a height in the blank's axes."""
    path = np.array([[-30.0, 15.0], [90.0, 15.0]])
    return Left(cuts=(Cut(UPRIGHT, Sweep(path, np.zeros(2), width / 2, np.inf), z),))


@pytest.mark.parametrize("off", [0.0, -0.012, 0.02])
def test_the_zero_lies_on_the_face_as_it_was_cut(off: float) -> None:
    job, setup = setting()
    seen, box = as_left(job, setup, faced(-1.0 + off))
    assert seen.origin == pytest.approx((0.0, 0.0, -1.0 + off))
    assert box.low == pytest.approx((0.0, 0.0, -9.0 - off))  # it is as much thicker
    assert box.high == pytest.approx((60.0, 30.0, 0.0))


def test_a_face_cut_only_in_part_is_taken_to_be_where_it_should() -> None:
    job, setup = setting()
    seen, box = as_left(job, setup, faced(-1.012, width=20.0))
    assert seen == setup
    assert box == job.blank_box(setup)


def test_a_zero_on_another_face_stays() -> None:
    job, setup = setting()
    other = replace(setup, datum_z=replace(setup.datum_z, faces=("bottom",)))
    assert as_left(job, other, faced(-1.012))[0] == other
    assert as_left(job, setup, None)[0] == setup
