"""The faces of a sheet: its JSON against the schema and against faults, its text to the letter."""

from __future__ import annotations

import json
import math
import re
from dataclasses import fields
from importlib.resources import files
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.input.where import InputError, JobErrors
from pathgen.moves.actions import (
    Clamp,
    Dwell,
    FitTouching,
    Measure,
    Note,
    Pause,
    Spindle,
    Touch,
    Zero,
)
from pathgen.moves.moves import Drill, Feed, How, Rapid, Rule, Term
from postprocessors.dials import steps
from postprocessors.dials.faces.json import KINDS, dump_sheet, load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.readings import Reading, passes_between, passes_by_found
from postprocessors.dials.steps import Correction, Sheet
from postprocessors.dials.writer import write_sheet
from tests.dial_shop import INCH, NAN, SIXTEENTH, SIZE, STOP, machine, planned, slide, zero_at
from tests.heads import set_head, touched_head

SCHEMA = json.loads(
    files("postprocessors.dials.faces").joinpath("sheet.schema.json").read_text(encoding="utf-8")
)


def whole_sheet(**x: Any) -> Sheet:
    """A sheet with a step of every kind."""
    finder = {"tool": "edge finder", "radius": 5.0, "paper": 0.0, "rpm": 900.0}
    middle = Zero(
        axis="y",
        touches=(
            Touch(face="front", towards=1, at=-25.0, **finder),  # type: ignore[arg-type]  # a dict
            Touch(face="back", towards=-1, at=25.0, **finder),  # type: ignore[arg-type]  # of mixed
        ),
        uncertainty=0.02,
    )
    sums = (("x", (Term("left end of the slot", 14.5), Term("half of the drill", 1.5))),)
    wall = How(
        makes="size", rules=(Rule(axis="y", measure="M1", factor=-0.5),), what="wall at the back"
    )
    items = (
        Note(text="Cut against the turn of the cutter.", caution=True),
        Spindle(rpm=900.0),
        Rapid(NAN, NAN, 5.0),
        Rapid(16.0, 0.0, 5.0, How(makes="size", what="over hole 1 of 2", sums=sums)),  # type: ignore[arg-type]
        Drill(16.0, 0.0, -9.0, 1.0, 60.0, peck=3.0),
        Measure(
            name="M1",
            what="width",
            expected=5.0,
            low=4.9,
            high=5.2,
            found_by="cutter",
            advice="stop",
        ),
        Rapid(16.0, 3.0, 5.0, wall),
        Feed(16.0, 3.0, -3.0, 30.0, SIZE),
        Feed(28.0, 3.0, -3.0, 60.0, STOP),
        Feed(16.0, 3.0, -3.0, 60.0, STOP),
        Dwell(seconds=2.0),
        Rapid(16.0, 3.0, 5.0),
        Spindle(rpm=0.0),
        Pause(reason="brush the chips away"),
        touched_head(18.0),
        set_head(18.7, 35.0),
        Measure(name="M2", what="bore", expected=18.7, low=18.5, high=18.9, found_by="setting"),
        set_head(19.0, 15.0, follows="M2", expected=18.7),
    )
    fit = FitTouching(name="edge finder", diameter=10.0)
    before = (Clamp(lines=("In the vice on parallels",)), zero_at("x", at=-1.5), fit, middle)
    return write_sheet(planned(*items, before=before), machine(slide("x", **x)))


# ---------------------------------------------------------------------- JSON


def test_the_json_keeps_to_its_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(json.loads(dump_sheet(whole_sheet())), SCHEMA)
    jsonschema.validate(json.loads(dump_sheet(whole_sheet(**INCH))), SCHEMA)


def test_the_schema_knows_every_field_of_every_step() -> None:
    for kind, step in KINDS.items():
        said = SCHEMA["$defs"][re.sub("[ -]", "_", kind)]
        assert set(said["properties"]) == {"kind", *(each.name for each in fields(step))}
    for name, value in (("dial", steps.Dial), ("operation", steps.Operation)):
        assert set(SCHEMA["$defs"][name]["properties"]) == {each.name for each in fields(value)}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"passes": -1}, "-1"),
        ({"kind": "turn"}, "not valid under any"),
        ({"colour": "red"}, "not valid under any"),
    ],
)
def test_the_schema_rejects_what_is_wrong(change: dict[str, Any], message: str) -> None:
    raw = json.loads(dump_sheet(whole_sheet()))
    wind = next(each for each in raw["steps"] if each["kind"] == "wind")
    wind.update(change)
    with pytest.raises(jsonschema.ValidationError, match=message):
        jsonschema.validate(raw, SCHEMA)


