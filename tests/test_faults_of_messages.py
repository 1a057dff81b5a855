"""What a program shows at its stops is held to the records that are checked."""

from __future__ import annotations

import pytest

from pathgen.check.findings import Finding
from postprocessors.gcode.reader import read_program
from tests.test_named_faults import findings, made

LEAN = "converted-mill-lean"
ZERO = """(stop, zero z: within 0.02 mm)
(touch top: going minus, radius 0.0 mm, paper 0.0 mm, at 0.0 mm, spindle still, with 6 mm end)
(+ mill)"""
SHOWN = """Bring the 6 mm end mill over whole metal)
M0 (MSG, Spindle off, down until it just touches the top face)
M0 (MSG, Set z of G54, and z only, to read 0.0 mm there"""
CUT_OTHERWISE = """M0 (MSG, Measure M1: width of ...)
M0 (MSG, ... stud slot, at both ends ...)
M0 (MSG, ... and the middle)"""
HEAD = (
    "(pathgen program, form 1)\n(title: seat)\n(digest: 4f1c)\n(setup: top)\n(machine: mill)\n"
    "(cutter 1: 5.98 mm, 6 mm end mill)\nG17 G21 G40 G49 G54 G80 G90 G94\n"
)


def changed(old: str, new: str, machine: str = LEAN) -> tuple[list[Finding], int]:
    """Return what is found after one change of the fence bar's program, and the line of it."""
    proof = made(machine)
    assert old in proof.text
    at = proof.text.index(old)
    text = proof.text[:at] + new + proof.text[at + len(old) :]
    return findings(proof.place, text), proof.text[:at].count("\n") + 1


@pytest.mark.parametrize(
    ("old", "new", "record"),
    [
        ("(MSG, Fit cutter 3: 8 mm", "(MSG, Fit cutter 3: 12 mm", "Fit cutter 3: 8 mm end mill"),
        ("(MSG, Fit cutter 3:", "(MSG, Fit cutter 2:", "Fit cutter 3: 8 mm end mill"),
        ("(MSG, Fit cutter 3: 8 mm end mill)", "", "Fit cutter 3: 8 mm end mill"),
        ("only, to read 0.05", "only, to read -2.0", "Set z of G54, and z only, to read 0.05 mm"),
        ("(MSG, Set z of G54", "(MSG, Set x of G54", "Set z of G54, and z only, to read 0.05 mm"),
        (
            "nips the 0.05 mm",
            "nips the 0.5 mm",
            "Spindle off, down on the top face until it nips the 0.05 mm",
        ),
        ("(MSG, Spindle off", "(MSG, Spindle on", "Spindle off, down on the top face"),
        ("(MSG, Bring the 10 mm", "(MSG, Bring the 8 mm", "Bring the 10 mm spotting drill over"),
        ("M1 should be 9.575", "M1 should be 9.2", "M1 should be 9.575 mm, go on only from 9.425"),
        ("only from 9.425", "only from 8.0", "M1 should be 9.575 mm, go on only from 9.425"),
        ("MSG, Measure M1: width", "MSG, Measure M1: length", "Measure M1: width of stud slot"),
    ],
)
def test_a_message_that_says_other_than_its_record(old: str, new: str, record: str) -> None:
    found, line = changed(old, new)
    (finding,) = (each for each in found if each.code == "message")
    assert finding.place == line
    assert f"its record says '{record}" in finding.what


def test_the_message_of_a_control_that_changes_its_cutters_itself() -> None:
    found, line = changed("M1 should be 9.575", "M1 should be 9.2", "converted-mill")
    (finding,) = found
    assert (finding.code, finding.place) == ("message", line)


@pytest.mark.parametrize("shown", ["Bring the 8 mm", "Spindle off", "Set z of G54"])
def test_a_part_of_a_message_left_out(shown: str) -> None:
    proof = made(LEAN)
    lines = proof.text.splitlines()
    at = max(n for n, line in enumerate(lines) if line.startswith(f"M0 (MSG, {shown}"))
    del lines[at]
    found = findings(proof.place, "\n".join(lines) + "\n")
    assert {each.code for each in found} & {"message", "comments"}


def test_a_message_that_stands_for_nothing_must_not_tell_of_work() -> None:
    lie = "M0 (MSG, Fit cutter 4: 12 mm end mill)\n"
    found, line = changed("(-- semi-finish", f"{lie}(-- semi-finish")
    (finding,) = found
    assert (finding.code, finding.place) == ("message", line)
    assert "no record stands for it" in finding.what


@pytest.mark.parametrize(
    "line", ["(MSG, set z to read three)", "M1 (MSG, take the 12 mm one)", "G4 P1 (MSG, fit it)"]
)
def test_a_message_anywhere_is_looked_at(line: str) -> None:
    (trouble,) = read_program(f"{HEAD}{line}\nM2\n").troubles
    assert (trouble.code, trouble.number) == ("message", 8)


@pytest.mark.parametrize(
    ("record", "right", "wrong"),
    [
        ("(stop, speed 900)", "Set 900 rev/min", "Set 90 rev/min"),
        ("(stop, coolant mist)", "Turn coolant to mist", "Turn coolant to off"),
        ("(stop, pause)\n(reason: tap M6)", "tap M6", "tap M5"),
        ("(stop, hold)\n(line: tight)", "Clamp as listed", "Clamp as you like"),
        (ZERO, SHOWN, SHOWN.replace("read 0.0 mm", "read 0.1 mm")),
    ],
)
def test_each_kind_of_stop_has_its_words(record: str, right: str, wrong: str) -> None:
    assert read_program(f"{HEAD}{record}\nM0 (MSG, {right})\nM2\n").troubles == ()
    (trouble,) = read_program(f"{HEAD}{record}\nM0 (MSG, {wrong})\nM2\n").troubles
    assert trouble.code == "message"


def test_a_zero_of_x_is_not_set_at_a_stop() -> None:
    touch = (
        "(touch left: going plus, radius 1.5 mm, paper 0.0 mm, at -1.5 mm, spindle still, with pin)"
    )
    body = f"(stop, zero x: within 0.02 mm)\n{touch}\nM0 (MSG, Set the zero of x)"
    (trouble,) = read_program(f"{HEAD}{body}\nM2\n").troubles
    assert "a zero that is set before the program begins" in trouble.what


# ---------------------------------------------------------------- what is harmless


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("(MSG, Fit cutter 3: 8 mm end mill)", "(msg,  FIT cutter 3:  8 mm end mill )"),
        (
            "M0 (MSG, Measure M1: width of stud slot, at both ends and the middle)",
            CUT_OTHERWISE,
        ),
        ("(-- semi-finish", "M0 (MSG, oil the slides)\n(-- semi-finish"),
        ("(-- semi-finish", "(MSG, half of it is done)\n(-- semi-finish"),
    ],
)
def test_what_shows_the_same_is_harmless(old: str, new: str) -> None:
    assert changed(old, new)[0] == []
