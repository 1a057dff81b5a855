"""Repeated cuts to one shoulder end at a stop on the bed: set, run against, taken away, checked."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.moves.actions import SetStop
from pathgen.moves.moves import Feed
from pathgen.shop.read_machines import read_machine
from postprocessors.dials.faces.cards import shown_stop
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.steps import WindStep
from tests.inside_jobs import made
from tests.test_last_cuts import spindle

LATHE = "bench-lathe-readout"  # whose carriage sets the lengths too: it goes past where it roughed
MACHINES = Path(str(files("pathgen.shop"))) / "data" / "machines"


def turned(machine: str = LATHE) -> Proof:
    """Return a spindle of which enough is turned for the carriage to rough it."""
    return made(spindle(22.0, "h9").replace("to = 24", "to = 26"), machine)


def raw_sheet() -> dict[str, Any]:
    raw: dict[str, Any] = json.loads(turned().text)
    return raw


def codes_after(edit: Callable[[list[dict[str, Any]]], None]) -> set[str]:
    """Return what is found in the sheet once its steps are edited and numbered again."""
    raw = raw_sheet()
    edit(raw["steps"])
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    report = prove_text(turned().place, json.dumps(raw), "edited", lambda _: None).report
    return {finding.code for finding in report.findings if finding.severity == "finding"}


def stops_in(steps: list[dict[str, Any]]) -> list[int]:
    return [index for index, step in enumerate(steps) if step["kind"] == "stop"]


@pytest.mark.parametrize("machine", ["bench-lathe-metric", "bench-lathe-inch", LATHE])
def test_cuts_up_to_the_stop_end_where_the_first_of_them_did(machine: str) -> None:
    proof = turned(machine)
    assert proof.report.ok
    items = proof.run.items
    first, last = (index for index, item in enumerate(items) if isinstance(item, SetStop))
    ends = [item.z for item in items[:first] if isinstance(item, Feed)][-1:]
    along = [item for item in items[first:last] if isinstance(item, Feed)]
    assert len(along) >= 3  # cuts to one shoulder, of which the first was made before
    assert {item.z for item in along} == set(ends)


def test_the_sheet_says_when_it_is_set_and_that_no_power_feed_runs_into_it() -> None:
    proof = turned()
    text = " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())
    assert re.search(r"SPINDLE STOP \[ ] \d+ SET THE STOP on the bed against the carriage", text)
    assert "a stop never ends a power feed: that is disengaged short of it" in text
    assert "CUT carriage anticlockwise TO THE STOP, at -11.800" in text
    assert "TAKE AWAY the stop of the carriage from the bed" in text


def test_a_screen_says_so_too() -> None:
    proof = turned()
    sheet = load_sheet(proof.text, "sheet")
    step = next(each for each in sheet.steps if isinstance(each, WindStep) and each.to_stop)
    shown = shown_stop(step, sheet)
    assert shown.way_there == "wind up to the stop on the bed; there it shows"
    assert shown.figure == "-11.800"


def test_the_sheet_keeps_to_its_schema() -> None:
    schema = files("postprocessors.dials.faces").joinpath("sheet.schema.json").read_text("utf-8")
    jsonschema.validate(raw_sheet(), json.loads(schema))


def never_set(steps: list[dict[str, Any]]) -> None:
    del steps[stops_in(steps)[0]]


def left_there(steps: list[dict[str, Any]]) -> None:
    del steps[stops_in(steps)[1]]


def set_elsewhere(steps: list[dict[str, Any]]) -> None:
    at = stops_in(steps)[0]
    steps[at], steps[at + 1] = steps[at + 1], steps[at]  # once the carriage has gone back


def wound_away(steps: list[dict[str, Any]]) -> None:
    next(step for step in steps if step.get("to_stop"))["way"] = "clockwise"


@pytest.mark.parametrize(
    ("edit", "code"),
    [
        (never_set, "stop"),
        (left_there, "stop"),
        (set_elsewhere, "figure"),
        (wound_away, "wrong-way"),
    ],
)
def test_a_slip_with_the_stop_is_found(
    edit: Callable[[list[dict[str, Any]]], None], code: str
) -> None:
    assert code in codes_after(edit)


def test_without_a_stop_on_the_bed_every_cut_is_wound_to_its_reading() -> None:
    place = turned().place
    lathe = place.machine.lathe
    assert lathe is not None
    none = replace(place.machine, lathe=replace(lathe, carriage_stop=""))
    shop = replace(place.shop, machines={**place.shop.machines, LATHE: none})
    (proof,) = prove_job(place.job, shop, LATHE, lambda _: None)
    assert proof.report.ok
    assert not any(s["kind"] == "stop" or s.get("to_stop") for s in json.loads(proof.text)["steps"])


def test_a_stop_for_a_slide_that_is_not_there_is_refused() -> None:
    text = (MACHINES / f"{LATHE}.toml").read_text(encoding="utf-8")
    faults = Faults()
    table = parse_toml(text.replace('stop = "carriage"', 'stop = "carrige"'), "l.toml", faults)
    assert table is not None
    read_machine(table)
    (error,) = faults.errors
    assert "no slide 'carrige' along the axis for carriage_stop" in str(error)
    assert 'did you mean "carriage"?' in str(error)
