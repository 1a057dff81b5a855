"""Slots that cross what earlier setups cut, and what is put down to a cutter from when on."""

from __future__ import annotations

import json
from functools import cache

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from tests.read_jobs import job_from, the_shop

SETUP = """
[[setup]]
name = "{name}"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = 12 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
"""
HEAD = """
title = "swivel seat"
units = "mm"
blank = { form = "bar", length = 120, width = 60, thickness = 14, material = "brass" }
"""
ACROSS = """
[[setup.feature]]
kind = "slot"
name = "cross way"
along = "y"
open_at = ["front", "back"]
centre_line = 40
width = 10
depth = {depth}
"""
POCKET = """
[[setup.feature]]
kind = "pocket"
name = "recess"
rectangle = [50, 30]
corner_radius = 5
centre = [40, 30]
depth = 3
"""
ALONG = """
[[setup.feature]]
kind = "slot"
name = "long way"
along = "x"
open_at = ["left", "right"]
centre_line = 30
width = 8
depth = 4
"""
IN_FLOOR = """
[[setup.feature]]
kind = "slot"
name = "long way"
along = "x"
centre = [40, 30]
length = 30
width = 8
depth = 6
ways = { holes = "none" }
"""


@cache
def made(first: str, second: str, machine: str) -> Proof:
    """Return the second of two setups as made, after the first."""
    text = HEAD + SETUP.format(name="first") + first + SETUP.format(name="second") + second
    job = job_from(text, "seat")
    *_, proof = prove_job(job, the_shop(), machine, lambda _: None)
    return proof


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric"])
@pytest.mark.parametrize("first", [ACROSS.format(depth=each) for each in (2, 4, 7)])
def test_a_slot_that_crosses_an_earlier_one_has_no_walls_there(first: str, machine: str) -> None:
    proof = made(first, ALONG, machine)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    sizes = {each.quantity: (each.least, each.most) for each in proof.report.sizes}
    assert sizes["width"] == pytest.approx((8.0, 8.0), abs=0.001)
    assert sizes["depth"] == pytest.approx((4.0, 4.0), abs=0.001)


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric"])
def test_a_slot_in_the_floor_of_an_earlier_pocket_is_measured_under_that_floor(
    machine: str,
) -> None:
    proof = made(POCKET, IN_FLOOR, machine)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    sizes = {each.quantity: (each.least, each.most) for each in proof.report.sizes}
    assert sizes["width"] == pytest.approx((8.0, 8.0), abs=0.001)
    assert sizes["length"] == pytest.approx((30.0, 30.0), abs=0.001)


def edited(proof: Proof, old: str, new: str) -> list[Finding]:
    """Return what is found once the last line of a kind was put otherwise."""
    head, middle, tail = proof.text.rpartition(f"\n{old}\n")
    assert middle, old
    report = prove_text(proof.place, f"{head}\n{new}\n{tail}", "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


@pytest.mark.parametrize(
    ("first", "second", "old", "new", "code"),
    [
        (ACROSS.format(depth=4), ALONG, "G0 Y30.825", "G0 Y31.1", "wall"),
        (ACROSS.format(depth=4), ALONG, "Z-4.0", "Z-4.3", "floor"),
        (ACROSS.format(depth=7), ALONG, "Z-4.0", "Z-4.3", "floor"),
        (POCKET, IN_FLOOR, "G1 X51.0 F87.0", "G1 X51.0 Y31.3 F87.0", "outside"),
        (POCKET, IN_FLOOR, "G1 X51.0 F87.0", "G1 X51.7 F87.0", "end"),
        (POCKET, IN_FLOOR, "G1 Z-6.0 F87.0", "G1 Z-6.4 F87.0", "floor"),
        (POCKET, IN_FLOOR, "G1 Z-6.0 F87.0", "G1 Z-5.0 F87.0", "metal left"),
        (POCKET, IN_FLOOR, "G1 X29.0 F87.0", "", "metal left"),
    ],
)
def test_a_slip_in_a_slot_beside_what_is_gone_is_found(
    first: str, second: str, old: str, new: str, code: str
) -> None:
    found = edited(made(first, second, "converted-mill"), old, new)
    assert code in {each.code for each in found}, [str(each) for each in found]


# ---------------------------------------------------------------- put down to a cutter

WAY = """
[[setup.feature]]
kind = "slot"
name = "way"
along = "x"
centre = [30, 30]
length = 40
width = 10
width_limits = [9.95, 10.1]
depth = 4
"""
RECESS = POCKET.replace("[50, 30]", "[40, 30]").replace("[40, 30]\ndepth", "[85, 30]\ndepth")


def slot_width(*features: str) -> tuple[float, float]:
    job = job_from(HEAD + SETUP.format(name="seat") + "".join(features), "seat")
    (proof,) = prove_job(job, the_shop(), "bench-mill-metric", lambda _: None)
    (width,) = (e for e in proof.report.sizes if (e.feature, e.quantity) == ("way", "width"))
    names = {each["cutter"] for each in json.loads(proof.text)["operations"] if "cutter" in each}
    assert names  # one and the same slot drill of 10 mm makes both
    return width.least, width.most


def test_what_is_measured_of_a_pocket_says_nothing_of_a_slot_finished_before() -> None:
    assert slot_width(WAY, RECESS) == pytest.approx((10.0, 10.0), abs=0.002)


def test_what_is_measured_of_a_pocket_says_how_wide_the_cutter_cuts_from_there_on() -> None:
    # The band of what is measured is 0.15 mm to both sides, and the slot as wide as the cutter.
    assert slot_width(RECESS, WAY) == pytest.approx((9.85, 10.15), abs=0.002)
