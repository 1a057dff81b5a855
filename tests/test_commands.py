"""The command line as a person meets it: what is printed, what is written, how it ends."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from pathgen.cli import run
from pathgen.commands.outputs import gather
from pathgen.input.where import JobError
from tests.random_jobs import MACHINES

JOBS = Path(__file__).parents[1] / "jobs"
FENCE_BAR = JOBS / "fence-bar.toml"
SIGNS = "has signs that a file name should not; use letters, figures, - and _"


def status(*words: str | Path) -> int:
    """Run the command line; return how it ends."""
    with pytest.raises(SystemExit) as ended:
        run([str(word) for word in words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


@pytest.fixture(autouse=True)
def _nobody_elses_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.mark.parametrize("machine", MACHINES)
def test_the_fence_bar_is_proved_on_every_shipped_machine(
    machine: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status("make", FENCE_BAR, "--machine", machine, "--into", tmp_path, "--full") == 0
    told = capsys.readouterr().out
    assert "proved" in told
    assert "OUT" not in told
    suffixes = {".ngc"} if machine.startswith("converted") else {".txt", ".json"}
    written = {path.name for path in tmp_path.iterdir() if path.is_file()}
    stem = f"slot.{machine}"
    beside = {".svg", ".findings.json", ".html"}
    assert written == {
        f"index.{machine}.html",
        *(f"{stem}{suffix}" for suffix in {*suffixes, *beside}),
    }
    findings = json.loads((tmp_path / f"{stem}.findings.json").read_text())
    assert findings["proved"] is True
    assert {size["quantity"] for size in findings["sizes"]} >= {"width", "length"}


@pytest.mark.parametrize("machine", MACHINES)
def test_what_was_written_is_proved_again_from_its_file(machine: str, tmp_path: Path) -> None:
    status("make", FENCE_BAR, "--machine", machine, "--into", tmp_path)
    suffix = ".ngc" if machine.startswith("converted") else ".json"
    assert status("check", FENCE_BAR, tmp_path / f"slot.{machine}{suffix}") == 0


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    for folder in ("one", "two"):
        status("make", FENCE_BAR, "--into", tmp_path / folder)
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()


def test_piped_it_prints_only_what_was_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", FENCE_BAR, "--into", tmp_path)
    told = capsys.readouterr()
    assert told.out.splitlines() == [
        *(
            str(tmp_path / f"slot.converted-mill{suffix}")
            for suffix in (".ngc", ".svg", ".findings.json", ".html")
        ),
        str(tmp_path / "index.html"),
    ]
    assert told.err == ""


def finishing_wall(lines: list[str]) -> int:
    """Return the index of the finishing feed along the back wall: at y 1.0375, with an 8 mm mill.

    Worked by hand: middle of the limits 10.00 to 10.15 is 10.075; half of it less 4 is 1.0375.
    """
    lead_in = next(i for i, line in enumerate(lines) if "Y1.0375" in line)
    return next(i for i, line in enumerate(lines) if i > lead_in and line.startswith("G1 X"))


def test_a_wall_cut_moved_beyond_its_limit_is_found_at_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", FENCE_BAR, "--into", tmp_path)
    program = tmp_path / "slot.converted-mill.ngc"
    lines = program.read_text().splitlines()
    wall = finishing_wall(lines)
    # The width may be 0.075 more than aimed at: 0.125 further is 0.05 beyond.
    lines[wall] += " Y1.1625"
    program.write_text("\n".join(lines) + "\n")
    capsys.readouterr()
    assert status("check", FENCE_BAR, program) == 1
    assert f"slot.converted-mill.ngc:{wall + 1}:" in capsys.readouterr().err


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric"])
def test_findings_keep_the_files_unwritten_unless_wanted_anyway(
    machine: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "bar.toml"
    jaw = 'name = "fixed jaw", low = [25, 15, -45], high = [135, 45, -3]'
    text = FENCE_BAR.read_text()
    assert jaw in text
    job.write_text(text.replace(jaw, jaw.replace("[25, 15,", "[25, 3,").replace("-3]", "9]")))
    into = tmp_path / "out"
    assert status("make", job, "--machine", machine, "--into", into) == 1
    assert not into.exists()
    told = capsys.readouterr().err
    assert "nothing written" in told
    assert status("make", job, "--machine", machine, "--into", into, "--anyway") == 1
    for path in into.iterdir():
        assert "NOT PROVED" in path.read_text().splitlines()[0], path.name
    # The marked file is read again, and its findings are at the same places.
    suffix = ".ngc" if machine == "converted-mill" else ".json"
    capsys.readouterr()
    assert status("check", job, into / f"slot.{machine}{suffix}") == 1
    again = capsys.readouterr().err.replace(f"{into}/", "")
    assert again.splitlines() == [line for line in told.splitlines() if "slot." in line]


# ---------------------------------------------------------------- starters


def test_a_starter_job_can_be_made_as_it_stands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert status("new", "latch-plate") == 0
    assert status("make", "latch-plate.toml") == 0


def test_starters_of_machines_can_be_used_as_they_stand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    status("new", "latch-plate")
    for what in ("manual-mill", "converted-mill"):
        assert status("new", f"my-{what}", "--what", what) == 0
        assert status("make", "latch-plate.toml", "--machine", f"my-{what}") == 0


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric"])
def test_it_is_told_which_crib_the_cutters_are_from(
    machine: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bar.toml").write_text(FENCE_BAR.read_text())
    shipped = Path(__file__).parents[1] / "pathgen/shop/data/crib.toml"
    crib = tmp_path / "crib.toml"
    crib.write_text(shipped.read_text().replace("common cutters", "drawer beside the mill"))
    into = tmp_path / "out"
    assert (
        status("make", tmp_path / "bar.toml", "--machine", machine, "--into", into, "--full") == 0
    )
    assert f"  cutters from {crib}: drawer beside the mill\n" in capsys.readouterr().out
    findings = json.loads((into / f"slot.{machine}.findings.json").read_text())
    assert findings["crib"] == "drawer beside the mill"
    if machine == "converted-mill":
        head = (into / f"slot.{machine}.ngc").read_text().splitlines()[:12]
        assert "(crib: drawer beside the mill)" in head
    else:
        sheet = (into / f"slot.{machine}.txt").read_text().splitlines()
        assert "CUTTERS TO LAY OUT, from: drawer beside the mill" in sheet
        steps = json.loads((into / f"slot.{machine}.json").read_text())
        assert steps["head"]["crib"] == "drawer beside the mill"


def test_a_starter_never_overwrites(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "latch-plate.toml").write_text("mine")
    assert status("new", "latch-plate") == 2
    assert (tmp_path / "latch-plate.toml").read_text() == "mine"
    assert "is there already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ('"q', f'""q" {SIGNS}, as "q"'),
        ("a b", f'"a b" {SIGNS}, as "a-b"'),
        ("a.b.toml", f'"a.b" {SIGNS}, as "a-b"'),
        ("?", f'"?" {SIGNS}'),
        ("../bar", '"../bar" is a path; go to the folder first and give a name alone'),
        ("c:\\bar", '"c:\\bar" is a path; go to the folder first and give a name alone'),
        (".toml", '"" is empty; use letters, figures, - and _'),
    ],
)
@pytest.mark.parametrize("what", ["job", "manual-mill", "crib"])
def test_a_starter_has_a_name_that_will_do_everywhere(
    what: str,
    name: str,
    expected: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    assert status("new", name, "--what", what) == 2
    assert capsys.readouterr().err == f"NAME: {expected}\n"
    assert list(tmp_path.rglob("*.toml")) == []


def test_own_machines_are_found_before_those_shipped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert status("new", "bench-mill-metric", "--what", "manual-mill", "--own") == 0
    assert status("shop") == 0
    lines = capsys.readouterr().out.splitlines()
    mine = next(line for line in lines if line.startswith("  bench-mill-metric:"))
    assert str(tmp_path / "config") in mine


# ---------------------------------------------------------------- bad input


def test_two_errors_come_out_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "bar.toml"
    text = (
        FENCE_BAR.read_text()
        .replace("width = 10\n", "widht = 10\n")
        .replace("thickness = 8", "thickness = -8")
    )
    job.write_text(text)
    assert status("make", job, "--into", tmp_path / "out") == 2
    told = capsys.readouterr().err
    assert f"{job}:10: blank.thickness: -8 mm" in told
    assert 'setup[1].feature[1].widht: unknown key; did you mean "width"?' in told
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("width = 10\n", "width = nan\n", "setup[1].feature[1].width: nan"),
        ("width = 10\n", "width = -10\n", "setup[1].feature[1].width: -10 mm"),
        ("units = ", "units = = ", "not TOML"),
        ('"mild steel"', '"mild stele"', "mild steel"),
        ('machine = "converted-mill"', 'machine = "convert-mill"', 'did you mean "converted-mill'),
    ],
)
def test_a_broken_job_names_place_and_remedy(
    old: str, new: str, expected: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "bar.toml"
    text = FENCE_BAR.read_text()
    assert old in text
    job.write_text(text.replace(old, new))
    assert status("make", job, "--into", tmp_path / "out") == 2
    assert expected in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def second_setup(name: str) -> str:
    """Return the fence bar's job with its setup twice, the second under a name of its own."""
    text = FENCE_BAR.read_text()
    setup = text[text.index("[[setup]]") :]
    assert setup.count('name = "slot"\n') == 1
    return text + "\n" + setup.replace('name = "slot"\n', f'name = "{name}"\n')


