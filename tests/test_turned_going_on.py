"""Turned work that goes on after a stop: its tool's zeros found again on what was cut."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from pathgen.commands.going_on import prove_found, prove_from
from pathgen.commands.loading import load
from pathgen.commands.outputs import job_files
from pathgen.commands.proving import prove_job
from pathgen.commands.proving_files import prove_file
from pathgen.commands.workplace import Proof
from pathgen.input.where import InputError
from pathgen.job.turning.turned import TurnedJob
from pathgen.moves.actions import FitCutter, Measure, Touch, Zero, ZeroByMeasure
from pathgen.plan.turning.planners import plan_turned_setup

JOBS = Path(__file__).parents[1] / "jobs"
PROGRAM, SHEET = "converted-lathe", "bench-lathe-metric"


def silent(_: str) -> None:
    """Tell nobody."""


@cache
def whole(name: str, machine: str) -> tuple[Proof, ...]:
    """Return the proofs of a demo job's setups."""
    job, shop = load(JOBS / f"{name}.toml", machine)
    return tuple(prove_job(job, shop, machine, silent))


@cache
def from_pass(named: str, machine: str, name: str = "guide-bush") -> Proof:
    return prove_from(whole(name, machine), named, silent)


def codes(proof: Proof) -> set[str]:
    return {each.code for each in proof.report.findings if each.severity == "finding"}


def checked(text: str, tmp_path: Path, suffix: str = ".ngc") -> Proof:
    """Return the proof of a text of the guide bush as it stands in a file."""
    made = tmp_path / f"made{suffix}"
    made.write_text(text, encoding="utf-8")
    return prove_file([load(JOBS / "guide-bush.toml")], made, None, silent)


def faulty(old: str, new: str, tmp_path: Path, named: str = "4") -> set[str]:
    """Return what is found of a program from a pass on that was edited in one place."""
    text = from_pass(named, PROGRAM).text
    assert text.count(old) == 1, f"{old!r} stands there {text.count(old)} times"
    return codes(checked(text.replace(old, new), tmp_path))


# ---------------------------------------------------------------- how the place is found again


@pytest.mark.parametrize("machine", [PROGRAM, SHEET])
def test_the_knife_finds_its_place_on_what_was_roughed(machine: str) -> None:
    """The flange becomes 38 mm; roughing leaves 0.3 mm on its radius, a skim takes 0.1 of it."""
    proof = from_pass("4", machine)
    assert proof.report.ok
    assert proof.run.head.begins_at == 4
    items = proof.run.items
    measures = [item for item in items if isinstance(item, Measure)]
    roughed, skimmed = measures[0], measures[1]
    assert roughed.expected == pytest.approx(38 + 2 * 0.3)
    assert skimmed.expected == pytest.approx(38 + 2 * 0.2)
    assert items.index(roughed) < next(i for i, e in enumerate(items) if isinstance(e, FitCutter))
    first = next(item for item in items if isinstance(item, Zero) and item.axis == "x")
    assert first.touches[0].at == pytest.approx(roughed.expected / 2)
    set_by = next(item for item in items if isinstance(item, ZeroByMeasure))
    assert (set_by.axis, set_by.measure) == ("x", skimmed.name)


def test_a_skim_stays_above_the_size_whatever_was_touched_within_its_band() -> None:
    """R1 lets 0.1 mm of diameter be thinner, a touch 0.02 mm of radius: 0.13 mm stay at least."""
    proof = from_pass("4", SHEET)
    roughed, skimmed = [e for e in proof.run.items if isinstance(e, Measure)][:2]
    thinner = (roughed.expected - roughed.low) / 2 + 0.02
    assert skimmed.expected / 2 - thinner - 38 / 2 == pytest.approx(0.2 - 0.05 - 0.02)


@pytest.mark.parametrize("machine", [PROGRAM, SHEET])
def test_the_bar_finds_its_place_at_the_mouth_of_the_roughed_bore(machine: str) -> None:
    """The mouth becomes 25 mm and is finished last, so it is 24.4 mm until then."""
    proof = from_pass("10", machine)
    assert proof.report.ok
    touched: Touch = next(
        item.touches[0] for item in proof.run.items if isinstance(item, Zero) and item.axis == "x"
    )
    assert touched.face == "bore"
    assert touched.at == pytest.approx(24.4 / 2)


def test_a_tool_that_is_fitted_anyhow_finds_its_zeros_as_ever() -> None:
    """The blade for parting off, after all else: what it touches is the same."""
    entire = whole("guide-bush", PROGRAM)[0].text
    proof = from_pass("13", PROGRAM)
    assert proof.report.ok
    own = proof.text[proof.text.index("(-- part off") :]
    assert own.split("\n", 1)[1] in entire
    assert proof.report.sizes == whole("guide-bush", PROGRAM)[0].report.sizes


def test_a_setup_turned_round_goes_on_too() -> None:
    proof = prove_from(whole("lever-pin", PROGRAM), "long end / 3", silent)
    assert proof.report.ok
    assert proof.place.setup.name == "long end"


def test_a_stepped_spring_bears_on_the_cuts_after_the_stop_alone() -> None:
    """M3 is found for the cuts that follow; those before followed M2, found then."""
    assert prove_from(whole("guide-rod", SHEET), "turning / 3", silent).report.ok


