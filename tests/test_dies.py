"""Threads cut by a die: what they stand on, the stop for them, and that slips are found."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.workplace import Proof, form_for
from pathgen.input.where import InputError
from pathgen.job.turning.read_dies import before_the_die
from pathgen.reckon.thread_names import thread
from tests.inside_jobs import PARTED, found_in, job_of, made, sheet_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
STUD = """
units = "mm"
blank = { form = "round", diameter = 16, length = 44, material = "mild steel" }
[[setup]]
name = "turning"
machine = "converted-lathe"
hold = { chuck = "three-jaw", stick_out = 30 }
facing = 0.5
[[setup.feature]]
kind = "turned"
name = "stud"
steps = [{ diameter = 7.88, diameter_limits = [7.82, 7.93], to = 14 }, { diameter = 12, to = 20 }]
[[setup.feature]]
kind = "chamfer"
name = "lead-in"
of = "stud"
width = 0.9
file_to_line = 0.12
"""
DIE = """
[[setup.feature]]
kind = "die"
name = "screw"
of = "stud"
thread = "M8"
length = 10
"""
RELIEF = """
[[setup.feature]]
kind = "undercut"
name = "relief"
of = "stud"
width = 3
diameter = 6
"""
SCREWED = """
[[setup.feature]]
kind = "screw-cut"
name = "other screw"
thread = "M8"
length = 6
run_out = 3
"""
MADE = STUD + DIE + PARTED.replace("14", "17")
STOP = "Die M8, 10 mm of full thread, 8 turns"


# ---------------------------------------------------------------------- what is made


def test_the_diameter_before_a_die_is_under_the_major_one_and_within_its_class() -> None:
    # 6g of M8: major 7.76 to 7.972 (ISO 965-2, as bolt_limits has it); 0.05 x 1.25 under 8 at least
    low, high = before_the_die(thread("M8"))
    assert low == pytest.approx(7.76, abs=0.002)
    assert high == pytest.approx(8 - 0.05 * 1.25)
    # 2A of 1/4-20 UNC: 0.2408 in at the least (ASME B1.1, from memory)
    low, high = before_the_die(thread("1/4-20 UNC"))
    assert low == pytest.approx(0.2408 * 25.4, abs=0.003)
    assert high == pytest.approx(6.35 - 0.05 * 1.27)


@pytest.mark.parametrize("machine", LATHES)
def test_a_stud_is_proved_with_its_stop_for_the_die(machine: str) -> None:
    report = made(MADE, machine).report
    assert report.ok, [str(each) for each in report.findings]
    across = next(s for s in report.sizes if s.feature == "stud, first from the right")
    assert 7.82 <= across.least <= across.most <= 7.93
    assert any(size.feature == "lead-in" for size in report.sizes)


def test_the_spindle_stands_and_the_tool_is_out_of_the_way() -> None:
    proof = made(MADE, METRIC)
    steps = sheet_of(proof)["steps"]
    at = next(index for index, step in enumerate(steps) if step["kind"] == "pause")
    assert steps[at]["reason"].startswith(STOP)
    spindle = [step["rpm"] for step in steps[:at] if step["kind"] == "spindle"]
    assert spindle[-1] == 0
    out = [step for step in steps[:at] if step.get("what") == "out, clear of the die-holder"]
    assert [step["place"] for step in out] == [30]
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    assert "back half a turn each turn to break the chips" in text
    assert "Never by power" in text
    # no other tool is fitted for it, and the one in the post stays
    fits = [step["name"] for step in steps if step["kind"] == "fit"]
    assert fits == ["knife tool", "2 mm parting blade"]


# ---------------------------------------------------------------------- slips


def pause(raw: dict[str, Any]) -> dict[str, Any]:
    step: dict[str, Any] = next(step for step in raw["steps"] if step["kind"] == "pause")
    return step


def of_another_thread(raw: dict[str, Any]) -> None:
    pause(raw)["reason"] = pause(raw)["reason"].replace("Die M8", "Die M8x1")


def spindle_left_turning(raw: dict[str, Any]) -> None:
    at = raw["steps"].index(pause(raw))
    last = [step for step in raw["steps"][:at] if step["kind"] == "spindle"][-1]
    last["rpm"] = 260


def tool_left_near(raw: dict[str, Any]) -> None:
    at = raw["steps"].index(pause(raw))
    out = [step for step in raw["steps"][:at] if step.get("what") == "out, clear of the die-holder"]
    del raw["steps"][raw["steps"].index(out[-1])]


def turned_too_thick(raw: dict[str, Any]) -> None:
    for step in raw["steps"]:
        if "half of the diameter wanted" in str(step.get("terms")) and step.get("rule"):
            step["rule"]["base"] -= 30  # a dial that shows diameters: 0.3 mm more of it
            step["reading"] -= 30
            step["dial"] = step["reading"] % 400


@pytest.mark.parametrize(
    ("edit", "codes"),
    [
        (of_another_thread, {"left"}),
        (spindle_left_turning, {"spindle"}),
        (tool_left_near, {"die"}),
        (turned_too_thick, {"die", "size"}),
    ],
)
def test_a_slip_in_a_sheet_is_found(
    edit: Callable[[dict[str, Any]], None], codes: set[str]
) -> None:
    proof = made(MADE, METRIC)
    raw = sheet_of(proof)
    edit(raw)
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    assert codes <= {each.code for each in found_in(proof, json.dumps(raw))}


def edited(proof: Proof, *changes: tuple[str, str]) -> str:
    text = proof.text
    for before, after in changes:
        assert before in text, before
        text = text.replace(before, after)
    return text


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([("Die M8,", "Tap M8,")], "left"),
        ([("G0 X60.0\n", "")], "die"),
        ([("G0 X7.875\n", "G0 X8.3\n")], "die"),
        (
            [
                ("G0 X7.2064\n", "G0 X9.0\n"),
                ("G0 X5.8407\n", "G0 X9.0\n"),
                ("G1 X7.6407 Z", "G1 X9.0 Z"),
            ],
            "die",
        ),
        ([("G1 Z-14.0", "G1 Z-12.5")], "die"),
    ],
)
def test_a_slip_in_a_program_is_found(changes: list[tuple[str, str]], code: str) -> None:
    proof = made(MADE, PROGRAM)
    assert code in {each.code for each in found_in(proof, edited(proof, *changes))}


def test_harmless_edits_find_nothing() -> None:
    proof = made(MADE, PROGRAM)
    changes = (("G0 X60.0\n", "G00 X62.\n"), ("(-- out, clear of the die-holder)", "(-- well out)"))
    assert found_in(proof, edited(proof, *changes)) == []


# ---------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (MADE.replace("[7.82, 7.93]", "[7.82, 7.96]"), "turn it to diameter_limits within 7.7"),
        (MADE.replace("width = 0.9", "width = 0.5"), "no chamfer before it down to the root of M8"),
        (MADE.replace("length = 10", "length = 11"), "length: 11 mm to a shoulder at 13.8 mm"),
        (MADE.replace('"M8"', '"M8x3"'), "thread"),
        (MADE.replace('of = "stud"\nthread', 'of = "rod"\nthread'), "no profile 'rod' before it"),
        (MADE.replace("length = 10", "length = 0"), "length"),
        (STUD + DIE + DIE.replace("screw", "other"), "2 threads by dies"),
        (STUD + DIE + RELIEF, "relief after screw; put the die after it"),
        (STUD + DIE + SCREWED, "screw by a die, other screw screw-cut"),
    ],
)
def test_what_makes_no_sense_is_refused(text: str, message: str) -> None:
    job, wrong = job_of(text)
    assert job is None
    assert any(message in each for each in wrong), wrong


def test_a_die_that_the_crib_has_not_is_refused(tmp_path: Path) -> None:
    fine = MADE.replace('"M8"', '"M8x1"').replace("[7.82, 7.93]", "[7.84, 7.93]")
    with pytest.raises(InputError, match="cut M8x1 by a die: the crib has none"):
        made(fine, METRIC)
