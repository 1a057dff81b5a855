"""Round bar turned on the shipped lathes: what is made of it, and that slips are found."""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from shapely.geometry import box

from pathgen.check.turning.outline import outline, swept
from pathgen.cli import run
from pathgen.commands.proving import form_for, load, prove_job
from pathgen.input.where import Faults, InputError
from pathgen.job.load import load_job
from pathgen.moves.actions import ZeroByMeasure
from pathgen.shop.turning_tools import TurningTool
from postprocessors.gcode.turned_reader import read_turned_program
from postprocessors.gcode.turned_writer import write_turned_program
from tests.read_jobs import the_shop
from tests.turned_bush import BUSH, bush, changed_file, codes_of, found_in, made_of, sheet_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)


def sheet_text(machine: str) -> str:
    """Return the sheet for people, its lines run together."""
    proof = bush(machine)
    text = form_for(proof.place.machine).faces(proof)[".txt"]
    return " ".join(text.split())


def tool(name: str) -> TurningTool:
    return next(each for each in the_shop().crib.turning_tools if each.name == name)


# ---------------------------------------------------------------------- what is made


@pytest.mark.parametrize("machine", LATHES)
def test_the_bush_is_proved_with_every_size_judged(machine: str) -> None:
    report = bush(machine).report
    assert report.ok
    wanted = {(size.feature, size.quantity): size.wanted.nominal for size in report.sizes}
    assert wanted == {
        ("outside, first from the right", "diameter"): 22,
        ("outside, first from the right", "length"): 24,
        ("outside, second from the right", "diameter"): 32,
        ("off the bar", "length"): 30,
    }
    for size in report.sizes:
        assert size.wanted.low <= size.least <= size.most <= size.wanted.high


def test_a_program_makes_the_middle_of_the_limits() -> None:
    sizes = {(size.feature, size.quantity): size for size in bush(PROGRAM).report.sizes}
    first = sizes["outside, first from the right", "diameter"]
    assert (first.least, first.most) == pytest.approx((21.975, 21.975), abs=1e-3)
    parted = sizes["off the bar", "length"]
    assert (parted.least, parted.most) == pytest.approx((30.0, 30.0), abs=1e-3)


def test_the_dial_set_by_the_skim_reads_the_way_from_the_axis() -> None:
    # 0.25 mm is 19.7 judged parts of 0.0127 mm, so 20: 17.5 - 0.254 = 17.246 mm from the axis, or
    # 0.67898 in = 678.98 divisions of 0.001 in. Its figures rise going in: -7 turns and 21.0.
    steps = sheet_of(INCH_DIALS)["steps"]
    (measured,) = [step for step in steps if step.get("name") == "M1"]
    assert measured["expected"] == pytest.approx(34.492)
    (by_measure,) = [s for s in steps if s["kind"] == "set dial" and "rule" in s]
    assert (by_measure["turn"], by_measure["dial"]) == (-7, 42)
    # 0.1 mm more on the diameter is 0.05 mm further out: 3.94 judged parts back.
    assert by_measure["rule"]["per_mm"] * 0.1 == pytest.approx(-0.05 / 0.0127)


def test_a_dial_that_shows_diameters_is_said_to_and_shows_them() -> None:
    text = sheet_text(METRIC)
    assert "shows DIAMETER" in text
    assert "a division takes 0.020 mm off the diameter" in text
    inch = sheet_text(INCH_DIALS)
    assert "HALF of what comes off the diameter: a division takes 0.0020 in off it" in inch
    # Of the last cut: half the diameter 10.9875 mm is 1098.75 divisions of 0.01 mm.
    (last,) = [s for s in sheet_of(METRIC)["steps"] if s.get("what") == "cut 3 of 3 to size"]
    assert last["reading"] == pytest.approx(-2 * 1098.75, abs=1)


def test_lengths_go_by_the_slide_whose_dial_tells_them() -> None:
    names = [dial["slide"] for dial in sheet_of(METRIC)["dials"]]
    assert names == ["cross slide", "carriage", "compound"]
    told = [s["slide"] for s in sheet_of(METRIC)["steps"] if s.get("what") == "to the shoulder"]
    assert told == ["compound", "compound"]


def test_x_words_are_diameters_or_radii_as_the_machine_declares(tmp_path: Path) -> None:
    proof = bush(PROGRAM)
    control = proof.place.machine.control
    assert control is not None
    assert proof.plan is not None
    radius = dataclasses.replace(
        proof.place.machine, control=dataclasses.replace(control, x_words="radius")
    )
    text = write_turned_program(proof.plan, radius)
    assert "(x words: radius)" in text
    assert "G0 X17.25" in text
    assert "G0 X34.5" in proof.text
    runs = [
        read_turned_program(text, x_words="radius"),
        read_turned_program(proof.text, x_words="diameter"),
    ]
    assert not any(run.troubles for run in runs)
    moves = [[item[:3] for item in run.items if isinstance(item, tuple)] for run in runs]
    for one, other in zip(*moves, strict=True):
        assert one == pytest.approx(other, abs=1e-4, nan_ok=True)