def test_a_sheet_survives_its_json_one_step_a_line() -> None:
    sheet = whole_sheet()
    text = dump_sheet(sheet)
    assert load_sheet(text, "slot.json") == sheet
    rows = [line for line in text.splitlines() if line.startswith('  {"kind"')]
    assert len(rows) == len(sheet.steps)
    elsewhere = {"angle", "sweep", "turn", "work by"}  # tests/test_dishes.py, test_inside.py
    elsewhere |= {"thread", "half-nuts", "wheels"}  # tests/test_screwing.py
    elsewhere |= {"stop"}  # tests/test_carriage_stop.py
    kinds = {json.loads(row.rstrip(","))["kind"] for row in rows}
    assert kinds >= set(KINDS) - {"coolant", "height"} - elsewhere
    assert not re.search(r"NaN|Infinity|-0[,}\]]", text)


def test_all_that_is_wrong_is_said_at_once_by_step() -> None:
    raw = json.loads(dump_sheet(whole_sheet()))
    winds = [each for each in raw["steps"] if each["kind"] == "wind"]
    winds[0]["slide"] = "knee"
    winds[1]["passes"] = "two"
    winds[2]["way"] = "clockwize"
    del winds[3]["dial"]
    winds[4]["colour"] = "red"
    raw["steps"][0]["kind"] = "hold"
    with pytest.raises(JobErrors) as caught:
        load_sheet(json.dumps(raw), "slot.json")
    assert isinstance(caught.value, InputError)
    assert caught.value.exit_code == 2
    text = str(caught.value)
    assert "slot.json: step 1.kind: 'hold'; one of clamp, note" in text
    for index, (key, wrong) in enumerate(
        [("passes", "'two'"), ("way", "'clockwize'"), ("dial", "missing"), ("colour", "unknown")], 1
    ):
        assert f"slot.json: step {winds[index]['number']}.{key}: {wrong}" in text


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda raw: raw["steps"].pop(3), "step 5.number: follows step 3; step 4 is due"),
        (lambda raw: raw.update(version=2), "version: 2; this reads version 1"),
        (lambda raw: raw.update(version=True), "version: True"),
        (lambda raw: raw.update(form="bill"), "not a handwheel sheet"),
        (lambda raw: raw.pop("clear"), "clear: missing"),
        (lambda raw: raw["dials"].pop(), "one each for x, y and z"),
        (lambda raw: raw["dials"][0].update(judged=0), "dial table: a turn"),
        (lambda raw: raw["dials"][0].update(judged=500), "no judged part in a turn"),
        (lambda raw: raw["dials"][0].update(side=0), "dial table.side: 0; 1 or -1"),
        (lambda raw: raw["operations"][1].update(first=1), "headings out of order"),
        (lambda raw: raw.update(steps={}), "steps: no list of steps"),
        (lambda raw: raw["steps"].append(7), "not a step"),
        (lambda raw: raw["steps"][0].update(lines="x"), "step 1.lines: 'x' is no list"),
        (lambda raw: raw["head"].update(cutters=[3]), "head.cutters.0: 3 is no object"),
        (lambda raw: first(raw, "wind").update(dial=200), "judged parts from 0 to 199"),
        (lambda raw: first(raw, "wind").update(passes=-2), "passes: -2; 0 or more"),
        (lambda raw: first(raw, "wind").update(slide="knee"), "no slide 'knee'"),
        (lambda raw: first(raw, "wind").update(terms=[{"label": "x"}]), "a label and a value"),
        (lambda raw: first(raw, "wind").update(place=True), "place: True; give a number"),
        (lambda raw: first(raw, "lock").update(slides=["knee"]), "no slide 'knee'"),
        (lambda raw: cut(raw).pop("turns_per_min"), "turns_per_min: 0; above 0 for a cut"),
        (lambda raw: ruled(raw).update(measure="M2"), "'M2' is not measured before"),
    ],
)
def test_a_sheet_that_does_not_hang_together_is_refused(change: Any, message: str) -> None:
    raw = json.loads(dump_sheet(whole_sheet()))
    change(raw)
    with pytest.raises(JobErrors, match=re.escape(message)):
        load_sheet(json.dumps(raw), "slot.json")


def first(raw: Any, kind: str) -> dict[str, Any]:
    return next(each for each in raw["steps"] if each["kind"] == kind)


def cut(raw: Any) -> dict[str, Any]:
    return next(each for each in raw["steps"] if each.get("cut"))


def ruled(raw: Any) -> dict[str, Any]:
    return next(each for each in raw["steps"] if "rule" in each)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "slot.json:1: not JSON"),
        ("[1, 2]", "not a handwheel sheet"),
        ('{"form": "handwheel sheet",\n "version": 1,\n}', "slot.json:3: not JSON"),
        ('{"form": "handwheel sheet", "form": "handwheel sheet"}', "form: given twice"),
        ('{"form": NaN}', "NaN is no number"),
        ("[" * 100_000, "nested too deep"),
    ],
)
def test_what_is_no_json_is_refused(text: str, message: str) -> None:
    with pytest.raises(JobErrors, match=re.escape(message)):
        load_sheet(text, "slot.json")


