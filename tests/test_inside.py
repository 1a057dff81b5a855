"""Holes on the axis, bores and recesses of turned work: what is made, and that slips are found."""

from __future__ import annotations

import dataclasses
import json
import math
import re
from collections.abc import Callable
from typing import Any

import jsonschema
import pytest
from shapely.geometry import Point

from pathgen.check.turning.outline import swept
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.where import InputError
from pathgen.moves.actions import WorkBy
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.turning_tools import TurningTool
from tests.inside_jobs import (
    BLIND,
    BORED,
    COLLAR,
    PARTED,
    REAMED,
    TAPPED,
    found_in,
    job_of,
    made,
    sheet_of,
)
from tests.read_jobs import the_shop
from tests.test_dials_faces import SCHEMA

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
BUSHED = COLLAR + BORED + PARTED


def lathe_tool(name: str) -> TurningTool | AxialTool:
    tool = the_shop().crib.lathe_tool(name)
    assert tool is not None
    return tool


def sheet_text(proof: Proof) -> str:
    """Return the sheet for people, its lines run together."""
    return " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
@pytest.mark.parametrize(
    ("text", "inside"),
    [
        (
            BUSHED,
            {
                ("bore, first from the right", "diameter"): 22,
                ("bore, first from the right", "depth"): 4,
                ("bore, second from the right", "diameter"): 18,
                ("recess", "diameter"): 21,
                ("recess", "length"): 7,
                ("recess", "width"): 4,
                ("off the bar", "length"): 14,
            },
        ),
        (COLLAR + REAMED, {("pin hole", "diameter"): 8, ("pin hole", "depth"): 12}),
        (COLLAR + BLIND, {("cup", "diameter"): 20, ("cup", "depth"): 8}),
    ],
    ids=["bored through", "reamed", "bored blind"],
)
def test_what_is_inside_is_proved_with_every_size_judged(
    machine: str, text: str, inside: dict[tuple[str, str], float]
) -> None:
    report = made(text, machine).report
    assert report.ok, [str(each) for each in report.findings]
    found = {(s.feature, s.quantity): s for s in report.sizes if s.feature != "outside"}
    found = {name: s for name, s in found.items() if not name[0].startswith("outside")}
    assert {name: s.wanted.nominal for name, s in found.items()} == inside
    for size in found.values():
        assert size.wanted.low <= size.least <= size.most <= size.wanted.high


def test_a_hole_to_be_tapped_is_drilled_and_tapped_with_the_spindle_stopped() -> None:
    # M6 is tapped at 75 % of 0.6495 of its pitch of 1 mm: 6 - 2 x 0.75 x 0.6495 = 5.026, so 5 mm.
    proof = made(COLLAR + TAPPED, METRIC)
    sizes = {size.quantity: size for size in proof.report.sizes if size.feature == "screw hole"}
    assert sizes["diameter"].least == pytest.approx(5.0, abs=1e-3)
    steps = sheet_of(proof)["steps"]
    at = next(index for index, step in enumerate(steps) if step["kind"] == "pause")
    assert "M6 10 mm deep, 10 turns" in steps[at]["reason"]
    spindle = [step["rpm"] for step in steps[:at] if step["kind"] == "spindle"]
    assert spindle[-1] == 0
    assert not any(step["kind"] == "spindle" and step["rpm"] for step in steps[at:])


def test_the_quill_alone_drills_and_the_other_slides_are_locked() -> None:
    steps = sheet_of(made(BUSHED, METRIC))["steps"]
    by = [step for step in steps if step["kind"] == "work by"]
    assert [step["slides"] for step in by] == [
        ["cross slide", "compound"],
        ["tailstock"],
        ["cross slide", "compound"],
        ["cross slide", "compound"],
    ]
    assert [step.get("outwards", False) for step in by] == [False, False, True, False]
    first, then = (steps.index(step) for step in by[1:3])
    assert steps[first + 1]["kind"] == "lock"
    assert steps[first + 1]["slides"] == ["cross slide", "compound"]
    wound = {step["slide"] for step in steps[first:then] if step["kind"] == "wind"}
    assert wound == {"tailstock"}


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_a_pilot_is_taken_whose_flutes_reach_through(machine: str) -> None:
    # The web of the 14 mm drill asks for 0.2 x 14 = 2.8 mm, whose flutes are 33 mm long as of a
    # jobber drill, like those up to 3 mm; through 32 mm, the cut of 2 and 0.5 it takes 34.5 and
    # the point. The flutes of 3.3 mm are 36 mm long, its point 1.65 / tan 59 = 0.99 mm.
    deep = COLLAR.replace("length = 50", "length = 70").replace("stick_out = 30", "stick_out = 48")
    deep = deep.replace("to = 17", "to = 34")
    bore = BLIND.replace("diameter = 20, to = 8", 'diameter = 15.91, to = "through"')
    proof = made(deep + bore + PARTED.replace("14", "32"), machine)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    drills = re.findall(r"([\d.]+) mm drill", proof.text)
    assert drills[0] == "3.3"
    assert "2.8" not in drills