@pytest.mark.parametrize("name", ["slot", "Slot", "SLOT"])
def test_setups_whose_files_would_be_the_same_are_refused(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "bar.toml"
    job.write_text(second_setup(name))
    first, second = (
        number
        for number, line in enumerate(job.read_text().splitlines(), 1)
        if line.lower().startswith('name = "slot"') and "[" not in line
    )
    assert status("make", job, "--into", tmp_path / "out") == 2
    told = capsys.readouterr().err
    assert told == (
        f'{job}:{second}: setup[2].name: the files of "{name}" would overwrite those of "slot", '
        f"setup[1].name in line {first}; name them apart by more than blanks, hyphens and "
        "capitals\n"
    )
    assert not (tmp_path / "out").exists()


def test_a_blank_and_a_hyphen_are_one_in_file_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "bar.toml"
    job.write_text(second_setup("slot-one").replace('name = "slot"\n', 'name = "Slot one"\n', 1))
    assert status("make", job, "--into", tmp_path / "out") == 2
    assert 'the files of "slot-one" would overwrite those of "Slot one"' in capsys.readouterr().err


def test_no_two_outputs_take_one_name() -> None:
    files = [("a/slot.ngc", "1"), ("a/slot.svg", "2"), ("b/slot.ngc", "3")]
    paths = [(Path(name), text) for name, text in files]
    assert gather(paths) == dict(paths)
    with pytest.raises(JobError, match=r"A/Slot.ngc: would overwrite a/slot.ngc; name them apart"):
        gather([*paths, (Path("A/Slot.ngc"), "4")])
    with pytest.raises(JobError, match=r"b/slot.ngc: would overwrite b/slot.ngc"):
        gather([*paths, (Path("b/slot.ngc"), "4")])


def test_a_machine_is_not_called_what_no_file_can_be(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "machines").mkdir()
    shipped = Path(__file__).parents[1] / "pathgen/shop/data/machines/converted-mill.toml"
    text = shipped.read_text().replace('"converted-mill"', '"../mill"')
    (tmp_path / "machines" / "mill.toml").write_text(text)
    (tmp_path / "bar.toml").write_text(FENCE_BAR.read_text())
    assert status("make", tmp_path / "bar.toml", "--into", tmp_path / "out") == 2
    assert 'name: "../mill" has signs that a file name should not' in capsys.readouterr().err


def test_a_cutter_too_big_is_refused_with_what_would_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "bar.toml"
    job.write_text(FENCE_BAR.read_text() + '[setup.feature.ways]\nfinish = "12 mm end mill"\n')
    assert status("make", job) == 2
    told = capsys.readouterr().err
    assert "12 mm end mill measures 12 mm, the slot is at most 10.15 mm wide" in told
    assert "name a smaller cutter" in told


def mill_that_goes(along_x: int, folder: Path) -> None:
    """Put the converted mill there under another name, with that travel along x, in mm."""
    shipped = Path(__file__).parents[1] / "pathgen/shop/data/machines/converted-mill.toml"
    text = shipped.read_text().replace("travel = [400,", f"travel = [{along_x},")
    (folder / "machines").mkdir(exist_ok=True)
    (folder / "machines" / "short.toml").write_text(text.replace('"converted-mill"', '"short"'))


def test_a_travel_too_short_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    # From the touch on the left, half of the 3 mm cutter and 0.05 paper off, to the end of the
    # roughing cut: that of the slot at 135, less half of the 8 mm mill and 0.25 for the finish.
    mill_that_goes(90, tmp_path)
    job = tmp_path / "bar.toml"
    job.write_text(FENCE_BAR.read_text())
    assert status("make", job, "--machine", "short", "--into", tmp_path / "out") == 2
    told = capsys.readouterr().err
    assert "short goes 90 mm along x" in told
    assert "needs 132.3 mm, from -1.55 mm to 130.75 mm" in told
    assert not (tmp_path / "out").exists()


def test_a_program_that_goes_farther_than_the_machine_is_found_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mill_that_goes(400, tmp_path)
    job = tmp_path / "bar.toml"
    job.write_text(FENCE_BAR.read_text())
    assert status("make", job, "--machine", "short", "--into", tmp_path) == 0
    mill_that_goes(90, tmp_path)
    capsys.readouterr()
    assert status("check", job, tmp_path / "slot.short.ngc", "--machine", "short") == 1
    (told,) = capsys.readouterr().err.splitlines()
    # The slot's 110 mm less the mill's 8.
    assert "x goes over 102.0 mm, the machine's travel is 90.0 mm" in told


def test_a_directory_is_no_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert status("make", tmp_path) == 2
    assert "a folder" in capsys.readouterr().err


def test_a_missing_job_names_those_nearby(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "fence-bar.toml").write_text("")
    assert status("check", tmp_path / "fense-bar.toml") == 2
    assert "fence-bar.toml" in capsys.readouterr().err


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_no_permission_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "bar.toml"
    job.write_text(FENCE_BAR.read_text())
    job.chmod(0)
    assert status("make", job) == 2
    assert "permission" in capsys.readouterr().err.lower()


def test_a_folder_that_cannot_be_made_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "out").write_text("a file in the way")
    assert status("make", FENCE_BAR, "--into", tmp_path / "out" / "bar") == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "name another folder with --into" in told.err


