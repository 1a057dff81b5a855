"""What is wrong in programs is named, by line, and all of it at once."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from postprocessors.gcode.reader import MOST_ERRORS, ProgramErrors, read_program

FAULTS: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "faults" / "program_errors.toml").read_text()
)["fault"]
START = "G17 G21 G40 G49 G54 G80 G90 G94 G99\nG0 X10 Y0 Z5\nF100\n"


@pytest.mark.parametrize("fault", FAULTS, ids=[each["line"] for each in FAULTS])
def test_fault_is_named_with_its_line(fault: dict[str, str]) -> None:
    text = f"{START}{fault['line']}\nM2\n"
    with pytest.raises(ProgramErrors) as caught:
        read_program(text, file="bar.ngc")
    (error,) = caught.value.errors
    assert fault["says"] in f"{error.wrong}; {error.right}"
    assert error.line == 4 + fault["line"].count("\n")
    assert str(caught.value).startswith(f"bar.ngc:{error.line}: ")
    assert caught.value.exit_code == 2


def test_start_of_the_faults_is_without_fault() -> None:
    assert read_program(f"{START}M2\n").troubles == ()


def test_all_errors_come_at_once_in_order() -> None:
    with pytest.raises(ProgramErrors) as caught:
        read_program("G21 G90\nG0\nG41\nG1 X1 F9\nG5\n")
    assert [error.line for error in caught.value.errors] == [2, 3, 5, 5]
    assert "no end" in caught.value.errors[-1].wrong


def test_errors_are_cut_off_at_some_number() -> None:
    with pytest.raises(ProgramErrors) as caught:
        read_program("@\n" * 100_000)
    assert len(caught.value.errors) == MOST_ERRORS


def test_line_of_257_characters_is_too_long() -> None:
    line = "G0 X0 Y0 Z5 (" + "-" * 242 + ")"
    assert len(line) == 256
    assert len(read_program(f"{START}{line}\nM2").items) == 2
    with pytest.raises(ProgramErrors, match="257 characters"):
        read_program(f"{START} {line}\nM2")


def test_axis_words_before_any_motion_word_are_an_error() -> None:
    with pytest.raises(ProgramErrors, match="axis words without a motion word"):
        read_program("G21\nX1\nM2\n")


def test_opening_fence_wants_a_closing_one() -> None:
    with pytest.raises(ProgramErrors, match="none closes it"):
        read_program("%\nG21\nM2\n")


def test_empty_text_is_no_program() -> None:
    with pytest.raises(ProgramErrors, match="the program has no end"):
        read_program("")