def test_feeds_are_by_the_turn_where_the_control_takes_them() -> None:
    proof = bush(PROGRAM)
    assert "G95" in proof.text
    control = proof.place.machine.control
    assert control is not None
    assert proof.plan is not None
    by_minute = dataclasses.replace(
        proof.place.machine, control=dataclasses.replace(control, feed_per_turn=False)
    )
    text = write_turned_program(proof.plan, by_minute)
    assert "G94" in text
    assert "F156.0" in text  # 0.381 mm a turn at 410 rev/min, down to whole mm/min
    assert codes_of(PROGRAM, text) == set()


# ---------------------------------------------------------------------- slips in a program


def edited(*changes: tuple[str, str]) -> str:
    text = bush(PROGRAM).text
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    return text


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([("G0 X21.975", "G0 X21.875")], "size"),
        ([("G0 X21.975", "G0 X21.875")], "gouge"),
        ([("G1 Z-24.0", "G1 Z-24.5")], "size"),
        ([("G1 Z-24.0", "G1 Z-22.0")], "left"),
        ([("G0 X33.8\n", "G0 X31.0\n")], "depth"),
        ([("(-- back from the shoulder)\nG0 Z-30.0\n", "")], "rapid"),
        ([("F0.3804", "F1.2")], "feed"),
        ([("S440 M3", "S2200 M3")], "speed"),
        ([("S440 M3", "S5000 M3")], "speed"),
        ([("S440 M3\n", "M5\n")], "spindle"),
        ([("G1 Z-32.0", "G1 Z-44.0")], "jaws"),
        ([("x words: diameter", "x words: radius")], "x words"),
        ([("knife tool", "boring tool")], "cutter"),
        ([("(digest: ", "(digest: 0")], "stale"),
        ([("at 17.5 mm", "at 16.5 mm"), ("read 35.0 mm", "read 33.0 mm")], "zero"),
        ([("read 35.0 mm", "read 36.0 mm")], "message"),
        ([("G1 X-1.2", "G1 X1.0")], "left"),
        ([("G1 X-1.0 F", "G1 X1.0 F")], "left"),
    ],
)
def test_a_slip_in_a_program_is_found(changes: list[tuple[str, str]], code: str) -> None:
    assert code in codes_of(PROGRAM, edited(*changes))


def test_harmless_edits_find_nothing() -> None:
    text = edited(("(-- facing)\n", "(-- the end, first cut)\n"), ("G0 Z0.4", "N20 G00 Z.4"))
    assert codes_of(PROGRAM, text) == set()


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("G81 X20.0 Z-3.0 R1.0", "is not read of lathe programs"),
        ("G17", "X-Y plane"),
        ("G0 Y2.0", "a Y on a lathe"),
        ("G33 Z-10.0", "G33 without a Z and a lead"),
        ("G33 X8.0 Z-10.0 K1.5", "G33 across the axis"),
        ("G76 Z-10.0 K1.5", "G76"),
    ],
)
def test_what_is_not_read_of_lathe_programs_is_refused_by_name(line: str, message: str) -> None:
    text = edited(("(-- facing)\n", f"{line}\n"))
    with pytest.raises(InputError, match=re.escape(message)):
        read_turned_program(text, x_words="diameter")


# ---------------------------------------------------------------------- slips in a sheet


def step_of(raw: dict[str, Any], what: str) -> dict[str, Any]:
    return next(step for step in raw["steps"] if step.get("what") == what)


def index_of(raw: dict[str, Any], kind: str, slide: str) -> int:
    return next(
        i for i, s in enumerate(raw["steps"]) if s["kind"] == kind and s.get("slide") == slide
    )


def dial_off(raw: dict[str, Any]) -> None:
    step = step_of(raw, "roughing, 32.6 mm across")
    step["dial"] = (step["dial"] + 40) % 400


def skim_not_set_by(raw: dict[str, Any]) -> None:
    step = next(s for s in raw["steps"] if s["kind"] == "set dial" and "rule" in s)
    step["rule"]["base"] += 20
    step["dial"] += 20


def spindle_left_out(raw: dict[str, Any]) -> None:
    step = next(s for s in raw["steps"] if s["kind"] == "spindle")
    step["rpm"] = 0


def wrong_way(raw: dict[str, Any]) -> None:
    step = raw["steps"][index_of(raw, "touch", "cross slide")]
    step["way"] = "anticlockwise"


