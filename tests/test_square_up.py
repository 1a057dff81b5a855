"""Squaring up a block: six setups in the order of the trade, each on what was machined before."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache

import pytest

from pathgen.check.findings import Finding
from pathgen.check.metal.prismatic import Metal
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.job.areas import Facing
from pathgen.job.frame import Box, Frame, Lie, Way
from pathgen.job.job import Job
from pathgen.job.stock import Stock, stock_after
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = """
title = "Guide block of the nipping press"
units = "mm"
blank = { form = "bar", length = 64, width = 48, thickness = 33, material = "brass" }
[square_up]
machine = "converted-mill"
length = 60
width = 44
width_limits = [43.95, 44.05]
thickness = 30
thickness_limits = [29.95, 30.05]
round_bar = 10
jaws = { height = 35, width = 100, opening = 80 }
touch = { tool = "pin", tool_diameter = 3, paper = 0.05, depth_paper = 0.05 }
"""
BACK, BOTTOM = 2, 3  # of the six, those to a size with limits of its own
INTO_THE_JAW, DOWN = Way(1, 1), Way(2, -1)


@cache
def job() -> Job:
    return job_from(JOB, "block")


@cache
def made(machine: str = "converted-mill") -> tuple[Proof, ...]:
    """Return the six setups as made on a machine, proved."""
    proofs = tuple(prove_job(job(), the_shop(), machine, lambda _: None))
    assert all(proof.report.ok for proof in proofs)
    return proofs


def edited(number: int, edit: Callable[[list[str]], None]) -> list[Finding]:
    """Return what is found in the program of one of the six after an edit."""
    proof = made()[number]
    lines = proof.text.splitlines()
    edit(lines)
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


# ---------------------------------------------------------------- the order


def test_each_of_the_six_faces_is_cut_once_thickness_before_the_ends() -> None:
    cut = [setup.lie.up for setup in job().setups]
    assert cut == ["top", "front", "back", "bottom", "right", "left"]


def test_what_lies_against_the_fixed_jaw_and_down_was_machined_where_it_sets_the_face() -> None:
    machined: list[str] = []
    for number, setup in enumerate(job().setups, start=1):
        jaw, under = setup.lie.face(INTO_THE_JAW), setup.lie.face(DOWN)
        # Squared from the jaw, and brought parallel to what lies under it.
        assert number == 1 or jaw in machined
        assert (under in machined) == (number in (3, 4, 6))
        machined.append(setup.lie.up)


def test_a_round_bar_is_used_as_long_as_the_moving_jaw_meets_a_rough_face() -> None:
    machined: list[str] = []
    for setup in job().setups:
        rough = setup.lie.face(INTO_THE_JAW.back) not in machined
        bars = [each for each in setup.hold.keepouts if each.name == "round bar"]
        told = any("round bar of 10 mm" in line for line in setup.hold.lines)
        # Stood on end, the near face is that marked bottom, machined by then.
        assert told == bool(bars) == rough
        machined.append(setup.lie.up)


def test_the_block_is_left_with_its_sizes() -> None:
    stock = Stock(box=job().blank.box)
    for setup in job().setups:
        stock = stock_after(stock, setup.features, setup.frame, setup.name)
    size = [high - low for low, high in zip(*stock.box, strict=True)]
    assert size == pytest.approx([60, 44, 30])
    # Half of what is too much came off each face.
    assert stock.box.low == pytest.approx((2, 2, -31.5))


def test_the_first_face_of_a_pair_is_not_held_to_the_size_and_the_second_is() -> None:
    sizes = [each.features[0] for each in job().setups]
    limits = [(f.thickness.low, f.thickness.high) for f in sizes if isinstance(f, Facing)]
    assert limits[BACK] == (43.95, 44.05)
    assert limits[BOTTOM] == (29.95, 30.05)
    assert limits[0][0] < 31.5 < limits[0][1]


def test_later_setups_find_the_block_squared_up() -> None:
    text = f"""{JOB}
