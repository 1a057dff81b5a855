"""Tapping by the spindle where the machine's control keeps the slide in step with it."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_setup, prove_text
from pathgen.commands.workplace import Proof, Workplace
from pathgen.moves.actions import Pause
from pathgen.moves.moves import Drill, Rapid
from pathgen.reckon.thread_names import thread
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Tapping
from postprocessors.gcode.reader import ProgramErrors, read_program
from tests.builders import cutter
from tests.hole_plates import job_with
from tests.read_jobs import the_shop

BLIND = 'at = [[20, 30], [70, 30]]\ntapped = "M6"\ndepth = 8'
THROUGH = 'at = [20, 30]\ntapped = "M6"\ndepth = "through"'


def tap(name: str, flute_length: float = 30) -> Cutter:
    """Return a tap with three pitches of lead."""
    cut = thread(name)
    return cutter(
        f"{name} tap", "tap", cut.major, thread=cut, lead=3 * cut.pitch,
        flute_length=flute_length, flutes=3,
    )  # fmt: skip


TAPS = (tap("M6"), tap("M6x0.75"), tap("M8"))


@cache
def made(
    feature: str, word: Tapping, taps: tuple[Cutter, ...] = TAPS, beneath: float = 10
) -> Proof:
    shop = the_shop()
    machine = shop.machines["converted-mill"]
    assert machine.control is not None
    machine = replace(machine, control=replace(machine.control, tapping=word))
    job = job_with(feature, beneath)
    crib = replace(shop.crib, cutters=(*shop.cutters, *taps))
    with_taps = replace(shop, crib=crib)
    place = Workplace(job=job, setup=job.setups[0], machine=machine, shop=with_taps)
    return prove_setup(place, lambda _: None)


def taps_of(proof: Proof) -> list[Drill]:
    return [item for item in proof.run.items if isinstance(item, Drill) and item.lead > 0]


def edited(feature: str, word: Tapping, old: str, new: str) -> tuple[list[Finding], int]:
    """Return what is found after an edit of the tapping, and the line (from 1) of the edit."""
    proof = made(feature, word)
    lines = proof.text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("(-- tap"))
    at = next(i for i, line in enumerate(lines) if i > start and re.search(old, line))
    lines[at] = re.sub(old, new, lines[at])
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"], at + 1


@pytest.mark.parametrize("word", ["G84", "G33.1"])
@pytest.mark.parametrize("feature", [BLIND, THROUGH])
def test_what_is_tapped_in_step_comes_back_from_the_program(feature: str, word: Tapping) -> None:
    proof = made(feature, word)
    assert proof.report.ok, proof.report.findings
    read = taps_of(proof)
    # 8 mm of full thread, or 20 of plate, and 3 of lead; from 3 leads above the work.
    bottom = -11.0 if feature == BLIND else -23.0
    assert [each.x for each in read] == ([20, 70] if feature == BLIND else [20])
    assert {each.bottom for each in read} == {bottom}
    assert {each.clear for each in read} == {3.0}
    assert [each.lead for each in read] == pytest.approx([1.0] * len(read))
    # Nobody taps by hand then.
    assert not any(isinstance(item, Pause) for item in proof.run.items)


def test_the_speed_of_a_tap_and_a_feed_in_step() -> None:
    # Mild steel is tapped at 20 ft/min: 6.096 m/min over pi x 6 mm is 323, by whole tens 320.
    proof = made(BLIND, "G84")
    assert "S320 M3" in proof.text
    assert re.search(r"G98 G84 X20\.0 Z-11\.0 R3\.0 F320\.0", proof.text)
    assert re.search(r"G33\.1 Z-11\.0 K1\.0", made(BLIND, "G33.1").text)


@pytest.mark.parametrize(
    ("word", "taps", "beneath"),
    [
        ("none", TAPS, 10.0),
        ("G84", (), 10.0),
        ("G84", (tap("M8"),), 10.0),
        ("G84", (tap("M6", flute_length=23),), 10.0),  # 20 of plate, 3 of lead, 1 of run on
        ("G84", TAPS, 3.9),
    ],
)
def test_what_the_spindle_cannot_tap_is_tapped_by_hand(
    word: Tapping, taps: tuple[Cutter, ...], beneath: float
) -> None:
    proof = made(THROUGH, word, taps, beneath)
    assert proof.report.ok
    assert taps_of(proof) == []
    assert any(isinstance(item, Pause) and "M6" in item.reason for item in proof.run.items)


def test_a_tap_does_not_go_on_to_the_bottom() -> None:
    # 8 of thread, 3 of lead and 1 of run on are 12, the hole is 12.5 deep; with 5 of lead by hand.
    long = replace(tap("M6"), lead=5.0)
    assert taps_of(made(BLIND, "G84", (long,))) == []
    assert len(taps_of(made(BLIND, "G84", (replace(long, lead=3.5),)))) == 2


# ---------------------------------------------------------------- the check


@pytest.mark.parametrize(
    ("word", "old", "new", "amount"),
    [
        ("G84", "F320", "F300", 0.0625),  # 0.9375 mm a turn
        ("G33.1", r"K1\.0", "K1.25", 0.25),
        ("G84", r"Z-11\.0", "Z-10.0", 1.0),  # 1 mm of thread too little
        ("G33.1", r"Z-11\.0", "Z-13.5", 1.0),  # the hole is 12.5 mm deep
    ],
)
def test_a_slip_in_tapping_is_found(word: Tapping, old: str, new: str, amount: float) -> None:
    found, line = edited(BLIND, word, old, new)
    slip = next(each for each in found if each.code == "tap" and each.place == line)
    assert slip.amount == pytest.approx(amount, abs=0.003)
    assert slip.remedy


def test_another_tap_is_found() -> None:
    proof = made(BLIND, "G84")
    text = proof.text.replace("M6 tap)", "M8 tap)").replace(": 6.0 mm, M8", ": 8.0 mm, M8")
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    told = [each.what for each in report.findings if each.code == "tap"]
    assert any("wants M6, and 'M8 tap' is fitted" in what for what in told)


def test_a_machine_that_does_not_keep_step_is_found() -> None:
    proof = made(BLIND, "G84")
    plain = replace(proof.place, machine=the_shop().machines["converted-mill"])
    report = prove_text(plain, proof.text, "edited", lambda _: None).report
    assert {each.code for each in report.findings} == {"tap"}
    assert "does not keep" in report.findings[0].what


def test_tapping_what_was_not_drilled_is_found() -> None:
    proof = made(BLIND, "G84")
    lines = proof.text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("(-- drill,"))
    at = next(i for i, line in enumerate(lines) if i > start and line.startswith("X70.0"))
    del lines[at]
    tapped = next(i for i, line in enumerate(lines) if line.startswith("(-- tap"))
    second = next(i for i, line in enumerate(lines, 1) if i > tapped and line.startswith("X70.0"))
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    assert ("plunge", second) in {(each.code, each.place) for each in report.findings}


def test_drilling_after_tapping_is_found() -> None:
    proof = made(BLIND, "G84")
    lines = proof.text.splitlines()
    heads = [i for i, line in enumerate(lines) if re.match(r"\(-- (tap|countersink),", line)]
    sink, tap_at = heads
    end = next(i for i, line in enumerate(lines) if i > tap_at and line == "M5") + 1
    lines = [*lines[:sink], *lines[tap_at:end], *lines[sink:tap_at], *lines[end:]]
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    assert sum("after it was tapped" in each.what for each in report.findings) == 2


# ---------------------------------------------------------------- reading

HEAD = "G17 G21 G40 G49 G54 G80 G90 G94\nT1 M6\nG0 Z5\nG0 X1 Y2\n"


@pytest.mark.parametrize(
    ("line", "lead"),
    [
        ("S200 M3\nG98 G84 X1 Y2 Z-9 R2 F300", 1.5),
        ("S200 M3\nG0 Z2\nG33.1 Z-9 K1.5\nG0 Z5", 1.5),
    ],
)
def test_tapping_is_read(line: str, lead: float) -> None:
    run = read_program(f"{HEAD}{line}\nM30\n", file="a.ngc")
    (found,) = [item for item in run.items if isinstance(item, Drill)]
    assert (found.bottom, found.clear, found.lead) == (-9, 2, lead)
    assert found.feed_out
    after = [item for item in run.items if isinstance(item, Rapid | Drill)][-1]
    assert (after.left_at if isinstance(after, Drill) else after.z) == 5


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("G98 G84 X1 Y2 Z-9 R2 F300", "G84 with the spindle stopped"),
        ("S200 M3\nG98 G84 X1 Y2 Z-9 R2", "G84 without a feed"),
        ("G33.1 Z-9 K1", "G33.1 with the spindle stopped"),
        ("S200 M3\nG33.1 Z-9", "G33.1 without a K"),
        ("S200 M3\nG33.1 Z-9 K0", "G33.1 without a K"),
        ("S200 M3\nG33.1 X4 Z-9 K1", "G33.1 that goes across"),
        ("S200 M3\nG33.1 Z9 K1", "tap downwards"),
        ("S200 M3\nG81 X1 Y2 Z-9 R2 F300 K1", "K is used by nothing"),
    ],
)
def test_what_does_not_tap_is_refused(line: str, said: str) -> None:
    with pytest.raises(ProgramErrors, match=re.escape(said)):
        read_program(f"{HEAD}{line}\nM30\n", file="a.ngc")
