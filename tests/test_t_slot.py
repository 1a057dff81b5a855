"""T-slots: read, planned, checked; each slip in a program or on a sheet has its finding."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
import shapely

from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.metal.left import Left, kept
from pathgen.check.metal.prismatic import Metal
from pathgen.check.metal.sweeps import Sweep
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.frame import Box, Frame, Lie
from pathgen.job.gone import cut_in
from pathgen.job.t_slot import TSlot
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed
from pathgen.moves.plan import Pass
from pathgen.reckon.keys import t_slot
from pathgen.shop.cutters import Undercut
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = """
title = "Guide block of the nipping press"
units = "mm"
blank = { form = "bar", length = 60, width = 45, thickness = 30, material = "mild steel" }
[[setup]]
name = "way"
machine = "converted-mill"
hold = { how = "vice" }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { middle_of = ["front", "back"], tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "t-slot"
name = "way"
bolt = "M6"
along = "x"
open_at = ["left", "right"]
centre_line = 0
"""
OWN = ('bolt = "M6"\n', "width = 8\nhead_width = 15.9\nhead_height = 7.9\ndepth = 16\n")
ONE_END = ('open_at = ["left", "right"]', 'open_at = ["right"]\nlength = 40')
MACHINES = ("converted-mill", "converted-mill-lean", "bench-mill-metric", "bench-mill-inch")
FLOOR = -16.5  # aimed at, half-way between 15 and 18


@cache
def made(machine: str = "converted-mill", *changes: tuple[str, str]) -> Proof:
    """Return the block as made on a machine, proved."""
    (proof,) = prove_job(
        job_from(changed(JOB, *changes), "block"), the_shop(), machine, lambda _: None
    )
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def test_a_cutter_is_touched_down_beside_the_throat_over_the_head() -> None:
    """What is left over the head is whole at the top face: a later cutter's zero is found there.

    The widest margin is 22.5 - 10 - 3.25 = 9.25 mm, at the back; its middle lies 7.9 mm off the
    throat's, nearer than the head's 6.25 mm and a quarter of the 10 mm drill.
    """
    hole = """centre_line = 10
[[setup.feature]]
kind = "holes"
name = "screw"
at = [[30, -16]]
diameter = 6
depth = 10
"""
    assert made("bench-mill-metric", ("centre_line = 0\n", hole)).report.findings == ()


def head_of(proof: Proof) -> Pass:
    assert proof.plan is not None
    (only,) = (each for each in proof.plan.passes if each.purpose == "undercut")
    return only


def sizes(proof: Proof) -> dict[str, FinishedSize]:
    return {each.quantity: each for each in proof.report.sizes}


def edited(
    edit: Callable[[list[str]], int], *changes: tuple[str, str]
) -> tuple[list[Finding], int]:
    """Return what is found in the program after an edit, and the line (from 1) it was made at."""
    proof = made("converted-mill", *changes)
    lines = proof.text.splitlines()
    at = edit(lines)
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"], at + 1


def the_line(lines: list[str], *marks: str) -> int:
    """Return the row of the first line after several marks, each after the one before."""
    at = 0
    for mark in marks:
        at = next(i for i in range(at, len(lines)) if mark in lines[i]) + 1
    return at


# ---------------------------------------------------------------- read


def test_a_bolt_gives_all_sizes_of_the_table() -> None:
    (feature,) = job_from(JOB, "block").setups[0].features
    assert isinstance(feature, TSlot)
    table = t_slot("M6")
    assert (feature.head_width.low, feature.head_width.high) == table.head_width
    assert (feature.head_height.low, feature.head_height.high) == table.head_depth
    assert (feature.depth.low, feature.depth.high) == table.depth
    assert (feature.neck.width.low, feature.neck.width.high) == table.holding
    closer = job_from(changed(JOB, ('"M6"', '"M6"\nthroat = "locating"')), "block")
    (feature,) = closer.setups[0].features
    assert isinstance(feature, TSlot)
    assert (feature.neck.width.low, feature.neck.width.high) == table.locating


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (('bolt = "M6"', 'bolt = "M7"'), "M7"),
        (('bolt = "M6"', 'throat = "holding"\nwidth = 8\ndepth = 16'), "throat: given without"),
        (('bolt = "M6"', "width = 8\nhead_width = 8\nhead_height = 7\ndepth = 16"),
         "head_width: a head of"),
        (('bolt = "M6"', "width = 8\nhead_width = 15\nhead_height = 15.5\ndepth = 16"),
         "leave 1 mm or more over the head"),
        (('bolt = "M6"', 'width = 8\nhead_width = 15\nhead_height = 7\ndepth = "through"'),
         "its head has a floor"),
        (('open_at = ["left", "right"]\ncentre_line = 0', "centre = [30, 0]\nlength = 30"),
         "open_at: missing"),
        (("centre_line = 0", "centre_line = 16"), "the head lies from 8 mm to 24 mm"),
        (("thickness = 30", "thickness = 18"), "up to 18 mm deep in a blank 18 mm thick"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(JOB, change), "block")
    assert any(wrong in error for error in errors), errors


# ---------------------------------------------------------------- planned


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("change", [OWN, ONE_END])
def test_a_t_slot_is_proved_on_every_mill(machine: str, change: tuple[str, str]) -> None:
    proof = made(machine, change)
    found = sizes(proof)
    assert found["head width"].most == pytest.approx(16.0, abs=0.002)  # the cutter's own sizes
    assert found["head height"].most == pytest.approx(8.0, abs=0.002)
    assert proof.plan is not None
    assert head_of(proof) is proof.plan.passes[-1]  # the slot comes before it


def test_the_head_is_cut_in_one_level_pass_from_end_to_end() -> None:
    (only,) = (each for each in head_of(made()).items if isinstance(each, Feed))
    assert (only.x, only.y, only.z) == (70.0, 0.0, FLOOR)  # out by half of 16 and 2 mm


def test_from_a_closed_end_it_goes_back_the_way_it_came() -> None:
    items = head_of(made("converted-mill", ONE_END)).items
    feeds = [each for each in items if isinstance(each, Feed)]
    # To the middle of the round end, half of 8 from where the slot ends, 40 from the face at 60.
    assert [(each.x, each.z) for each in feeds] == [(24.0, FLOOR), (70.0, FLOOR)]


def test_the_cautions_tell_of_chips_and_of_the_way_out() -> None:
    said = [each.text for each in head_of(made()).items if isinstance(each, Note) and each.caution]
    (own,) = said
    assert "brush the chips out, often" in own
    assert "Never raise it within the slot" in own


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("head_width = 15.9", "head_width = 17"), "measures 16 mm, the head is"),
        (("head_height = 7.9", "head_height = 6"), "a head 8 mm high, wanted"),
        (("width = 8\n", "width = 6.5\n"), "a neck of 7 mm in a slot where it may be"),
        (("depth = 16", "depth = 24"), "its shank begins 22 mm up"),
    ],
)
def test_no_cutter_for_the_head_is_refused_with_the_reason(
    change: tuple[str, str], wrong: str
) -> None:
    with pytest.raises(Refusal, match="T-slot cutter") as refused:
        made("converted-mill", OWN, change)
    assert wrong in str(refused.value)


# ---------------------------------------------------------------- slips in a program


def test_an_untouched_program_has_no_findings() -> None:
    assert edited(lambda _: 0) == ([], 1)


def test_a_head_lifted_within_the_slot_cuts_through_its_lip() -> None:
    def edit(lines: list[str]) -> int:
        at = the_line(lines, "(-- head: along")
        lines[at] = lines[at].replace("X70.0", "X30.0")
        return at + 1  # the way up after it

    found, line = edited(edit)
    codes = {each.code for each in found if each.place == line}
    assert {"lip", "rapid"} <= codes
    assert any("up into" in each.what for each in found)


def test_a_head_let_down_within_the_slot() -> None:
    def edit(lines: list[str]) -> int:
        at = the_line(lines, "(-- outside the open end")
        lines[at] = lines[at].replace("X-10.0", "X30.0")
        return at + 2

    found, line = edited(edit)
    assert {each.code for each in found if each.place == line} >= {"rapid", "lip"}


def test_a_head_off_the_centre_line() -> None:
    def edit(lines: list[str]) -> int:
        at = the_line(lines, "(-- outside the open end")
        lines[at] = lines[at].replace("Y0.0", "Y0.2")
        return the_line(lines, "(-- head: along")

    found, line = edited(edit)
    (wall,) = (each for each in found if each.code == "wall" and each.place == line)
    # The slot lies at 0 by what is measured of it; half of 16 reaches 0.2 over half of 16.
    assert wall.amount == pytest.approx(0.2, abs=0.002)


def test_a_t_slot_that_lies_to_one_side_within_its_limits_is_no_finding() -> None:
    def edit(lines: list[str]) -> int:
        for row, line in enumerate(lines):
            lines[row] = re.sub(r"Y0\.0\b", "Y0.09", line)
        return 0

    closely = ('bolt = "M6"', 'bolt = "M6"\nhead_width = 16\nhead_width_limits = [15.98, 16.02]')
    assert edited(edit, closely)[0] == []  # where 0.1 is the most


def test_a_neck_that_runs_into_the_wall() -> None:
    def edit(lines: list[str]) -> int:
        at = the_line(lines, "(-- outside the open end")
        lines[at] = lines[at].replace("Y0.0", "Y0.8")
        return the_line(lines, "(-- head: along")

    found, line = edited(edit)  # a neck of 7 in a slot of 8 has 0.5 on either side
    assert [each for each in found if each.code == "neck" and each.place == line]


@pytest.mark.parametrize(("z", "code"), [(-18.3, "floor"), (-14.0, "metal left")])
def test_a_head_too_deep_or_too_high(z: float, code: str) -> None:
    def edit(lines: list[str]) -> int:
        at = the_line(lines, "(-- undercut", "(-- down, outside, in the air")
        assert lines[at] == f"Z{FLOOR}"
        lines[at] = f"Z{z}"
        return the_line(lines, "(-- head: along")

    found, line = edited(edit)
    of_code = [each for each in found if each.code == code]
    assert of_code
    assert code != "floor" or of_code[0].place == line


def test_a_slot_that_was_not_cut_before_its_head() -> None:
    def edit(lines: list[str]) -> int:
        first = next(i for i, line in enumerate(lines) if line.startswith("(-- spot, "))
        after = next(i for i, line in enumerate(lines) if line.startswith("(-- undercut"))
        kept_lines = [each for each in lines[first:after] if each.startswith(("S", "T", "G43"))]
        lines[first:after] = kept_lines
        return the_line(lines, "(-- head: along")

    found, line = edited(edit)
    (neck,) = (each for each in found if each.code == "neck" and each.place == line)
    assert neck.amount == pytest.approx(16.5 - 8.0, abs=0.002)  # of metal over the head


def test_a_head_cut_half_way_only() -> None:
    def edit(lines: list[str]) -> int:
        at = the_line(lines, "(-- head: along")
        lines[at] = lines[at].replace("X70.0", "X30.0")
        lines.insert(at + 1, "X-10.0")
        return at

    found, _ = edited(edit)
    assert any(each.code == "metal left" and "not cut all along" in each.what for each in found)


def test_a_head_fed_aslant_or_too_fast() -> None:
    def slant(lines: list[str]) -> int:
        at = the_line(lines, "(-- head: along")
        lines[at] = lines[at].replace("X70.0", "X70.0 Z-16.4")
        return at

    assert "neck" in {each.code for each in edited(slant)[0]}

    def fast(lines: list[str]) -> int:
        at = the_line(lines, "(-- head: along")
        lines[at] = lines[at].replace("F48.0", "F300.0")
        return at

    found, line = edited(fast)
    assert [each for each in found if each.code == "chip" and each.place == line]


def test_a_head_by_a_cutter_of_the_crib_that_is_too_wide() -> None:
    def edit(lines: list[str]) -> int:
        for row, line in enumerate(lines):
            lines[row] = line.replace("16 mm T-slot cutter", "18 mm T-slot cutter").replace(
                "16.0 mm, 18", "18.0 mm, 18"
            )
        return the_line(lines, "(-- head: along")

    found, line = edited(edit)
    walls = [each for each in found if each.code == "wall" and each.place == line]
    assert walls
    assert walls[0].amount == pytest.approx(1.0, abs=0.002)


@pytest.mark.parametrize("words", ["head: along", "down, outside"])
def test_a_count_of_passes_wrong_on_a_sheet_is_found(words: str) -> None:
    proof = made("bench-mill-metric")
    sheet = json.loads(proof.text)
    steps = [each for each in sheet["steps"] if words in each.get("what", "")]
    assert steps
    steps[-1]["passes"] += 1
    report = prove_text(proof.place, json.dumps(sheet), "edited.json", lambda _: None).report
    assert not report.ok


# ---------------------------------------------------------------- the metal under a head


BOX = Box((0.0, -20.0, -30.0), (60.0, 20.0, 0.0))
UPRIGHT = Frame(Lie(), (0.0, 20.0, 0.0))


def cut_along(lie: Lie = Lie()) -> Left:  # noqa: B008 - frozen
    """Return a block with a head of 16 x 8 along x, at z -16, its neck 8 wide; seen in any lie."""
    path = np.array([[-10.0, 0.0], [70.0, 0.0]])
    sweep = Sweep(path, np.zeros(2), 8.0, math.inf, undercut=Undercut(8.0, 8.0))
    return Left(cuts=(kept(sweep, -16.0, UPRIGHT),))


@pytest.mark.parametrize(
    ("level", "open_width"), [(-16.1, 0.0), (-16.0, 16.0), (-8.1, 16.0), (-8.0, 8.0), (-0.5, 8.0)]
)
def test_a_level_has_the_head_or_the_neck(level: float, open_width: float) -> None:
    metal = Metal(BOX, UPRIGHT, [], cut_along())
    left = metal.metal_in(metal.plan, level).area
    assert left == pytest.approx(60 * (40 - open_width), abs=0.01)


def test_metal_stands_over_a_head_and_is_told_of() -> None:
    metal = Metal(BOX, UPRIGHT, [], cut_along())
    beside = shapely.box(20, 5, 40, 7)  # under the lip
    assert metal.metal_in(beside, -12.0).is_empty
    assert metal.metal_over(beside, -12.0).area == pytest.approx(40.0)
    assert metal.levels_near(beside, -16.0) == [-16.0, -8.0, 0.0]
    assert metal.top_over(beside, -16.0) == 0.0
    assert metal.metal_over(shapely.box(20, -3, 40, 3), -16.0).is_empty


@pytest.mark.parametrize(
    ("lie", "origin", "level", "area"),
    [
        # Turned over: the floor of the slot lies 14 above the underside that is now up.
        (Lie("bottom", "back"), (0.0, 20.0, -30.0), -13.9, 60 * 40.0),
        (Lie("bottom", "back"), (0.0, 20.0, -30.0), -14.1, 60 * 24.0),
        (Lie("bottom", "back"), (0.0, 20.0, -30.0), -22.1, 60 * 32.0),
        # On its front, back up: a level through the middle of the slot meets head and neck.
        (Lie("back", "top"), (0.0, 40.0, 0.0), -20.0, 60 * 14.0),
        (Lie("back", "top"), (0.0, 40.0, 0.0), -14.0, 60 * 22.0),
        (Lie("back", "top"), (0.0, 40.0, 0.0), -10.0, 60 * 30.0),
    ],
)
def test_a_later_setup_of_another_lie_finds_the_head_where_it_is(
    lie: Lie, origin: tuple[float, float, float], level: float, area: float
) -> None:
    frame = Frame(lie, origin)
    blank = Box((0.0, 0.0, -30.0), (60.0, 40.0, 0.0))
    metal = Metal(frame.box_into(blank), frame, [], cut_along())
    assert metal.metal_in(metal.plan, level).area == pytest.approx(area, abs=0.01)


def test_planners_keep_off_what_lies_under_the_lip() -> None:
    job = job_from(JOB, "block")
    (gone,) = cut_in(job, job.setups[0])
    throat, head = gone.layers()
    assert (throat.low, throat.high) == (-18.0, 0.0)
    assert (head.low, head.high) == (-18.0, -(15.0 - 8.0))
    assert head.span(1) == pytest.approx((22.5 - 8.0, 22.5 + 8.0))