# ---------------------------------------------------------------------- text


def page() -> str:
    return write_text(whole_sheet(**INCH), machine(slide("x", **INCH)))


def line_of(text: str, part: str) -> str:
    return next(line for line in text.splitlines() if part in line)


def test_every_step_has_a_box_to_tick_and_its_number() -> None:
    sheet = whole_sheet()
    text = write_text(sheet, machine())
    boxes = [int(number) for number in re.findall(r"^\[ \] +(\d+)", text, flags=re.MULTILINE)]
    assert boxes == [step.number for step in sheet.steps]


def test_the_page_fits_and_is_plain() -> None:
    text = page()
    assert max(map(len, text.splitlines())) <= 100
    assert text.isascii()
    assert text == page()


def test_only_cuts_are_marked_as_cuts() -> None:
    sheet = whole_sheet()
    text = write_text(sheet, machine())
    marked = [int(each) for each in re.findall(r"^\[ \] +(\d+) CUT", text, flags=re.MULTILINE)]
    assert marked == [
        step.number for step in sheet.steps if isinstance(step, steps.WindStep) and step.cut
    ]
    assert marked


def test_a_wind_says_way_passes_dial_total_and_place_in_both_units() -> None:
    """16 mm is 0.62992 in: 6 turns of 0.1 in and 30 divisions, 0.6300 in."""
    lines = page().splitlines()
    index = next(i for i, line in enumerate(lines) if "over hole 1 of 2" in line)
    assert lines[index - 1].split() == [
        *("[", "]", lines[index - 1].split()[2], "table", "clockwise"),
        *("6,", "then", "on", "to", "30.0", "6", "t", "30.0", "0.6299", "in", "16.00"),
    ]
    assert lines[index + 1].strip() == (
        "x = left end of the slot 14.500 + half of the drill 1.500 = 16.000 mm"
    )


def test_decimal_points_are_in_line() -> None:
    rows = [line for line in page().splitlines() if re.search(r" t +\d+\.\d", line)]
    rows = [line for line in rows if re.match(r"\[ \] +\d+ (CUT|   ) ", line)]
    assert len(rows) > 5
    assert len({line[: line.index(" t ")].rfind(".") for line in rows}) == 1


def test_a_stop_on_0_is_said_so() -> None:
    items = (Rapid(NAN, NAN, 5.0), Rapid(10.0, 0.0, 5.0, SIZE))
    text = write_text(write_sheet(planned(*items), machine()), machine())
    assert "5th, stop on it" in text


def test_the_head_says_how_each_dial_reads() -> None:
    text = page()
    assert "FROM THE LEFT, CLOCKWISE" in text
    assert "FROM ABOVE, CLOCKWISE" in text
    assert "clockwise takes the tool right; figures rise clockwise" in text
    diameter = machine(slide("x", diameter_reading=True))
    items = (Rapid(NAN, NAN, 5.0), Rapid(10.0, 0.0, 5.0, SIZE))
    shown = write_text(write_sheet(planned(*items), diameter), diameter)
    assert "shows DIAMETER" in shown
    assert line_of(shown, "5th, stop on it").endswith(" 20.00")


def test_mixed_dials_say_their_units() -> None:
    text = page()
    assert "AT dial" in text
    assert re.search(r"0\.6299 in +16\.00", text)
    assert re.search(r"down feed .* mm +-?\d", text)


def test_long_names_are_shortened_and_explained() -> None:
    mill = machine(slide("x", name="table along the long axis"))
    items = (Rapid(NAN, NAN, 5.0), Rapid(10.0, 0.0, 5.0, SIZE))
    text = write_text(write_sheet(planned(*items), mill), mill)
    assert max(map(len, text.splitlines())) <= 100
    assert "table along. x" in text
    assert "axis x = table along the long axis" in text


def test_fixed_dials_are_read_and_not_set() -> None:
    mill = machine(slide("x", resettable=False))
    before = (zero_at("x", at=-1.5, reads=3.0), zero_at("y"))
    text = write_text(write_sheet(planned(before=before), mill), mill)
    assert "the dial CANNOT be set" in re.sub(r"\s+", " ", text)
    assert "READ the dial: it should show 75.0" in text  # 3 - 1.5 = 1.5 mm