# ---------------------------------------------------------------- what is told


def test_the_sheet_says_that_it_goes_on_and_that_the_work_stays_held() -> None:
    files = {name: text for _, name, text in job_files([from_pass("4", SHEET)], SHEET)}
    sheet = files[f"turning.{SHEET}.from-pass-4.txt"]
    assert "GOES ON AT PASS 4: what the passes before it cut is taken as cut" in sheet
    assert "was not taken out since" in sheet
    assert "\n4. FINISH: OUTSIDE\n" in sheet
    assert "Let 45 mm stand out" not in sheet
    drawing = files[f"turning.{SHEET}.from-pass-4.svg"]
    assert ">4. finish: " in drawing
    assert ">3. finish: " not in drawing


def test_a_thread_is_begun_only_where_nothing_of_it_is_cut() -> None:
    text = from_pass("5", PROGRAM, "adjusting-screw").text
    assert "Nothing of this thread may have been cut yet" in text
    assert "Nothing of this thread" not in from_pass("4", PROGRAM, "adjusting-screw").text


# ---------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("name", "named", "message"),
    [
        ("press-spindle", "7", "goes by M2, which is measured in pass 3; begin at pass 3"),
        ("strap-end", "2", "these left no place to find it again as truly"),
        ("thumb-screw", "6", "goes by M2, which is measured in pass 3; begin at pass 3"),
    ],
)
def test_what_cannot_be_begun_anew_is_refused(name: str, named: str, message: str) -> None:
    job, shop = load(JOBS / f"{name}.toml", SHEET)
    assert isinstance(job, TurnedJob)
    setup = job.setups[0]
    with pytest.raises(InputError, match=message):
        plan_turned_setup(
            job.at(setup), setup, shop.machines[SHEET], shop.crib, begins_at=int(named)
        )


@pytest.mark.parametrize(
    ("named", "message"),
    [
        (5, "these left no place to find it again as truly"),
        (6, "do it by hand and go on at pass 7, which fits another tool"),
    ],
)
def test_a_swung_compound_is_not_gone_on_with(tmp_path: Path, named: int, message: str) -> None:
    """Of a spindle without the thread, whose diameters are not measured."""
    text = (JOBS / "press-spindle.toml").read_text(encoding="utf-8")
    text = re.sub(r", diameter_limits = \[.*?\]", "", text)
    thread = text.index('[[setup.feature]]\nkind = "screw-cut"')
    text = text[:thread] + text[text.index("[[setup.feature]]", thread + 1) :]
    plain = tmp_path / "plain.toml"
    plain.write_text(text, encoding="utf-8")
    job, shop = load(plain, SHEET)
    assert isinstance(job, TurnedJob)
    (setup,) = job.setups
    with pytest.raises(InputError, match=message):
        plan_turned_setup(job.at(setup), setup, shop.machines[SHEET], shop.crib, begins_at=named)


def test_the_first_pass_is_no_place_to_go_on_at() -> None:
    with pytest.raises(InputError, match="pass 1 of 13; name a later one"):
        from_pass("1", PROGRAM)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("M1=39.4", "M1 of turned work: what follows it is set at the machine"),
        ("diameter=38.04", "one size does not tell them apart"),
    ],
)
def test_turned_work_is_not_made_anew_by_a_size(said: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        prove_found(whole("guide-bush", PROGRAM), said, silent)


# ---------------------------------------------------------------- proved from its file


@pytest.mark.parametrize(("machine", "named"), [(PROGRAM, "4"), (SHEET, "12")])
def test_what_was_written_is_proved_again_from_its_file(
    machine: str, named: str, tmp_path: Path
) -> None:
    proof = from_pass(named, machine)
    again = checked(proof.text, tmp_path, ".json" if machine == SHEET else ".ngc")
    assert again.report.ok
    assert again.report.sizes == proof.report.sizes


def test_by_itself_it_cuts_what_nobody_roughed(tmp_path: Path) -> None:
    assert faulty("(begins at pass: 4)\n", "", tmp_path) >= {"zero", "left"}


def test_the_size_to_be_found_has_to_be_there(tmp_path: Path) -> None:
    old = "(stop, measure R1: 38.6 mm, from 38.5 mm to 38.7 mm, by nothing)"
    assert "measure" in faulty(old, old.replace("38.", "37."), tmp_path)


def test_a_touch_elsewhere_is_found(tmp_path: Path) -> None:
    assert "zero" in faulty("at 19.3 mm, spindle", "at 18.3 mm, spindle", tmp_path)


def test_the_zeros_of_before_the_stop_are_not_relied_on(tmp_path: Path) -> None:
    """All that finds the tool's place is cut out of the program, once it is fitted."""
    text = from_pass("13", PROGRAM).text
    first, last = text.index("(stop, zero x"), text.index("(-- off the end)")
    assert "no-zero" in codes(checked(text[:first] + text[last:], tmp_path))


def test_a_skim_into_the_part_is_found(tmp_path: Path) -> None:
    """Without stated limits 38 mm may come out 0.3 mm thinner (ISO 2768 m), and no more."""
    assert "gouge" in faulty("G0 X38.4\n", "G0 X37.4\n", tmp_path)