def measured_turning(raw: dict[str, Any]) -> None:
    _stops_not(raw, next(i for i, s in enumerate(raw["steps"]) if s["kind"] == "measure"))


def bed_stop_set_turning(raw: dict[str, Any]) -> None:
    _stops_not(raw, next(i for i, s in enumerate(raw["steps"]) if s["kind"] == "stop"))


def not_stopped_at_the_end(raw: dict[str, Any]) -> None:
    _stops_not(raw, len(raw["steps"]))


def clamp_left_out(raw: dict[str, Any]) -> None:
    index = next(i for i, s in enumerate(raw["steps"]) if s["kind"] == "clamp")
    number = raw["steps"][index]["number"]
    raw["steps"][index] = {"kind": "note", "number": number, "text": "Look at it."}


def _stops_not(raw: dict[str, Any], index: int) -> None:
    """Put a look in place of the last step before one that stops the spindle."""
    stops = [i for i, s in enumerate(raw["steps"][:index]) if s["kind"] == "spindle"]
    step = raw["steps"][stops[-1]]
    assert step["rpm"] == 0
    raw["steps"][stops[-1]] = {"kind": "note", "number": step["number"], "text": "Look at it."}


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (measured_turning, "spindle"),
        (bed_stop_set_turning, "spindle"),
        (not_stopped_at_the_end, "spindle"),
        (clamp_left_out, "not clamped"),
        (dial_off, "miscounted"),
        (skim_not_set_by, "zero"),
        (spindle_left_out, "spindle"),
        (wrong_way, "wrong-way"),
    ],
)
def test_a_slip_in_a_sheet_is_found(edit: Callable[[dict[str, Any]], None], code: str) -> None:
    raw = sheet_of(METRIC)
    edit(raw)
    assert code in {each.code for each in found_in(METRIC, json.dumps(raw))}


def test_a_sheet_is_followed_with_a_bar_that_is_thicker_and_with_spring() -> None:
    run = bush(METRIC).run
    assert any(isinstance(item, ZeroByMeasure) for item in run.items)
    # Over all cases, the diameter that is measured before the last cuts keeps within a judged part
    # or two of where it should be, the other within the spring besides.
    sizes = {(size.feature, size.quantity): size for size in bush(METRIC).report.sizes}
    first = sizes["outside, first from the right", "diameter"]
    second = sizes["outside, second from the right", "diameter"]
    assert first.most - first.least <= 0.02
    assert second.most - second.least == pytest.approx(0.2, abs=0.02)


# ---------------------------------------------------------------------- tools


def test_a_knife_tool_is_outlined_by_its_nose_and_edges() -> None:
    end, _ = outline(tool("knife tool"))
    low_z, low_x, _, high_x = end.bounds
    assert (low_z, low_x, high_x) == pytest.approx((0, 0, 12), abs=1e-6)
    # At 5 mm out the leading edge, at 93 degrees, has drawn back by 5 mm less the nose's radius,
    # over its slope, and the nose's share: 0.4 (1 - sin 93) + (5 - 0.4 (1 - cos 93)) / -tan 93.
    edge = end.intersection(box(-1, 5, 20, 5.001)).bounds[0]
    assert edge == pytest.approx(0.2417, abs=2e-3)


def test_a_square_cut_leaves_the_noses_radius_in_the_corner() -> None:
    knife = tool("knife tool")
    bar = box(-10, 0, 0, 10).difference(swept(knife, (1, 8), (-5, 8)).end)
    corner = bar.intersection(box(-5, 8, -4.6, 8.4)).area
    assert corner == pytest.approx(0.4**2 * (1 - 3.14159 / 4), abs=2e-3)


def test_a_shank_that_comes_to_the_work_is_found(tmp_path: Path) -> None:
    # The cutting end is 12 mm long; a shoulder of 12.75 mm and more is beyond it.
    with pytest.raises(InputError, match="12 mm"):
        made_of(tmp_path, ("diameter = 22, diameter_limits = [21.95, 22]", "diameter = 6"))
    text = edited(("G0 X21.975", "G0 X8.0"))
    assert "shank" in codes_of(PROGRAM, text)


def test_a_blade_cuts_its_width() -> None:
    blade = tool("2 mm parting blade")
    cut = swept(blade, (-12, 10), (-12, 0)).end.intersection(box(-50, 0, 0, 9))
    assert cut.bounds == pytest.approx((-12, 0, -10, 9))


