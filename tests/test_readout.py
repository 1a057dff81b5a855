"""Slides with a readout: figures keyed in and wound to, what slack is left in them, faults."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from importlib.resources import files
from typing import Any

import jsonschema
import pytest

from pathgen.commands.proving import prove_setup, prove_text
from pathgen.commands.workplace import Proof, Workplace
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, InputError
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Way, read_slide
from postprocessors.dials.cases import Case
from postprocessors.dials.faces.json import dump_sheet, load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.replay import replay
from postprocessors.dials.steps import SetDialStep, Sheet, Step, TouchStep, WindStep
from tests.fence_bar import job_of
from tests.read_jobs import the_shop

MILL = "bench-mill-readout"
STEP = 0.005  # mm, of its readouts
OTHER: dict[Way, Way] = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}


def mill(**changes: Any) -> Machine:
    """Return the mill with readouts, its slides changed."""
    machine = the_shop().machines[MILL]
    return replace(machine, slides=tuple(replace(each, **changes) for each in machine.slides))


@cache
def proof_on(machine: Machine) -> Proof:
    """Return the fence bar as made on a machine."""
    return prove_setup(place_on(machine), lambda _: None)


def place_on(machine: Machine) -> Workplace:
    job = job_of()
    return Workplace(job=job, setup=job.setups[0], machine=machine, shop=the_shop())


def sheet_on(machine: Machine) -> Sheet:
    return load_sheet(proof_on(machine).text, "sheet")


def settings_of(sheet: Sheet, slide: str) -> list[SetDialStep]:
    return [each for each in sheet.steps if isinstance(each, SetDialStep) and each.slide == slide]


# ---------------------------------------------------------------- what the sheet says


def test_the_fence_bar_is_proved_however_far_the_faces_are_apart() -> None:
    assert proof_on(mill()).report.ok


def test_a_readout_is_keyed_to_where_the_tool_touches() -> None:
    # Half of the 3 mm cutter and 0.05 mm of paper left of the face: 1.55 mm below the zero.
    (table,) = settings_of(sheet_on(mill()), "table")
    assert table.zero
    assert table.turn == 0
    assert table.dial * STEP == pytest.approx(-1.55)
    text = write_text(sheet_on(mill()), mill())
    assert "SET THE READOUT to -1.550: so 0 is the datum" in text


def test_a_middle_is_half_of_what_the_readout_shows_at_the_second_face() -> None:
    # 30 mm of bar, half of 3 mm at either face, 0.05 mm of paper twice: 33.1 mm apart.
    sheet = sheet_on(mill())
    first, half = settings_of(sheet, "cross slide")
    (noted,) = (each.note for each in sheet.steps if isinstance(each, TouchStep) and each.note)
    assert noted.expected == pytest.approx(33.1)
    assert first.dial == 0
    assert half.dial * STEP == pytest.approx(16.55)
    assert half.rule is not None
    text = write_text(sheet, mill())
    assert "It should be 33.100; between 32.600 and 33.600" in text
    assert "half of F1: ________ / 2 = ________ , to the nearest 0.005" in " ".join(text.split())


def test_half_on_paper_is_the_half_that_is_replayed_for_each_figure_that_may_be_noted() -> None:
    sheet = sheet_on(mill())
    half = settings_of(sheet, "cross slide")[-1].rule
    assert half is not None
    for counts in range(round(half.low / STEP), round(half.high / STEP) + 1):
        on_paper = -(-counts // 2)  # just between two: the higher one
        found = counts * STEP
        assert math.floor(half.base + half.per_mm * (found - half.expected) + 0.5) == on_paper


def test_the_figures_are_the_places_and_no_slack_is_taken_out() -> None:
    steps = sheet_on(mill()).steps
    zeroed = settings_of(sheet_on(mill()), "cross slide")[-1].number
    winds = [each for each in steps if isinstance(each, WindStep) and each.number > zeroed]
    assert len(winds) > 50
    for each in winds:
        assert each.place == pytest.approx(each.dial * STEP, abs=STEP / 2 + 1e-9)
        assert (each.passes, each.reading, each.slack) == (0, each.dial, "")


def test_fewer_winds_are_wanted_than_by_dials() -> None:
    by_dials = sheet_on(the_shop().machines["bench-mill-metric"])
    counted = [
        sum(isinstance(step, WindStep) for step in sheet.steps)
        for sheet in (sheet_on(mill()), by_dials)
    ]
    assert counted[0] < counted[1]


def test_figures_rise_the_other_way_where_the_readout_counts_so() -> None:
    turned = mill()
    x, y, z = turned.slides
    against = replace(turned, slides=(replace(x, rising="anticlockwise"), y, z))
    assert proof_on(against).report.ok
    (table,) = settings_of(sheet_on(against), "table")
    assert table.dial * STEP == pytest.approx(1.55)


def test_a_readout_that_is_only_zeroed_is_wound_on_to_the_datum() -> None:
    zeroed = mill(preset=False)
    assert proof_on(zeroed).report.ok
    assert [each.dial for each in settings_of(sheet_on(zeroed), "table")] == [0, 0]
    down = settings_of(sheet_on(zeroed), "down feed")
    assert {each.dial for each in down} == {0}
    text = write_text(sheet_on(zeroed), zeroed)
    assert "z = at the touch 0.050 - on to the datum 0.050 = 0.000 mm" in text


def test_readouts_in_inches_and_beside_dials_are_proved() -> None:
    x, _, z = mill().slides
    dial = the_shop().machines["bench-mill-inch"].slides[1]
    mixed = replace(
        mill(),
        slides=(replace(x, readout=0.0002 * 25.4, dial_units="in", per_turn=2.54), dial, z),
    )
    proof = proof_on(mixed)
    assert proof.report.ok
    text = write_text(load_sheet(proof.text, "sheet"), mixed)
    assert "until it shows   1.1812" in text  # 30 mm over the first hole, to the nearest 0.0002 in
    assert "READOUT on the slide, its least step 0.0002 in; a turn is 0.1000 in" in text
    assert "0 PASSES: how often" in text  # of the dial
    assert re.search(r"cross slide +\w+ +\d+, then on to", text)


def test_the_json_keeps_to_its_schema() -> None:
    schema = json.loads(
        files("postprocessors.dials.faces").joinpath("sheet.schema.json").read_text("utf-8")
    )
    jsonschema.validate(json.loads(proof_on(mill()).text), schema)


# ---------------------------------------------------------------- what the machine leaves open


def test_half_a_step_and_the_scale_are_open_and_no_slack() -> None:
    doubt = proof_on(mill()).run.doubt
    assert doubt.setting == pytest.approx((0.0075,) * 3)  # half of 0.005, and 0.005 of the scale
    assert doubt.stop == (0.0, 0.0, 0.0)


def test_a_slide_without_a_lock_is_pushed_by_its_slack_whatever_reads_it() -> None:
    loose = proof_on(mill(lock=False)).run.doubt
    assert loose.wander == pytest.approx((0.17, 0.14, 0.23))


# ---------------------------------------------------------------- faults put into a sheet


def with_step(change: Callable[[Step], Step]) -> Sheet:
    sheet = sheet_on(mill())
    return replace(sheet, steps=tuple(change(step) for step in sheet.steps))


def codes_of(sheet: Sheet) -> set[str]:
    report = prove_text(place_on(mill()), dump_sheet(sheet), "sheet.json", lambda _: None).report
    return {each.code for each in report.findings if each.severity == "finding"}


def test_winding_away_from_the_figure_is_found() -> None:
    def turned(step: Step) -> Step:
        if isinstance(step, WindStep) and step.cut and step.slide == "table":
            return replace(step, way=OTHER[step.way])
        return step

    assert "wrong-way" in codes_of(with_step(turned))


def test_another_figure_shows_beside_the_place_that_is_stated() -> None:
    last = max(e.number for e in sheet_on(mill()).steps if isinstance(e, WindStep) and e.cut)

    def off(step: Step) -> Step:
        if isinstance(step, WindStep) and step.number == last:
            return replace(step, dial=step.dial + 4, reading=step.reading + 4)
        return step

    assert "figure" in codes_of(with_step(off))


def test_a_radius_forgotten_in_the_keyed_figure_is_found() -> None:
    def forgotten(step: Step) -> Step:
        if isinstance(step, SetDialStep) and step.slide == "table":
            return replace(step, dial=-10)  # the paper alone
        return step

    assert "zero" in codes_of(with_step(forgotten))


def test_half_forgotten_at_the_second_face_is_found() -> None:
    def whole(step: Step) -> Step:
        if isinstance(step, SetDialStep) and step.rule is not None:
            return replace(step, rule=None, dial=0)
        return step

    assert "zero" in codes_of(with_step(whole))


def test_a_figure_out_of_the_band_at_the_second_face_stops_the_work() -> None:
    sheet = sheet_on(mill())
    (noted,) = (each.note for each in sheet.steps if isinstance(each, TouchStep) and each.note)
    case = Case(play=-1, slack=0, apart=((noted.name, 0.7),))
    run = replay(sheet, mill(), case, file="sheet")
    assert "out-of-range" in {each.code for each in run.troubles}


def test_a_machine_with_other_readouts_is_told_of() -> None:
    changed = place_on(mill(readout=0.01))
    report = prove_text(changed, proof_on(mill()).text, "sheet.json", lambda _: None).report
    told = [each.what for each in report.findings if each.code == "machine-changed"]
    assert "table: least step of the readout was 0.005, is 0.01" in told


@pytest.mark.parametrize(
    ("step", "change", "message"),
    [
        ("wind", {"dial": 1}, "its reading"),
        ("wind", {"passes": 1}, "it shows the whole figure"),
        ("set dial", {"turn": 1}, "it shows the whole figure"),
    ],
)
def test_a_readout_knows_no_turns(step: str, change: dict[str, int], message: str) -> None:
    raw = json.loads(proof_on(mill()).text)
    next(each for each in raw["steps"] if each["kind"] == step).update(change)
    with pytest.raises(InputError, match=message):
        load_sheet(json.dumps(raw), "sheet")


# ---------------------------------------------------------------- the machine file

SLIDE = """units = "mm"
name = "table"
axis = "x"
travel = 330
per_turn = 4
plus = "anticlockwise"
"""


def slide_of(*lines: str) -> tuple[Any, list[str]]:
    faults = Faults()
    table = parse_toml(SLIDE + "\n".join(lines), "mill.toml", faults)
    assert table is not None
    table.with_units(table.choice("units", ("mm", "in")))
    return read_slide(table), [str(each) for each in faults.errors]


def test_a_slide_has_a_readout_where_its_file_gives_the_least_step() -> None:
    slide, errors = slide_of("readout = 0.01", "scale_error = 0.004")
    assert not errors
    assert (slide.count, slide.scale_error, slide.rise, slide.lag) == (0.01, 0.004, 1, 0.0)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (("readout = 4",), "4 mm is a whole turn or more; give the least step"),
        (("readout = 0",), "readout: 0 mm"),
        (("readout = 0.01", "divisions = 100"), "divisions: unknown"),
        (("divisions = 100", "scale_error = 0.01"), "scale_error: unknown"),
    ],
)
def test_what_does_not_go_with_a_readout_is_refused(lines: tuple[str, ...], message: str) -> None:
    slide, errors = slide_of(*lines)
    assert slide is None
    assert any(message in each for each in errors), errors
