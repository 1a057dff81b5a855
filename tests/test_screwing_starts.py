"""Threads of several starts: told apart by the thread dial, or by where a control begins."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path

import pytest

from pathgen.input.where import InputError, Refusal
from pathgen.moves.moves import ThreadCut
from pathgen.reckon.change_wheels import exactly, marks_of_starts
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.thread_passes import compare_passes
from tests.turned_screw import Made, codes_in, screw_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
FINE = (
    ('"M16"', '"M16xPh3P1.5"'),
    ("run_out = 4", "run_out = 5"),
    ("diameter_limits = [15.7, 15.94]", "diameter_limits = [15.75, 15.95]"),
    ("diameter = 15.82", "diameter = 15.85"),
)
COARSE = (
    ('"M16"', '"M24xPh6P3"'),
    ("run_out = 4", "run_out = 7"),
    ("diameter_limits = [15.7, 15.94]", "diameter_limits = [23.65, 23.9]"),
    ("diameter = 15.82", "diameter = 23.8"),
    ("diameter = 25", "diameter = 32"),
    ("diameter = 23,", "diameter = 30,"),
)


@pytest.fixture(scope="module")
def fine(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the screw with two starts of 1.5 mm, as made by a program."""
    return screw_of(tmp_path_factory.mktemp("fine"), PROGRAM, *FINE)


@pytest.fixture(scope="module")
def coarse(tmp_path_factory: pytest.TempPathFactory) -> Made:
    """Return the screw with two starts of 3 mm, as made by the thread dial."""
    return screw_of(tmp_path_factory.mktemp("coarse"), METRIC, *COARSE)


def cuts_of(made: Made) -> list[ThreadCut]:
    return [each for each in made.run.items if isinstance(each, ThreadCut)]


@pytest.mark.parametrize(
    ("tpi_of_lead", "starts", "found"),
    [
        # 8 tpi, 16 teeth, 8 marks: a quarter of an inch from mark to mark.
        (Fraction(5), 2, (1, 3)),  # 0.2 in: after 0.5 in it stands 0.1 in beside
        (Fraction(9, 2), 2, (1, 5)),  # 2/9 in: 1 in are four and a half
        (Fraction(8), 2, None),  # 1/8 in: each mark is a whole number of them
        (Fraction(4, 3), 3, (1, 2, 3)),  # 0.75 in: a third of it is a mark
        (Fraction(8), 1, (1,)),
    ],
)
def test_a_mark_for_each_start(
    tpi_of_lead: Fraction, starts: int, found: tuple[int, ...] | None
) -> None:
    lead = exactly(25.4) / tpi_of_lead
    assert marks_of_starts(lead, starts, 25.4 / 8, 16, 8) == found


def test_a_control_begins_the_second_start_a_pitch_further_on(fine: Made) -> None:
    assert fine.report.ok
    begins = [float(z) for z in re.findall(r"^G0 Z([\d.]+)\n\(-- pass", fine.text, re.M)]
    firsts, seconds = begins[::2], begins[1::2]
    assert len(firsts) == len(seconds) > 5
    assert [b - a for a, b in zip(firsts, seconds, strict=True)] == pytest.approx(
        [1.5] * len(firsts), abs=2e-4
    )
    assert {each.lead for each in cuts_of(fine)} == {3.0}


def test_the_thread_dial_has_a_mark_for_each_start(coarse: Made) -> None:
    assert coarse.report.ok
    # 14 teeth on a leadscrew of 3 mm are 42 mm, half of it 21: three leads of 6 mm and a pitch.
    assert {(each.every, each.first) for each in cuts_of(coarse)} == {(2, 1), (2, 2)}
    raw = json.loads(coarse.text)
    said = [step["what"] for step in raw["steps"] if "start" in step.get("what", "").split()]
    assert any(each.endswith("start 1 of 2") for each in said)
    assert any(each.endswith("start 2 of 2") for each in said)


@pytest.mark.parametrize(
    ("machine", "changes", "message"),
    [
        (METRIC, FINE, "cut 2 starts on .*: no wheel of its thread dial has a mark for each"),
        (INCH_DIALS, FINE, "no wheel of its thread dial"),
        (PROGRAM, (('"M16"', '"M16xPh3P1.5 LH"'), *FINE[1:]), "left-handed and of several starts"),
    ],
)
def test_what_cannot_be_told_apart_is_refused(
    tmp_path: Path, machine: str, changes: tuple[tuple[str, str], ...], message: str
) -> None:
    with pytest.raises((Refusal, InputError), match=message):
        screw_of(tmp_path, machine, *changes)


# ---------------------------------------------------------------------- slips


def test_one_start_left_out_of_a_program_is_found(fine: Made) -> None:
    text, count = re.subn(
        r"G0 Z[\d.]+\n\(-- [^\n]*start 2 of 2\)\n(G0 X[\d.]+\n)?G33 [^\n]*\n", "", fine.text
    )
    assert count > 10
    assert "left" in codes_in(fine, text)


def test_a_start_beside_its_place_is_found(fine: Made) -> None:
    text, count = re.subn(
        r"G0 Z(\d+)(\.\d+)\n(\(-- pass \d+ of \d+, start 2 of 2\))", r"G0 Z1\1\2\n\3", fine.text
    )
    assert count  # 10 mm on are 3 leads and a third
    assert "groove" in codes_in(fine, text)


def test_all_at_one_mark_is_found(coarse: Made) -> None:
    raw = json.loads(coarse.text)
    for step in raw["steps"]:
        if step["kind"] == "thread":
            step["first"] = 1
    assert "left" in codes_in(coarse, json.dumps(raw))


def test_a_pass_of_one_start_left_out_of_a_sheet_is_found(coarse: Made) -> None:
    raw = json.loads(coarse.text)
    assert compare_passes(load_sheet(json.dumps(raw), "sheet")) == ()
    at = next(
        i for i, s in enumerate(raw["steps"]) if s.get("what") == "pass 7 of 46, start 2 of 2"
    )
    del raw["steps"][at : at + 4]
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    for each in raw["operations"]:
        each["first"] -= 4 if each["first"] > at else 0
    (trouble,) = compare_passes(load_sheet(json.dumps(raw), "sheet"))
    assert "pass 8 of 46 comes, pass 7 is not there" in trouble.what


def test_any_mark_of_the_same_start_does(coarse: Made) -> None:
    raw = json.loads(coarse.text)
    for step in raw["steps"]:
        if step["kind"] == "thread":
            step["first"] = step.get("first", 1) + 2  # the same marks, counted on
    assert codes_in(coarse, json.dumps(raw)) == set()
