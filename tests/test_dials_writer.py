"""The steps of a sheet against readings worked out by hand (common practice, no source)."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from pathgen.input.where import Refusal
from pathgen.moves.actions import Coolant, FitCutter, Lock, Measure, Spindle, Unlock, Zero
from pathgen.moves.moves import Arc, Drill, Feed, How, Rapid, Rule, Term
from pathgen.moves.plan import Item
from pathgen.shop.slides import Slide
from postprocessors.dials import steps
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.steps import Sheet, WindStep
from postprocessors.dials.writer import write_sheet
from tests.dial_shop import (
    CUTTER,
    INCH,
    METRIC_2,
    METRIC_4,
    NAN,
    SIXTEENTH,
    SIZE,
    STOP,
    machine,
    planned,
    slide,
    touch,
    winds,
    zero_at,
)

UP = Rapid(NAN, NAN, 5.0)


def to_x(place: float, makes: How = SIZE) -> Rapid:
    return Rapid(place, 0.0, 5.0, makes)


def table(*items: Item, x: Slide | None = None, **more: Any) -> list[WindStep]:
    mill = machine() if x is None else machine(x)
    return winds(write_sheet(planned(UP, *items, **more), mill), "table")


def said(step: WindStep) -> tuple[str, int, int, int]:
    return step.way, step.passes, step.dial, step.reading


# ---------------------------------------------------------------------- readings


def test_centre_from_a_face_touched_with_a_drill() -> None:
    """A dial that shows 0 where a 3 mm drill touches: 16 - 1.5 + 8 = 22.5 mm to the middle."""
    fixed = slide("x", resettable=False)
    zero = Zero(
        axis="x",
        touches=(touch("left", -1, 1.5, radius=1.5),),
        uncertainty=0.01,
        dial_reads=-1.5,  # at the face itself, were the drill no wider than a line
    )
    sums = How(
        makes="size",
        sums=(("x", (Term("wall of the slot", 16.0), Term("half its width", 8.0))),),
    )
    sheet = write_sheet(
        planned(
            UP,
            to_x(16.0 + 8.0, sums),
            before=(zero, zero_at("y")),
            sides=(("x", 1), ("y", 1), ("z", -1)),
        ),
        machine(fixed),
    )
    stop = winds(sheet, "table")[-1]
    dial = sheet.dial("table")
    assert stop.reading * dial.count == pytest.approx(22.5)
    assert (stop.reading // 200, stop.dial * dial.judged) == (11, 25.0)  # 2 mm a turn
    assert stop.place == pytest.approx(24.0)


@pytest.mark.parametrize(
    ("dial", "place", "passes", "shown", "reading"),
    [
        (INCH, 16.0, 6, 30.0, 1260),  # 0.62992 in, nearest half thou 0.6300
        (INCH, 25.4, 10, 0.0, 2000),  # 1 in: the 10th pass of 0, stop on it
        (METRIC_4, 24.0, 6, 0.0, 960),  # 6 turns, 160 judged parts each
        (METRIC_4, 9.0, 2, 20.0, 360),  # 2 turns and 1 mm: 20 divisions of 0.05
        (METRIC_2, 7.13, 3, 56.5, 713),  # 3 turns and 1.13 mm: 56.5 divisions of 0.02
        (SIXTEENTH, 12.7, 8, 0.0, 1000),  # 0.5 in is 8 turns of 1/16
        (SIXTEENTH, 10.0, 6, 18.5, 787),  # 393.70 thou: 6 turns are 375, 18.5 more are 393.5
    ],
)
def test_passes_and_dial(
    dial: dict[str, Any], place: float, passes: int, shown: float, reading: int
) -> None:
    (stop,) = table(to_x(place), x=slide("x", **dial))
    assert said(stop) == ("clockwise", passes, round(shown / 0.5), reading)


def test_starting_on_0_does_not_count_and_stopping_on_0_does() -> None:
    there, on, back_over, back = table(to_x(4.0), to_x(6.0), to_x(4.0))
    assert (there.passes, there.dial) == (2, 0)
    assert (on.passes, on.dial) == (1, 0)  # starts on a 0
    assert (back_over.passes, back_over.dial) == (1, 100)  # past 4 mm by half a turn
    assert (back.passes, back.dial) == (1, 0)


def test_a_dial_that_rises_the_other_way_has_readings_below_nought() -> None:
    (stop,) = table(to_x(16.0), x=slide("x", **INCH, rising="anticlockwise"))
    assert said(stop) == ("clockwise", 6, 140, -1260)  # -7 turns and 70 divisions
    assert stop.place == pytest.approx(16.002)


def test_places_left_of_the_datum() -> None:
    *_, stop = table(to_x(-3.0))
    assert (stop.reading, stop.dial) == (-300, 100)  # -2 turns and 50 divisions
    assert stop.place == pytest.approx(-3.0)


# ---------------------------------------------------------------------- slack


def test_a_reversal_goes_past_by_half_a_turn_and_comes_up() -> None:
    forth, past, up = table(to_x(20.0), to_x(10.0))
    assert (forth.slack, past.slack, up.slack) == ("", "past", "up")
    assert (past.way, up.way) == ("anticlockwise", "clockwise")
    assert up.reading - past.reading == 100  # half of 200


def test_a_reversal_goes_past_by_more_than_a_large_slack() -> None:
    loose = slide("x", slack=1.5, slack_spread=0.3)  # 0.9 turns at most
    *_, past, up = table(to_x(20.0), to_x(10.0), x=loose)
    assert (up.reading - past.reading) * 0.01 == pytest.approx(2.0)  # a turn: a tenth more


def test_a_small_step_on_after_a_feed_back_still_takes_out_the_slack() -> None:
    """From the reading 9.8 to 10.02 is 0.22 mm, and the slack may be 0.25; to 10.1 it is 0.3."""
    items = (to_x(20.0), Feed(10.0, 0.0, 5.0, 60.0, STOP))
    *_, back, past, up = table(*items, to_x(10.02))
    assert (back.slack, back.reading) == ("corrected", 980)
    assert (past.slack, up.slack, up.reading) == ("past", "up", 1002)
    *_, back, on = table(*items, to_x(10.1))
    assert (back.reading, on.slack, on.reading) == (980, "", 1010)


def test_a_move_back_in_the_air_needs_no_slack() -> None:
    *_, back = table(to_x(20.0), to_x(10.0, How()))
    assert (back.slack, back.reading, back.makes) == ("", 1000, "air")


def test_a_stop_against_the_chosen_side_is_corrected_by_the_slack() -> None:
    *_, on, back = table(
        to_x(10.0), Feed(20.0, 0.0, 5.0, 60.0, STOP), Feed(10.0, 0.0, 5.0, 60.0, STOP)
    )
    assert (on.reading, on.slack) == (2000, "")
    assert (back.reading, back.slack) == (980, "corrected")  # 10 mm less the slack of 0.2
    assert back.place == pytest.approx(10.0)
    assert back.terms[-1] == Term("slack, wound the other way", -0.2)


def test_from_the_right_the_slack_is_added() -> None:
    sides = (("x", -1), ("y", 1), ("z", -1))
    right = Zero(axis="x", touches=(touch("right", -1, 0.0),), uncertainty=0.01)
    *_, back = table(
        to_x(-10.0),
        Feed(-20.0, 0.0, 5.0, 60.0, STOP),
        Feed(-10.0, 0.0, 5.0, 60.0, STOP),
        before=(right, zero_at("y")),
        sides=sides,
    )
    assert back.reading == -980  # -10 mm and the slack of 0.2 further on


def test_the_tool_is_lifted_before_a_place_in_a_slot_is_gone_past() -> None:
    items = (to_x(20.0), Feed(20.0, 0.0, -3.0, 30.0, SIZE), Rapid(10.0, 0.0, -3.0, SIZE))
    sheet = write_sheet(planned(UP, *items), machine())
    last = [each for each in sheet.steps if isinstance(each, WindStep)][-4:]
    assert [each.slide for each in last] == ["down feed", "table", "table", "down feed"]
    assert last[0].place >= 5.0 - 0.005
    assert last[3].place == pytest.approx(-3.0)
    assert not any(each.cut for each in last)


# ---------------------------------------------------------------------- locks, cuts, drilling


def test_slides_that_stay_still_are_locked_once_and_freed_before_they_move() -> None:
    items = (
        to_x(10.0),
        Feed(10.0, 0.0, -3.0, 30.0, SIZE),
        Feed(20.0, 0.0, -3.0, 60.0, STOP),
        Feed(30.0, 0.0, -3.0, 60.0, STOP),
    )
    sheet = write_sheet(planned(UP, *items), machine())
    assert [_brief(each) for each in sheet.steps][-7:] == [
        "wind table",
        "lock table, cross slide",
        "wind down feed",
        "unlock table",
        "lock down feed",
        "wind table",
        "wind table",
    ]


def _brief(step: steps.Step) -> str:
    match step:
        case steps.WindStep():
            return f"wind {step.slide}"
        case steps.LockStep():
            return f"lock {', '.join(step.slides)}"
        case steps.UnlockStep():
            return f"unlock {', '.join(step.slides)}"
        case _:
            return type(step).__name__


def test_a_slide_without_a_lock_is_not_locked() -> None:
    sheet = write_sheet(
        planned(UP, to_x(10.0), Drill(10.0, 0.0, -3.0, 5.0, 60.0)), machine(slide("x", lock=False))
    )
    locked = [
        name for each in sheet.steps if isinstance(each, steps.LockStep) for name in each.slides
    ]
    assert locked == ["cross slide"]


def test_locks_that_the_plan_asks_for_are_said_once() -> None:
    items = (Lock(slide="table"), Lock(slide="table"), Unlock(slide="table"))
    sheet = write_sheet(planned(UP, *items), machine())
    assert [_brief(each) for each in sheet.steps][-2:] == ["lock table", "unlock table"]
    with pytest.raises(ValueError, match="no slide 'knee'"):
        write_sheet(planned(Lock(slide="knee")), machine())


def test_a_hole_is_one_cut_down_with_its_pecks_and_one_wind_up() -> None:
    drill = Drill(10.0, 0.0, -9.0, 1.0, 60.0, peck=3.1, dwell_s=0.5)
    sheet = write_sheet(planned(UP, to_x(10.0), drill), machine())
    near, down, up = winds(sheet, "down feed")[-3:]
    assert not near.cut
    assert (down.cut, down.reading, down.passes, down.dial) == (True, 900, 5, 100)  # falls to -0.5
    assert down.turns_per_min == pytest.approx(30.0)  # 60 mm/min at 2 mm a turn
    assert down.peck_turns == pytest.approx(1.5)  # 1.55 turns, never more
    assert (up.cut, up.reading) == (False, -100)
    assert any(isinstance(each, steps.DwellStep) for each in sheet.steps)


def test_a_reamer_comes_up_cutting() -> None:
    drill = Drill(10.0, 0.0, -9.0, 1.0, 60.0, feed_out=True, back_to=5.0)
    down, up = winds(write_sheet(planned(UP, to_x(10.0), drill), machine()), "down feed")[-2:]
    assert (down.cut, up.cut) == (True, True)
    assert up.place == pytest.approx(5.0)


def test_handles_do_not_tap_in_step() -> None:
    tapped = Drill(10.0, 0.0, -9.0, 1.0, 200.0, feed_out=True, lead=1.0)
    with pytest.raises(Refusal, match="a tap in step with the spindle"):
        write_sheet(planned(UP, to_x(10.0), tapped), machine())


# ---------------------------------------------------------------------- zeroing


def touched(sheet: Sheet, name: str) -> list[steps.Step]:
    kinds = (steps.TouchStep, steps.SetDialStep, steps.WindStep)
    return [each for each in sheet.steps if isinstance(each, kinds) and each.slide == name]


def test_a_face_is_touched_then_wound_on_from_the_same_way() -> None:
    before = (zero_at("x", at=-1.5), zero_at("y"))
    found, first, on, second = touched(write_sheet(planned(before=before), machine()), "table")
    assert isinstance(found, steps.TouchStep)
    assert (found.way, found.face_at, found.terms) == (
        "clockwise",
        0.0,
        (Term("left face", 0.0), Term("half of the 3 mm cutter", -1.5)),
    )
    assert isinstance(first, steps.SetDialStep)
    assert not first.zero
    assert isinstance(on, WindStep)
    assert (on.way, on.reading, on.slack) == ("clockwise", 150, "")
    assert isinstance(second, steps.SetDialStep)
    assert (second.zero, second.turn, second.dial, second.uncertainty) == (True, 0, 0, 0.01)


def test_what_rounding_leaves_at_the_zero_is_not_lost() -> None:
    """1.5 mm are 118.11 half thou: 0.0014 mm short at the zero, and no more at any place."""
    mill = machine(slide("x", **INCH))
    before = (zero_at("x", at=-1.5), zero_at("y"))
    sheet = write_sheet(planned(UP, to_x(1.012), before=before), mill)
    stop = winds(sheet, "table")[-1]
    assert stop.reading == 80  # 79.69 + 0.11, not the nearest to 79.69 - 0.11
    assert stop.place == pytest.approx(80 * 0.0127 - 0.0014)


def test_a_depth_zero_is_set_the_papers_thickness_short() -> None:
    depth = Zero(axis="z", touches=(touch("top", -1, 0.06, paper=0.06),), uncertainty=0.01)
    sheet = write_sheet(planned(Rapid(NAN, NAN, 0.0), cutter=(CUTTER[0], depth)), machine())
    _, ring, down = touched(sheet, "down feed")
    assert isinstance(ring, steps.SetDialStep)
    assert (ring.turn, ring.dial) == (-1, 194)  # 97.0, three divisions of 0.02 short of 0
    assert isinstance(down, WindStep)
    assert (down.reading, down.passes, down.dial) == (0, 1, 0)


def test_the_middle_of_two_faces_takes_the_slack_in() -> None:
    """20 mm between the touches reads 19.8 on the way back; half of (19.8 + 0.2) is 10."""
    middle = Zero(
        axis="x",
        touches=(touch("left", 1, -10.0, radius=1.5), touch("right", -1, 10.0, radius=1.5)),
        uncertainty=0.01,
    )
    found = touched(write_sheet(planned(before=(middle, zero_at("y"))), machine()), "table")
    second = found[3]
    assert isinstance(second, steps.TouchStep)
    assert second.note is not None
    assert second.note.expected == pytest.approx(19.8)
    assert second.dial == 1980 % 200
    up, ring = found[-2:]
    assert isinstance(up, WindStep)
    assert up.reading == 1000
    assert up.rule is not None
    assert up.rule.per_mm == pytest.approx(50.0)  # half of 100 judged parts a mm
    assert isinstance(ring, steps.SetDialStep)
    assert (ring.dial, ring.zero) == (0, True)


def test_a_touch_against_the_chosen_side_has_the_slacks_spread_in_its_doubt() -> None:
    before = (zero_at("x", towards=-1, at=1.5), zero_at("y"))
    sheet = write_sheet(planned(before=before), machine())
    rings = [each for each in sheet.steps if isinstance(each, steps.SetDialStep) and each.zero]
    assert rings[0].uncertainty == pytest.approx(0.06)
    assert rings[1].uncertainty == pytest.approx(0.01)


# ---------------------------------------------------------------------- rules, actions, refusals


def test_a_reading_follows_what_was_measured() -> None:
    rule = How(makes="size", rules=(Rule(axis="x", measure="M1", factor=-0.5),))
    measure = Measure(name="M1", what="width", expected=6.0, low=5.8, high=6.2)
    *_, stop = table(measure, to_x(10.0, rule))
    assert stop.rule is not None
    assert stop.rule.base == pytest.approx(1000.0)
    assert stop.rule.per_mm == pytest.approx(-50.0)
    assert stop.passes_from[0] == steps.PassesFrom(found=5.8, passes=5)
    assert stop.passes_from[1].passes == 4  # 10 mm is 5 turns: found more, the 5th is not reached
    assert stop.passes_from[1].found == pytest.approx(6.01, abs=2e-5)


def test_actions_come_through() -> None:
    sheet = write_sheet(planned(Spindle(rpm=900.0), Coolant(kind="mist")), machine(), "in")
    assert sheet.units == "in"
    assert sheet.steps[-2:] == (
        steps.SpindleStep(number=len(sheet.steps) - 1, rpm=900.0),
        steps.CoolantStep(number=len(sheet.steps), coolant="mist"),
    )
    assert sheet.operations[0].first == 1


@pytest.mark.parametrize(
    ("items", "cannot"),
    [
        ((Arc(10.0, 0.0, 5.0, 5.0, 0.0, True, 60.0),), "an arc"),
        ((Feed(10.0, 10.0, 5.0, 60.0),), "a cut along x and y at once"),
    ],
)
def test_what_handles_cannot_do_is_refused(items: tuple[Item, ...], cannot: str) -> None:
    with pytest.raises(Refusal, match=cannot):
        write_sheet(planned(UP, to_x(1.0), *items), machine())


def test_a_dial_that_cannot_be_set_wants_its_figure() -> None:
    with pytest.raises(Refusal, match="`dial_reads`"):
        write_sheet(planned(), machine(slide("x", resettable=False)))


def test_a_depth_dial_that_cannot_be_set_shows_the_same_figure_with_each_cutter() -> None:
    depth = zero_at("z", towards=-1, reads=3.0)
    fit = FitCutter(number=2, name="5 mm slot drill", diameter=5.0)
    mill = machine(slide("z", resettable=False))
    sheet = write_sheet(planned(depth, fit, depth, cutter=CUTTER[:1]), mill)
    read = [each for each in sheet.steps if isinstance(each, steps.SetDialStep)]
    figures = [(each.turn, each.dial) for each in read if each.slide == "down feed"]
    assert figures == [(1, 100), (1, 100)]  # 3 mm from its 0, at 2 mm and 200 judged parts a turn
    text = re.sub(r"\s+", " ", write_text(sheet, mill))
    assert text.count("READ the dial: it should show 50.0, give or take 0.5") == 2
    assert text.count("let the cutter down until it nips the paper") == 2


def test_a_wind_whose_way_hangs_on_the_measurement_is_refused() -> None:
    rule = How(makes="stop", rules=(Rule(axis="x", measure="M1", factor=1.0),))
    measure = Measure(name="M1", what="width", expected=6.0, low=5.0, high=7.0)
    with pytest.raises(Refusal, match="hangs on what is found"):
        write_sheet(planned(UP, measure, to_x(10.0), Feed(10.1, 0.0, 5.0, 60.0, rule)), machine())


def test_a_wind_that_follows_two_measurements_is_refused() -> None:
    items: list[Item] = [UP]
    for name in ("M1", "M2"):
        items.append(Measure(name=name, what="width", expected=6.0, low=5.9, high=6.1))
        rule = Rule(axis="x", measure=name, factor=1.0)
        items.append(to_x(10.0 * len(items), How(makes="size", rules=(rule,))))
    with pytest.raises(Refusal, match="follows both M1 and M2"):
        write_sheet(planned(*items), machine())


def test_a_plan_that_contradicts_itself_is_a_fault_of_ours() -> None:
    with pytest.raises(ValueError, match="before its zero"):
        write_sheet(planned(cutter=(), before=(Rapid(1.0, NAN, NAN),)), machine())
    rule = How(makes="size", rules=(Rule(axis="x", measure="M1", factor=1.0),))
    with pytest.raises(ValueError, match="not measured"):
        write_sheet(planned(UP, to_x(1.0, rule)), machine())
    two = Zero(axis="z", touches=(touch("top", -1, 0.0), touch("top", -1, 0.0)), uncertainty=0.01)
    with pytest.raises(ValueError, match="one touch"):
        write_sheet(planned(two, cutter=()), machine())


def test_a_finder_that_kicks_turns_for_the_touch_alone() -> None:
    finder = replace(touch("left", 1, -5.0, radius=5.0), rpm=900.0)
    before = (Zero(axis="x", touches=(finder,), uncertainty=0.01), zero_at("y"))
    sheet = write_sheet(planned(before=before), machine())
    running = [each.running for each in sheet.steps if isinstance(each, steps.TouchStep)]
    assert running == [True, False, False]
    kinds = (steps.ClearStep, steps.SpindleStep, steps.TouchStep)
    shown = [each for each in sheet.steps if isinstance(each, kinds)][:5]
    down, start, _, up, stop = shown
    assert [type(each) for each in shown] == [kinds[0], kinds[1], kinds[2], kinds[0], kinds[1]]
    assert isinstance(down, steps.ClearStep)
    assert isinstance(up, steps.ClearStep)
    assert (down.beside, up.beside) == ("left face", "")
    assert down.way != up.way
    assert isinstance(start, steps.SpindleStep)
    assert isinstance(stop, steps.SpindleStep)
    assert (start.rpm, stop.rpm) == (900.0, 0.0)