def test_a_drill_on_a_rim_is_as_far_in_as_its_point_is_wide_there() -> None:
    # A 118 degree point that meets a rim of 6 mm is 3 / tan 59 = 1.803 mm inside it.
    drill = lathe_tool("10 mm drill")
    assert isinstance(drill, AxialTool)
    assert drill.meets_rim(6.0) == pytest.approx(3 / math.tan(math.radians(59)))
    assert drill.meets_rim(0.0) == 0


def test_a_centre_drill_leaves_the_mouth_of_its_cone() -> None:
    # 60 degrees: a millimetre beyond the pilot's length of 3.1 mm is 2 x tan 30 mm wider.
    centre = lathe_tool("2.5 mm centre drill")
    assert isinstance(centre, AxialTool)
    assert centre.mouth_at(4.1) == pytest.approx(2.5 + 2 * math.tan(math.radians(30)))
    assert centre.mouth_at(2.0) == pytest.approx(2.5)


def test_through_is_past_the_parting_cut_and_the_point_goes_further() -> None:
    # 14 mm of part, a blade of 2 mm, 0.5 mm past it; the point of 16 mm is 8 / tan 59 = 4.807 long.
    step = step_of(sheet_of(made(BUSHED, METRIC)), "in, the 16 mm drill")
    point = 8 / math.tan(math.radians(59))
    assert step["place"] == pytest.approx(-(14 + 2 + 0.5 + point), abs=0.05)


def test_drills_are_listed_by_their_diameter_and_bars_by_their_nose() -> None:
    text = sheet_text(made(BUSHED, METRIC))
    assert re.search(r"16 mm drill 16\.000 mm ", text)
    assert re.search(r"10 mm boring bar nose radius 0\.400 mm", text)


def test_inside_work_is_said_to_come_to_size_going_out() -> None:
    text = sheet_text(made(BUSHED, METRIC))
    assert "INSIDE WORK: the bore grows as the tool goes OUT (anticlockwise)" in text
    assert "come up going out; if overrun, go back past it again" in text
    last = next(
        step
        for step in reversed(sheet_of(made(BUSHED, METRIC))["steps"])
        if step.get("what") == "to size, going out"
    )
    assert last["way"] == "anticlockwise"


def test_the_last_cuts_of_a_bore_follow_what_was_measured() -> None:
    limited = BUSHED.replace("diameter = 18,", "diameter = 18, diameter_limits = [17.98, 18.04],")
    proof = made(limited, METRIC)
    assert proof.report.ok
    sizes = {(size.feature, size.quantity): size for size in proof.report.sizes}
    bore = sizes["bore, second from the right", "diameter"]
    # Over all cases, whatever of the 0.1 mm either way was measured: a judged part or two.
    assert bore.most - bore.least <= 0.02
    assert sizes["bore, first from the right", "diameter"].most > 22.05  # that one follows nothing
    cut = next(
        step
        for step in sheet_of(proof)["steps"]
        if step.get("what") == "cut 3 of 3 to size, going out"
    )
    # 0.1 mm more found is 0.05 mm less far out; figures rise going in, by 0.005 mm a part.
    assert cut["rule"]["per_mm"] * 0.1 == pytest.approx(0.05 / 0.005)


def test_the_sheet_with_other_slides_keeps_to_its_schema() -> None:
    jsonschema.validate(json.loads(made(BUSHED, METRIC).text), SCHEMA)


# ---------------------------------------------------------------------- tools


def test_a_bar_reaches_beyond_the_axis_and_meets_the_far_wall() -> None:
    bar = lathe_tool("10 mm boring bar")
    # Its point at 7 mm from the axis, its far side is 2.5 + 10 - 7 = 5.5 mm beyond it.
    sweep = swept(bar, (-5.0, 7.0), (-5.0, 7.0)).shank
    assert sweep.covers(Point(0.0, 5.4))
    assert not sweep.covers(Point(0.0, 5.6))
    # With the point at 3 mm it comes to 9.5 mm: that is through the wall of a bore of 9 mm radius.
    assert swept(bar, (-5.0, 3.0), (-5.0, 3.0)).shank.covers(Point(0.0, 9.4))


def test_a_drill_sweeps_its_point_and_its_body() -> None:
    drill = lathe_tool("10 mm drill")
    hole = swept(drill, (0.0, 0.0), (-20.0, 0.0)).end
    point = 5 / math.tan(math.radians(59))
    assert hole.bounds[0] == pytest.approx(-20)
    assert hole.covers(Point(-20 + point + 0.01, 4.99))
    assert not hole.covers(Point(-20 + point / 2, 2.6))


