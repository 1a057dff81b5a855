"""Long cuts of a lathe by the carriage and its power feed; how far slides go."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pathgen.check.turning.travels import Travels
from pathgen.commands.proving import prove_text
from pathgen.commands.workplace import Workplace
from pathgen.input.where import Refusal
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from tests.read_jobs import the_shop
from tests.turned_bush import bush, codes_of, made_of, sheet_of

METRIC, INCH = "bench-lathe-metric", "bench-lathe-inch"
LONG = (  # a bar of which 120 mm stand out, turned beyond what the compound covers
    ("diameter = 35 ", "diameter = 40 "),
    ("length = 64", "length = 144"),
    ("stick_out = 44", "stick_out = 120"),
    ("to = 24", "to = 45"),
    ("to = 32", "to = 100"),
    ("length = 30", "length = 90"),
)


def by_power(sheet: dict[str, Any]) -> list[dict[str, Any]]:
    return [step for step in sheet["steps"] if step.get("power_a_turn")]


def place_of(machine: str) -> Workplace:
    return bush(machine).place


@pytest.mark.parametrize(("machine", "a_turn"), [(METRIC, 0.3), (INCH, 0.012 * 25.4)])
def test_roughing_goes_by_the_carriages_power_feed(machine: str, a_turn: float) -> None:
    # 0.38 mm a turn is wanted in brass: the next below it that the carriage has.
    cuts = by_power(sheet_of(machine))
    assert len(cuts) > 8
    assert {step["slide"] for step in cuts} == {"carriage"}
    assert {round(step["power_a_turn"], 6) for step in cuts} == {round(a_turn, 6)}


def test_the_sheet_says_where_to_take_it_off() -> None:
    text = write_text(load_sheet(bush(METRIC).text, "sheet"), place_of(METRIC).machine)
    said = " ".join(text.split())
    assert "POWER FEED 0.3 mm a turn of the work, a hand on its lever; disengage it 3 mm" in said


def test_no_handle_is_wound_faster_in_a_cut_than_a_hand_goes_on_winding() -> None:
    for machine in (METRIC, INCH):
        paces = [s["turns_per_min"] for s in sheet_of(machine)["steps"] if s.get("turns_per_min")]
        assert max(paces) <= 30.0


def test_the_carriage_stays_off_shoulders_by_what_it_leaves_open() -> None:
    # Two settings of a dial of 0.01 in divisions read to half of one, its slack varying by 0.0025:
    # 2 x (0.005 + 0.0025) in are 0.381 mm; the dial itself stops within half of what is read.
    ends = {round(s["place"], 2) for s in by_power(sheet_of(INCH))}
    for end, shoulder in zip(sorted(ends), (-32.0, -24.0), strict=True):
        assert 0.38 - 0.07 <= end - shoulder <= 0.38 + 0.07


@pytest.mark.parametrize("a_turn", [0.25, 0.6])
def test_a_feed_that_the_carriage_has_not_got_is_found(a_turn: float) -> None:
    raw = sheet_of(METRIC)
    by_power(raw)[0]["power_a_turn"] = a_turn
    assert "machine-changed" in codes_of(METRIC, json.dumps(raw))


def test_a_cut_by_the_slide_that_was_not_zeroed_anew_is_found() -> None:
    raw = sheet_of(METRIC)
    works = [n for n, step in enumerate(raw["steps"]) if step["kind"] == "work by"]
    assert len(works) == 3  # by the compound, by the carriage, by the compound
    zeros = [n for n in range(works[2], len(raw["steps"])) if raw["steps"][n]["kind"] == "set dial"]
    del raw["steps"][zeros[0]]
    for number, step in enumerate(raw["steps"], start=1):
        step["number"] = number
    assert "no-zero" in codes_of(METRIC, json.dumps(raw))


def test_work_that_is_longer_than_the_compound_goes_is_turned_by_the_carriage(
    tmp_path: Path,
) -> None:
    proof = made_of(tmp_path, *LONG, machine=METRIC)
    assert proof.report.ok
    sheet = json.loads(proof.text)
    assert [dial["slide"] for dial in sheet["dials"]] == ["cross slide", "carriage"]


def test_lengths_that_a_coarse_dial_does_not_tell_are_refused(tmp_path: Path) -> None:
    # Two settings of the carriage leave 0.05 mm open, and its slack varies by 0.05: 0.1 mm is to be
    # no more than 0.7 of half of what is between the limits, so 0.286 mm.
    limits = ("to = 45", "to = 45, to_limits = [44.95, 45.05]")
    with pytest.raises(Refusal, match=r"limits 0\.100 mm apart") as refused:
        made_of(tmp_path, *LONG, limits, machine=METRIC)
    assert refused.value.where.key == "setup[1].feature[1].steps[1].to_limits"
    assert "give 0.286 mm" in refused.value.instead


def test_a_slide_that_does_not_go_so_far_is_told_once() -> None:
    travels = Travels(machine=the_shop().machines[METRIC])
    travels.work_by(("cross slide", "compound"))
    assert list(travels.go((10.0, 0.0), (10.0, 2.0))) == []
    assert list(travels.go((10.0, 0.0), (10.0, -63.0))) == []  # 65 mm in all: as far as it goes
    assert list(travels.go((10.0, 0.0), (10.0, -64.0))) == [("compound", 66.0, 65.0)]
    assert list(travels.go((10.0, 0.0), (10.0, -70.0))) == []
    travels.work_by(("cross slide", "carriage"))
    assert list(travels.go((10.0, 0.0), (10.0, -200.0))) == []


def test_a_travel_too_short_is_found_in_a_sheet() -> None:
    place = place_of(METRIC)
    slides = tuple(
        replace(slide, travel=20.0) if slide.name == "compound" else slide
        for slide in place.machine.slides
    )
    short = replace(place, machine=replace(place.machine, slides=slides))
    proof = prove_text(short, bush(METRIC).text, "sheet.json", lambda _: None)
    found = [each for each in proof.report.findings if each.code == "travel"]
    assert found
    assert "compound" in found[0].what
