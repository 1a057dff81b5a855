"""A middle of two touched faces: what follows the noted reading is really used, and is right."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from typing import Any

import pytest

from pathgen.input.where import JobErrors
from postprocessors.dials.cases import ends_of_noted, replay_cases
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.rehearsal import rehearse
from postprocessors.dials.replay import replay
from tests.test_named_faults import Step, findings, made

MACHINES = ("bench-mill-metric", "bench-mill-inch")


def follows(steps: list[Step]) -> Step:
    """Return the wind whose reading follows the noted one."""
    return next(step for step in steps if step.get("rule", {}).get("measure") == "F1")


def notes(steps: list[Step]) -> Step:
    """Return the touch at which a reading is noted."""
    return next(step for step in steps if "note" in step)


def found(machine: str, edit: Callable[[list[Step]], None]) -> set[tuple[str, int | None]]:
    """Return the findings of an edited sheet: their codes, each with its step."""
    proof = made(machine)
    sheet = json.loads(proof.text)
    edit(sheet["steps"])
    return {(each.code, each.place) for each in findings(proof.place, json.dumps(sheet))}


@pytest.mark.parametrize("machine", MACHINES)
def test_the_middle_comes_out_right_however_wide_the_blank_is(machine: str) -> None:
    proof = made(machine)
    sheet, mill = load_sheet(proof.text, "sheet"), proof.place.machine
    ends = ends_of_noted(sheet, mill)
    slide = mill.slide("y")
    assert ends["F1"] > 0.45  # else the faces are hardly moved
    cases = [case for case in replay_cases(sheet, mill) if case.apart]
    assert {case.apart for case in cases} == {(("F1", ends["F1"]),), (("F1", -ends["F1"]),)}
    for case in cases:
        assert replay(sheet, mill, case, file="sheet").troubles == ()
    assert rehearse(sheet, mill) == ()
    assert slide.count < 0.02  # the rehearsal tries a figure for each judged part


@pytest.mark.parametrize("machine", MACHINES)
def test_a_rule_turned_over_is_found(machine: str) -> None:
    def turn_over(steps: list[Step]) -> None:
        rule = follows(steps)["rule"]
        rule.update(per_mm=-rule["per_mm"], factor=-rule["factor"])

    assert "zero" in {code for code, _ in found(machine, turn_over)}


def test_half_of_what_the_blank_is_wider_by_is_what_a_wrong_rule_is_off() -> None:
    # Not following the reading at all leaves the middle where a blank as measured has it. Faces
    # farther apart by what the band allows, 0.52 - 0.02 - 0.01 mm, then put it 0.245 off.
    proof = made("bench-mill-metric")
    sheet = json.loads(proof.text)
    follows(sheet["steps"])["rule"].update(per_mm=0.0, factor=0.0)
    faulty = load_sheet(json.dumps(sheet), "sheet")
    off = {
        float(trouble.what.split()[7]): case
        for case in replay_cases(faulty, proof.place.machine)
        for trouble in replay(faulty, proof.place.machine, case, file="sheet").troubles
        if trouble.code == "zero"
    }
    assert off
    assert all(abs(abs(each) - 0.245) < 0.02 for each in off)


def test_a_count_that_changes_at_a_wrong_figure_is_found() -> None:
    def shift(steps: list[Step]) -> None:
        past = next(step for step in steps if step.get("measure") == "F1" and "rule" not in step)
        past["passes_from"][1]["found"] += 0.1

    assert {code for code, _ in found("bench-mill-inch", shift)} == {"miscounted", "zero"}


def noted(machine: str, **changes: float) -> str:
    """Return the fence bar's sheet with changes of the noted reading."""
    sheet: dict[str, Any] = json.loads(made(machine).text)
    note = notes(sheet["steps"])["note"]
    note.update({key: note[key] + change for key, change in changes.items()})
    return json.dumps(sheet)


@pytest.mark.parametrize("off", [-0.3, 0.3])
def test_a_noted_reading_that_a_true_blank_does_not_give_is_found(off: float) -> None:
    machine = "bench-mill-metric"
    dial = made(machine).place.machine.slide("y")

    def shift(steps: list[Step]) -> None:
        note, rule = notes(steps)["note"], follows(steps)["rule"]
        for key in ("expected", "low", "high"):
            note[key] += off
            rule[key] += off
        notes(steps)["dial"] = round(note["expected"] / dial.count) % dial.counts_per_turn

    def follow_suit(steps: list[Step]) -> None:  # so that the sum on paper still gives the middle
        shift(steps)
        rule = follows(steps)["rule"]
        rule["base"] += off * rule["per_mm"]
        reading = math.floor(rule["base"] + 0.5)
        follows(steps).update(reading=reading, dial=reading % dial.counts_per_turn)

    place = notes(json.loads(made(machine).text)["steps"])["number"]
    assert ("figure", place) in found(machine, shift)
    assert ("figure", place) in found(machine, follow_suit)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"low": -2.0, "high": 2.2}, "a lost one shows"),  # a turn of the inch dial is 2.54
        ({"expected": 0.7}, "is not within"),
    ],
)
def test_a_band_that_would_catch_nothing_is_no_sheet(changes: dict[str, float], says: str) -> None:
    with pytest.raises(JobErrors, match=says):
        load_sheet(noted("bench-mill-inch", **changes), "sheet")


def test_a_somewhat_narrower_band_is_harmless() -> None:
    def narrow(steps: list[Step]) -> None:
        for band in (notes(steps)["note"], follows(steps)["rule"]):
            band["low"] += 0.1
            band["high"] -= 0.1

    assert found("bench-mill-metric", narrow) == set()
