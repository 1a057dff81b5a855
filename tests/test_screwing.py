"""Screw-cut threads on the shipped lathes: what is planned and said, and that slips are found."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job
from pathgen.input.where import InputError, Refusal
from pathgen.job.turning.screwed import Screwed
from pathgen.moves.actions import ChangeWheels, HalfNuts, Measure, Note, Spindle
from pathgen.moves.moves import ThreadCut
from pathgen.plan.turning.planners import plan_turned_setup
from pathgen.shop.machines import Machine
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.headings import compare_headings
from postprocessors.dials.thread_passes import compare_passes
from tests.read_jobs import the_shop
from tests.turned_screw import SCREW, codes_in, codes_of, made, screw, screw_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)


def planned_on(machine: Machine) -> None:
    """Plan the screw on a lathe that was changed."""
    job = screw(METRIC).job
    plan_turned_setup(job, job.setups[0], machine, the_shop().crib)


def items_of(machine: str) -> list[Any]:
    """Return all that the run on a lathe does."""
    return list(screw(machine).run.items)


def items_of_plan(machine: str) -> Iterator[Any]:
    """Yield all that the plan for a lathe has."""
    for each in screw(machine).plan.passes:
        yield from each.items


def printed(machine: str) -> str:
    """Return the sheet for people, its lines run together."""
    return " ".join(
        write_text(load_sheet(screw(machine).text, "sheet"), screw(machine).machine).split()
    )


# ---------------------------------------------------------------------- what is made


def test_the_screw_is_proved_in_every_case_of_slack_and_measurement() -> None:
    job, shop = load(SCREW)
    (proof,) = prove_job(job, shop, None, lambda _: None)
    assert proof.report.ok
    assert any("W1" in name for name, _ in proof.run.found)


@pytest.mark.parametrize("machine", LATHES)
def test_the_screw_is_proved_within_6g(machine: str) -> None:
    report = screw(machine).report
    assert report.ok
    sizes = {each.quantity: each for each in report.sizes if each.feature == "screw"}
    pitch = sizes["pitch diameter"]
    assert (pitch.wanted.low, pitch.wanted.high) == pytest.approx(
        (14.503, 14.663), abs=5e-4
    )  # ISO 965-2
    assert pitch.wanted.low <= pitch.least <= pitch.most <= pitch.wanted.high
    assert sizes["minor diameter"].most < 13.835 - 0.038  # that of the nut, less position g


def test_millimetres_on_an_inch_leadscrew_keep_the_half_nuts_closed() -> None:
    items = items_of(INCH_DIALS)
    (wheels,) = [each for each in items if isinstance(each, ChangeWheels)]
    assert wheels.pairs == ((63, 40), (20, 50))
    # 3.175 x 63/40 x 20/50 = 2.00025 mm: one part in 8000 long.
    assert wheels.lead == pytest.approx(2.00025)
    assert [each.closed for each in items if isinstance(each, HalfNuts)] == [True, False]
    assert {each.nuts for each in items if isinstance(each, ThreadCut)} == {"closed", "reversed"}


def test_where_half_nuts_stay_closed_the_passes_alone_turn_the_spindle() -> None:
    for items in (list(items_of_plan(INCH_DIALS)), items_of(INCH_DIALS)):
        shut = next(i for i, each in enumerate(items) if isinstance(each, HalfNuts))
        opened = next(i for i in range(shut + 1, len(items)) if isinstance(items[i], HalfNuts))
        speeds = [each.rpm for each in items[:shut] if isinstance(each, Spindle)]
        assert speeds[-1] == 0.0
        between = items[shut:opened]
        assert any(isinstance(each, Measure) for each in between)
        assert not any(isinstance(each, Spindle) for each in between)
        cuts = [each for each in between if isinstance(each, ThreadCut)]
        assert {each.rpm for each in cuts} == {115.0}
    text = printed(INCH_DIALS)
    assert re.search(r"SPINDLE STOP \[ \] \d+ CLOSE the half-nuts", text)
    assert "start the spindle forward, 115 rev/min, the half-nuts closed already" in text
    assert "REVERSE the spindle, 115 rev/min, the tool clear of the thread" in text


def test_a_lead_that_the_leadscrew_divides_is_caught_by_the_thread_dial() -> None:
    items = items_of(METRIC)
    (wheels,) = [each for each in items if isinstance(each, ChangeWheels)]
    assert (wheels.pairs, wheels.lead) == (((20, 30),), 2.0)
    # 16 teeth of a leadscrew of 3 mm are 48 mm, a quarter of it 12: six leads.
    assert (wheels.dial_teeth, wheels.dial_marks) == (16, 4)
    cuts = [each for each in items if isinstance(each, ThreadCut)]
    assert {(each.nuts, each.every) for each in cuts} == {("dial", 1)}


def test_passes_take_even_areas_and_end_with_the_same_setting() -> None:
    tips = [each.x for each in items_of(PROGRAM) if isinstance(each, ThreadCut)]
    depths = [7.91 - tip for tip in tips]
    areas = [b**2 - a**2 for a, b in zip([0.0, *depths], depths, strict=False)]
    rough = areas[:19]
    assert max(rough) - min(rough) < 0.002
    assert max(rough) < 0.3**2
    assert len(set(tips[-3:])) == 1
    # Pitch diameter 14.583, nose 0.15: 7.2915 - 0.86603 + 0.15 = 6.5755 mm.
    assert tips[-1] == pytest.approx(7.2915 - 0.866025 + 0.15, abs=2e-4)


def test_a_control_is_told_the_lead_and_comes_in_along_a_flank() -> None:
    text = screw(PROGRAM).text
    found = re.findall(
        r"^G0 Z([\d.]+)\n(?:\(.*\)\n)?G0 X([\d.]+)\n(?:\(.*\)\n)?G33 Z-[\d.]+ K2.0$", text, re.M
    )
    assert len(found) >= 20
    starts = [(float(z), float(x) / 2) for z, x in found]
    last_z, last_x = starts[-1]
    for z, x in starts:  # the flank that trails stays where it is: 0.57735 along for each 1 in
        assert z - last_z == pytest.approx((x - last_x) * 0.57735, abs=3e-4)


def test_the_sheet_says_wheels_marks_and_what_is_done_at_once() -> None:
    text = printed(METRIC)
    assert "PUT UP the change wheels, from the spindle on: 20 drives 30" in text
    assert "close the half-nuts as any mark of the thread dial comes to its line" in text
    assert "AT ONCE wind the tool clear of the thread" in text
    text = printed(INCH_DIALS)
    assert "63 drives 40; on its stud 20 drives 50" in text
    assert "LEAVE THEM CLOSED" in text
    assert "REVERSE the spindle" in text
    assert "over three wires of 1.150 mm" in text


def test_an_inch_thread_on_a_metric_leadscrew_goes_by_127_teeth(tmp_path: Path) -> None:
    proof = screw_of(
        tmp_path,
        METRIC,
        ('thread = "M16"', 'thread = "5/8-11 UNC"'),
        ("diameter_limits = [15.7, 15.94]", "diameter_limits = [15.58, 15.82]"),
        ("diameter = 15.82", "diameter = 15.7"),
    )
    assert proof.report.ok
    (wheels,) = [each for each in proof.run.items if isinstance(each, ChangeWheels)]
    assert 127 in wheels.wheels
    assert wheels.lead == pytest.approx(25.4 / 11, rel=1e-12)
    assert any(isinstance(each, HalfNuts) for each in proof.run.items)


@pytest.mark.parametrize("machine", [INCH_DIALS, PROGRAM])
def test_a_whitworth_thread_is_cut_by_its_tool_within_its_own_limits(
    tmp_path: Path, machine: str
) -> None:
    proof = screw_of(
        tmp_path,
        machine,
        ('thread = "M16"', 'thread = "5/8 BSW"'),
        ("diameter_limits = [15.7, 15.94]", "diameter_limits = [15.64, 15.82]"),
        ("diameter = 15.82", "diameter = 15.73"),
    )
    assert proof.report.ok
    (pitch,) = [each for each in proof.report.sizes if each.quantity == "pitch diameter"]
    # 5/8 - 0.6403/11 = 0.5668 in; T = 0.0017 + 0.0024 + 0.0015 = 0.0056, 0.3 T = 0.0017 in.
    assert (pitch.wanted.low, pitch.wanted.high) == pytest.approx(
        (25.4 * 0.5595, 25.4 * 0.5651), abs=0.002
    )
    assert any(each.name == "55 degree threading tool" for each in proof.plan.head.cutters)
    notes = [each.text for each in proof.run.items if isinstance(each, Note)]
    assert any("crests are round" in text for text in notes)


# ---------------------------------------------------------------------- what is refused


def test_a_lead_that_no_wheels_come_near_is_refused() -> None:
    machine = screw(METRIC).machine
    assert machine.lathe is not None
    few = replace(machine, lathe=replace(machine.lathe, change_wheels=(20, 36, 44, 55)))
    with pytest.raises(Refusal, match="cut a lead of 2 mm"):
        planned_on(few)


def test_a_control_without_the_word_is_refused() -> None:
    machine = screw(PROGRAM).machine
    assert machine.control is not None
    without = replace(machine, control=replace(machine.control, threading="none"))
    with pytest.raises(Refusal, match="declares no word to keep step by"):
        planned_on(without)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ([("run_out = 4", "run_out = 0.8")], "to be drawn out|hand is too late"),
        ([("length = 28", "length = 35")], "its diameter ends at 37.85"),
        (
            [('thread = "M16"', 'thread = "M16x1.5 LH"')],
            "nothing is there for the tool to begin in",
        ),
        ([('thread = "M16"', 'thread = "M16x7"')], "no standard pitch"),
        ([('thread = "M16"', 'thread = "12BA"')], "12BA.* not known here.*pitch_diameter_limits"),
        ([("diameter_limits = [15.7, 15.94]", "diameter_limits = [15.7, 16]")], "within 15.682"),
        ([("run_out = 4", "run_out = 4\nwire = 3")], "wire: 3 mm"),
    ],
)
def test_what_cannot_be_cut_is_refused(
    tmp_path: Path, changes: list[tuple[str, str]], message: str
) -> None:
    with pytest.raises((Refusal, InputError), match=message):
        screw_of(tmp_path, METRIC, *changes)


def test_a_slower_hand_cuts_the_thread_slower_and_is_told_of() -> None:
    machine = screw(METRIC).machine
    assert machine.lathe is not None
    # 3.7 mm of room at 2 mm a turn: 1.5 s for 74 rev/min; 100 takes the tool on by 5 mm.
    slow = replace(machine, lathe=replace(machine.lathe, reaction_s=1.5))
    by_slow = made(screw(METRIC).job, slow)
    thread = next(each for each in by_slow.plan.passes if each.purpose == "thread")
    assert thread.rpm <= 74
    assert "a hand 1.5 s late takes it on" in thread.why
    assert by_slow.report.ok
    assert "run-out" in codes_in(by_slow, screw(METRIC).text)


def test_how_far_the_lead_is_off_is_told_as_what_it_takes_of_the_pitch_diameter() -> None:
    thread = next(each for each in screw(INCH_DIALS).plan.passes if each.purpose == "thread")
    # 28 mm / 8000 = 3.5 micrometres; x 1.732 = 6; a quarter of 0.160 mm = 40.
    assert "lead 2.00025 mm by the wheels, +3.5 micrometres off" in thread.why
    assert "as much as 6 of the pitch diameter, of the 40 granted" in thread.why


# ---------------------------------------------------------------------- slips in a sheet

Sheet = dict[str, Any]


def steps_of(raw: Sheet, kind: str) -> list[Sheet]:
    return [step for step in raw["steps"] if step["kind"] == kind]


def other_wheels(raw: Sheet) -> None:
    steps_of(raw, "wheels")[0]["wheels"][0] += 3  # 63 and 20 become 66 and 23


def wrong_ratio(raw: Sheet) -> None:
    wheels = steps_of(raw, "wheels")[0]
    wheels["wheels"] = [20, 40] if len(wheels["wheels"]) == 2 else [60, 40, 20, 50]


def in_the_way(raw: Sheet) -> None:
    steps_of(raw, "wheels")[0]["wheels"] = [20, 50, 63, 40]


def open_nuts(raw: Sheet) -> None:
    steps_of(raw, "half-nuts")[0]["closed"] = False


def renumber(raw: Sheet) -> None:
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number


def insert(raw: Sheet, at: int, step: Sheet) -> None:
    """Put a step in before that of an index."""
    raw["steps"].insert(at, step)
    for each in raw["operations"]:
        each["first"] += each["first"] > at + 1
    renumber(raw)


def index_of(raw: Sheet, kind: str) -> int:
    return next(i for i, step in enumerate(raw["steps"]) if step["kind"] == kind)


def closed_while_it_turns(raw: Sheet) -> None:
    stop = index_of(raw, "half-nuts") - 1
    assert raw["steps"][stop] == {"kind": "spindle", "number": stop + 1, "rpm": 0.0}
    raw["steps"][stop] = {"kind": "note", "number": stop + 1, "text": "go on"}


def started_before_it_is_wound_in(raw: Sheet) -> None:
    insert(raw, index_of(raw, "half-nuts") + 1, {"kind": "spindle", "number": 0, "rpm": 115})


def started_after_the_wires(raw: Sheet) -> None:
    wires = [i for i, s in enumerate(raw["steps"]) if "wires" in s.get("what", "")]
    insert(raw, wires[-1] + 1, {"kind": "spindle", "number": 0, "rpm": 115})


def never_started(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["rpm"] = 0


def never_started_back(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        if step["nuts"] == "reversed":
            step["rpm"] = 0


def faster_in_a_pass(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["rpm"] = 420


def a_speed_that_it_has_not(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["rpm"] = 116


def by_the_dial(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        if step["nuts"] == "closed":
            step["nuts"] = "dial"


def other_dial(raw: Sheet) -> None:
    steps_of(raw, "wheels")[0] |= {"dial_teeth": 15, "dial_marks": 3}


def further(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["reading"] += 80  # 4 mm of the carriage
        step["place"] -= 4.0


def shorter(raw: Sheet) -> None:
    for step in steps_of(raw, "thread"):
        step["reading"] -= 80
        step["place"] += 4.0


def other_tool(raw: Sheet) -> None:
    for step in [*steps_of(raw, "fit"), *raw["head"]["cutters"]]:
        step["name"] = step["name"].replace("60 degree", "55 degree")


def faster(raw: Sheet) -> None:
    fits = [index for index, s in enumerate(raw["steps"]) if s["kind"] == "fit"]
    after = raw["steps"][fits[1] :]
    next(s for s in after if s["kind"] == "spindle")["rpm"] = 420


def without(raw: Sheet, first: str, after: str) -> None:
    """Leave out the steps from the last one of these words up to the next of others."""
    said = [step.get("what", "") for step in raw["steps"]]
    start = max(index for index, what in enumerate(said) if what == first)
    end = said.index(after, start)
    del raw["steps"][start:end]
    renumber(raw)
    for each in raw["operations"]:
        each["first"] -= end - start if each["first"] > start else 0


def without_a_pass(raw: Sheet) -> None:
    """Leave passes 2 to 6 out: the seventh takes what they should have."""
    without(raw, "pass 2 of 19", "pass 7 of 19")


def wheels_after_the_start(raw: Sheet) -> None:
    steps = raw["steps"]
    at = next(i for i, s in enumerate(steps) if s["kind"] == "wheels")
    steps[at], steps[at + 2] = steps[at + 2], steps[at]
    renumber(raw)


@pytest.mark.parametrize(
    ("machine", "slip", "code"),
    [
        (METRIC, other_wheels, "wheels"),
        (METRIC, wrong_ratio, "lead"),
        (INCH_DIALS, wrong_ratio, "lead"),
        (INCH_DIALS, in_the_way, "wheels"),
        (INCH_DIALS, open_nuts, "half-nuts"),
        (INCH_DIALS, by_the_dial, "half-nuts"),
        (INCH_DIALS, closed_while_it_turns, "half-nuts"),
        (INCH_DIALS, started_before_it_is_wound_in, "half-nuts"),
        (INCH_DIALS, started_after_the_wires, "half-nuts"),
        (INCH_DIALS, never_started, "spindle"),
        (INCH_DIALS, never_started_back, "spindle"),
        (INCH_DIALS, faster_in_a_pass, "run-out"),
        (INCH_DIALS, a_speed_that_it_has_not, "speed"),
        (METRIC, other_dial, "half-nuts"),
        (METRIC, further, "run-out"),
        (METRIC, shorter, "thread length"),
        (METRIC, other_tool, "thread tool"),
        (METRIC, faster, "run-out"),
        (METRIC, without_a_pass, "depth"),
        (METRIC, wheels_after_the_start, "spindle"),
    ],
)
def test_a_slip_in_a_sheet_is_found(machine: str, slip: Callable[[Sheet], None], code: str) -> None:
    raw = json.loads(screw(machine).text)
    slip(raw)
    assert code in codes_of(machine, json.dumps(raw))


def test_a_pass_that_starts_at_another_speed_than_its_heading_says_is_found() -> None:
    raw = json.loads(screw(INCH_DIALS).text)
    assert compare_headings(load_sheet(json.dumps(raw), "sheet")) == ()
    faster_in_a_pass(raw)
    (trouble,) = compare_headings(load_sheet(json.dumps(raw), "sheet"))
    assert "says 115 rev/min, the spindle runs at 420" in trouble.what


@pytest.mark.parametrize("machine", [METRIC, INCH_DIALS])
@pytest.mark.parametrize(
    ("first", "after", "message"),
    [
        ("pass 6 of 19", "pass 7 of 19", "pass 7 of 19 comes, pass 6 is not there"),
        ("pass 1 of 19", "pass 2 of 19", "pass 2 of 19 comes, pass 1 is not there"),
        ("cut 2 of 3 to size", "cut 3 of 3 to size", "cut 3 of 3 comes, cut 2 is not there"),
        (
            "cut 3 of 3 to size",
            "at the same setting once more: it takes out the spring",
            "cut 2 of 3 is the last, cut 3 is not there",
        ),
    ],
)
def test_one_pass_left_out_of_a_sheet_is_found(
    machine: str, first: str, after: str, message: str
) -> None:
    raw = json.loads(screw(machine).text)
    assert compare_passes(load_sheet(json.dumps(raw), "sheet")) == ()
    without(raw, first, after)
    (trouble,) = compare_passes(load_sheet(json.dumps(raw), "sheet"))
    assert message in trouble.what


def test_words_of_a_sheet_may_be_changed() -> None:
    raw = json.loads(screw(METRIC).text)
    for step in steps_of(raw, "thread"):
        step["what"] = "along"
    assert codes_of(METRIC, json.dumps(raw)) == set()


# ---------------------------------------------------------------------- slips in a program


@pytest.mark.parametrize(
    ("pattern", "by", "code"),
    [
        (r" K2\.0\n", " K2.5\n", "lead"),
        (r"G33 Z-[\d.]+ K2\.0\n", "", "left"),
        (r"(pass 3 of 19\)\n.*\nG33 Z)-27", r"\1-34", "run-out"),
        (r"G0 Z6\.4781\n", "G0 Z6.9\n", "groove"),
        (r"G0 X13\.1509", "G0 X13.03", "size"),
        (r"\(-- out of the thread, at once\)\nG0 X19\.82\n", "", "rapid"),
        (r"60 degree", "55 degree", "thread tool"),
        (r"G0 X15\.2352", "G0 X14.0", "depth"),
    ],
)
def test_a_slip_in_a_program_is_found(pattern: str, by: str, code: str) -> None:
    text, count = re.subn(pattern, by, screw(PROGRAM).text)
    assert count
    assert code in codes_of(PROGRAM, text)


def test_words_of_a_program_may_be_written_otherwise() -> None:
    text, count = re.subn(r"G33 (Z-[\d.]+) K2\.0\n", r"g33 K2.000 \1\n", screw(PROGRAM).text)
    assert count
    assert codes_of(PROGRAM, text) == set()


def test_limits_of_one_s_own_stand_in_for_a_class(tmp_path: Path) -> None:
    proof = screw_of(
        tmp_path,
        PROGRAM,
        ('thread = "M16"', 'thread = "16 mm x 2 mm 60 deg"\npitch_diameter_limits = [14.5, 14.6]'),
    )
    (thread,) = [e for e in proof.setup.features if isinstance(e, Screwed)]
    assert (thread.pitch.low, thread.pitch.high) == (14.5, 14.6)
    assert proof.report.ok
