"""Figures that a sheet prints beside what hands do: each that is false is told, with its step."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from pathgen.input.where import JobErrors
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.headings import compare_headings
from postprocessors.dials.replay import replay, replay_cases
from tests.test_named_faults import findings, made

Step = dict[str, Any]
Raw = dict[str, Any]
MACHINES = ("bench-mill-metric", "bench-mill-inch")


def raw(machine: str) -> Raw:
    """Return the fence bar's sheet as parsed JSON, fresh for an edit."""
    sheet: Raw = json.loads(made(machine).text)
    return sheet


def told(machine: str, sheet: Raw) -> set[tuple[str, int]]:
    """Return the codes and steps of what a replay and the headings of a sheet tell."""
    read = load_sheet(json.dumps(sheet), "sheet")
    mill = made(machine).place.machine
    troubles = list(compare_headings(read))
    for case in replay_cases(read, mill):
        troubles += replay(read, mill, case, file="sheet").troubles
    return {(each.code, each.number) for each in troubles}


def first(sheet: Raw, after: int = 0, **wanted: Any) -> Step:
    """Return the first step past a number that has members of these values."""
    for step in sheet["steps"]:
        if step["number"] > after and wanted.items() <= step.items():
            found: Step = step
            return found
    raise AssertionError(wanted)


def test_an_untouched_sheet_tells_nothing() -> None:
    for machine in MACHINES:
        assert told(machine, raw(machine)) == set()


# ---------------------------------------------------------------- winds


def over_hole(sheet: Raw) -> Step:
    return first(sheet, kind="wind", what="over hole 3 of 11")


def back_wall(sheet: Raw) -> Step:
    """The wind along the far wall, whose place is reckoned from the end of the slot."""
    return first(sheet, kind="wind", what="back wall: along")


def entry(sheet: Raw) -> Step:
    return first(sheet, kind="wind", what="over the entry")


def corrected(sheet: Raw) -> Step:
    return first(sheet, kind="wind", slack="corrected")


def on_datum(sheet: Raw) -> Step:
    return first(sheet, kind="wind", what="axis over the datum")


def change(member: str, value: Any) -> Callable[[Step], None]:
    return lambda step: step.update({member: value})


def shift_place(off: float) -> Callable[[Step], None]:
    return lambda step: step.update(place=step["place"] + off)


def shift_term(index: int, off: float) -> Callable[[Step], None]:
    def edit(step: Step) -> None:
        step["terms"][index]["value"] += off

    return edit


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize(
    ("which", "edit"),
    [
        (over_hole, shift_place(25.0)),
        (over_hole, shift_place(-4.0)),  # a turn of the metric table
        (over_hole, shift_place(0.02)),
        (on_datum, shift_place(1.0)),
        (corrected, shift_place(0.15)),  # the slack, forgotten
        (over_hole, shift_term(0, 1.0)),
        (entry, shift_term(1, -0.5)),
        (corrected, shift_term(-1, 0.1)),
        (on_datum, shift_term(1, 0.05)),
        (corrected, change("slack", "")),
        (corrected, change("slack", "past")),
        (over_hole, change("slack", "corrected")),
        (over_hole, change("slack", "past")),
        (back_wall, change("makes", "air")),
    ],
)
def test_a_false_figure_of_a_wind_is_told(
    machine: str, which: Callable[[Raw], Step], edit: Callable[[Step], None]
) -> None:
    sheet = raw(machine)
    step = which(sheet)
    edit(step)
    assert ("figure", step["number"]) in told(machine, sheet)


@pytest.mark.parametrize("machine", MACHINES)
def test_a_place_that_is_only_passed_in_the_air_is_not_said_to_make_a_size(machine: str) -> None:
    # Past the next reading, to come up to it again, the tool hangs back by the slack.
    sheet = raw(machine)
    past = first(sheet, kind="wind", slack="past")
    past.update(makes="size", slack="")
    assert ("figure", past["number"]) in told(machine, sheet)


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("which", [over_hole, entry])
def test_other_words_at_a_wind_are_harmless(machine: str, which: Callable[[Raw], Step]) -> None:
    sheet = raw(machine)
    step = which(sheet)
    step["what"] = "where the next cut begins"
    for term in step["terms"]:
        term["label"] = term["label"].replace("left", "near")
    step["terms"].append({"label": "and nothing more", "value": 0})
    assert told(machine, sheet) == set()


