"""`pathgen check` of a file: what it is, whom it was made for, whether its cautions are there."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.followed import JOBS, files
from tests.test_commands import status

BAR = JOBS / "fence-bar.toml"
METRIC = "bench-mill-metric"


@pytest.mark.parametrize("command", ["check", "draw"])
@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("the slot, as we talked about\nten wide\n" * 20, 'begins "the slot, as we talked about"'),
        ("", "is empty"),
        (BAR.read_text(encoding="utf-8"), 'begins "# The fence bar'),
    ],
)
def test_what_is_no_program_is_refused_once(
    command: str, text: str, begins: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = tmp_path / "slot.ngc"
    made.write_text(text)
    assert status(command, BAR, made) == 2
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 1
    assert f"{made}: does not look like a program, it {begins}" in told[0]
    assert told[0].endswith("give a program (G-code), or the JSON of a dial sheet")


def test_a_program_with_slips_is_told_of_line_by_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = files("fence-bar", "converted-mill")["slot.converted-mill.ngc"].splitlines()
    cut = [number for number, line in enumerate(lines) if line.startswith("G1 ")][:3]
    for number in cut:
        lines[number] = f"{lines[number]} wrong"
    made = tmp_path / "slot.ngc"
    made.write_text("\n".join(lines) + "\n")
    assert status("check", BAR, made) == 2
    told = capsys.readouterr().err.splitlines()
    assert [line.split(":")[1] for line in told] == [str(number + 1) for number in cut]


def test_a_program_for_another_machine_names_that(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = tmp_path / "slot.ngc"
    made.write_text(files("fence-bar", "converted-mill")["slot.converted-mill.ngc"])
    assert status("check", BAR, made, "--machine", METRIC) == 2
    told = capsys.readouterr().err
    assert "it was made for 'converted-mill': leave --machine out" in told
    assert status("check", BAR, made) == 0


def test_each_caution_taken_out_of_a_sheet_is_found(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = json.loads(files("fence-bar", METRIC)[f"slot.{METRIC}.json"])
    cautions = [step for step in sheet["steps"] if step.get("caution")]
    assert len(cautions) >= 4
    made = tmp_path / "slot.json"
    made.write_text(json.dumps(sheet))
    assert status("check", BAR, made) == 0
    gone = [cautions[0], cautions[len(cautions) // 2], cautions[-1]]
    sheet["steps"] = [step for step in sheet["steps"] if step not in gone]
    numbers = [step["number"] for step in sheet["steps"]]
    new = {old: index for index, old in enumerate(numbers, start=1)}
    for step in sheet["steps"]:
        step["number"] = new[step["number"]]
    for operation in sheet["operations"]:
        operation["first"] = new[next(n for n in numbers if n >= operation["first"])]
    made.write_text(json.dumps(sheet))
    capsys.readouterr()
    assert status("check", BAR, made) == 1
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 3
    for step in gone:
        assert any(f"is not on the sheet: {step['text'][:60].rstrip()}" in each for each in told)
