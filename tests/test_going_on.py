"""Work that goes on after a stop: from a pass on, and by what was measured there."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path

import pytest

from pathgen.cli import run
from pathgen.commands.going_on import prove_found, prove_from
from pathgen.commands.loading import load
from pathgen.commands.outputs import job_files
from pathgen.commands.proving import prove_job
from pathgen.commands.proving_files import prove_file
from pathgen.commands.workplace import Proof
from pathgen.input.where import InputError
from pathgen.moves.actions import FitCutter, Measure, Pause, Zero
from pathgen.moves.plan import HeadFound
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.steps import WindStep
from tests.test_measured_faults import KEEPER, WIDER
from tests.test_named_faults import made

JOBS = Path(__file__).parents[1] / "jobs"
PROGRAM, SHEET = "converted-mill", "bench-mill-metric"


def silent(_: str) -> None:
    """Tell nobody."""


@cache
def whole(name: str = "fence-bar", machine: str = PROGRAM) -> tuple[Proof, ...]:
    """Return the proofs of a demo job's setups."""
    job, shop = load(JOBS / f"{name}.toml", machine)
    return tuple(prove_job(job, shop, machine, silent))


@cache
def from_pass(named: str, machine: str = PROGRAM, name: str = "fence-bar") -> Proof:
    return prove_from(whole(name, machine), named, silent)


@cache
def by_found(said: str, name: str = "fence-bar") -> Proof:
    return prove_found(whole(name), said, silent)


def codes(proof: Proof) -> set[str]:
    return {each.code for each in proof.report.findings if each.severity == "finding"}


def width(proof: Proof) -> tuple[float, float]:
    size = next(each for each in proof.report.sizes if each.quantity == "width")
    return size.least, size.most


def checked(text: str, tmp_path: Path, suffix: str = ".ngc") -> Proof:
    """Return the proof of a text as it stands in a file."""
    made = tmp_path / f"made{suffix}"
    made.write_text(text, encoding="utf-8")
    return prove_file([load(JOBS / "fence-bar.toml")], made, None, silent)


# ---------------------------------------------------------------- from a pass on


@pytest.mark.parametrize(
    "named", ["5", "finish: stud slot", "slot / finish: stud slot", "slot / 5"]
)
def test_a_pass_has_a_number_and_a_name(named: str) -> None:
    proof = from_pass(named)
    assert proof.report.ok
    assert proof.place.stem == "slot.converted-mill.from-pass-5"
    assert proof.run.head.begins_at == 5
    assert proof.plan is not None
    assert [each.purpose for each in proof.plan.passes] == ["finish"]


@pytest.mark.parametrize("machine", [PROGRAM, "converted-mill-lean", SHEET])
def test_what_the_passes_before_cut_is_taken_as_cut(machine: str, tmp_path: Path) -> None:
    proof = from_pass("finish: stud slot", machine)
    assert proof.report.ok
    assert width(proof) == width(whole(machine=machine)[0])
    if machine == SHEET:
        raw = json.loads(proof.text)
        del raw["head"]["begins_at"]
        alone = checked(json.dumps(raw), tmp_path, ".json")
    else:
        alone = checked(proof.text.replace("(begins at pass: 5)\n", ""), tmp_path)
    assert not alone.report.ok  # by itself it cuts a slot's walls into the solid


@pytest.mark.parametrize("machine", [PROGRAM, SHEET])
def test_what_was_written_is_proved_again_from_its_file(machine: str, tmp_path: Path) -> None:
    proof = from_pass("rough: stud slot", machine)
    suffix = ".json" if machine == SHEET else ".ngc"
    again = checked(proof.text, tmp_path, suffix)
    assert again.report.ok
    assert again.report.sizes == proof.report.sizes


def test_a_pass_keeps_its_number_on_sheet_and_drawing() -> None:
    proof = from_pass("semi-finish: stud slot", SHEET)
    files = {name: text for _, name, text in job_files([proof], SHEET)}
    stem = f"slot.{SHEET}.from-pass-4"
    assert "\n4. SEMI-FINISH: STUD SLOT\n" in files[f"{stem}.txt"]
    assert "\n5. FINISH: STUD SLOT\n" in files[f"{stem}.txt"]
    assert ">4. semi-finish: " in files[f"{stem}.svg"]
    assert ">4. semi-finish: " in files[f"{stem}.html"]
    assert f"index.{SHEET}.from-pass-4.html" in files  # that of the whole job stays as it is
    assert "GOES ON AT PASS 4: what the passes before it cut" in files[f"{stem}.txt"]


