"""Chamfers along edges: read, planned by what a machine does, checked; each slip is found."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from functools import cache

import pytest

from pathgen.check.findings import Finding, FinishedSize
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from tests.read_jobs import changed, job_from, reading, the_shop

HEAD = """
title = "Latch plate of the nipping press"
units = "mm"
blank = { form = "bar", length = 100, width = 60, thickness = 12, material = "brass" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "vice", beneath = 10, keepouts = [
  { name = "fixed jaw", low = [-10, 60, -40], high = [110, 90, -8] },
  { name = "moving jaw", low = [-10, -30, -40], high = [110, 0, -8] },
] }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
"""
POCKET = """kind = "pocket"
name = "bolt pocket"
rectangle = [40, 30]
corner_radius = 5
centre = [50, 30]
depth = 4
[[setup.feature]]
kind = "chamfer"
name = "rim"
of = "bolt pocket"
width = 0.5
"""
SLOT = """kind = "slot"
name = "stud slot"
along = "x"
centre = [50, 30]
length = 50
width = 8
depth = 5
[[setup.feature]]
kind = "chamfer"
name = "rim"
of = "stud slot"
width = 0.5
"""
WAY = """kind = "slot"
name = "way"
along = "y"
open_at = ["front", "back"]
centre_line = 50
width = 8
depth = 4
[[setup.feature]]
kind = "chamfer"
name = "rim"
of = "way"
width = 0.5
"""
STEP = """kind = "step"
name = "shoulder"
edges = ["front", "back"]
width = 8
depth = 3
[[setup.feature]]
kind = "chamfer"
name = "rim"
of = "shoulder"
width = 0.5
[[setup.feature]]
kind = "chamfer"
name = "ends"
of = "blank"
edges = ["left", "right"]
width = 1.5
"""
BLANK = """kind = "chamfer"
name = "rim"
of = "blank"
width = 1
"""


@cache
def made(feature: str, machine: str = "converted-mill") -> Proof:
    """Return the plate as made on a machine, proved."""
    job = job_from(HEAD + feature, "plate")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def chamfer(proof: Proof) -> FinishedSize:
    return next(each for each in proof.report.sizes if each.feature == "rim")


def edited(feature: str, edit: Callable[[list[str]], None]) -> list[Finding]:
    """Return what is found in the program after an edit of the chamfer's pass."""
    proof = made(feature)
    lines = proof.text.splitlines()
    at = next(row for row, line in enumerate(lines) if line.startswith("(-- chamfer, rim"))
    tail = lines[at:]
    edit(tail)
    text = "\n".join([*lines[:at], *tail]) + "\n"
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


def lowered(by: float, tip: float = -0.8) -> Callable[[list[str]], None]:
    """Return an edit that sets the cutter deeper by so much, mm."""

    def edit(lines: list[str]) -> None:
        rows = [row for row, line in enumerate(lines) if f"Z{tip:g}" in line]
        assert rows
        for row in rows:
            lines[row] = lines[row].replace(f"Z{tip:g}", f"Z{tip - by:g}")

    return edit


# ---------------------------------------------------------------- read


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (('of = "bolt pocket"', 'of = "bolt poket"'), 'did you mean "bolt pocket"'),
        (('of = "bolt pocket"', 'of = "bolt pocket"\nedges = ["left"]'), "leave it out"),
        (("width = 0.5", "width = 0.5\nangle_deg = 80"), "angle_deg"),
        (("width = 0.5", "width = 0.5\nthere = true"), "it changes no size"),
    ],
)
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(HEAD + POCKET, change), "plate")
    assert any(wrong in error for error in errors), errors


def test_holes_are_countersunk_and_an_edge_has_one_chamfer() -> None:
    holes = """kind = "holes"
name = "pins"
at = [20, 20]
diameter = 6
depth = "through"
[[setup.feature]]
kind = "chamfer"
name = "rim"
of = "pins"
width = 0.5
"""
    _, errors = reading(HEAD + holes, "plate")
    assert any("say countersink" in error for error in errors)
    twice = POCKET + POCKET[POCKET.index("[[setup") :].replace('"rim"', '"rim again"')
    _, errors = reading(HEAD + twice, "plate")
    assert any("two chamfers of 'bolt pocket'" in error for error in errors)


# ---------------------------------------------------------------- planned


@pytest.mark.parametrize("feature", [POCKET, SLOT, WAY, STEP, BLANK])
def test_a_chamfer_comes_out_as_wide_as_wanted(feature: str) -> None:
    found = chamfer(made(feature))
    wanted = 1.0 if feature == BLANK else 0.5
    assert (found.least, found.most) == pytest.approx((wanted, wanted), abs=0.003)


@pytest.mark.parametrize("feature", [WAY, STEP, BLANK])
@pytest.mark.parametrize("machine", ["bench-mill-metric", "bench-mill-inch"])
def test_handles_cut_it_along_straight_edges(feature: str, machine: str) -> None:
    found = chamfer(made(feature, machine))
    assert found.wanted.low < found.least <= found.most < found.wanted.high


@pytest.mark.parametrize("feature", [POCKET, SLOT])
def test_handles_leave_a_round_edge_to_the_file(feature: str) -> None:
    plain = feature[: feature.index("[[setup")]
    slot_drilled = plain.replace("width = 8", 'width = 8\nways = { finish = "8 mm slot drill" }')
    with pytest.raises(Refusal, match="break the edge by file"):
        made(slot_drilled + feature[feature.index("[[setup") :], "bench-mill-inch")


