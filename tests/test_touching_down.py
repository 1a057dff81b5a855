"""Which cutter is taken where its end has to find solid metal for its depth zero."""

from __future__ import annotations

import pytest

from pathgen.input.where import Refusal
from pathgen.moves.actions import FitCutter
from pathgen.moves.plan import PlannedSetup
from pathgen.plan.planners import plan_setup
from tests.read_jobs import changed, job_from, the_shop

PLATE = """
title = "Pawl plate"
units = "mm"

[blank]
form = "bar"
length = 40
width = 30
thickness = 12
material = "brass"

[[setup]]
name = "top"
machine = "bench-mill-metric"

[setup.hold]
how = "vice"
beneath = 0
lines = ["In the vice on parallels."]

[setup.datum.x]
face = "left"
tool = "edge finder"
tool_diameter = 10
spindle = "turning"

[setup.datum.y]
middle_of = ["front", "back"]
tool = "edge finder"
tool_diameter = 10
spindle = "turning"

[setup.datum.z]
face = "top"
paper = 0.05

[[setup.feature]]
kind = "step"
name = "rebate"
edge = "right"
width = 26
depth = 4
"""


def plan_of(text: str) -> PlannedSetup:
    """Return the plan of the plate's only setup."""
    job, shop = job_from(text, "plate"), the_shop()
    (setup,) = job.setups
    machine = shop.machines[setup.machine]
    return plan_setup(job, setup, machine, shop.crib)


def fitted(plan: PlannedSetup) -> set[float]:
    """Return the diameters of the cutters."""
    items = [item for each in plan.passes for item in each.items]
    return {item.diameter for item in items if isinstance(item, FitCutter)}


def test_a_cutter_is_taken_that_the_face_has_room_to_touch_down() -> None:
    """14 mm of the face stay beside the step, less than the largest mill, of 16 mm, is wide."""
    assert fitted(plan_of(PLATE)) == {12.7}


def test_where_the_face_is_wide_enough_the_largest_is_taken() -> None:
    assert fitted(plan_of(changed(PLATE, ("width = 26", "width = 6")))) == {16.0}


def test_one_that_is_named_is_refused_by_its_name() -> None:
    named = changed(PLATE, ("depth = 4", 'depth = 4\nways = { rough = "16 mm end mill" }'))
    with pytest.raises(Refusal, match="wide enough to touch 16 mm end mill down"):
        plan_of(named)