# ---------------------------------------------------------------- touches


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_false_term_of_a_touch_is_told(machine: str, index: int) -> None:
    sheet = raw(machine)
    touch = first(sheet, kind="touch", face="left")
    touch["terms"][index]["value"] -= 1.5
    assert ("figure", touch["number"]) in told(machine, sheet)


def test_two_false_terms_of_a_touch_that_make_up_for_each_other_are_told() -> None:
    sheet = raw("bench-mill-metric")
    touch = first(sheet, kind="touch", face="left")
    touch["terms"][0]["value"] -= 1.5
    touch["terms"][1]["value"] += 1.5
    assert ("figure", touch["number"]) in told("bench-mill-metric", sheet)


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("off", [-1, 1])
def test_a_false_count_on_the_way_to_a_noted_reading_is_told(machine: str, off: int) -> None:
    sheet = raw(machine)
    touch = next(step for step in sheet["steps"] if "note" in step)
    touch["passes"] += off
    assert ("figure", touch["number"]) in told(machine, sheet)


# ---------------------------------------------------------------- the head


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_dial_said_to_be_come_up_to_from_the_other_side_is_told(machine: str, index: int) -> None:
    sheet = raw(machine)
    sheet["dials"][index]["side"] *= -1
    assert {code for code, _ in told(machine, sheet)} & {"figure", "zero"}


@pytest.mark.parametrize("machine", MACHINES)
def test_a_dial_said_to_be_in_other_units_is_told(machine: str) -> None:
    sheet = raw(machine)
    sheet["dials"][0]["units"] = "in" if sheet["dials"][0]["units"] == "mm" else "mm"
    assert ("machine-changed", 0) in told(machine, sheet)


@pytest.mark.parametrize(("member", "value"), [("units", "in"), ("clear", 1.0)])
def test_other_units_and_a_clear_plane_that_is_not_gone_to_are_found(
    member: str, value: object
) -> None:
    sheet = raw("bench-mill-metric")
    sheet[member] = value
    found = findings(made("bench-mill-metric").place, json.dumps(sheet))
    assert [each.code for each in found] == ["heading"]


@pytest.mark.parametrize("machine", MACHINES)
def test_a_depth_zero_that_is_off_by_the_paper_is_told(machine: str) -> None:
    sheet = raw(machine)
    touch = first(sheet, kind="touch", face="top")
    ring = first(sheet, after=touch["number"], kind="set dial")
    ring.update(turn=0, dial=0)
    assert ("zero", ring["number"]) in told(machine, sheet)


@pytest.mark.parametrize(("stated", "found"), [(0.0, True), (0.02, True), (0.05, False)])
def test_less_left_open_of_a_middle_than_touching_and_dial_leave_is_found(
    stated: float, *, found: bool
) -> None:
    # Touching leaves 0.02 mm open, and three quarters of a judged part of 0.01 mm come to it.
    sheet = raw("bench-mill-metric")
    ring = first(sheet, kind="set dial", slide="cross slide", zero=True)  # the middle
    assert ring["uncertainty"] == pytest.approx(0.0275)
    ring["uncertainty"] = stated
    place = made("bench-mill-metric").place
    told_of = {(each.code, each.place) for each in findings(place, json.dumps(sheet))}
    assert (("datum", ring["number"]) in told_of) is found


def test_the_title_of_another_part_is_found() -> None:
    sheet = raw("bench-mill-metric")
    sheet["head"]["title"] = "Keeper of the fence bar"
    found = findings(made("bench-mill-metric").place, json.dumps(sheet))
    assert [(each.code, each.place) for each in found] == [("heading", None)]


# ---------------------------------------------------------------- headings


def rough(sheet: Raw) -> Step:
    operation: Step = next(o for o in sheet["operations"] if o["title"].startswith("rough"))
    return operation