# ---------------------------------------------------------------------- slips in a program


def edited(*changes: tuple[str, str]) -> str:
    text = made(BUSHED, PROGRAM).text
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    return text


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([("G1 X0.0 Z-21.3069", "G1 X0.0 Z-12.0")], "depth"),  # the bar then meets whole metal
        ([("G1 X0.0 Z-21.3069", "G1 X0.4 Z-21.3069")], "off-axis"),
        ([("G0 X18.0\n", "G0 X18.5\n")], "size"),
        ([("G0 X22.0\n", "G0 X23.4\n")], "gouge"),
        ([("G1 Z-4.0", "G1 Z-5.0")], "size"),
        ([("G1 Z-4.0", "G1 Z-3.0")], "left"),
        ([("G0 X15.9333\n", "G0 X6.0\n")], "rapid"),  # the bar's far side comes to the wall
        ([("G0 X15.9333\n(-- out of the bore)\nG0 Z1.0\n", "")], "rapid"),
        ([("at 8.0 mm, spindle", "at 9.0 mm, spindle"), ("read 16.0 mm", "read 18.0 mm")], "zero"),
        ([("at -2.9142 mm", "at -0.5 mm"), ("read -2.9142 mm", "read -0.5 mm")], "zero"),
        ([("G1 X21.0 F", "G1 X23.0 F")], "size"),
        ([("G0 Z-11.0", "G0 Z-12.0")], "size"),
        ([("round the 16 mm drill", "round the 10 mm drill")], "message"),
    ],
)
def test_a_slip_in_a_program_is_found(changes: list[tuple[str, str]], code: str) -> None:
    found = {each.code for each in found_in(made(BUSHED, PROGRAM), edited(*changes))}
    assert code in found


def test_an_indicator_in_a_chuck_that_turns_is_found() -> None:
    before = "(stop, zero x: within 0.0 mm)\n(touch centre"
    text = edited((before, f"S500 M3\n{before}"))
    said = [each.what for each in found_in(made(BUSHED, PROGRAM), text)]
    assert any("spindle" in each for each in said), said


def test_a_drill_that_is_not_drawn_clear_is_found() -> None:
    proof = made(COLLAR + TAPPED, PROGRAM)
    pecks = re.findall(r"G1 X0\.0 Z-.*\n(?:G1 Z.*\n|G0 Z.*\n)+", proof.text)
    deep = max(pecks, key=len)
    last = re.findall(r"Z(-[0-9.]+)", deep)[-1]
    assert deep.count("G0 Z2.0") > 1
    text = proof.text.replace(deep, f"G1 X0.0 Z{last} F0.02\nG0 Z2.0\n")
    assert "chips" in {each.code for each in found_in(proof, text)}


def test_harmless_edits_find_nothing() -> None:
    text = edited(
        ("(-- off the end)\n", "(-- clear of the end)\n"),
        ("G0 Z-11.0", "N70 G00 Z-11."),
        ("G0 X16.8\n", "G0 X16.6\n"),
    )
    assert found_in(made(BUSHED, PROGRAM), text) == []


# ---------------------------------------------------------------------- slips in a sheet


def step_of(raw: dict[str, Any], what: str) -> dict[str, Any]:
    return next(step for step in raw["steps"] if step.get("what") == what)


def work_by(raw: dict[str, Any], index: int) -> dict[str, Any]:
    steps: list[dict[str, Any]] = [step for step in raw["steps"] if step["kind"] == "work by"]
    return steps[index]


def quill_not_taken(raw: dict[str, Any]) -> None:
    work_by(raw, 1)["slides"] = ["cross slide", "compound"]


def inwards(raw: dict[str, Any]) -> None:
    del work_by(raw, 2)["outwards"]


def drilled_a_turn_short(raw: dict[str, Any]) -> None:
    step_of(raw, "in, the 16 mm drill")["passes"] -= 1


def carriage_left_free(raw: dict[str, Any]) -> None:
    steps = raw["steps"]
    lock = next(s for s in steps if s["kind"] == "lock" and "tailstock" in s["slides"])
    lock["slides"] = [name for name in lock["slides"] if name != "tailstock"]


def dial_off_by_ten(raw: dict[str, Any]) -> None:
    step = step_of(raw, "to size, going out")
    step["dial"] = (step["dial"] + 20) % 400


