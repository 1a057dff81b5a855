"""Round pockets and bosses held to the axis of a hole: told, judged, and slips found."""

from __future__ import annotations

from functools import cache

import pytest

from pathgen.check.findings import FinishedSize
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from tests.read_jobs import changed, job_from, reading, the_shop

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
blank = { form = "bar", length = 80, width = 80, thickness = 14, material = "brass" }
"""
HOLE = """
[[setup.feature]]
kind = "holes"
name = "stud hole"
at = [40, 40]
diameter = 8
depth = "through"
"""
RECESS = """
[[setup.feature]]
kind = "pocket"
name = "recess"
round = 30
centre = [40, 40]
depth = 4
concentric_to = "stud hole"
concentric_within = 0.1
"""
ROUND_BOSS = """
[[setup.feature]]
kind = "outside"
name = "boss"
round = 50
centre = [40, 40]
depth = 3
cleared = true
concentric_to = "stud hole"
concentric_within = 0.1
"""


def text_of(feature: str) -> str:
    return HEAD + SETUP.format(name="hole") + HOLE + SETUP.format(name="turned over") + feature


@cache
def made(feature: str) -> Proof:
    *_, proof = prove_job(job_from(text_of(feature), "seat"), the_shop(), None, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def off(sizes: tuple[FinishedSize, ...]) -> FinishedSize:
    return next(each for each in sizes if each.quantity == "off the axis")


@pytest.mark.parametrize("feature", [RECESS, ROUND_BOSS])
def test_how_far_it_lies_off_the_axis_is_told(feature: str) -> None:
    found = off(made(feature).report.sizes)
    assert found.most == pytest.approx(0.0, abs=0.002)
    assert found.wanted.high == 0.1
    assert found.uncertainty > 0.02  # both setups' zeros


@pytest.mark.parametrize("feature", [RECESS, ROUND_BOSS])
@pytest.mark.parametrize(("by", "found"), [(0.05, False), (0.15, True)])
def test_what_lies_beside_the_axis_is_found(feature: str, by: float, found: bool) -> None:
    proof = made(feature)
    moved = "\n".join(
        line if line.startswith("(") else shifted(line, by) for line in proof.text.splitlines()
    )
    report = prove_text(proof.place, f"{moved}\n", "edited", lambda _: None).report
    codes = {each.code for each in report.findings if each.severity == "finding"}
    assert off(report.sizes).most == pytest.approx(by, abs=0.002)
    assert ("concentricity" in codes) is found


def shifted(line: str, by: float) -> str:
    """Return a line of a program with its x words moved."""
    words = [
        f"X{float(word[1:]) + by:.4f}" if word.startswith("X") else word for word in line.split()
    ]
    return " ".join(words)


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("concentric_within = 0.1\n", ""), "missing beside concentric_to"),
        (('to = "stud hole"', 'to = "stud"'), "nothing called 'stud' is cut here or gone before"),
        (("centre = [40, 40]", "centre = [41, 40]"), "'recess' elsewhere; give it that place"),
        (("round = 30", "rectangle = [30, 30]\ncorner_radius = 5"), "'recess' is not round"),
        (('to = "stud hole"', 'to = "recess"'), "the feature itself"),
    ],
)
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(text_of(RECESS), change), "seat")
    assert wrong in "\n".join(errors)