def test_a_sum_with_blanks_gives_what_the_data_gives() -> None:
    """The printed terms and factor, worked with a found size, are the reading of the data."""
    sheet = whole_sheet(**INCH)
    step = next(
        each
        for each in sheet.steps
        if isinstance(each, steps.WindStep) and each.rule and each.rule.measure == "M1"
    )
    text = page()
    match = re.search(r"M1 found _+ - ([\d.]+) = _+ mm ; x (-?[\d.]+) =.*\n +([\d.]+) \+ _+", text)
    assert match
    expected, factor, start = map(float, match.groups())
    rule = step.rule
    assert rule is not None
    dial = sheet.dial(step.slide)
    for found in (4.9, 4.97, 5.0, 5.11, 5.2):
        by_hand = start + factor * (found - expected)
        by_data = (rule.base + rule.per_mm * (found - rule.expected)) * dial.judged
        assert math.isclose(by_hand, by_data % dial.divisions, abs_tol=0.01)


def test_a_middle_is_halved_on_the_sheet() -> None:
    text = page()
    assert "NOTE F1, the dial's total here" in text
    assert "x 0.5 = ________ divisions" in re.sub(r"\s+", " ", text)


def test_pecks_and_paces_are_said() -> None:
    text = re.sub(r"\s+", " ", page())
    # 9 mm deep by 2 mm a turn: 4.5 turns from the top face, the 0.5 above it being air.
    assert "3 pecks of 1.5 turns from the top face: draw up clear at total 1 t 50.0" in text
    assert "30.0 turns a minute (2.0 s a turn)" in text


# ---------------------------------------------------------------------- counts that follow


@given(
    st.floats(-500, 500),
    st.floats(-500, 500),
    st.sampled_from([-80.0, -3.1, 0.0, 7.7, 78.74015748031496]),
    st.sampled_from([-39.37007874015748, 0.0, 20.0]),
)
def test_a_count_by_found_value_is_that_of_the_readings(
    start: float, end: float, start_per_mm: float, end_per_mm: float
) -> None:
    turn = 125

    def reading(base: float, per_mm: float) -> Reading:
        rule = Correction(
            measure="M1", factor=1.0, expected=5.0, low=4.0, high=6.5, base=base, per_mm=per_mm
        )
        return Reading(base=base, rule=rule)

    begin, stop = reading(start, start_per_mm), reading(end, end_per_mm)
    entries = passes_by_found(begin, stop, turn)
    edges = [each.found for each in entries]
    beside = [math.nextafter(each, -math.inf) for each in edges[1:]]
    for found in (4.0, 4.6, 5.0, 5.9, 6.5, *edges, *beside):
        wanted = passes_between(begin.at(found), stop.at(found), turn)
        same_way = (stop.at(found) - begin.at(found)) * (stop.at() - begin.at()) >= 0
        if entries and same_way:
            assert [each.passes for each in entries if each.found <= found][-1] == wanted
        elif same_way:
            assert wanted == passes_between(begin.at(), stop.at(), turn)


def test_a_62_and_a_half_line_dial_is_printed_with_its_halves() -> None:
    mill = machine(slide("x", **SIXTEENTH))
    items = (Rapid(NAN, NAN, 5.0), Rapid(10.0, 0.0, 5.0, SIZE))
    text = write_text(write_sheet(planned(*items), mill), mill)
    assert "62.5 divisions, read to 0.5" in text
    assert re.search(r"6, then on to +18\.5 +6 t +18\.5 +0\.3935", text)


def test_a_fixed_dial_says_what_to_do_where_it_shows_something_else() -> None:
    mill = machine(slide("x", resettable=False))
    zero = zero_at("x", at=-1.5, reads=3.0)
    sheet = write_sheet(planned(Rapid(NAN, NAN, 5.0), before=(zero, zero_at("y"))), mill)
    text = re.sub(r"\s+", " ", write_text(sheet, mill))
    assert "READ the dial: it should show 75.0, give or take 0.5" in text
    assert (
        "else STOP: found ________ - 75.0 = ________ divisions ; x 0.020 mm = ________ ; add that"
        " to `dial_reads` of the datum of x in the job, and make the sheet anew"
    ) in text


@pytest.mark.parametrize("more", [-17.0, 4.5])
def test_what_is_added_to_the_figure_of_a_fixed_dial_makes_it_show_what_was_found(
    more: float,
) -> None:
    """The dial shows so many divisions more than it should; x 0.02 mm, put into `dial_reads`."""
    mill = machine(slide("x", resettable=False))

    def shown(reads: float) -> float:
        before = (zero_at("x", at=-1.5, reads=reads), zero_at("y"))
        sheet = write_sheet(planned(before=before), mill)
        read = next(each for each in sheet.steps if isinstance(each, steps.SetDialStep))
        return read.dial * 0.5

    assert (shown(3.0 + more * 0.02) - shown(3.0)) % 100 == pytest.approx(more % 100)
