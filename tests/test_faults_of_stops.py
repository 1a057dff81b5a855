"""Hands near a turning spindle, what still runs at the end, and the way on from a stop."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from pathgen.check.findings import Finding
from pathgen.moves.actions import Clamp, Coolant, FitTouching, Measure, Pause, Spindle
from pathgen.moves.moves import Rapid
from pathgen.moves.plan import Item
from tests.builders import (
    CLEAR,
    DEPTHS,
    SLOT_DRILL,
    TOUCHING,
    ZEROS,
    checked,
    codes,
    fit,
    good_run,
    hand_mill,
    only,
    run,
    to_and_fro,
    zero,
)
from tests.test_named_faults import findings, made

Step = dict[str, Any]
NAN = float("nan")
MADE = (*fit(SLOT_DRILL), *to_and_fro(DEPTHS))  # with the spindle turning still
STOP = Spindle(rpm=0.0)


# ---------------------------------------------------------------- hands


@pytest.mark.parametrize(
    ("item", "says"),
    [
        (fit(SLOT_DRILL)[0], "a cutter is changed"),
        (TOUCHING, "the edge finder is put in"),
        (Measure(name="M1", what="width", expected=6, low=5.9, high=6.1), "work is measured"),
        (Clamp(lines=("move the clamp",)), "the blank is clamped"),
        (Pause(reason="look"), "the work stops for a person"),
        (zero("z", SLOT_DRILL.name), "the top face is touched"),
    ],
)
def test_hands_near_a_turning_spindle(item: Item, says: str) -> None:
    finding = only(checked(run(*MADE, item)), "spindle")
    assert f"{says} while the spindle turns" in finding.what
    assert finding.place == 19
    assert "spindle" not in codes(checked(run(*MADE, STOP, item)))


def test_the_spindle_is_stopped_before_a_change_of_cutter() -> None:
    proof = made("converted-mill")
    at = proof.text.rindex("M6\n")
    stop = proof.text.rindex("M5\n", 0, at)
    text = proof.text[:stop] + proof.text[stop + len("M5\n") :]
    # M6 leaves the spindle stopped, by the language, but not before hands are at the cutter.
    (finding,) = findings(proof.place, text)
    assert finding.what == "a change of cutter while the spindle turns"
    assert finding.remedy == "M5 before it"
    proof = made("converted-mill-lean")
    at = proof.text.rindex("(stop, fit cutter")
    stop = proof.text.rindex("M5\n", 0, at)
    found = findings(proof.place, proof.text[:stop] + proof.text[stop + len("M5\n") :])
    assert "a cutter is changed while the spindle turns" in {each.what for each in found}


def on_sheet(edit: Callable[[list[Step]], None]) -> list[Finding]:
    """Return what is found on the metric sheet of the fence bar after an edit of its steps."""
    proof = made("bench-mill-metric")
    sheet = json.loads(proof.text)
    edit(sheet["steps"])
    for number, step in enumerate(sheet["steps"], 1):
        step["number"] = number
    starts = [each["first"] for each in sheet["operations"]]
    assert starts == sorted(starts)
    return findings(proof.place, json.dumps(sheet))


def left_out(step: Step) -> Step:
    return {"kind": "note", "number": step["number"], "text": "left out", "caution": False}


def test_the_last_stop_of_the_spindle_left_out() -> None:
    def edit(steps: list[Step]) -> None:
        last = max(i for i, step in enumerate(steps) if step["kind"] == "spindle")
        assert steps[last]["rpm"] == 0
        steps[last] = left_out(steps[last])

    (finding,) = on_sheet(edit)
    assert finding.what == "the spindle still turns at the end"


def test_fingers_with_paper_at_a_turning_cutter() -> None:
    def edit(steps: list[Step]) -> None:
        at = next(i for i, step in enumerate(steps) if step["kind"] == "touch")
        steps[at]["running"] = True

    found = on_sheet(edit)
    assert [each.code for each in found] == ["spindle"]
    assert "a touch for which the spindle turns, and it stands" in found[0].what


def test_a_spindle_started_for_a_cutter_that_touches_through_paper() -> None:
    def edit(steps: list[Step]) -> None:
        at = next(i for i, step in enumerate(steps) if step["kind"] == "touch")
        before = steps[at - 1]
        assert before["kind"] == "clear"
        steps[at - 2] = {"kind": "spindle", "number": 0, "rpm": 940}
        steps[at]["running"] = True

    found = on_sheet(edit)
    assert "touched with the spindle turning, which is to be stopped" in " ".join(
        each.what for each in found if each.code == "datum"
    )
    assert "a cutter is changed while the spindle turns" in {each.what for each in found}


@pytest.mark.parametrize(
    ("name", "diameter", "says"),
    [
        ("10 mm edge finder", 3.0, "'10 mm edge finder', 3 mm, is put in to touch with"),
        ("3 mm cutter", 4.0, "'3 mm cutter', 4 mm, is put in to touch with"),
    ],
)
def test_something_else_put_in_to_touch_with(name: str, diameter: float, says: str) -> None:
    def edit(steps: list[Step]) -> None:
        step = next(step for step in steps if step["kind"] == "fit to touch")
        step.update(name=name, diameter=diameter)

    found = on_sheet(edit)
    assert any(says in each.what for each in found)


def test_nothing_put_in_to_touch_with() -> None:
    def edit(steps: list[Step]) -> None:
        at = next(i for i, step in enumerate(steps) if step["kind"] == "fit to touch")
        steps[at] = left_out(steps[at])

    found = on_sheet(edit)
    assert {each.code for each in found} == {"datum"}
    assert "'3 mm cutter' touches, and '' is in the spindle" in found[0].what


def test_a_tool_wound_up_where_it_should_go_down() -> None:
    def edit(steps: list[Step]) -> None:
        down = next(step for step in steps if step.get("beside") == "front face")
        down["way"] = "anticlockwise" if down["way"] == "clockwise" else "clockwise"

    assert [each.code for each in on_sheet(edit)] == ["wrong-way"]


def test_a_tool_that_does_not_go_down_beside_the_face_it_touches() -> None:
    def edit(steps: list[Step]) -> None:
        at = next(i for i, step in enumerate(steps) if step.get("beside") == "front face")
        steps[at] = left_out(steps[at])

    (finding,) = on_sheet(edit)
    assert finding.code == "not-lowered"
    assert "the front face is touched, and the tool is not beside it: it is up" in finding.what


def test_a_tool_that_goes_down_beside_another_face_than_it_touches() -> None:
    def edit(steps: list[Step]) -> None:
        down = next(step for step in steps if step.get("beside") == "front face")
        down["beside"] = "back face"

    (finding,) = on_sheet(edit)
    assert finding.code == "not-lowered"
    assert finding.what.endswith("it was taken down beside the back face")


# ---------------------------------------------------------------- the end


def test_what_still_runs_at_the_end() -> None:
    flood = Coolant(kind="flood")
    sheet = run(*MADE, flood, where="step", file="sheet")
    sheet_left_on = checked(sheet, machine=hand_mill())
    assert only(sheet_left_on, "coolant").what == "the cutting fluid still runs at the end"
    off = run(*MADE, flood, Coolant(kind="off"), where="step", file="sheet")
    assert "coolant" not in codes(checked(off, machine=hand_mill()))


def test_fluid_that_a_person_turned_on_is_not_turned_off_by_the_end_of_the_program() -> None:
    proof = made("converted-mill-lean")
    stop = "(stop, coolant mist)\nM0 (MSG, Turn coolant to mist)\n"
    at = proof.text.index("(-- semi-finish")
    found = findings(proof.place, proof.text[:at] + stop + proof.text[at:])
    assert [each.code for each in found] == ["coolant"]
    off = "(stop, coolant off)\nM0 (MSG, Turn coolant to off)\n"
    text = proof.text[:at] + stop + proof.text[at:].replace("M30", f"{off}M30")
    assert findings(proof.place, text) == []


# ---------------------------------------------------------------- the way on


def way_on(line: str, machine: str, *, after: str) -> list[Finding]:
    """Return what is found where the first move after the last stop of a kind is another."""
    proof = made(machine)
    at = proof.text.index("G0 Z5.0", proof.text.rindex(after))
    return findings(proof.place, proof.text[:at] + line + proof.text[at + len("G0 Z5.0") :])


@pytest.mark.parametrize("machine", ["converted-mill", "converted-mill-lean"])
@pytest.mark.parametrize("line", ["G0 X29.25 Y0.0 Z5.0", "G1 Z5.0 F100.0", "G0 Z-2.0"])
def test_a_way_on_that_does_not_go_straight_up(line: str, machine: str) -> None:
    after = "M6" if machine == "converted-mill" else "(MSG, Set z of G54"
    assert "way on" in {each.code for each in way_on(line, machine, after=after)}


@pytest.mark.parametrize("machine", ["converted-mill", "converted-mill-lean"])
def test_a_higher_way_on_is_harmless(machine: str) -> None:
    after = "M6" if machine == "converted-mill" else "(MSG, Set z of G54"
    assert way_on("G0 Z25.0\nG0 Z5.0", machine, after=after) == []


def test_a_program_begins_straight_up() -> None:
    begun = good_run()
    assert "way on" not in codes(checked(begun))
    items = (*ZEROS, Rapid(0.0, 0.0, CLEAR), *begun.items[len(ZEROS) + 2 :])
    numbers = tuple(range(len(items)))
    lengths = ()
    across = checked(good_run(items=items, numbers=numbers, lengths=lengths))
    assert only(across, "way on").place == len(ZEROS)


def test_a_sheet_is_wound_one_handle_at_a_time() -> None:
    assert "way on" not in codes(checked(good_run(where="step", file="sheet"), machine=hand_mill()))


def test_what_is_fitted_to_touch_with_is_read_back() -> None:
    proof = made("converted-mill")
    assert FitTouching(name="3 mm cutter", diameter=3.0) in proof.run.items