def test_the_width_follows_from_tip_depth_and_angle() -> None:
    # By hand: at the face the cutter has half its end and its depth by the tangent of 45 degrees;
    # that is as far as its axis is from the wall, and the chamfer's width besides.
    text = made(STEP).text
    after = text[text.index("(-- chamfer, rim") :]
    y = float(re.findall(r"Y([\d.]+)", after)[0])  # the front edge comes first
    tip, depth = 1.5, 0.8
    assert y + tip / 2 + depth * math.tan(math.radians(45)) == pytest.approx(8.0 + 0.5)


def test_a_wide_chamfer_is_cut_in_more_than_one_pass() -> None:
    text = made(STEP).text
    ends = text[text.index("(-- chamfer, ends") :]
    assert set(map(float, re.findall(r"G1 Z(-[\d.]+)", ends))) == {-1.05, -1.8}


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("depth = 4", "depth = 0.8"), "the floor of 'bolt pocket' is 0.8 mm deep"),
        (("corner_radius = 5", 'corner_radius = 0.9\ncorners = "left"'), "are tighter than"),
        (("width = 0.5", "width = 0.5\nangle_deg = 30"), "no cutter of the crib makes a chamfer"),
        (("width = 0.5", 'width = 0.5\ncutter = "6 mm end mill"'), "is no countersink"),
    ],
)
def test_what_cannot_be_cut_is_refused_with_the_reason(change: tuple[str, str], wrong: str) -> None:
    with pytest.raises(Refusal) as refused:
        made(changed(POCKET, change))
    assert wrong in str(refused.value)


# ---------------------------------------------------------------- slips


@pytest.mark.parametrize("feature", [POCKET, SLOT, WAY, STEP])
def test_an_untouched_program_has_no_findings(feature: str) -> None:
    assert edited(feature, lambda _: None) == []


@pytest.mark.parametrize("feature", [POCKET, SLOT, WAY, STEP])
def test_a_cutter_set_too_deep_cuts_too_wide(feature: str) -> None:
    found = [each for each in edited(feature, lowered(0.2)) if each.code == "chamfer"]
    assert found
    # 0.5 and 0.2 more, where 0.6 is the most.
    assert max(each.amount or 0.0 for each in found) == pytest.approx(0.1, abs=0.004)


@pytest.mark.parametrize("feature", [POCKET, SLOT, WAY, STEP])
def test_a_cutter_set_too_high_leaves_metal(feature: str) -> None:
    found = [each for each in edited(feature, lowered(-0.2)) if each.code == "metal left"]
    assert found
    assert found[0].amount == pytest.approx(0.1, abs=0.004)


def test_a_chamfer_left_out() -> None:
    def edit(lines: list[str]) -> None:
        last = next(row for row, line in enumerate(lines) if line.startswith("M9"))
        del lines[6:last]

    assert {each.code for each in edited(POCKET, edit)} & {"metal left", "chamfer"}


def test_a_way_that_leaves_the_edge() -> None:
    def edit(lines: list[str]) -> None:
        at = next(row for row, line in enumerate(lines) if line.startswith("(-- back edge: over"))
        lines[at + 1] = re.sub(r"Y([\d.]+)", lambda y: f"Y{float(y[1]) + 0.3:.4f}", lines[at + 1])

    found = edited(STEP, edit)  # further out by 0.3: a chamfer of 0.2 on that side
    (left,) = (each for each in found if each.code == "metal left")
    assert left.amount == pytest.approx(0.2, abs=0.004)


@pytest.mark.parametrize(("feature", "by"), [(POCKET, 3.5), (SLOT, 4.5)])
def test_an_end_that_cuts_into_the_floor(feature: str, by: float) -> None:
    # 0.8 deep as planned: to 4.3, where a floor of 4 may be 4.1, and to 5.3, where 5 may be 5.1.
    floors = [each for each in edited(feature, lowered(by)) if each.code == "floor"]
    assert max((each.amount or 0.0 for each in floors), default=0.0) == pytest.approx(0.2, abs=2e-3)


def test_a_mill_is_not_allowed_where_a_countersink_is() -> None:
    def edit(lines: list[str]) -> None:
        for row, line in enumerate(lines):
            lines[row] = re.sub(r"^T\d+ M6$", "T1 M6", line)
            lines[row] = re.sub(r"^G43 H\d+$", "G43 H1", lines[row])

    assert "wall" in {each.code for each in edited(POCKET, edit)}


def test_a_count_of_passes_wrong_on_a_sheet_is_found() -> None:
    proof = made(WAY, "bench-mill-metric")
    sheet = json.loads(proof.text)
    cuts = [step for step in sheet["steps"] if step["kind"] == "wind" and step["cut"]]
    cuts[-1]["passes"] += 1
    report = prove_text(proof.place, json.dumps(sheet), "edited.json", lambda _: None).report
    assert not report.ok


def test_walls_are_still_judged_under_the_chamfer() -> None:
    proof = made(POCKET)
    lines = proof.text.splitlines()
    finish = next(row for row, line in enumerate(lines) if line.startswith("(-- finish"))
    at = next(r for r in range(finish, len(lines)) if re.fullmatch(r"Y[\d.]+", lines[r]))
    x = next(w for line in lines[at - 1 :: -1] for w in re.findall(r"X([\d.]+)", line))
    lines[at] = f"X{float(x) + (0.4 if float(x) > 50 else -0.4):.4f} {lines[at]}"
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    walls = [each for each in report.findings if each.code == "wall"]
    assert walls
    assert walls[0].amount == pytest.approx(0.4 - 0.15, abs=0.003)
