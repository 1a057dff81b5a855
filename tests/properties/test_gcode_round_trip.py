"""Whatever is planned, and whatever the control can do, the program read back does it."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.moves.actions import (
    Clamp,
    Coolant,
    FitCutter,
    Measure,
    Note,
    Pause,
    SetDiameter,
    Spindle,
    Zero,
)
from pathgen.moves.moves import Feed, Rapid
from pathgen.moves.plan import Item, PlannedSetup, Run
from pathgen.shop.machines import Control
from postprocessors.gcode.reader import ProgramErrors, read_program
from postprocessors.gcode.writer import write_program
from tests.program_by_hand import planned
from tests.program_plans import CLEAR, arcs, controls, coordinates, machine, setups
from tests.program_way import Leg, all_items, along, count_of, legs, resampled, slack_of

MODES = "G17 G21 G40 G49 G54 G80 G90 G94 G99\nG0 X0.0 Y0.0 Z5.0"


@settings(max_examples=150, deadline=None)
@given(setups(), controls())
def test_program_read_back_goes_where_the_plan_goes(setup: PlannedSetup, control: Control) -> None:
    run = read_program(write_program(setup, machine(control)))
    assert run.troubles == ()
    half = count_of(control) / 2 + 1e-6
    peck = 8 * count_of(control)  # a level within a hole hangs on a rounded peck
    ends = iter([leg.points[k] for leg in legs(run.items) for k in (0, -1)])
    at = next(ends)
    for leg in legs(all_items(setup)):
        near = half if leg.exact else peck
        while not all(abs(a - b) <= near for a, b in zip(leg.points[-1], at)):
            at = next(ends)  # StopIteration: a planned end is not met, in the order of the plan


@settings(max_examples=150, deadline=None)
@given(setups(), controls())
def test_program_read_back_takes_the_planned_way(setup: PlannedSetup, control: Control) -> None:
    run = read_program(write_program(setup, machine(control)))
    planned, found = list(legs(all_items(setup))), list(legs(run.items))
    one_axis = not control.rapid_straight
    for fast in (False, True):
        wanted = sum(leg.length for leg in planned if leg.fast == fast)
        length = sum(leg.length for leg in found if leg.fast == fast)
        drift = sum(slack_of(leg, control) for leg in planned)
        if not (fast and one_axis):
            assert length == pytest.approx(wanted, abs=drift)
    if not one_axis:
        near = sum(slack_of(leg, control) for leg in planned)
        for a, b in zip(resampled(planned, 400), resampled(found, 400)):
            assert math.dist(a, b) <= near


@settings(max_examples=80, deadline=None)
@given(st.data(), controls())
def test_one_arc_keeps_its_shape(data: st.DataObject, control: Control) -> None:
    start = (data.draw(coordinates), data.draw(coordinates), -1.0)
    arc = data.draw(arcs(start))
    run = run_of([Rapid(start[0], start[1], CLEAR), Feed(*start, 50), arc], control)
    found = list(legs(run.items))[1:-1]
    # chords, and the roundings of ends and centre, each up to a count or two
    near = 0.004 + 4 * count_of(control)
    wanted = [Leg(False, (start, *along(arc, start)))]
    if not found:  # all of it rounds to one place
        assert wanted[0].length < 3 * count_of(control)
        return
    for a, b in zip(resampled(wanted, 100), resampled(found, 100)):
        assert math.dist(a, b) <= near * (arc.turns + 1)


def run_of(items: list[Item], control: Control) -> Run:
    """Return what is read back of some moves with one cutter."""
    return read_program(write_program(replace(planned(*items), clear=CLEAR), machine(control)))


@settings(max_examples=60, deadline=None)
@given(setups(), controls())
def test_actions_and_head_are_read_back(setup: PlannedSetup, control: Control) -> None:
    run = read_program(write_program(setup, machine(control)))
    assert [said(item) for item in wanted_actions(all_items(setup))] == [
        said(item) for item in wanted_actions(run.items)
    ]
    assert run.head == setup.head
    cutters = [item for item in run.items if isinstance(item, FitCutter)]
    assert [(each.number, each.name) for each in cutters] == [
        (each.number, each.name) for each in setup.head.cutters
    ]
    assert run.doubt.zero[2] == max(
        item.uncertainty for item in all_items(setup) if isinstance(item, Zero)
    )


def wanted_actions(items: Iterable[Item]) -> Iterator[Item]:
    """Yield the actions without those that only stop something, and without dwells in holes."""
    for item in items:
        if isinstance(item, (Clamp, FitCutter, Measure, Pause, Note, SetDiameter, Zero)) or (
            (isinstance(item, Spindle) and item.rpm > 0)
            or (isinstance(item, Coolant) and item.kind != "off")
        ):
            yield item


def said(item: Item) -> Any:
    """Return an action in a form that compares; where a zero is touched is rounded to counts."""
    if isinstance(item, SetDiameter):  # inches there and back are off in the last bit
        return replace(item, diameter=round(item.diameter, 9), expected=round(item.expected, 9))
    if isinstance(item, Zero):
        touch = item.touches[0]
        return item.axis, item.uncertainty, item.why, touch.face, touch.paper, round(touch.at, 1)
    return item


@settings(max_examples=40, deadline=None)
@given(setups(), controls())
def test_the_same_plan_gives_the_same_bytes(setup: PlannedSetup, control: Control) -> None:
    text = write_program(setup, machine(control))
    assert text == write_program(setup, machine(control))
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= control.line_length
    assert "-0.0 " not in text
    assert "-0.0\n" not in text


@settings(max_examples=60, deadline=None)
@given(setups(), controls())
def test_fast_and_strict_ways_read_the_same(setup: PlannedSetup, control: Control) -> None:
    text = write_program(setup, machine(control))
    assert repr(read_program(text)) == repr(read_program(text, fast=False))


# Stretches that are legal after one another, with what the fast way takes and what it does not.
STRETCHES = (
    "G1 X1.5 F80.0",
    "g1x-2.25y0.",
    "N10 G0 Z1.0",
    "N20 G01 X4. Y1.0 Z-1.0 F9.5",
    "G1 X4.0 Y1.0 F9.0\nG3 X1.0 Y4.0 I-3.0 J0.0\nX4.0 Y1.0 J-3.0",
    "G0 X4.0 Y1.0\nG2 X4.0 Z-2.0 I1.5 J-2.0\nG1 Z0.5",
    "G0 X4.0 Y1.0\nG2 X1.0 Y-2.0 R3.0",
    "G91\nG0 X0.5 Y-0.5\nG3 X3.0 I1.5\nG90",
    "G20",
    "G21",
    "G99 G81 X1.0 Y2.0 Z-5.0 R2.0 F60.0\nX3.0\nG80\nG0 Z3.0",
    "G98 G83 X1.0 Z-5.0 R-2.0 Q1.0\nG0 X2.0",
    "S200 M3\nG1 X0.5 M5",
    "(a note)",
    "M0 (MSG, look)",
    "T2 M6\nG43 H2\nG0 Z4.0",
    "G1 X.5 Y+1 F4",
    "\tG0 X 1.0 0",
    "",
)
# fmt: off
WORDS = st.sampled_from(
    (
        "G0", "G1", "G2", "G81", "G80", "G91", "X1.5", "Y2.25", "Z-1.", "I1.0", "R5.0", "F80.0",
        "N10", "Q1.0", "S100", "M3", "(note)", "M6", "X.5", "XX", "/", "%",
    )
)
# fmt: on


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(STRETCHES), max_size=12))
def test_fast_and_strict_ways_agree_on_legal_text(stretches: list[str]) -> None:
    text = "\n".join((MODES, *stretches, "M2"))
    assert repr(read_program(text)) == repr(read_program(text, fast=False))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.lists(WORDS, max_size=5), max_size=8), st.sampled_from((" ", "")))
def test_fast_and_strict_ways_agree_on_any_text(lines: list[list[str]], blank: str) -> None:
    text = "\n".join((MODES, *(blank.join(words) for words in lines), "M2"))
    assert outcome(text, fast=True) == outcome(text, fast=False)


def outcome(text: str, *, fast: bool) -> str:
    """Return the run, or its errors, as text."""
    try:
        return repr(read_program(text, fast=fast))
    except ProgramErrors as error:
        return str(error)
