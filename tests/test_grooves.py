"""Grooves outside and undercuts: what is made, and that slips are found."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from pathgen.commands.workplace import form_for
from pathgen.input.where import InputError
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.inside import Recess
from pathgen.plan.turning.plunging import plunges_beside
from pathgen.shop.turning_tools import TurningTool
from postprocessors.drawing.half_outside import outside
from tests.groove_jobs import GROOVED, RELIEF, RING, SHANK
from tests.inside_jobs import BORED, COLLAR, PARTED, found_in, job_of, made, sheet_of
from tests.read_jobs import the_shop

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
THREAD = """
[[setup.feature]]
kind = "screw-cut"
name = "screw"
thread = "M16"
length = 5
run_out = 3
"""
STUD = SHANK.replace(
    "diameter = 28, to = 12", "diameter = 15.82, diameter_limits = [15.7, 15.94], to = 12"
) + RELIEF.replace("width = 3", "width = 7").replace("depth = 0.5", "diameter = 13")


def blade(name: str) -> TurningTool:
    return next(each for each in the_shop().crib.turning_tools if each.name == name)


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
def test_grooves_are_proved_with_every_size_judged(machine: str) -> None:
    report = made(GROOVED, machine).report
    assert report.ok, [str(each) for each in report.findings]
    found = {(s.feature, s.quantity): s for s in report.sizes if "groove" in s.feature}
    found |= {(s.feature, s.quantity): s for s in report.sizes if s.feature == "relief"}
    # h12 of 26.6 mm is 0 to -0.21 (ISO 286); a depth of 0.5 +-0.1 under 28 is 26.8 to 27.2 across.
    assert {name: (s.wanted.low, s.wanted.high) for name, s in found.items()} == {
        ("ring groove", "diameter"): pytest.approx((26.39, 26.6)),
        ("ring groove", "length"): pytest.approx((3.9, 4.1)),
        ("ring groove", "width"): (1.3, 1.44),
        ("relief", "diameter"): pytest.approx((26.8, 27.2)),
        ("relief", "width"): pytest.approx((2.9, 3.1)),
    }
    for size in found.values():
        assert size.wanted.low <= size.least <= size.most <= size.wanted.high
    whole = next(s for s in report.sizes if s.feature == "outside, first from the right")
    assert whole.least > 27.9  # the diameter is judged beside its grooves


def test_the_blades_width_enters_the_sums() -> None:
    # Its left corner is touched: for the right wall at 4 mm the 1 mm blade stands at -4 - 1.
    text = " ".join(
        form_for(made(GROOVED, METRIC).place.machine).faces(made(GROOVED, METRIC))[".txt"].split()
    )
    assert (
        "z = the faced end 0.000 - to the right wall 4.000 - width of the blade 1.000 = -5.000"
        in text
    )
    assert "z = the faced end 0.000 - to the left wall 5.370 = -5.370 mm" in text
    assert "where it chatters, turn slower" in text
    assert "Where chips pack beside the blade" in text


def test_the_last_cuts_follow_the_floor_as_measured() -> None:
    # 0.1 mm more found on the diameter is 0.05 mm further in: 10 judged parts of 0.005 mm.
    steps = sheet_of(made(GROOVED, METRIC))["steps"]
    followed = [s for s in steps if s.get("rule") and s["rule"]["measure"] == "G2"]
    assert [s["what"] for s in followed] == [
        "in to the floor, along the left wall",
        "in to the floor; let it turn twice there",
    ]
    for step in followed:
        assert abs(step["rule"]["per_mm"] * 0.1) == pytest.approx(0.05 / 0.005)
    sizes = {(s.feature, s.quantity): s for s in made(GROOVED, METRIC).report.sizes}
    floor = sizes["ring groove", "diameter"]
    assert floor.most - floor.least <= 0.02  # over all cases, whatever of +-0.1 mm was found


def test_a_groove_as_wide_as_a_blade_is_plunged_at_once() -> None:
    text = made(
        SHANK + RING.replace("1.3\n", "1.5\n").replace("1.44", "1.6") + PARTED, PROGRAM
    ).text
    assert "1.5 mm grooving tool" in text
    plunges = [line for line in text.splitlines() if line.startswith("G0 Z-5.5")]
    assert len(plunges) == 1
    assert "along the floor" not in text


def test_plunges_overlap_by_a_fifth_of_the_blade() -> None:
    places = [z for z, _ in plunges_beside(10.0, blade("2 mm parting blade"), 5.0)]
    assert (places[0], places[-1]) == pytest.approx((-12.0, -17.0))
    steps = [one - other for one, other in pairwise(places)]
    assert len(steps) == 4  # 5 / 1.6 = 3.1
    assert max(steps) <= 1.6


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_one_blade_cuts_several_grooves_on_diameters_of_any_height(machine: str) -> None:
    # the higher diameter first: the blade goes to the lower one clear of all, and each floor is
    # put down to where the blade stood when it was plunged
    high = RING.replace("ring", "high").replace("start = 4", "start = 14")
    high = high.replace("diameter = 26.6", "diameter = 28.6")
    other = RING.replace("ring", "other").replace("start = 4", "start = 7")
    report = made(SHANK + high + RING + other, machine).report
    assert report.ok, [str(each) for each in report.findings]
    floors = [s for s in report.sizes if s.quantity == "diameter" and "groove" in s.feature]
    assert len(floors) == 3
    for floor in floors:
        assert floor.most - floor.least <= 0.02


def test_a_thread_runs_out_into_its_groove() -> None:
    # 15.7 to 15.94 is what 6g leaves of M16's major; under its minor, 13.546, is 13 +- 0.2.
    report = made(STUD + THREAD + PARTED, PROGRAM).report
    assert report.ok, [str(each) for each in report.findings]


MATE = """
[[mate]]
name = "ring in its groove"
inside = "ring groove: width"
outside = "1.2 mm"
go = "0.1 to 0.24 mm play"
"""


def test_a_groove_takes_its_width_from_the_ring_that_goes_into_it() -> None:
    # 1.2 mm and 0.1 to 0.24 mm of play: 1.3 to 1.44 mm wide
    loose = RING.replace("width_limits = [1.3, 1.44]\n", "")
    job, wrong = job_of(SHANK + loose + PARTED + MATE)
    assert job is not None, wrong
    (groove,) = (each for each in job.setups[0].features if isinstance(each, Groove))
    assert (groove.width.low, groove.width.high) == pytest.approx((1.3, 1.44))
    assert (groove.left.low, groove.left.high) == pytest.approx((3.9 + 1.3, 4.1 + 1.44))


def test_a_recess_takes_its_width_from_what_goes_into_it() -> None:
    mate = MATE.replace("ring groove", "recess").replace("1.2 mm", "3.85 mm")
    job, wrong = job_of(COLLAR + BORED + PARTED + mate)
    assert job is not None, wrong
    (recess,) = (each for each in job.setups[0].features if isinstance(each, Recess))
    assert (recess.width.low, recess.width.high) == pytest.approx((3.95, 4.09))


def test_grooves_are_drawn_in_the_half_section() -> None:
    corners = outside(made(GROOVED, PROGRAM).place.setup)  # type: ignore[arg-type]
    for z, x in ((-4.0, 13.2475), (-5.37, 13.2475), (-9.0, 13.5), (-12.0, 13.5)):
        assert any((z, x) == pytest.approx(each) for each in corners)


# ---------------------------------------------------------------------- slips in a program


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([("G1 X26.495\n", "G1 X26.37\n")], "size"),
        ([("G1 X26.495\n", "G1 X25.9\n")], "gouge"),
        ([("G1 X26.495\n", "G1 X26.7\n")], "left"),
        ([("G0 Z-5.0\n", "G0 Z-4.8\n")], "gouge"),
        ([("G0 Z-5.0\n", "G0 Z-5.3\n")], "size"),
        ([("G1 Z-12.0\n(-- in", "G1 Z-11.7\n(-- in")], "sideways"),
        ([("G1 Z-12.0\n(-- in", "G1 Z-12.4\n(-- in")], "gouge"),
        (
            [("G0 X30.0\n(-- left corner of the blade, plunge 2 of 2)\nG0 Z-5.27", "G0 Z-5.27")],
            "rapid",
        ),
        (
            [
                (
                    "G1 X26.795 F0.023\n(-- straight out)\nG0 X30.0\n",
                    "G1 X26.795 F0.023\nG1 Z-8.0\nG0 X30.0\n",
                )
            ],
            "sideways",
        ),
        ([("F0.023", "F0.2")], "feed"),
        ([("S130 M3", "S900 M3")], "speed"),
        (
            [
                (
                    "at 14.0 mm, spindle at 130, with 1 mm grooving tool",
                    "at 13.0 mm, spindle at 130, with 1 mm grooving tool",
                )
            ],
            "zero",
        ),
    ],
)
def test_a_slip_in_a_program_is_found(changes: list[tuple[str, str]], code: str) -> None:
    proof = made(GROOVED, PROGRAM)
    text = proof.text
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    assert code in {each.code for each in found_in(proof, text)}


def test_harmless_edits_find_nothing() -> None:
    proof = made(GROOVED, PROGRAM)
    text = proof.text
    for before, after in (
        ("(-- straight out)\nG0 X30.0\n", "(-- out)\nG0 X30.4\n"),
        ("G0 Z-5.27\n", "N90 G00 Z-5.27\n"),
        ("G1 X26.795 F0.023", "G1 X26.795 F0.02"),
    ):
        assert before in text, before
        text = text.replace(before, after)
    assert found_in(proof, text) == []


# ---------------------------------------------------------------------- slips in a sheet


def step_of(raw: dict[str, Any], what: str) -> dict[str, Any]:
    return next(step for step in raw["steps"] if step.get("what") == what)


def a_turn_more(raw: dict[str, Any]) -> None:
    step_of(raw, "right corner of the blade to its wall")["passes"] += 1


def rule_left_out(raw: dict[str, Any]) -> None:
    del step_of(raw, "in to the floor; let it turn twice there")["rule"]


def from_the_other_side(raw: dict[str, Any]) -> None:
    step_of(raw, "right corner of the blade to its wall")["way"] = "anticlockwise"


def another_blade(raw: dict[str, Any]) -> None:
    for step in raw["steps"]:
        if step["kind"] == "fit" and step["name"] == "1 mm grooving tool":
            step["name"] = "3 mm parting blade"


def floor_left_out(raw: dict[str, Any]) -> None:
    raw["steps"].remove(step_of(raw, "in to the floor, along the left wall"))


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (a_turn_more, "miscounted"),
        (rule_left_out, "size"),
        (from_the_other_side, "miscounted"),
        (another_blade, "gouge"),
        (floor_left_out, "left"),
    ],
)
def test_a_slip_in_a_sheet_is_found(edit: Callable[[dict[str, Any]], None], code: str) -> None:
    narrow = RING.replace('diameter_fit = "h12"', "diameter_limits = [26.5, 26.6]")
    proof = made(SHANK + narrow + RELIEF + PARTED, METRIC)
    raw = sheet_of(proof)
    edit(raw)
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    assert code in {each.code for each in found_in(proof, json.dumps(raw))}


# ---------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        (SHANK + RING.replace("start = 4", "start = 10.5"), ["give kind undercut"]),
        (
            SHANK + RING.replace("start = 4", "start = 0.3"),
            ["start: 0.3 mm, its diameter begins at 0 mm"],
        ),
        (SHANK + RING.replace("start = 4", "start = 20"), ["outside ends at 17 mm"]),
        (SHANK + RING.replace("= 26.6", "= 27.9"), ["make it 0.1 mm deep or more"]),
        (SHANK + RING.replace("diameter_fit", "depth_fit"), ["depth_fit"]),
        (
            SHANK + RING.replace('diameter_fit = "h12"', "depth = 1"),
            ["wants one of diameter and depth"],
        ),
        (SHANK + RING + "in_face = true", ["in_face: a groove in a face"]),
        (SHANK + RING.replace("outside", "inside"), ["no profile 'inside' before it"]),
        (SHANK + RELIEF.replace("width = 3", "width = 12"), ["leave 0.5 mm of the diameter"]),
        (SHANK + RELIEF.replace("depth = 0.5", "depth = 14"), ["a floor at the axis"]),
        (SHANK + RING.replace("start = 4", "start = 8") + RELIEF, ["relief meets ring groove"]),
        (
            SHANK
            + RELIEF.replace("depth = 0.5", "depth = 0.5\nwidth_limits = [4, 5]\ncorner = -1"),
            ["width_limits", "corner"],
        ),
        (
            STUD + THREAD.replace("run_out = 3", "run_out = 7.1"),
            ["ends at 12 mm", "or less run_out"],
        ),
        (STUD + THREAD.replace("5\n", "5.4\n"), ["lies within the 5.4 mm of screw"]),
        (STUD.replace("= 13\n", "= 14\n") + THREAD, ["go under its minor diameter"]),
    ],
)
def test_what_makes_no_sense_is_refused_all_at_once(text: str, messages: list[str]) -> None:
    job, wrong = job_of(text + PARTED)
    assert job is None
    for message in messages:
        assert any(message in each for each in wrong), wrong


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (RING.replace("1.3", "0.8").replace("1.44", "0.9"), "no blade of the crib is as narrow"),
        (RING.replace("= 26.6", "= 21"), "no blade of the crib is as narrow and reaches as far"),
    ],
)
def test_what_no_blade_cuts_is_refused(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        made(SHANK + text + PARTED, METRIC)