# ---------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ([("length = 64", "length = 90")], "saw the bar to 68 mm or less"),
        ([('chuck = "three-jaw"', 'chuck = "six-jaw"')], "a chuck called 'six-jaw'"),
        (
            [("stick_out = 44", "stick_out = 33.5"), ("length = 64", "length = 56")],
            "let the bar stand out",
        ),
        ([("corner = 0.5", "corner = 0.1")], "turn shoulders with corners of 0.1 mm or less"),
        (
            [("diameter = 35", "diameter = 52"), ("to = 32", "to = 30")],
            "a reach of 26.5 mm or more",
        ),
    ],
)
def test_what_cannot_be_turned_is_refused(
    tmp_path: Path, changes: list[tuple[str, str]], message: str
) -> None:
    with pytest.raises(InputError, match=re.escape(message)):
        made_of(tmp_path, *changes, machine=METRIC)


@pytest.mark.parametrize("machine", [METRIC, PROGRAM])
@pytest.mark.parametrize(("turned_to", "blade"), [(32, 2), (30, 3)])
def test_a_blade_reaches_as_far_past_the_axis_as_it_is_fed(
    tmp_path: Path, machine: str, turned_to: int, blade: int
) -> None:
    # The thinner blade reaches 20 mm: to the axis of a bar of 40, not the half millimetre past it.
    # It does reach where the bar is turned to 32 as far as the blade cuts: 30 of the part, and 2.
    changes = ("diameter = 35 ", "diameter = 40 "), ("to = 32", f"to = {turned_to}")
    proof = made_of(tmp_path, *changes, machine=machine)
    assert proof.report.ok
    assert set(re.findall(r"(\d) mm parting blade", proof.text)) == {str(blade)}


def test_a_long_overhang_is_refused(tmp_path: Path) -> None:
    thin = (
        ("diameter = 35 ", "diameter = 18 "),
        ("length = 64", "length = 110"),
        ("stick_out = 44", "stick_out = 75"),
        ("diameter = 22, diameter_limits = [21.95, 22]", "diameter = 12"),
        ("diameter = 32,", "diameter = 16,"),
    )
    with pytest.raises(InputError, match="more than 4 diameters"):
        made_of(tmp_path, *thin)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ([("diameter = 32,", "diameter = 20,")], "each larger than the one before"),
        ([("to = 32", "to = 24")], "further from the right face"),
        ([("diameter = 32,", "diameter = 22.4, diameter_limits = [22.3, 22.5],")], "a shoulder"),
        ([("stick_out = 44", "stick_out = 30")], "let it stand out further"),
        ([("stick_out = 44", "stick_out = 64")], "leave some of the bar in the jaws"),
        ([("diameter = 32,", "diameter = 36,")], "take a thicker bar"),
        ([("diameter_limits = [21.95, 22]", 'diameter_fit = "H7"')], "small letters"),
        ([('material = "brass"', 'material = "cheese"')], "material"),
    ],
)
def test_a_job_that_makes_no_sense_is_refused(
    tmp_path: Path, changes: list[tuple[str, str]], message: str
) -> None:
    faults = Faults()
    load_job(changed_file(tmp_path, *changes), faults)
    assert any(message in str(error) for error in faults.errors), faults.errors


def test_a_class_of_fit_gives_a_shafts_limits(tmp_path: Path) -> None:
    # ISO 286-2: 22 g6 is -7 and -20 micrometres.
    faults = Faults()
    job = load_job(
        changed_file(tmp_path, ("diameter_limits = [21.95, 22]", 'diameter_fit = "g6"')), faults
    )
    assert not faults
    assert job is not None
    turned: Any = job.setups[0].features[0]
    size = turned.steps[0].diameter
    assert (size.low, size.high) == pytest.approx((21.980, 21.993))


@pytest.mark.parametrize("machine", ["bench-mill-metric", "converted-mill"])
def test_a_mill_turns_nothing(machine: str) -> None:
    with pytest.raises(InputError, match="is not a lathe"):
        bush(machine)


def test_a_lathe_mills_nothing() -> None:
    job, shop = load(BUSH.parents[1] / "jobs" / "fence-bar.toml")
    with pytest.raises(InputError, match="is not a mill"):
        list(prove_job(job, shop, METRIC, lambda _: None))


def test_a_program_of_a_lathe_is_checked_from_its_file(tmp_path: Path) -> None:
    proof = bush(PROGRAM)
    last = [line for line in proof.text.splitlines() if line.startswith("G1 Z-")][-1]
    deeper = last.replace("Z-", "Z-1")  # ten millimetres or more too far to the chuck
    slipped = deeper.join(proof.text.rsplit(last, 1))
    for text, wanted in ((proof.text, 0), (slipped, 1)):
        file = tmp_path / "bush.ngc"
        file.write_text(text, encoding="utf-8")
        with pytest.raises(SystemExit) as ended:
            run(["check", str(BUSH), str(file), "--machine", PROGRAM])
        assert ended.value.code == wanted