def test_it_is_not_proved_as_if_it_began_later(tmp_path: Path) -> None:
    later = from_pass("finish: stud slot").text.replace("at pass: 5", "at pass: 3")
    # What 3 and 4 rough stands there yet: it is not as measured, and cut all at once.
    assert codes(checked(later, tmp_path)) == {"measure", "depth of cut"}


def test_the_zeros_are_proved_before_a_cut() -> None:
    program = from_pass("finish: stud slot")
    own = [i for i, n in zip(program.run.items, program.run.numbers, strict=True) if n]
    kinds = [type(item) for item in own if isinstance(item, Zero | FitCutter | Pause)]
    assert kinds == [Zero, Zero, Zero, FitCutter, Pause]
    assert "the axis is over the zero, x on the left face and y on the middle" in program.text
    before = program.text.index("(stop, pause)")
    assert "X0.0 Y0.0" in program.text[:before]
    assert "M3" not in program.text[:before]
    sheet = json.loads(from_pass("finish: stud slot", SHEET).text)["steps"]
    touched = [step["face"] for step in sheet if step["kind"] == "touch"]
    assert touched == ["left", "back", "front", "top"]


def test_the_cutter_is_fitted_under_its_number_in_the_whole() -> None:
    stated = whole()[0].run.head.cutters
    proof = from_pass("finish: stud slot")
    assert proof.run.head.cutters == stated
    assert "T3 M6" in proof.text


@pytest.mark.parametrize(
    ("named", "message"),
    [
        ("1", "pass 1 of 5; name a later one"),
        ("finsh: stud slot", 'did you mean "finish: stud slot"'),
        ("12", "no pass is called '12'"),
    ],
)
def test_a_pass_that_is_not_there_is_refused(named: str, message: str) -> None:
    with pytest.raises(InputError, match=re.escape(message)):
        from_pass(named)


def test_a_pass_in_several_setups_is_asked_for_by_its_setup() -> None:
    with pytest.raises(InputError, match="2 passes are called '2'; name one: 'edges / 2', 'openi"):
        from_pass("2", name="lock-plate")


# ---------------------------------------------------------------- by what was found


def test_the_walls_follow_what_was_found() -> None:
    # Expected 9.575, found 9.63: the 8 mm mill cuts 8.055. Half of 10.075 less half of that: 1.010.
    proof = by_found("width=9.63")
    assert proof.report.ok
    assert proof.run.head.begins_at == 5
    assert re.search(r"Y-?1\.01\b", proof.text)
    assert re.search(r"Y-?1\.0375\b", whole()[0].text)
    assert width(proof) == pytest.approx((10.075, 10.075), abs=0.001)


def test_without_the_correction_the_slot_would_come_out_as_much_wider(tmp_path: Path) -> None:
    text = by_found("width=9.63").text.replace("Y1.01 ", "Y1.0375 ").replace("Y-1.01 ", "Y-1.0375 ")
    assert width(checked(text, tmp_path))[1] == pytest.approx(10.13, abs=0.001)


@pytest.mark.parametrize(
    "said",
    ["M1=9.63", "stud slot: width = 9.63 mm", "slot / stud slot: width=9.63", "width=963/100 mm"],
)
def test_a_measuring_has_several_names(said: str) -> None:
    assert by_found(said).text == by_found("width=9.63").text


def test_the_program_asks_for_the_same_work_again() -> None:
    measure = next(
        item
        for item, number in zip(
            by_found("width=9.63").run.items, by_found("width=9.63").run.numbers, strict=True
        )
        if number and isinstance(item, Measure)
    )
    assert (measure.low, measure.expected, measure.high) == pytest.approx((9.61, 9.63, 9.65))


def test_a_found_value_of_other_work_does_not_agree_with_the_cutter(tmp_path: Path) -> None:
    text = by_found("width=9.63").text
    assert "(found: 9.63 mm, stud slot: width)" in text
    other = checked(text.replace("(found: 9.63 mm", "(found: 9.5 mm"), tmp_path)
    assert {"cutter", "measure"} <= codes(other)


