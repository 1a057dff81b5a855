"""A keyway in a round shaft that lies on a mill: read, proved in the round, slips found."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import shapely

from pathgen.check.crown import crown_of
from pathgen.check.findings import Finding
from pathgen.check.prismatic import Metal
from pathgen.commands.milled import checked
from pathgen.commands.proving import Proof, prove_job, prove_text
from pathgen.job.frame import UPRIGHT, Box, Frame
from pathgen.job.slot import KeySeat, Slot
from pathgen.moves.actions import Zero
from pathgen.plan.shaft_setting import shaft_lines
from pathgen.plan.wording import sizes_in_words
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = (Path(__file__).parents[1] / "jobs" / "wheel-shaft.toml").read_text()
BAR = Box((0.0, -7.5, -15.0), (120.0, 7.5, 0.0))


@cache
def made(machine: str, *changes: tuple[str, str]) -> Proof:
    """Return the shaft as made on a machine, proved."""
    job = job_from(changed(JOB, *changes), "wheel-shaft")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


# ---------------------------------------------------------------- read


def test_the_keyway_is_that_of_the_table_and_knows_its_shaft() -> None:
    slot = job_from(JOB, "wheel-shaft").setups[0].features[0]
    assert isinstance(slot, Slot)
    assert slot.key == KeySeat(shaft=15.0, part="shaft", width=5.0, height=5.0, across=15.0)
    assert slot.depth is not None
    assert (slot.depth.low, slot.depth.high) == pytest.approx((3.0, 3.1))  # DIN 6885-1: t1 3
    said = sizes_in_words(slot, "mm")
    # d - t1; and 7.5 less the root of 7.5^2 - 2.5^2, which is 7.071
    assert "from its floor to the far side of the shaft 11.9 to 12 mm" in said
    assert "at its walls 0.429 mm less" in said


def test_the_far_side_is_told_of_the_shaft_as_measured() -> None:
    slot = job_from(changed(JOB, ("diameter = 15 ", "diameter = 14.9 ")), "s").setups[0].features[0]
    assert "far side of the shaft 11.8 to 11.9 mm" in sizes_in_words(slot, "mm")


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ((("key_for = 15", "width = 5\ndepth = 3"),), "only a keyway by the table"),
        ((("key_for = 15", 'key_for = 15\nkey_in = "hub"'),), "only a keyway by the table"),
        ((("key_for = 15", "key_for = 18"),), "a key for a shaft of 18 mm in one of 15 mm"),
        ((("[8, 0]", "[8, 0.4]"),), "0.4 mm beside the crown"),
        (
            (("end = [8, 0]", 'open_at = ["left"]\ncentre_line = 0'),),
            "runs out of the end of a round shaft",
        ),
        ((('"vee blocks"', '"clamps"'),), "a round shaft held by 'clamps'"),
        (
            (('middle_of = ["front", "back"]', 'face = "front"'), ("[8, 0]", "[8, 7.5]")),
            "whose middle is not found by its flanks",
        ),
        (
            (("diameter = 15 ", "width = 15\nthickness = 15 "),),
            "a flat bar in vee blocks",
        ),
        ((('form = "bar"', 'form = "round"'),), "with a diameter it is a round shaft"),
        ((("diameter = 15 ", "width = 15\ndiameter = 15 "),), "width: given beside diameter"),
    ],
)
def test_what_is_not_planned_in_a_shaft_is_refused(
    changes: tuple[tuple[str, str], ...], wrong: str
) -> None:
    _, errors = reading(changed(JOB, *changes), "wheel-shaft")
    assert any(wrong in error for error in errors), errors


# ---------------------------------------------------------------- the metal of a round


def metal() -> Metal:
    return Metal(BAR, Frame(UPRIGHT, (0.0, 0.0, 0.0)), (), None, crown_of(BAR))


@pytest.mark.parametrize("level", [-0.01, -0.43, -1.5, -3.0, -6.0, -7.5])
def test_there_is_metal_as_wide_as_the_chord_at_a_height(level: float) -> None:
    here = metal()
    # by the angle to the chord's end, not by the formula that is used
    chord = 2 * 7.5 * math.sin(math.acos((level + 7.5) / 7.5))
    assert here.metal_in(here.plan, level).area == pytest.approx(chord * 120, rel=1e-6)


def test_there_is_never_less_metal_than_in_truth_under_the_middle() -> None:
    here = metal()
    assert here.metal_in(here.plan, -12.0).area == pytest.approx(15 * 120)


def test_metal_beside_the_crown_is_met_where_the_round_has_it() -> None:
    here, beside = metal(), shapely.box(0.0, 4.5, 120.0, 9.0)
    # 4.5, 6 and 7.5 make a right angle: the round is 6 above its axis there, 1.5 under the crown
    assert here.metal_in(beside, -1.4).is_empty
    assert not here.metal_in(beside, -1.6).is_empty
    assert here.top_over(beside, -3.0) == pytest.approx(-1.5)


# ---------------------------------------------------------------- planned


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric", "bench-mill-inch"])
def test_it_is_proved_on_every_kind_of_mill(machine: str) -> None:
    proof = made(machine)
    sizes = {each.quantity: each for each in proof.report.sizes}
    assert sizes["depth"].least == pytest.approx(3.05, abs=0.02)  # half-way between its limits
    assert 4.97 <= sizes["width"].least <= sizes["width"].most <= 5.001
    assert not [each for each in proof.report.findings if each.code == "thin"]


def test_a_sheet_has_the_flanks_touched_under_the_middle() -> None:
    sheet = json.loads(made("bench-mill-metric").text)
    down = [each for each in sheet["steps"] if each["kind"] == "clear" and each.get("beside")]
    # 7.5 to the middle and 1.5 beyond it; the end of the shaft needs no such depth
    assert {each["beside"]: each.get("under", 0.0) for each in down} == {
        "left face": 0.0,
        "front face": 9.0,
        "back face": 9.0,
    }


def test_it_may_be_gripped_in_the_vice_instead() -> None:
    job = job_from(changed(JOB, ('"vee blocks"', '"vice"')), "wheel-shaft")
    said = " ".join(shaft_lines(job, job.setups[0]))
    assert "in the vice, down on a parallel" in said
    assert "vee blocks" not in said


# ---------------------------------------------------------------- slips in a program


def edited(edit: Callable[[str], str], begin: str) -> list[Finding]:
    """Return what is found in the program after an edit of its lines from a pass on."""
    proof = made("converted-mill")
    lines = proof.text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith(f"(-- {begin}"))
    after = [line if line.startswith("(") else edit(line) for line in lines[start:]]
    assert after != lines[start:]
    text = "\n".join([*lines[:start], *after]) + "\n"
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


@pytest.mark.parametrize(
    ("begin", "old", "new", "code"),
    [
        ("finish", "Y0.9925", "Y1.0225", "wall"),
        ("finish", "X30.5075 F27.0", "X30.9 F27.0", "end"),
        ("finish", "Z-3.05", "Z-3.3", "floor"),
        ("finish", "Z-3.05", "Z-2.9", "metal left"),
        ("rough", "G1 Z-0.61 F15.0", "G1 Z-1.83 F15.0", "depth of cut"),
        ("rough", "Z1.0", "Z-0.5", "rapid"),
    ],
)
def test_each_slip_has_its_finding(begin: str, old: str, new: str, code: str) -> None:
    found = edited(lambda line: line.replace(old, new), begin)
    assert code in {each.code for each in found}, [str(each) for each in found]


@pytest.mark.parametrize(("y", "found"), [(0.0, set()), (0.3, set()), (0.5, {"touch"})])
def test_a_depth_zero_touched_off_the_crown_is_found(y: float, found: set[str]) -> None:
    # 7.5 - the root of 7.5^2 - y^2: 0.006 mm too low at 0.3, 0.017 at 0.5; 0.01 is let pass
    proof = made("bench-mill-metric")
    items = tuple(
        replace(each, touches=(replace(each.touches[0], over=(76.5, y)),))
        if isinstance(each, Zero) and each.axis == "z"
        else each
        for each in proof.run.items
    )
    report = checked(proof.place, replace(proof.run, items=items))
    assert {each.code for each in report.findings if each.severity == "finding"} == found
