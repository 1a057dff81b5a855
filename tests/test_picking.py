"""Zeros picked up from what is gone before: a hole, a slot, by touches or by an indicator."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.frame import Box
from pathgen.moves.actions import FitTouching, Note, Zero
from pathgen.plan.planners import plan_setup
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from tests.random_jobs import MACHINES
from tests.read_jobs import job_from, reading, the_shop

# A lever whose pivot hole, 12 wide, lies 20 from the left and 15 from the front; a slot from it.
LEVER = """
title = "lever of the nipping press, mended"
units = "mm"
blank = { form = "bar", length = 90, width = 30, thickness = 10, material = "mild steel" }
[[setup]]
name = "link"
machine = "converted-mill"
hold = { how = "clamps", beneath = 15 }
datum.x = { middle_of = "pivot", tool = "pin", tool_diameter = 4 }
datum.y = { middle_of = "pivot", tool = "pin", tool_diameter = 4, paper = 0.05 }
datum.z = { face = "top" }
[[setup.feature]]
kind = "holes"
name = "pivot"
there = true
up = "top"
at = [20, 15]
diameter = 12
depth = "through"
[[setup.feature]]
kind = "slot"
name = "link"
along = "x"
centre = [40, 0]
length = 30
width = 8
depth = "through"
"""
SWUNG = LEVER.replace('tool = "pin", tool_diameter = 4, paper = 0.05', 'by = "indicator"').replace(
    'tool = "pin", tool_diameter = 4', 'by = "indicator"'
)
KICKING = LEVER.replace(", paper = 0.05", "").replace(
    'tool = "pin", tool_diameter = 4',
    'tool = "edge finder", tool_diameter = 4, spindle = "turning"',
)
HAND = "bench-mill-metric"


def made(text: str = LEVER, machine: str = "converted-mill") -> Proof:
    (proof,) = prove_job(job_from(text, "lever"), the_shop(), machine, lambda _: None)
    return proof


def zeros(proof: Proof) -> dict[str, Zero]:
    return {item.axis: item for item in proof.run.items if isinstance(item, Zero)}


def test_the_frame_has_its_origin_in_the_hole() -> None:
    job = job_from(LEVER, "lever")
    assert job.setups[0].origin == (20.0, 15.0, 0.0)
    assert job.blank_box(job.setups[0]) == Box((-20.0, -15.0, -10.0), (70.0, 15.0, 0.0))


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("text", [LEVER, SWUNG, KICKING], ids=["touched", "swung", "kicking"])
def test_what_is_picked_up_is_proved_on_every_machine(text: str, machine: str) -> None:
    assert made(text, machine).report.ok


def test_both_walls_are_touched_from_within() -> None:
    zero = zeros(made())["y"]
    front, back = sorted(zero.touches, key=lambda touch: touch.at)
    # 6 to the wall, less 2 of the pin and 0.05 of the paper
    assert (front.face, front.towards, front.of) == ("front", -1, "pivot")
    assert (back.face, back.towards, back.of) == ("back", 1, "pivot")
    assert front.at == pytest.approx(-3.95)
    assert back.at == pytest.approx(3.95)


def test_by_hand_the_second_wall_is_touched_without_leaving_the_hole() -> None:
    text = made(machine="bench-mill-metric").text
    first = text.index('"kind": "touch"')
    second = text.index('"kind": "touch"', first + 1)
    assert '"kind": "clear"' not in text[first:second]
    assert '"kind": "wind"' not in text[first:second]


def setting_steps(text: str) -> list[dict[str, Any]]:
    """Return the steps of a sheet from the first fitting up to the fitting of the first cutter."""
    steps = json.loads(made(text, HAND).text)["steps"]
    first = next(i for i, step in enumerate(steps) if step["kind"] == "fit to touch")
    last = next(i for i, step in enumerate(steps) if step["kind"] == "fit")
    return [step for step in steps[first:last] if step["kind"] != "unlock"]


def short(step: dict[str, Any]) -> str:
    """Return the kind of a step with where it goes, or how fast."""
    more = step.get("inside") or step.get("face") or step.get("rpm")
    return step["kind"] if more is None else f"{step['kind']} {more}"


def test_a_finder_that_kicks_turns_inside_the_hole_until_it_is_drawn_up() -> None:
    middle = ["clear", "spindle 0", "wind", "set dial"]  # up, stopped, half-way between, zero
    assert [short(step) for step in setting_steps(KICKING)][:-1] == [
        "fit to touch",
        *("clear pivot", "spindle 940", "touch right", "set dial", "touch left", *middle),
        *("clear pivot", "spindle 940", "touch front", "set dial", "touch back", *middle),
    ]
    zero = zeros(made(KICKING))["x"]
    assert [touch.rpm for touch in zero.touches] == [1000.0, 1000.0]


def test_an_indicator_is_fitted_and_stays_down_until_both_are_swung() -> None:
    steps = setting_steps(SWUNG)
    assert (steps[0]["name"], steps[0]["diameter"]) == ("indicator", 0.0)
    assert [short(step) for step in steps][:-1] == [
        "fit to touch",
        *("clear pivot", "touch centre", "set dial", "touch centre", "set dial", "clear"),
    ]
    fits = [item for item in made(SWUNG).run.items if isinstance(item, FitTouching)]
    assert fits == [FitTouching(name="indicator", diameter=0.0)]


@pytest.mark.parametrize(
    ("text", "said", "not_said"),
    [
        (LEVER, "down inside pivot,", "beside"),
        (LEVER, "TOUCH the left wall of pivot, pin", "outside the blank"),
        (LEVER, "from within pivot; spindle off;", "until it kicks"),
        (
            KICKING,
            "from within pivot; spindle turning; slowly, until it kicks",
            "spindle off; turn",
        ),
        (SWUNG, "FIT the indicator, to be swung", "0.000 mm (0.0000 in)"),
        (SWUNG, "SWING the centre of pivot, indicator", "TOUCH the centre"),
    ],
)
def test_the_sheet_says_that_the_tool_goes_into_the_hole(
    text: str, said: str, not_said: str
) -> None:
    printed = write_text(load_sheet(made(text, HAND).text, "s"), the_shop().machines[HAND])
    setting = printed[: printed.index("SPOT: LINK")]
    assert said in setting
    assert not_said not in setting


def _elsewhere(step: dict[str, Any]) -> None:
    step["inside"] = "link"


def _outside(step: dict[str, Any]) -> None:
    step["beside"] = "left wall of pivot"
    del step["inside"]


def _up(step: dict[str, Any]) -> None:
    del step["inside"]


@pytest.mark.parametrize("text", [LEVER, SWUNG], ids=["touched", "swung"])
@pytest.mark.parametrize(
    ("change", "told"),
    [
        (_elsewhere, "is not inside pivot: it was taken down inside link"),
        (_outside, "is not inside pivot: it was taken down beside the left wall of pivot"),
        (_up, "does not draw the tool up"),
    ],
)
def test_a_tool_that_goes_down_elsewhere_is_found(
    text: str, change: Callable[[dict[str, Any]], None], told: str
) -> None:
    proof = made(text, HAND)
    sheet = json.loads(proof.text)
    change(next(step for step in sheet["steps"] if step.get("inside")))
    report = prove_text(proof.place, json.dumps(sheet), "edited.json", lambda _: None).report
    assert any(told in each.what for each in report.findings), [e.what for e in report.findings]


TWO = "at = [[20, 15], [70, 8]]"


def test_of_several_holes_the_one_is_named() -> None:
    text = LEVER.replace("at = [20, 15]", TWO).replace(
        'middle_of = "pivot"', 'middle_of = "pivot", hole = 1'
    )
    assert {touch.of for touch in zeros(made(text))["x"].touches} == {"hole 1 of pivot"}


def test_an_indicator_is_not_swung_in_two_holes() -> None:
    text = SWUNG.replace("at = [20, 15]", TWO)
    for number in (1, 2):
        text = text.replace('middle_of = "pivot",', f'middle_of = "pivot" , hole = {number},', 1)
    _, errors = reading(text, "lever")
    assert any("swung by an indicator alone" in error for error in errors)


def test_an_indicator_is_said_with_what_it_leaves_open() -> None:
    zero = zeros(made(SWUNG))["x"]
    (centre,) = zero.touches
    assert (centre.face, centre.of, centre.at) == ("centre", "pivot", 0.0)
    assert zero.uncertainty == pytest.approx(0.01)
    wider = SWUNG.replace('by = "indicator"', 'by = "indicator", uncertainty = 0.03')
    assert zeros(made(wider))["x"].uncertainty == pytest.approx(0.03)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("touch left of pivot", "touch left of link", "of link, not of pivot"),
        ("touch left of pivot", "touch left", "of the blank, not of pivot"),
        ("left of pivot: going minus", "left of pivot: going plus", "from inside the metal"),
        ("radius 2.0 mm", "radius 3.0 mm", "radius 3.0000 mm, should be 2.0000 mm"),
    ],
)
def test_a_zero_that_is_picked_up_otherwise_is_found(old: str, new: str, told: str) -> None:
    proof = made()
    assert old in proof.text
    edited = proof.text.replace(old, new, 1)
    found = prove_text(proof.place, edited, "edited", lambda _: None).report.findings
    assert any(told in each.what for each in found), [each.what for each in found]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('middle_of = "pivot"', 'middle_of = "pivto"', "nothing called"),
        ('middle_of = "pivot"', 'middle_of = "link"', "nothing called 'link' to pick up"),
        ("tool_diameter = 4 }", "tool_diameter = 12 }", "12 mm in 'pivot', 12 mm wide"),
        ('middle_of = "pivot"', 'middle_of = "pivot", face = "left"', "given beside middle_of"),
        ('middle_of = "pivot"', 'middle_of = "pivot", hole = 2', "hole 2 of 'pivot'; there are 1"),
        ("at = [20, 15]", "at = [[20, 15], [70, 8]]", "'pivot' are 2 holes; say which"),
        ('tool = "pin", tool_diameter = 4 }', 'by = "indicator" }', "swung by an indicator alone"),
        (
            'tool = "pin", tool_diameter = 4 }',
            'by = "indicator", spindle = "turning" }',
            "spindle: given for an indicator, which is swung by hand",
        ),
        ('tool = "pin"', 'tool = "edge finder"', "spindle: not said for 'edge finder'"),
        ('up = "top"', 'up = "bottom"\ntowards_you = "back"', ""),
    ],
)
def test_what_cannot_be_picked_up_is_said(old: str, new: str, told: str) -> None:
    assert old in LEVER
    _, errors = reading(LEVER.replace(old, new, 1), "lever")
    assert any(told in error for error in errors) if told else errors == []


def test_a_blind_hole_on_the_other_side_is_out_of_reach() -> None:
    blind = LEVER.replace('up = "top"', 'up = "bottom"\ntowards_you = "back"').replace(
        'diameter = 12\ndepth = "through"', 'diameter = 12\ndepth = 3\nfinish = "drilled"'
    )
    _, errors = reading(blind, "lever")
    assert any("'pivot' does not open upwards here" in error for error in errors)


FIRST = """
[[setup]]
name = "way"
machine = "converted-mill"
hold = { how = "vice" }
datum.x = { face = "left", tool = "pin", tool_diameter = 4 }
datum.y = { face = "front", tool = "pin", tool_diameter = 4 }
datum.z = { face = "top" }
[[setup.feature]]
kind = "slot"
name = "way"
along = "x"
centre = [45, 12]
length = 60
width = 10
depth = 3
[[setup]]
name = "pins"
machine = "converted-mill"
hold = { how = "vice" }
datum.x = { face = "right", tool = "pin", tool_diameter = 4 }
datum.y = { middle_of = "way", tool = "pin", tool_diameter = 4 }
datum.z = { face = "top" }
[[setup.feature]]
kind = "holes"
name = "pins"
at = [-8, 10]
diameter = 4
depth = 4
"""


@pytest.mark.parametrize("machine", MACHINES)
def test_a_slot_cut_before_is_picked_up_across(machine: str) -> None:
    text = LEVER[: LEVER.index("[[setup]]")] + FIRST
    job = job_from(text, "lever")
    assert job.setups[1].origin == (90.0, 12.0, 0.0)
    both = list(prove_job(job, the_shop(), machine, lambda _: None))
    assert [proof.report.ok for proof in both] == [True, True]
    notes = [i.text for i in both[1].plan.before if isinstance(i, Note)] if both[1].plan else []
    # x is counted from the right face: the blank's length lies between
    assert any("hangs on the blank's length" in note for note in notes)
    assert not any("hangs on the blank's width" in note for note in notes)


def test_along_a_slot_there_is_nothing_to_touch() -> None:
    text = LEVER[: LEVER.index("[[setup]]")] + FIRST.replace('face = "right"', 'middle_of = "way"')
    _, errors = reading(text, "lever")
    assert any("along the slot 'way' there are no walls to touch" in error for error in errors)


def test_a_dial_that_cannot_be_set_takes_its_zero_from_a_face() -> None:
    shop = the_shop()
    machine = shop.machines["bench-mill-metric"]
    slides = tuple(replace(slide, resettable=False) for slide in machine.slides)
    job = job_from(LEVER, "lever")
    with pytest.raises(Refusal, match="whose dial cannot be set"):
        plan_setup(job, job.setups[0], replace(machine, slides=slides), shop.crib)