def touched_the_wrong_way(raw: dict[str, Any]) -> None:
    step = next(s for s in raw["steps"] if s["kind"] == "touch" and s["face"] == "bore")
    step["way"] = "clockwise"


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (quill_not_taken, "no-zero"),
        (inwards, "figure"),
        (drilled_a_turn_short, "miscounted"),
        (carriage_left_free, "unlocked"),
        (dial_off_by_ten, "miscounted"),
        (touched_the_wrong_way, "wrong-way"),
    ],
)
def test_a_slip_in_a_sheet_is_found(edit: Callable[[dict[str, Any]], None], code: str) -> None:
    proof = made(BUSHED, METRIC)
    raw = sheet_of(proof)
    edit(raw)
    assert code in {each.code for each in found_in(proof, json.dumps(raw))}


def test_the_replay_takes_the_slides_that_the_sheet_says() -> None:
    by = [item for item in made(BUSHED, METRIC).run.items if isinstance(item, WorkBy)]
    assert [item.outwards for item in by] == [False, False, True, False]


# ---------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (COLLAR + BORED, "goes through a part that is not cut off"),
        (BUSHED.replace("diameter = 22, to = 4", "diameter = 17, to = 4"), "each smaller"),
        (BUSHED.replace("diameter = 18,", "diameter = 21.2,"), "a shoulder"),
        (BUSHED.replace("diameter = 21", "diameter = 27.5"), "no wall of 0.5 mm"),
        (BUSHED.replace("start = 7", "start = 2"), "crosses a shoulder"),
        (BUSHED.replace("diameter = 21", "diameter = 18.1"), "make it deeper"),
        (COLLAR + BLIND.replace("to = 8", "to = 11") + PARTED, 'give less, or "through"'),
        (COLLAR + REAMED + BLIND, "more than one hole on the axis"),
        (COLLAR + REAMED.replace("reamed", "honed"), "finish"),
    ],
)
def test_what_makes_no_sense_inside_is_refused(text: str, message: str) -> None:
    _, wrong = job_of(text)
    assert any(message in each for each in wrong), wrong


@pytest.mark.parametrize(
    ("text", "machine", "message"),
    [
        (BUSHED.replace("22, to = 4", "12, to = 4").replace("18,", "10,"), METRIC, "no bar of the"),
        (COLLAR + REAMED.replace("8\n", "8.3\n", 1), METRIC, "no such reamer in the crib"),
        (BUSHED.replace("width = 4", "width = 2.5"), PROGRAM, "no blade of the crib is as narrow"),
    ],
)
def test_what_cannot_be_made_inside_is_refused(text: str, machine: str, message: str) -> None:
    with pytest.raises(InputError, match=re.escape(message)):
        made(text, machine)


def test_a_control_that_moves_no_drill_refuses_to_drill() -> None:
    job, _ = job_of(COLLAR + REAMED)
    assert job is not None
    shop = the_shop()
    machine = shop.machines[PROGRAM]
    assert machine.lathe is not None
    lathe = dataclasses.replace(machine.lathe, drills_in_post=False)
    without = dataclasses.replace(machine, lathe=lathe)
    changed = dataclasses.replace(shop, machines={**shop.machines, PROGRAM: without})
    with pytest.raises(InputError, match="nothing that its control moves holds a drill"):
        list(prove_job(job, changed, PROGRAM, lambda _: None))


def test_a_hole_deeper_than_the_quill_goes_is_refused() -> None:
    long = COLLAR.replace("length = 50", "length = 110").replace("stick_out = 30", "stick_out = 90")
    with pytest.raises(InputError, match="the quill goes 55 mm"):
        made(long + REAMED.replace("depth = 12", "depth = 60"), METRIC)


def test_a_bore_takes_a_drill_of_the_other_units_where_a_bar_needs_it() -> None:
    # The inch drills of the crib end at 1/2 in, 12.7 mm, and the bar that goes so deep wants a
    # bore of 13 mm and room to come off its wall: so a metric one leads to it, 1.6 mm under 3/4 in.
    inch = """
units = "in"
blank = { form = "round", diameter = 1.5, length = 2.8, material = "bronze" }
[[setup]]
name = "turning"
machine = "bench-lathe-inch"
hold = { chuck = "three-jaw", stick_out = 1.9 }
facing = 0.03
[[setup.feature]]
kind = "turned"
name = "outside"
steps = [{ diameter = 1.375, to = 1.4 }]
[[setup.feature]]
kind = "bored"
name = "bore"
steps = [{ diameter = 0.75, to = "through" }]
[[setup.feature]]
kind = "parted"
name = "off the bar"
length = 1.25
"""
    proof = made(inch, INCH_DIALS)
    assert proof.report.ok
    fitted = [str(step.get("tool")) for step in sheet_of(proof)["steps"] if step.get("tool")]
    widest = max(float(each.split()[0]) for each in fitted if each.endswith("mm drill"))
    assert 13.0 < widest <= 19.05 - 1.6
