"""A part turned round in the jaws: held, measured, faced to its length, turned from both ends."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import box

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.proving_files import prove_file
from pathgen.commands.workplace import Proof
from pathgen.input.where import JobErrors
from pathgen.job.turning.turned import TurnedJob

PIN = Path(__file__).parents[1] / "jobs" / "lever-pin.toml"
METRIC, INCH, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"


@cache
def pin(machine: str) -> tuple[Proof, ...]:
    job, shop = load(PIN)
    return tuple(prove_job(job, shop, machine, lambda _: None))


def changed(folder: Path, *changes: tuple[str, str]) -> Path:
    text = PIN.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    path = folder / "lever-pin.toml"
    path.write_text(text, encoding="utf-8")
    return path


def second(machine: str) -> dict[str, Any]:
    raw: dict[str, Any] = json.loads(pin(machine)[1].text)
    return raw


@pytest.mark.parametrize("machine", [METRIC, INCH])
def test_a_part_is_proved_from_both_ends(machine: str) -> None:
    first, last = pin(machine)
    assert first.report.ok
    assert last.report.ok
    sizes = {f"{size.feature}: {size.quantity}": size for size in last.report.sizes}
    overall = sizes["long end, overall: length"]
    assert (overall.least, overall.most) == pytest.approx((80.0, 80.0), abs=0.03)


def test_what_the_jaws_close_on_follows_from_the_first_end() -> None:
    # 84 long less 1 faced off is 83; 50 stand out, so the jaws' front is 33 from the first end:
    # on the seat, 14 across from 20 to 34. Faced from 83 to 80, turned 40 on, what is left from
    # 34 to 40 is the bar.
    job, _ = load(PIN)
    assert isinstance(job, TurnedJob)
    setup = job.setups[1]
    assert setup.carried is not None
    assert (setup.carried.held, setup.carried.behind) == pytest.approx((14, 18))
    assert (setup.carried.length, setup.facing) == pytest.approx((83, 3))
    lands = [number for land in job.at(setup).comes(setup) for number in land]
    assert lands == pytest.approx([-80, -60, 9.965 / 2, -60, -46, 7, -46, 3, 9])


def test_the_zero_along_follows_the_length_that_is_found() -> None:
    # A division is 0.01 mm, figures rise towards the chuck: 0.1 mm longer is 10 divisions less.
    steps = second(METRIC)["steps"]
    (by_length,) = [s for s in steps if s.get("rule", {}).get("measure") == "L1"]
    assert by_length["rule"]["per_mm"] == pytest.approx(-2 * 100)
    (measured,) = [s for s in steps if s.get("name") == "L1"]
    assert measured["expected"] == pytest.approx(80 + 2.4)


def wrong_length(raw: dict[str, Any]) -> None:
    (by_length,) = [s for s in raw["steps"] if s.get("rule", {}).get("measure") == "L1"]
    by_length["rule"]["factor"] /= 2
    by_length["rule"]["per_mm"] /= 2  # as if it were a diameter


def deeper_last_cut(raw: dict[str, Any]) -> None:
    last = [s for s in raw["steps"] if s.get("what") == "to the shoulder"][-1]
    last["reading"] += 150  # three quarters of a millimetre
    last["dial"] = (last["dial"] + 150) % 300


@pytest.mark.parametrize(
    ("edit", "code"), [(wrong_length, "size"), (deeper_last_cut, "miscounted")]
)
def test_a_slip_in_the_second_setup_is_found(
    edit: Callable[[dict[str, Any]], None], code: str
) -> None:
    raw = second(METRIC)
    edit(raw)
    proof = prove_text(pin(METRIC)[1].place, json.dumps(raw), "edited.json", lambda _: None)
    assert code in {each.code for each in proof.report.findings}


def test_the_second_sheet_is_checked_alone_by_what_the_first_leaves(tmp_path: Path) -> None:
    made = tmp_path / "long-end.bench-lathe-metric.json"
    made.write_text(pin(METRIC)[1].text, encoding="utf-8")
    job, shop = load(PIN)
    proof = prove_file(((job, shop),), made, None, lambda _: None)
    assert proof.report.ok


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (("stick_out = 50", "stick_out = 58"), "the jaws close on 5 mm of 14 mm"),
        (("length = 80 ", "length = 82.6 "), "leave 0.7 mm or more to be faced off"),
        (("turned_round = true", "facing = 1"), "say turned_round = true"),
        (("to = 40", "to = 47"), "no shoulder between them"),
        # 17 mm may be 17.2 by ISO 2768-m: 0.4 mm high beside a corner of 0.5 mm
        (("diameter = 14, to = 34", "diameter = 17, to = 34"), "beside 18 mm of the bar: no sh"),
    ],
)
def test_what_makes_no_sense_is_refused(
    tmp_path: Path, change: tuple[str, str], message: str
) -> None:
    narrow = (("diameter = 12, diameter_limits = [11.93, 12]", "diameter = 13.6"),)
    more = narrow if "shoulder" in message else ()
    with pytest.raises(JobErrors, match=message):
        load(changed(tmp_path, change, *more))


def test_a_control_is_told_to_set_z_by_the_length_that_is_found() -> None:
    first, last = pin(PROGRAM)
    assert first.report.ok
    assert last.report.ok
    assert "(stop, zero z by L1 less 80.0 mm: within 0.02 mm)" in last.text
    assert "(MSG, Set z of G54, and z only, to read L1 found less 80.0 mm)" in last.text
    # The part was taken out: it may stand elsewhere, so that the tool is jogged to its end.
    lines = last.text.splitlines()
    measured = next(i for i, line in enumerate(lines) if "stop, measure L1" in line)
    touched = next(i for i, line in enumerate(lines) if i > measured and "jog" in line.lower())
    assert not [line for line in lines[measured:touched] if line.startswith(("G0", "G1"))]


@pytest.mark.parametrize(
    ("before", "after", "code"),
    [
        ("less 80.0 mm", "less 79.0 mm", "zero"),  # in the record and in what is shown
        ("(MSG, Set z of G54, and z only, to read L1 found less 80.0 mm)", "(MSG, go on)", ""),
    ],
)
def test_a_slip_in_the_zero_by_a_length_is_found(before: str, after: str, code: str) -> None:
    proof = pin(PROGRAM)[1]
    assert before in proof.text
    edited = prove_text(proof.place, proof.text.replace(before, after), "edited", lambda _: None)
    codes = {each.code for each in edited.report.findings if each.severity == "finding"}
    assert codes
    assert not code or code in codes


HOLLOW = (
    '\n[[setup]]\nname = "long end"',
    """