[[setup]]
name = "hole"
machine = "converted-mill"
hold = {{ how = "vice", beneath = 10 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ middle_of = ["front", "back"], tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
kind = "holes"
name = "pin"
at = [30, 0]
diameter = 6
depth = "through"
"""
    found = job_from(text, "block")
    assert found.setups[6].origin == (2.0, 24.0, -1.5)
    low, high = found.blank_box(found.setups[6])
    assert (low, high) == ((0.0, -22.0, -30.0), (60.0, 22.0, 0.0))


# ---------------------------------------------------------------- what is wrong is said


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("length = 60", "length = 63.7"), "square_up.length: 63.7 mm of a blank of 64 mm"),
        (("opening = 80", "opening = 50"), "58 mm of work and the round bar in jaws that open"),
        (("height = 35", "height = 5"), "5 mm of the work in the jaws; at least 6 mm"),
        (("round_bar = 10\n", ""), "square_up.round_bar: missing"),
        (("jaws = {", "jaw = {"), "square_up.jaws: missing"),
        (("width_limits = [43.95, 44.05]", "width_limits = [44.05, 43.95]"), "smaller limit first"),
    ],
)
def test_what_cannot_be_squared_up_so_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(JOB, change), "block")
    assert any(wrong in error for error in errors), errors


# ---------------------------------------------------------------- proved


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-inch"])
def test_what_is_left_is_the_block_at_every_height(machine: str) -> None:
    last = made(machine)[-1]
    blank = Box((0.0, 0.0, -33.0), (64.0, 48.0, 0.0))
    metal = Metal(blank, Frame(Lie(), (0.0, 0.0, 0.0)), [], last.report.left)
    for level in (-31.4, -20.0, -1.6):
        left = metal.metal_in(metal.plan, level)
        x0, y0, x1, y1 = left.bounds
        assert 59.7 < x1 - x0 < 60.3
        assert 43.95 < y1 - y0 < 44.05
        assert left.area == pytest.approx((x1 - x0) * (y1 - y0))
    for level in (-1.4, -31.6):
        assert metal.metal_in(metal.plan, level).area < 60 * 44  # top and bottom are off


@pytest.mark.parametrize("number", [BACK, BOTTOM])
def test_a_size_with_limits_of_its_own_is_measured_before_its_last_cut(number: int) -> None:
    proof = made("bench-mill-inch")[number]
    assert proof.plan is not None
    rough, last = proof.plan.passes
    assert (rough.purpose, last.purpose) == ("rough", "finish")
    text = json.loads(proof.text)
    (measure,) = (step for step in text["steps"] if step["kind"] == "measure")
    wanted = 44.0 if number == BACK else 30.0
    assert measure["expected"] == pytest.approx(wanted + 0.25)


def test_an_untouched_program_has_no_findings() -> None:
    assert edited(BOTTOM, lambda _: None) == []


def deeper(by: float) -> Callable[[list[str]], None]:
    """Return an edit that lets the last cut go deeper."""

    def edit(lines: list[str]) -> None:
        at = max(row for row, line in enumerate(lines) if "Z-1.5" in line)
        lines[at] = lines[at].replace("Z-1.5", f"Z{-1.5 - by:g}")

    return edit


def test_a_cut_below_the_size() -> None:
    found = edited(BOTTOM, deeper(0.2))
    (floor,) = (each for each in found if each.code == "floor")
    assert floor.amount == pytest.approx(0.2 - 0.05, abs=0.002)


def test_a_cut_into_the_jaws() -> None:
    # 3.5 mm stand above the jaws: 1.5 come off, 2 are left.
    found = edited(BOTTOM, deeper(2.4))
    assert any("'fixed jaw'" in each.what for each in found if each.code == "keepout")


def test_a_pass_left_out_leaves_a_strip() -> None:
    def edit(lines: list[str]) -> None:
        last = next(row for row, line in enumerate(lines) if line.startswith("(-- finish"))
        first, after = (
            next(row for row in range(last, len(lines)) if f"pass {number} of" in lines[row])
            for number in (2, 3)
        )
        del lines[first:after]

    found = edited(BOTTOM, edit)
    assert any(each.code == "metal left" for each in found)


def test_a_measuring_that_expects_what_is_not_there() -> None:
    def edit(lines: list[str]) -> None:
        at = next(row for row, line in enumerate(lines) if line.startswith("(stop, measure M1"))
        for row in range(at, at + 6):
            lines[row] = lines[row].replace("30.25 mm", "30.4 mm")

    assert "measure" in {each.code for each in edited(BOTTOM, edit)}


def test_a_face_cut_down_in_one_go() -> None:
    def edit(lines: list[str]) -> None:
        rough = next(row for row, line in enumerate(lines) if line.startswith("(-- rough"))
        end = next(row for row, line in enumerate(lines) if line.startswith("(-- finish"))
        for row in range(rough, end):
            lines[row] = lines[row].replace("Z-1.25", "Z-20")

    codes = {each.code for each in edited(BOTTOM, edit)}
    assert {"floor", "depth of cut"} <= codes


@pytest.mark.parametrize("number", [0, 5])
def test_a_count_of_passes_wrong_on_a_sheet_is_found(number: int) -> None:
    proof = made("bench-mill-inch")[number]
    sheet = json.loads(proof.text)
    cuts = [step for step in sheet["steps"] if step["kind"] == "wind" and step["cut"]]
    cuts[-1]["passes"] += 1
    report = prove_text(proof.place, json.dumps(sheet), "edited.json", lambda _: None).report
    assert not report.ok