HEADED = [
    ("rpm", 1550.0),
    ("rpm", 110.0),
    ("feed", 500.0),
    ("feed", 20.0),
    ("cutter", 1),
    ("depth_of_cut", 3.0),
]


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize(("member", "value"), HEADED)
def test_a_false_figure_of_a_heading_is_told(machine: str, member: str, value: float) -> None:
    sheet = raw(machine)
    operation = rough(sheet)
    operation[member] = value
    after = next(o["first"] for o in sheet["operations"] if o["first"] > operation["first"])
    places = {number for code, number in told(machine, sheet) if code == "heading"}
    assert places
    assert all(operation["first"] <= place < after for place in places)


@pytest.mark.parametrize("machine", MACHINES)
def test_a_heading_in_a_wrong_place_is_told(machine: str) -> None:
    sheet = raw(machine)
    operation = rough(sheet)
    fit = first(sheet, after=operation["first"], kind="fit")["number"]
    operation["first"] = fit + 1
    assert ("heading", fit) in told(machine, sheet)


def test_a_heading_with_a_cutter_that_the_head_lacks_is_no_sheet() -> None:
    sheet = raw("bench-mill-metric")
    rough(sheet)["cutter"] = 9
    with pytest.raises(JobErrors, match="cutter 9; one of the head's"):
        load_sheet(json.dumps(sheet), "sheet")


@pytest.mark.parametrize(
    ("title", "says"),
    [
        ("finish: stud slot", "comes after the finish of the same feature"),
        ("drill: stud slot", "its cutter is of the kind 'end mill'"),
        ("rough: way", "'way' is no feature here"),
        ("polish: stud slot", "'polish' is no purpose of a pass"),
        ("rough", "'' is no feature here"),
    ],
)
def test_a_heading_of_another_purpose_or_feature_is_found(title: str, says: str) -> None:
    sheet = raw("bench-mill-metric")
    rough(sheet)["title"] = title
    found = findings(made("bench-mill-metric").place, json.dumps(sheet))
    # What is called a finish cuts the whole width, which is a finding of its own.
    assert {each.code for each in found} - {"order"} == {"heading"}
    assert any(says in each.what for each in found)


def test_other_reasons_and_what_a_heading_leaves_out_are_harmless() -> None:
    sheet = raw("bench-mill-metric")
    operation = rough(sheet)
    operation["why"] = "to take most of the metal out"
    del operation["depth_of_cut"]
    assert findings(made("bench-mill-metric").place, json.dumps(sheet)) == []


# ---------------------------------------------------------------- what follows a found value


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"expected": 1.0}, "expected: 1.0000;"),
        ({"low": 0.0}, "low: 0.0000;"),
        ({"per_mm": 40.0}, "per_mm: 40;"),
        ({"factor": 0.5}, "by the factor and the dial"),
        ({"base": 1660.0}, "where the rule has it with the expected value"),
    ],
)
def test_a_rule_that_contradicts_what_is_printed_beside_it_is_no_sheet(
    change: dict[str, float], says: str
) -> None:
    sheet = raw("bench-mill-metric")
    wind = next(step for step in sheet["steps"] if "rule" in step)
    wind["rule"].update(change)
    with pytest.raises(JobErrors, match=rf"step {wind['number']}\..*{says}"):
        load_sheet(json.dumps(sheet), "sheet")


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda wind: wind.update(passes=wind["passes"] + 1), "the count with F1 as expected"),
        (lambda wind: wind["passes_from"].reverse(), "entries out of order"),
        (lambda wind: wind["passes_from"][0].update(found=32.5), "let them rise from 32.4"),
        (lambda wind: wind["passes_from"].pop(0), "let them rise from 32.4"),
    ],
)
def test_counts_that_contradict_one_another_are_no_sheet(
    edit: Callable[[Step], None], says: str
) -> None:
    sheet = raw("bench-mill-inch")
    wind = next(step for step in sheet["steps"] if len(step.get("passes_from", [])) > 1)
    edit(wind)
    with pytest.raises(JobErrors, match=rf"step {wind['number']}\..*{says}"):
        load_sheet(json.dumps(sheet), "sheet")