def test_the_sheet_for_people_is_not_read_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", FENCE_BAR, "--machine", "bench-mill-inch", "--into", tmp_path)
    capsys.readouterr()
    assert status("check", FENCE_BAR, tmp_path / "slot.bench-mill-inch.txt") == 2
    assert "give the file of its steps, .json, beside it" in capsys.readouterr().err
    assert status("check", FENCE_BAR, tmp_path / "slot.bench-mill-inch.svg") == 2
    assert "a drawing, which is not read back" in capsys.readouterr().err


@pytest.mark.parametrize("text", ['["not", "a", "sheet"]', ' [{"kind": "wind"}]', "{}", "[G0 X1]"])
def test_what_looks_like_data_is_not_taken_for_a_program(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "edited"
    sheet.write_text(text)
    assert status("check", FENCE_BAR, sheet) == 2
    (told,) = capsys.readouterr().err.splitlines()
    assert "not a handwheel sheet" in told or "not JSON" in told


def test_a_program_for_handles_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", FENCE_BAR, "--into", tmp_path)
    program = tmp_path / "slot.converted-mill.ngc"
    capsys.readouterr()
    assert status("check", FENCE_BAR, program, "--machine", "bench-mill-inch") == 2
    assert "has handles" in capsys.readouterr().err


def test_a_job_changed_since_makes_its_program_stale(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / "bar.toml"
    job.write_text(FENCE_BAR.read_text())
    status("make", job, "--into", tmp_path / "out")
    job.write_text(FENCE_BAR.read_text().replace("0.25 mm play", "0.26 mm play"))
    capsys.readouterr()
    assert status("check", job, tmp_path / "out" / "slot.converted-mill.ngc") == 1
    job.write_text(FENCE_BAR.read_text() + "# a comment changes nothing\n")
    assert status("check", job, tmp_path / "out" / "slot.converted-mill.ngc") == 0


TWO_SETUPS = """
title = "latch plate"
units = "mm"
blank = { form = "bar", length = 80, width = 30, thickness = 6, material = "mild steel" }
"""
ONE_SETUP = """
[[setup]]
name = "{name}"
machine = "the mill at work"
hold = {{ how = "vice", beneath = 10 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
kind = "holes"
name = "{name} hole"
at = [{x}, 15]
diameter = 5
depth = "through"
"""


def test_the_setups_before_are_done_on_the_machine_asked_for(tmp_path: Path) -> None:
    job = tmp_path / "latch.toml"
    setups = [ONE_SETUP.format(name=name, x=x) for name, x in (("first", 20), ("second", 60))]
    job.write_text(TWO_SETUPS + "".join(setups))
    on = ("--machine", "converted-mill")
    assert status("make", job, *on, "--into", tmp_path / "out") == 0
    assert status("check", job, tmp_path / "out" / "second.converted-mill.ngc", *on) == 0


def test_the_verdict_counts_what_was_found_and_not_what_is_listed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", FENCE_BAR, "--into", tmp_path)
    program = tmp_path / "slot.converted-mill.ngc"
    deeper = program.read_text().replace("Z-11.7039", "Z-21.7039")  # 12 mm of air below 8.5
    program.write_text(deeper)
    capsys.readouterr()
    assert status("check", FENCE_BAR, program, "--full") == 1
    told = capsys.readouterr().out
    assert told.count("what lies beneath") == 8
    assert "(and 3 more such places)" in told  # of the eleven holes of the chain
    assert "not proved: 11 findings" in told


# ---------------------------------------------------------------- what is not proved


@pytest.mark.parametrize("machine", ["bench-mill-metric", "converted-mill"])
def test_what_is_believed_of_a_file_is_told(
    machine: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", FENCE_BAR, "--machine", machine, "--into", tmp_path)
    suffix = ".ngc" if machine.startswith("converted") else ".json"
    capsys.readouterr()
    status("check", FENCE_BAR, tmp_path / f"slot.{machine}{suffix}", "--full")
    *_, believed, verdict = capsys.readouterr().out.splitlines()
    assert verdict == "proved"
    assert believed.startswith("  not proved but believed of it: ")
    if suffix == ".json":
        steps = json.loads((tmp_path / f"slot.{machine}.json").read_text())["steps"]
        oil = next(each["number"] for each in steps if "Cutting oil" in each.get("text", ""))
        assert f"the words of steps 1 to 4, {oil}, " in believed  # three cautions, and the vice
    findings = json.loads((tmp_path / f"slot.{machine}.findings.json").read_text())
    assert findings["believed"] in believed


# ---------------------------------------------------------------- dials that cannot be set


def test_a_mill_whose_dials_cannot_be_set(tmp_path: Path) -> None:
    shipped = JOBS.parent / "pathgen" / "shop" / "data" / "machines" / "bench-mill-metric.toml"
    mill = shipped.read_text(encoding="utf-8").replace("bench-mill-metric", "old-mill")
    (tmp_path / "machines").mkdir()
    (tmp_path / "machines" / "old-mill.toml").write_text(
        mill.replace("divisions =", "resettable = false\ndivisions ="), encoding="utf-8"
    )
    bar = tmp_path / "bar.toml"
    job = FENCE_BAR.read_text(encoding="utf-8")
    bar.write_text(job, encoding="utf-8")
    assert status("make", bar, "--machine", "old-mill", "--into", tmp_path) == 2
    for axis, reads in (("x", 1.25), ("y", 2.5), ("z", 0.6)):
        job = job.replace(f"[setup.datum.{axis}]", f"[setup.datum.{axis}]\ndial_reads = {reads}")
    bar.write_text(job, encoding="utf-8")
    assert status("make", bar, "--machine", "old-mill", "--into", tmp_path) == 0
    text = (tmp_path / "slot.old-mill.txt").read_text(encoding="utf-8")
    assert text.count("FIT cutter") > 1
    assert text.count("READ the dial") == 2 + text.count("FIT cutter")  # x, y, each depth
    assert "SET THE DIAL" not in text