def test_a_size_that_came_out_short_is_finished_again(tmp_path: Path) -> None:
    # Aimed at 10.075, found 9.96: the mill cuts 7.885, so the walls are gone along at 1.095.
    proof = by_found("finished width=9.96")
    assert proof.report.ok
    assert re.search(r"Y-?1\.095\b", proof.text)
    assert proof.run.head.found == (HeadFound(quantity="stud slot: finished width", value=9.96),)
    assert checked(proof.text, tmp_path).report.ok


def test_what_stands_between_two_edges_shrinks_as_the_cutter_cuts_wider() -> None:
    # 62 mm expected, 61.9 found: the 16 mm mill takes 0.05 more off each edge, so it cuts 16.1.
    proof = by_found("left=61.9", "lock-plate")
    assert proof.report.ok
    assert [each.diameter for each in proof.run.head.cutters] == pytest.approx([16.1])


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("width=0.3791", "looks like 0.379 in; write it with its unit: 0.379 in"),
        ("width=10.1", "within its limits of 10 to 10.15 mm already; leave it as it is"),
        ("width=10.2", "larger than the largest of its limits of 10 to 10.15 mm: nothing that is"),
        ("width=9.3", "it should be 9.575 mm, go on only from 9.425 to 9.725 mm; measure again"),
        ("width=9.87", 'Measured once it was finished: write "finished width=..."'),
        ("finished width=9.7", "once it is finished it should be 10.075 mm"),
        ("width", "write it as width=9.87"),
        ("width=wide", "cannot be read as one length"),
        ("wodth=9.6", "nothing that is measured is called 'wodth'; did you mean \"width\"?"),
    ],
)
def test_a_value_that_makes_no_sense_is_refused_with_the_reason(said: str, message: str) -> None:
    with pytest.raises(InputError) as refused:
        by_found(said)
    assert message in str(refused.value)


def test_the_readings_of_a_sheet_are_worked_out_anew() -> None:
    # Expected 7.7, found 7.72: the 6.35 mm mill cuts 6.37, so each wall is cut 0.01 nearer.
    before = made(SHEET, WIDER, KEEPER)
    proof = prove_found([before], "width=7.72", silent)
    assert proof.report.ok
    walls = [wall_places(each) for each in (before, proof)]
    assert walls == [pytest.approx([0.92, -0.92]), pytest.approx([0.91, -0.91])]


def wall_places(proof: Proof) -> list[float]:
    """Return the places, mm, from which a sheet's finishing follows what is measured."""
    sheet = load_sheet(proof.text, "sheet")
    first = next(each.first for each in sheet.operations if each.title.startswith("finish"))
    winds = [each for each in sheet.steps if isinstance(each, WindStep) and each.number > first]
    return [each.place for each in winds if each.rule is not None]


def test_beyond_the_limits_of_what_shrinks_nothing_brings_it_back() -> None:
    with pytest.raises(InputError, match="smaller than the smallest of its limits"):
        by_found("left=59.5", "lock-plate")


def test_another_cutter_is_not_known_by_what_the_roughing_one_cut() -> None:
    with pytest.raises(InputError, match="finished with the 10 mm slot drill, and roughed with"):
        prove_found(whole(machine=SHEET), "width=9.52", silent)


# ---------------------------------------------------------------- the command


def status(*words: str | Path) -> int:
    with pytest.raises(SystemExit) as ended:
        run([str(word) for word in words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


def test_the_files_lie_beside_those_of_the_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    bar = JOBS / "fence-bar.toml"
    assert status("make", bar, "--found", "width=9.63", "--into", tmp_path, "--full") == 0
    assert "5 finish" in capsys.readouterr().out
    assert {path.name for path in tmp_path.glob("slot.*")} == {
        f"slot.converted-mill.from-pass-5{suffix}"
        for suffix in (".ngc", ".svg", ".html", ".findings.json")
    }
    assert status("check", bar, tmp_path / "slot.converted-mill.from-pass-5.ngc") == 0
    assert status("make", bar, "--found", "width=9.63", "--begin-at", "5") == 2
