"""Zeros picked up from what is gone before: a hole, a slot, by touches or by an indicator."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pathgen.commands.proving import Proof, prove_job, prove_text
from pathgen.input.where import Refusal
from pathgen.job.frame import Box
from pathgen.moves.actions import Note, Zero
from pathgen.plan.planners import plan_setup
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
@pytest.mark.parametrize("text", [LEVER, SWUNG], ids=["touched", "swung"])
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
