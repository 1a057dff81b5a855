"""Faults put into a good sheet: each has its trouble, or shows in where the tool goes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace

import pytest

from pathgen.moves.actions import FitCutter, Measure, Zero
from pathgen.moves.moves import Drill, Feed, How, Rapid, Rule, end_of
from pathgen.moves.plan import Item, Point3, Run
from postprocessors.dials import steps
from postprocessors.dials.replay import Case, replay, replay_cases
from postprocessors.dials.slides_in_play import hands_stop_at
from postprocessors.dials.steps import Sheet, Step, WindStep
from postprocessors.dials.writer import write_sheet
from tests.dial_shop import CUTTER, NAN, SIZE, STOP, machine, planned, slide, touch, winds, zero_at

CASE = Case(play=-1, slack=1)
FEED = Feed(30.0, 0.0, -3.0, 60.0, STOP)


def good() -> Sheet:
    """A sheet: two places along x, the second come back to; a cut down and a cut along."""
    items = (
        Rapid(NAN, NAN, 5.0),
        Rapid(25.0, 0.0, 5.0, SIZE),
        Rapid(12.0, 0.0, 5.0, SIZE),
        Feed(12.0, 0.0, -3.0, 30.0, SIZE),
        FEED,
    )
    before = (zero_at("x", at=-1.5), zero_at("y", at=-1.5))
    return write_sheet(planned(*items, before=before), machine())


def follow(sheet: Sheet, case: Case = CASE) -> Run:
    return replay(sheet, machine(), case, file="sheet.json")


def numbered(each: Iterable[Step]) -> tuple[Step, ...]:
    return tuple(replace(step, number=index) for index, step in enumerate(each, start=1))


def changed(sheet: Sheet, change: Callable[[Step], Step | None]) -> Sheet:
    """The sheet with each step changed, or left out where the change gives None."""
    kept = [change(step) for step in sheet.steps]
    return replace(sheet, steps=numbered(step for step in kept if step is not None))


def last_move(run: Run) -> tuple[float, float, float]:
    """Where the last move ends."""
    return end_of(next(item for item in reversed(run.items) if isinstance(item, Rapid | Feed)))


def codes(run: Run) -> set[str]:
    return {trouble.code for trouble in run.troubles}


def test_the_good_sheet_has_no_trouble() -> None:
    for case in replay_cases(good(), machine()):
        run = follow(good(), case)
        assert run.troubles == ()
        feeds = [item for item in run.items if isinstance(item, Feed)]
        assert feeds[-1].x == pytest.approx(30.0, abs=0.005)
        assert run.numbers[run.items.index(feeds[-1])] == len(good().steps)


@pytest.mark.parametrize("off", [-1, 1])
def test_a_turn_miscounted_names_its_step_and_shifts_what_follows(off: int) -> None:
    target = winds(good(), "table")[1]

    def miscount(step: Step) -> Step:
        if step.number == target.number and isinstance(step, WindStep):
            return replace(step, passes=step.passes + off)
        return step

    run = follow(changed(good(), miscount))
    first = run.troubles[0]
    assert (first.code, first.number) == ("miscounted", target.number)
    move = run.items[run.numbers.index(target.number)]
    assert isinstance(move, Rapid)
    assert move.x == pytest.approx(25.0 + 2.0 * off, abs=0.005)


def test_a_wrong_figure_is_a_miscount_too() -> None:
    def misread(step: Step) -> Step:
        return replace(step, dial=step.dial + 3) if step == winds(good(), "table")[-1] else step

    run = follow(changed(good(), misread))
    assert [trouble.code for trouble in run.troubles] == ["miscounted"]
    last = Point3(*last_move(run))
    assert last.x == pytest.approx(30.03, abs=0.005)


def test_a_wrong_total_is_told_though_the_hands_do_right() -> None:
    def mistotal(step: Step) -> Step:
        if step == winds(good(), "table")[1] and isinstance(step, WindStep):
            return replace(step, reading=step.reading + 200)
        return step

    assert codes(follow(changed(good(), mistotal))) == {"miscounted"}


def test_the_wrong_way_ends_elsewhere() -> None:
    def swap(step: Step) -> Step:
        if step == winds(good(), "table")[1] and isinstance(step, WindStep):
            return replace(step, way="anticlockwise")
        return step

    run = follow(changed(good(), swap))
    assert run.troubles[0].code == "miscounted"


def test_coming_back_without_taking_up_the_slack_shifts_the_place() -> None:
    """The step past is left out, the next one made to suit: only the slack tells."""
    past = next(step for step in winds(good(), "table") if step.slack == "past")

    def straight_back(step: Step) -> Step | None:
        if step == past:
            return None
        if isinstance(step, WindStep) and step.number == past.number + 1:
            # from 12 turns 50 to 6 turns: 0 passes at 12, 11, ... 6 turns
            return replace(step, way="anticlockwise", passes=7)
        return step

    sheet = changed(good(), straight_back)
    for case in replay_cases(sheet, machine()):
        run = follow(sheet, case)
        (trouble,) = run.troubles
        assert (trouble.code, trouble.number) == ("figure", past.number)
        assert "taken out by coming up" in trouble.what
        place = [item for item in run.items if isinstance(item, Rapid)][-1]
        slack = 0.2 + 0.05 * case.slack
        assert place.x == pytest.approx(12.0 + slack, abs=0.005)


def test_a_skipped_zeroing_leaves_the_place_unknown() -> None:
    def skip(step: Step) -> Step | None:
        if isinstance(step, steps.TouchStep | steps.SetDialStep) and step.slide == "table":
            return None
        return step

    run = follow(changed(good(), skip))
    assert "no-zero" in codes(run)
    assert all(math.isnan(item.x) for item in run.items if isinstance(item, Rapid | Feed))


def test_a_dial_set_without_a_touch_leaves_the_place_unknown() -> None:
    def skip(step: Step) -> Step | None:
        return None if isinstance(step, steps.TouchStep) and step.slide == "table" else step

    run = follow(changed(good(), skip))
    assert codes(run) == {"no-zero"}
    assert math.isnan([item for item in run.items if isinstance(item, Feed)][-1].x)


def test_a_second_setting_left_out_is_noticed_at_the_first_cut() -> None:
    def skip(step: Step) -> Step | None:
        ring = isinstance(step, steps.SetDialStep) and step.slide == "table" and step.zero
        return None if ring else step

    run = follow(changed(good(), skip))
    assert codes(run) == {"no-zero", "figure"}  # and readings are still those from the touch
    assert math.isnan(last_move(run)[0])


def test_a_change_of_cutter_loses_the_depth() -> None:
    fit = FitCutter(number=2, name="5 mm slot drill", diameter=5.0)
    sheet = write_sheet(
        planned(Rapid(NAN, NAN, 5.0), fit, CUTTER[1], Rapid(NAN, NAN, 5.0)), machine()
    )
    assert follow(sheet).troubles == ()
    fitted = max(step.number for step in sheet.steps if isinstance(step, steps.FitStep))

    def skip(step: Step) -> Step | None:
        again = isinstance(step, steps.TouchStep | steps.SetDialStep) and step.number > fitted
        return None if again else step

    run = follow(changed(sheet, skip))
    assert codes(run) == {"no-zero"}
    last = Point3(*last_move(run))
    assert math.isnan(last.z)


def test_locks_forgotten_or_left_on() -> None:
    def no_locks(step: Step) -> Step | None:
        return None if isinstance(step, steps.LockStep) else step

    def no_unlocks(step: Step) -> Step | None:
        return None if isinstance(step, steps.UnlockStep) else step

    assert codes(follow(changed(good(), no_locks))) == {"unlocked"}
    assert codes(follow(changed(good(), no_unlocks))) == {"locked"}


def test_winding_on_against_the_face_is_told() -> None:
    def stay_down(step: Step) -> Step | None:
        return None if isinstance(step, steps.ClearStep) and not step.beside else step

    assert codes(follow(changed(good(), stay_down))) == {"not-raised"}


def test_a_machine_that_was_changed_is_told() -> None:
    run = replay(good(), machine(slide("x", slack=0.3)), CASE, file="s")
    assert [trouble.code for trouble in run.troubles] == ["machine-changed"]
    assert "slack was 0.2, is 0.3" in run.troubles[0].what
    renamed = replay(good(), machine(slide("x", name="long slide")), CASE, file="s")
    assert {"machine-changed", "no-slide"} <= codes(renamed)


def test_a_wrong_measured_slack_shows_as_a_shift_of_the_middle() -> None:
    """Half of what the true slack differs by, from a middle of two touches."""
    middle = Zero(
        axis="x",
        touches=(touch("left", 1, -10.0, radius=1.5), touch("right", -1, 10.0, radius=1.5)),
        uncertainty=0.01,
    )
    items = (Rapid(NAN, NAN, 5.0), Rapid(5.0, 0.0, 5.0, SIZE))
    sheet = write_sheet(planned(*items, before=(middle, zero_at("y"))), machine())
    found = {}
    for case in replay_cases(sheet, machine()):
        run = follow(sheet, case)
        assert run.troubles == ()
        last = Point3(*last_move(run))
        found[case.slack] = last.x
    assert found[1] == pytest.approx(5.0 - 0.025, abs=0.0076)  # set half a judged part nearer
    assert found[-1] == pytest.approx(5.0 + 0.025, abs=0.0076)


def test_a_middle_far_from_what_was_expected_is_told() -> None:
    middle = Zero(
        axis="x",
        touches=(touch("left", 1, -10.0, radius=1.5), touch("right", -1, 10.0, radius=1.5)),
        uncertainty=0.01,
    )
    sheet = write_sheet(planned(before=(middle, zero_at("y"))), machine())

    allowed, too_wide = (replace(CASE, apart=(("F1", far),)) for far in (0.4, 0.8))
    assert follow(sheet, allowed).troubles == ()
    assert codes(follow(sheet, too_wide)) == {"out-of-range"}


# ---------------------------------------------------------------------- what is found


MEASURE = Measure(name="M1", what="width", expected=5.0, low=4.9, high=5.2, found_by="cutter")


def measured() -> Sheet:
    rule = How(makes="size", rules=(Rule(axis="y", measure="M1", factor=-0.5),))
    items = (Rapid(NAN, NAN, 5.0), Rapid(5.0, 0.0, 5.0, SIZE), MEASURE, Rapid(5.0, 3.0, 5.0, rule))
    return write_sheet(planned(*items), machine())


@pytest.mark.parametrize(("found", "place"), [(5.0, 3.0), (4.9, 3.05), (5.2, 2.9)])
def test_what_is_found_goes_through_the_rule_and_widens_the_cutter(
    found: float, place: float
) -> None:
    run = follow(measured(), Case(play=1, slack=-1, found=(("M1", found),)))
    assert run.troubles == ()
    last = Point3(*last_move(run))
    assert last.y == pytest.approx(place, abs=0.005)
    assert run.wider == (() if found == 5.0 else ((1, pytest.approx(found - 5.0), "M1"),))
    assert f"M1 found {found:.3f}" in run.case


def test_a_value_out_of_range_is_told() -> None:
    assert codes(follow(measured(), Case(play=1, slack=1, found=(("M1", 5.3),)))) == {
        "out-of-range"
    }


def test_a_measurement_left_out_is_told() -> None:
    def skip(step: Step) -> Step | None:
        return None if isinstance(step, steps.MeasureStep) else step

    case = Case(play=1, slack=1, found=(("M1", 5.0),))
    assert codes(follow(changed(measured(), skip), case)) == {"out-of-range"}


def test_cases_are_the_corners_without_doubles() -> None:
    assert len(replay_cases(measured(), machine())) == 2 * 2 * 3
    tight = [slide(axis, slack=0.0, slack_spread=0.0) for axis in ("x", "y", "z")]
    assert len(replay_cases(good(), machine(*tight))) == 1
    steady = [slide(axis, slack_spread=0.0) for axis in ("x", "y", "z")]
    assert {case.slack for case in replay_cases(good(), machine(*steady))} == {0}
    founds = founds_of(item for number in range(1, 5) for item in (fitted(number), size(number)))
    assert len(founds) == 1 + 2 * 4  # one at a time, at its least and at its most


def test_sizes_by_one_cutter_are_off_alike() -> None:
    founds = founds_of((fitted(1), size(1), size(2), fitted(2), size(3)))
    off = [(each["M1"], each["M2"], each["M3"]) for each in map(dict, founds)]
    ends = (5.0, 4.9, 5.2)
    assert sorted(off) == sorted((one, one, other) for one in ends for other in ends)


def founds_of(items: Iterable[Item]) -> set[tuple[tuple[str, float], ...]]:
    """Return what is found in the cases of a sheet of some items."""
    sheet = write_sheet(planned(*items, cutter=CUTTER[1:]), machine())
    return {case.found for case in replay_cases(sheet, machine())}


def fitted(number: int) -> FitCutter:
    return FitCutter(number=number, name=f"{number} mm end mill", diameter=float(number))


def size(number: int) -> Measure:
    return replace(MEASURE, name=f"M{number}")


# ---------------------------------------------------------------------- the rest


def test_doubt_is_that_of_the_dials_the_zeros_and_the_slack() -> None:
    doubt = follow(good()).doubt
    assert doubt.setting == pytest.approx((0.005, 0.005, 0.005))
    assert doubt.zero == pytest.approx((0.01, 0.01, 0.01))
    assert doubt.stop == pytest.approx((0.05, 0.05, 0.05))


def test_a_pecked_hole_comes_back_as_one() -> None:
    drill = Drill(12.0, 0.0, -9.0, 1.0, 60.0, peck=3.0, back_to=5.0)
    plain = Drill(14.0, 0.0, -9.0, 1.0, 60.0, feed_out=True)
    items = (Rapid(NAN, NAN, 5.0), Rapid(12.0, 0.0, 5.0, SIZE), drill, plain)
    run = follow(write_sheet(planned(*items), machine()))
    hole = next(item for item in run.items if isinstance(item, Drill))
    assert (hole.bottom, hole.back_to) == pytest.approx((-9.0, -9.0))
    assert (hole.clear, hole.peck, hole.feed) == pytest.approx((1.0, 3.0, 60.0))
    down, up = (item for item in run.items if isinstance(item, Feed))
    assert down.z == pytest.approx(-9.0)
    assert up.z == pytest.approx(1.0, abs=0.051)


def test_a_zero_is_known_from_its_setting_on() -> None:
    run = follow(good())
    zeros = [item.axis for item in run.items if isinstance(item, Zero)]
    assert zeros == ["x", "y", "z"]
    first = run.items.index(next(item for item in run.items if isinstance(item, Zero)))
    assert all(math.isnan(item.x) for item in run.items[:first] if isinstance(item, Rapid))
    assert not any(math.isnan(item.x) for item in run.items[first:] if isinstance(item, Rapid))


def test_a_fixed_dial_is_followed_from_the_figure_it_has() -> None:
    """At 1.5 mm from the datum the dial is between two judged parts; the places are right."""
    fixed = slide("x", resettable=False)
    before = (zero_at("x", at=-1.5, reads=0.3333), zero_at("y"))
    items = (Rapid(NAN, NAN, 5.0), Rapid(12.0, 0.0, 5.0, SIZE))
    sheet = write_sheet(planned(*items, before=before), machine(fixed))
    run = replay(sheet, machine(fixed), CASE, file="s")
    assert run.troubles == ()
    last = Point3(*last_move(run))
    assert last.x == pytest.approx(12.0, abs=0.005)
    assert last.x != pytest.approx(12.0, abs=0.003)  # 12.3333 is 0.0033 from a judged part


@pytest.mark.parametrize(
    ("start", "passes", "dial", "rising", "stop"),
    [
        (0, 1, 0, True, 100),
        (0, 0, 0, True, 0),
        (99, 1, 0, True, 100),
        (100, 0, 99, True, 199),
        (100, 1, 0, False, 0),
        (100, 0, 1, False, 1),
        (50, 0, 60, False, None),
        (50, 0, 40, True, None),
        (100, 1, 1, False, -99),
        (101, 1, 1, False, 1),
        (99, 0, 1, False, 1),
        (-1, 1, 5, True, 5),
    ],
)
def test_where_hands_stop(
    start: int, passes: int, dial: int, *, rising: bool, stop: int | None
) -> None:
    assert hands_stop_at(start, passes, dial, rising=rising, turn=100) == stop


# ---------------------------------------------------------------------- dials that cannot be set


def test_what_a_fixed_dial_may_be_off_is_left_open_of_its_zero() -> None:
    """Touching leaves 0.01 mm open, which is a judged part here: so much off it is still right."""
    fixed = slide("x", resettable=False)
    before = (zero_at("x", at=-1.5, reads=0.3333), zero_at("y"))
    sheet = write_sheet(planned(Rapid(NAN, NAN, 5.0), before=before), machine(fixed))
    read = next(step for step in sheet.steps if isinstance(step, steps.SetDialStep))
    assert read.within == 1
    assert read.uncertainty == pytest.approx(0.02)
    run = replay(sheet, machine(fixed), CASE, file="s")
    assert run.doubt.zero[0] == pytest.approx(0.02)
    zeros = [item for item in run.items if isinstance(item, Zero)]
    assert zeros[0].uncertainty == pytest.approx(0.01)  # what is left to the touching alone


def test_a_fixed_depth_dial_is_followed_with_two_cutters() -> None:
    fixed = slide("z", resettable=False)
    depth = zero_at("z", towards=-1, reads=3.0)
    fit = FitCutter(number=2, name="5 mm slot drill", diameter=5.0)
    items = (depth, Rapid(5.0, 0.0, 5.0, SIZE), Feed(5.0, 0.0, -2.0, 30.0, SIZE))
    again = (Rapid(NAN, NAN, 5.0), fit, depth, Feed(5.0, 0.0, -3.0, 30.0, SIZE))
    sheet = write_sheet(planned(*items, *again, cutter=CUTTER[:1]), machine(fixed))
    for case in replay_cases(sheet, machine(fixed)):
        run = replay(sheet, machine(fixed), case, file="s")
        assert run.troubles == ()
        cuts = [item.z for item in run.items if isinstance(item, Feed)]
        assert cuts == pytest.approx([-2.0, -3.0], abs=0.005)