[[setup.feature]]
kind = "drilled"
name = "oil hole"
diameter = 4
depth = 30

[[setup.feature]]
kind = "chamfer"
name = "lead"
of = "short journal"
width = 1
file_to_line = 0.2

[[setup]]
name = "long end\"""",
)
TAPPED = """
[[setup.feature]]
kind = "drilled"
name = "screw hole"
tapped = "M6"
depth = DEEP
"""


def hollow_pin(folder: Path, deep: int, again: str = "") -> Path:
    """Return the file of a pin that is drilled from both ends, an edge of its first chamfered."""
    path = changed(folder, HOLLOW)
    text = path.read_text(encoding="utf-8") + TAPPED.replace("DEEP", str(deep)) + again
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
def test_holes_and_edges_of_the_first_end_stay_as_it_is_turned_round(
    tmp_path: Path, machine: str
) -> None:
    job, shop = load(hollow_pin(tmp_path, 14))
    first, last = prove_job(job, shop, machine, lambda _: None)
    assert first.report.ok, [str(each) for each in first.report.findings]
    assert last.report.ok, [str(each) for each in last.report.findings]
    left = last.report.left
    assert left is not None
    assert left.turned is not None
    # From the left end the oil hole: 4 across, 30 deep. Between the two holes there is metal.
    for z, hollow in ((-79.0, 2.0), (-51.0, 2.0), (-40.0, 0.0), (-5.0, 2.5)):
        within = left.turned.intersection(box(z - 0.5, 0.0, z + 0.5, 20.0))
        assert within.bounds[1] == pytest.approx(hollow, abs=0.1)


AGAIN = """
[[setup]]
name = "again"
machine = "bench-lathe-metric"
held_again = true
hold = { chuck = "three-jaw", stick_out = 30 }
[[setup.feature]]
kind = "drilled"
name = "second hole"
diameter = 8
depth = 3
"""


@pytest.mark.parametrize(
    ("deep", "again", "message"),
    [
        (60, "", "towards the hole in the other end"),
        (14, AGAIN, "in an end that is hollow already"),
    ],
)
def test_holes_that_meet_from_both_ends_are_refused(
    tmp_path: Path, deep: int, again: str, message: str
) -> None:
    with pytest.raises(JobErrors, match=message):
        load(hollow_pin(tmp_path, deep, again))


BUSH = """
units = "mm"
blank = { form = "round", diameter = 30, length = 60, material = "mild steel" }
[[setup]]
name = "one end"
machine = "bench-lathe-metric"
hold = { chuck = "three-jaw", stick_out = 40 }
facing = 0.8
[[setup.feature]]
kind = "turned"
name = "outside"
steps = [{ diameter = 26, to = 30 }]
[[setup.feature]]
kind = "bored"
name = "bore"
steps = [{ diameter = 16, to = "through" }]
[[setup.feature]]
kind = "parted"
name = "off the bar"
length = 23
[[setup]]
name = "other end"
machine = "bench-lathe-metric"
turned_round = true
length = 22
hold = { chuck = "three-jaw", stick_out = 9 }
"""


def test_a_bush_that_is_bored_through_is_faced_on_its_other_end(tmp_path: Path) -> None:
    path = tmp_path / "bush.toml"
    path.write_text(BUSH, encoding="utf-8")
    job, shop = load(path)
    last = list(prove_job(job, shop, METRIC, lambda _: None))[-1]
    assert last.report.ok, [str(each) for each in last.report.findings]
    # The end is touched between the bore's wall, 8 from the axis (8.1 at most), and the rim at 13.
    raw = json.loads(last.text)
    (touched,) = [s for s in raw["steps"] if s.get("what") == "in, over the metal of the end"]
    assert touched["place"] == pytest.approx((8.1 + 13.0) / 2, abs=0.06)
    path.write_text(BUSH + TAPPED.replace("DEEP", "5"), encoding="utf-8")
    with pytest.raises(JobErrors, match="in an end that is hollow already"):
        load(path)
