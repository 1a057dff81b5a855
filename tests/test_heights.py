"""A knee, or a head on a round column: set for what the slide reaches, x and y found again."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from pathgen.commands.proving import prove_setup, prove_text
from pathgen.commands.workplace import Proof, Workplace
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, Refusal
from pathgen.moves.actions import FitCutter, Note, SetHeight, Zero
from pathgen.moves.moves import Drill, Rapid
from pathgen.moves.plan import Item
from pathgen.plan.reaching import lowest_of, reach_of
from pathgen.shop.machines import HeightWay, Machine
from pathgen.shop.read_machines import read_machine
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from tests.fence_bar import job_of
from tests.read_jobs import the_shop

ROUND = "round-column-mill"


def shortened(travel: float) -> Machine:
    """Return the mill with a round column, its quill going less far."""
    machine = the_shop().machines[ROUND]
    x, y, z = machine.slides
    slides = (x, y, replace(z, travel=travel))
    return replace(machine, slides=slides, travel=(x.travel, y.travel, travel))


def with_knee() -> Machine:
    machine = the_shop().machines["bench-mill-metric"]
    return replace(machine, height=HeightWay(name="knee", travel=300.0))


def place_on(machine: Machine) -> Workplace:
    job = job_of()
    return Workplace(job=job, setup=job.setups[0], machine=machine, shop=the_shop())


@cache
def proof_on(machine: Machine) -> Proof:
    """Return the fence bar as made on a machine."""
    return prove_setup(place_on(machine), lambda _: None)


def planned_items(proof: Proof) -> list[Item]:
    assert proof.plan is not None
    return [*proof.plan.before, *(item for each in proof.plan.passes for item in each.items)]


def heights_of(proof: Proof) -> list[SetHeight]:
    return [item for item in planned_items(proof) if isinstance(item, SetHeight)]


# ---------------------------------------------------------------- a head that swings


def test_one_height_does_for_all_cutters_where_the_quill_goes_far_enough() -> None:
    proof = proof_on(shortened(220.0))
    assert proof.report.ok
    assert len(heights_of(proof)) == 1


def test_the_shipped_mill_moves_its_head_once_from_the_chuck_to_the_collet() -> None:
    # A 9 mm drill stands 81 + 5 mm out of jaws 110 mm down; mills, their flutes and 5 out of 45.
    first, second = heights_of(proof_on(the_shop().machines[ROUND]))
    assert first.above - second.above > 115 - 81 - 5


def test_the_head_is_moved_between_chuck_and_collet_where_it_does_not() -> None:
    # The jaws of the chuck stand 65 mm lower than a collet's face, the quill goes 70 mm: spotting
    # drill; longer drill; then mills.
    proof = proof_on(shortened(70.0))
    assert proof.report.ok
    assert len(heights_of(proof)) == 3


@pytest.mark.parametrize("travel", [115.0, 70.0])
def test_at_each_height_the_quill_reaches_the_work_and_clears_it_for_hands(travel: float) -> None:
    machine = shortened(travel)
    proof = proof_on(machine)
    assert proof.plan is not None
    up = next(item for item in proof.plan.after if isinstance(item, Rapid)).z
    cutters = {each.name: each for each in the_shop().cutters}
    height = heights_of(proof)[0]
    for each in proof.plan.passes:
        height = next((i for i in each.items if isinstance(i, SetHeight)), height)
        moves = [i for i in each.items if isinstance(i, Rapid | Drill) and i.how is not None]
        reach = reach_of(cutters[each.cutter.name], machine)
        for nose in (height.above - height.within, height.above + height.within):
            assert nose - reach >= up - 1e-6
            assert nose - travel - reach <= lowest_of(moves) + 1e-6


def test_x_and_y_are_found_again_each_time_and_the_depth_after_it() -> None:
    items = planned_items(proof_on(shortened(70.0)))
    marks = [i.axis for i in items if isinstance(i, Zero)]
    found_again = [
        "".join(i.axis if isinstance(i, Zero) else "|" for i in items if isinstance(i, kinds))
        for kinds in ((Zero, SetHeight),)
    ]
    assert marks.count("x") == marks.count("y") == 3
    assert found_again == ["|xyz|xyz|xyzz"]


def test_an_edge_finder_turns_at_its_own_speed_when_the_place_is_found_again() -> None:
    # The heading of the pass says the cutter's speed; the finder's is another.
    paper = 'tool = "3 mm cutter"\ntool_diameter = 3\npaper = 0.05\n\n[setup.datum.y]'
    kicks = 'tool = "edge finder"\ntool_diameter = 10\nspindle = "turning"\n\n[setup.datum.y]'
    job = job_of((paper, kicks))
    shop, machine = the_shop(), shortened(70.0)
    place = Workplace(job=job, setup=job.setups[0], machine=machine, shop=shop)
    proof = prove_setup(place, lambda _: None)
    assert len(heights_of(proof)) == 3
    assert [each for each in proof.report.findings if each.severity == "finding"] == []


def test_it_says_how_far_a_cutter_may_stand_out() -> None:
    items = planned_items(proof_on(shortened(70.0)))
    fits = [index for index, item in enumerate(items) if isinstance(item, FitCutter)]
    said = [i.text for i in items if isinstance(i, Note) and "below the spindle's nose" in i.text]
    assert len(said) == len(fits) + 3  # and what touches, each time
    text = write_text(load_sheet(proof_on(shortened(70.0)).text, "sheet"), shortened(70.0))
    assert "SET THE HEAD" in text
    assert "x and y are lost, and are found again below" in text
    assert "what is in the spindle taken out" in " ".join(text.split())


def test_a_quill_too_short_for_the_work_is_refused() -> None:
    with pytest.raises(Refusal, match="the travel is too short"):
        proof_on(shortened(15.0))


# ---------------------------------------------------------------- a knee


def test_a_knee_is_set_for_each_cutter_and_loses_no_place_across() -> None:
    proof = proof_on(with_knee())
    assert proof.report.ok
    kinds = [i for i in planned_items(proof) if isinstance(i, SetHeight | Zero)]
    said = "".join(i.axis if isinstance(i, Zero) else "|" for i in kinds)
    assert said == "|xy|z|z|z|z"
    text = " ".join(write_text(load_sheet(proof.text, "sheet"), with_knee()).split())
    assert "hold the knee by its handle as it is freed, it may drop" in text
    assert "bring the tool's end 46 mm above the top face by a rule" in text  # 44 for hands, and 2


# ---------------------------------------------------------------- faults put into a sheet


def without(machine: Machine, gone: Callable[[list[dict[str, Any]], int], bool]) -> set[str]:
    """Return the codes found of a sheet without some of its steps."""
    raw = json.loads(proof_on(machine).text)
    steps = raw["steps"]
    last = max(i for i, step in enumerate(steps) if step["kind"] == "height")
    raw["steps"] = [step for i, step in enumerate(steps) if not gone(steps, i) or i < last]
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    raw["operations"] = [
        each for each in raw["operations"] if each["first"] <= steps[last]["number"]
    ]
    text = json.dumps(raw)
    report = prove_text(place_on(machine), text, "sheet.json", lambda _: None).report
    return {each.code for each in report.findings if each.severity == "finding"}


def test_cutting_on_without_finding_the_place_again_is_found() -> None:
    def finds_x(steps: list[dict[str, Any]], index: int) -> bool:
        step = steps[index]
        return bool(step["kind"] in ("touch", "set dial") and step["slide"] == "table")

    assert {"no-zero", "zero"} <= without(shortened(70.0), finds_x)


def test_a_cut_before_the_height_is_set_and_locked_is_found() -> None:
    raw = json.loads(proof_on(with_knee()).text)
    raw["steps"] = [step for step in raw["steps"] if step["kind"] != "height"]
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    raw["operations"] = []
    report = prove_text(place_on(with_knee()), json.dumps(raw), "s.json", lambda _: None).report
    told = [each.what for each in report.findings if each.code == "unlocked"]
    assert told
    assert "the height of the knee was not set and locked" in told[0]


def test_a_sheet_for_a_knee_is_not_one_for_a_machine_without() -> None:
    plain = place_on(the_shop().machines["bench-mill-metric"])
    report = prove_text(plain, proof_on(with_knee()).text, "s.json", lambda _: None).report
    told = [each.what for each in report.findings if each.code == "machine-changed"]
    assert "the machine has no such knee" in told


# ---------------------------------------------------------------- the machine file

MILL = """name = "mill"
units = "mm"
[spindle]
lowest = 100
highest = 2000
[[slide]]
name = "table"
axis = "x"
travel = 300
per_turn = 4
divisions = 200
plus = "clockwise"
[[slide]]
name = "cross slide"
axis = "y"
travel = 140
per_turn = 4
divisions = 200
plus = "clockwise"
[[slide]]
name = "quill"
axis = "z"
travel = 100
per_turn = 2
divisions = 100
plus = "anticlockwise"
[height]
"""


def machine_of(lines: str) -> tuple[Machine | None, list[str]]:
    faults = Faults()
    table = parse_toml(MILL + lines, "mill.toml", faults)
    assert table is not None
    return read_machine(table), [str(each) for each in faults.errors]


def test_a_height_is_read() -> None:
    machine, errors = machine_of('name = "knee"\ntravel = 250\n')
    assert not errors
    assert machine is not None
    assert machine.height == HeightWay(name="knee", travel=250.0)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ('name = "head"\ntravel = 250\nswings = true\n', "height.collet: missing"),
        ('name = "knee"\ntravel = 250\ncollet = 40\n', "height.collet: unknown"),
        ("travel = 250\n", "height.name: missing"),
    ],
)
def test_what_a_height_lacks_is_told(lines: str, message: str) -> None:
    machine, errors = machine_of(lines)
    assert machine is None
    assert any(message in each for each in errors), errors
