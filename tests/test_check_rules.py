"""The rules that need not follow the metal: each fault, and beside it what is near it and right."""

from dataclasses import replace
from typing import Any

import pytest

from pathgen.check.check import Report, check_setup
from pathgen.job.job import Keepout
from pathgen.job.slot import SlotWays
from pathgen.moves.actions import FitCutter, Measure, Spindle, Zero
from pathgen.moves.moves import Drill, Feed, Rapid
from pathgen.moves.plan import HeadCutter, Item, Trouble
from pathgen.shop.machines import Machine
from tests.builders import (
    CLEAR,
    DEPTHS,
    DRILL,
    SLOT_DRILL,
    SPOT,
    ZEROS,
    checked,
    codes,
    cutter,
    fit,
    good_run,
    hand_mill,
    job,
    mill,
    only,
    run,
    setup,
    slot,
    to_and_fro,
    zero,
)

NAN = float("nan")


def test_a_good_run_has_no_findings() -> None:
    report = checked(good_run())
    assert report.findings == ()
    assert all(size.ok for size in report.sizes)


# ---------------------------------------------------------------- head


def test_a_run_made_for_an_earlier_state_of_the_job_is_stale() -> None:
    run_ = good_run()
    stale = replace(run_, head=replace(run_.head, digest="d0"))
    finding = only(checked(stale), "stale")
    assert (finding.place, finding.where) == (None, "job")


@pytest.mark.parametrize("what", ["setup", "machine"])
def test_a_run_for_another_setup_or_machine_is_stale(what: str) -> None:
    run_ = good_run()
    changes: dict[str, Any] = {what: "another"}
    other = replace(run_, head=replace(run_.head, **changes))
    assert "'another'" in only(checked(other), "stale").what


def test_a_cutter_that_the_crib_lacks_is_found() -> None:
    unknown = cutter("7 mm end mill", "end mill", 7.0)
    report = checked(run(*fit(unknown), cutters=(unknown,)))
    assert [f.place for f in report.findings if f.code == "cutter"] == [None, 2]


def test_a_cutter_that_measures_otherwise_is_found_and_rounding_is_not() -> None:
    def with_diameter(diameter: float) -> set[str]:
        stated = (HeadCutter(number=1, name=SLOT_DRILL.name, diameter=diameter),)
        run_ = good_run()
        return codes(checked(replace(run_, head=replace(run_.head, cutters=stated))))

    assert "cutter" in with_diameter(5.99)
    assert "cutter" not in with_diameter(6.0005)


def test_a_cutter_fitted_under_another_ones_number_is_found() -> None:
    report = checked(run(*fit(DRILL, 1), cutters=(SLOT_DRILL, DRILL)))
    assert only(report, "cutter").place == 2


def test_a_cut_without_a_cutter_is_found() -> None:
    items = (zero("z"), Spindle(rpm=1000), Feed(30, 0, -1, 60))
    assert only(checked(run(*items)), "cutter").place == 4


def test_the_troubles_of_reading_become_findings() -> None:
    trouble = Trouble(number=9, what="a word that does nothing", remedy="leave it out", code="odd")
    finding = only(checked(good_run(troubles=(trouble,))), "odd")
    assert (finding.place, finding.what, finding.remedy) == (
        9,
        "a word that does nothing",
        "leave it out",
    )


# ---------------------------------------------------------------- zeros


def without_zero(number: int = 1) -> tuple[Item, ...]:
    return tuple(item for item in fit(SLOT_DRILL, number) if not isinstance(item, Zero))


def test_a_depth_zero_is_missed_where_the_machine_keeps_no_lengths() -> None:
    run_ = run(*without_zero(), *to_and_fro(DEPTHS))
    assert only(checked(run_, machine=mill(tool_length=False)), "zero").place == 2
    assert "zero" not in codes(checked(run_, machine=mill(tool_length=True)))
    assert "zero" not in codes(checked(good_run(), machine=mill(tool_length=False)))


def test_each_change_of_cutter_loses_the_depth_zero() -> None:
    again = (*to_and_fro(DEPTHS), Spindle(rpm=0), *without_zero(), *to_and_fro([-8.2]))
    run_ = run(*fit(SLOT_DRILL), *again)
    finding = only(checked(run_, machine=mill(tool_length=False)), "zero")
    # 14 moves from line 5 on, then a stop, and the change, after which it goes up to a height
    assert finding.place == 20


def test_a_sheet_needs_all_three_zeros() -> None:
    sheet = good_run(where="step", file="sheet", zeros=(zero("z"),))
    finding = only(checked(sheet, machine=hand_mill()), "zero")
    assert "x and y" in finding.what
    zeroed = good_run(where="step", file="sheet")
    assert "zero" not in codes(checked(zeroed, machine=hand_mill()))


# ---------------------------------------------------------------- spindle, speed, feed


def test_a_feed_into_metal_with_the_spindle_stopped_is_found() -> None:
    stopped = run(*fit(SLOT_DRILL)[:2], Spindle(rpm=0), *to_and_fro(DEPTHS))
    assert only(checked(stopped), "spindle").place == 6  # the first feed, and it alone


def test_a_feed_in_the_air_with_the_spindle_stopped_is_none() -> None:
    items = (*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Spindle(rpm=0), Feed(10, 0, CLEAR, 100))
    assert "spindle" not in codes(checked(run(*items)))


def test_a_speed_that_was_never_set_is_found() -> None:
    unset = run(*fit(SLOT_DRILL)[:2], *to_and_fro(DEPTHS))
    assert "before a speed" in only(checked(unset), "speed").what


@pytest.mark.parametrize(("rpm", "found"), [(99, True), (100, False), (3000, False), (3002, True)])
def test_a_speed_outside_the_range_is_found(rpm: float, found: bool) -> None:
    report = checked(run(*fit(SLOT_DRILL, rpm=rpm), *to_and_fro(DEPTHS)))
    assert ("speed" in codes(report)) is found


def test_a_stepped_spindle_has_its_steps_only() -> None:
    def at(rpm: float) -> set[str]:
        items = (*fit(SLOT_DRILL, rpm=rpm), *to_and_fro(DEPTHS))
        return codes(checked(run(*items, where="step"), machine=hand_mill()))

    assert "speed" in at(900)
    assert "speed" not in at(1000)


def test_changing_a_cutter_or_measuring_with_the_spindle_turning_is_found() -> None:
    measure = Measure(name="M1", what="width", expected=6, low=5.9, high=6.1)
    after = (*to_and_fro(DEPTHS), measure, FitCutter(number=1, name=SLOT_DRILL.name, diameter=6.0))
    report = checked(run(*fit(SLOT_DRILL), *after))
    assert [f.place for f in report.findings if f.code == "spindle"] == [19, 20]
    still = (*to_and_fro(DEPTHS), Spindle(rpm=0), measure)
    assert "spindle" not in codes(checked(run(*fit(SLOT_DRILL), *still)))


@pytest.mark.parametrize(("feed", "found"), [(0.0, True), (NAN, True), (0.5, False)])
def test_a_feed_that_was_not_set_is_found(feed: float, found: bool) -> None:
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Feed(80, 0, CLEAR, feed)))
    assert ("feed unset" in codes(report)) is found


@pytest.mark.parametrize(("feed", "found"), [(800.0, False), (801.0, True)])
def test_a_feed_above_the_machines_most_is_found(feed: float, found: bool) -> None:
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Feed(80, 0, CLEAR, feed)))
    assert ("feed" in codes(report)) is found


def test_a_cut_to_or_from_an_unknown_place_is_found() -> None:
    def first(move: Item) -> set[str]:
        run_ = run(*fit(SLOT_DRILL))
        items = (*ZEROS, move, *run_.items[4:], *to_and_fro(DEPTHS))
        return codes(checked(replace(run_, items=items, numbers=tuple(range(1, len(items) + 1)))))

    assert "unknown place" not in first(Rapid(NAN, NAN, CLEAR))
    assert "unknown place" in first(Rapid(10, 0, NAN))  # across, the height not known
    assert "unknown place" in first(Feed(10, 0, NAN, 60))


# ---------------------------------------------------------------- travel


@pytest.mark.parametrize(("x", "found"), [(300.0, False), (300.1, True)])
def test_more_travel_than_the_machine_has_is_found(x: float, found: bool) -> None:
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Rapid(x, 0, CLEAR)))
    assert ("travel" in codes(report)) is found
    if found:
        finding = only(report, "travel")
        assert finding.place == 19
        assert finding.amount == pytest.approx(0.1)


def test_depth_travel_counts_the_clear_height() -> None:
    high = Rapid(77, 0, 192.0)  # 192 + 8.2 = 200.2 of 200
    assert "travel" in codes(checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), high)))


# ---------------------------------------------------------------- keepouts, beneath, flutes


def jaw(low: tuple[float, float, float], high: tuple[float, float, float]) -> Keepout:
    return Keepout(name="jaw", low=low, high=high)


@pytest.mark.parametrize(("front", "found"), [(2.9, True), (3.1, False)])
def test_a_cutter_that_meets_a_jaw_is_found(front: float, found: bool) -> None:
    held = setup(keepouts=[jaw((0, front, -30), (100, 30, -4))])
    report = checked(good_run(), held)
    assert ("keepout" in codes(report)) is found
    if found:
        finding = report.findings[0]
        assert finding.place == 10  # down to -4.5, the first below the jaw's top
        assert finding.amount == pytest.approx(0.1)


@pytest.mark.parametrize(("top", "found"), [(4.68, False), (4.7, True), (5.1, True)])
def test_a_rapid_across_at_the_clear_height_must_clear_the_clamps(top: float, found: bool) -> None:
    clamp = setup(keepouts=[jaw((85, 5, -8), (95, 15, top))])
    across = (Rapid(90, -15, CLEAR), Rapid(90, 15, CLEAR))
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), *across), clamp)
    assert ("keepout" in codes(report)) is found  # 0.3 for burrs, 0.01 for the datum's doubt
    if top == 4.7:
        assert "0.30 mm above 'jaw', where 0.31 mm is the least" in only(report, "keepout").what


# ---------------------------------------------------------------- room for hands


def stopped_at(z: float, machine: Machine, *stop: Item) -> Report:
    """Return what is found of a stop above the bar."""
    items = (*to_and_fro(DEPTHS), Rapid(77, 0, z), Spindle(rpm=0), *stop)
    zeros = (zero("x"), zero("y"))
    where = "line" if machine.control is not None else "step"
    return checked(run(*zeros, *fit(SLOT_DRILL), *items, where=where), machine=machine)


MEASURE = Measure(name="M1", what="width", expected=6, low=5.9, high=6.1)
AGAIN = FitCutter(number=1, name=SLOT_DRILL.name, diameter=6.0)


@pytest.mark.parametrize("stop", [MEASURE, AGAIN])
@pytest.mark.parametrize(("z", "found"), [(5.0, True), (39.9, True), (40.0, False)])
def test_hands_have_the_machines_room(stop: Item, z: float, found: bool) -> None:
    machine = replace(mill(), hand_room=40.0)
    low = [each for each in stopped_at(z, machine, stop).findings if each.code == "hands"]
    # The first cutter of all is fitted at the clear height in these runs. They end as high as
    # they stopped, but for a new cutter, of which nobody knows how high its end stands.
    last = [24] if stop is MEASURE else []
    assert [each.place for each in low] == [4, *([23, *last] if found else [])]
    if found:
        assert low[1].amount == pytest.approx(40 - z)


def test_a_machine_of_little_travel_gives_hands_half_of_it() -> None:
    machine = replace(mill(), hand_room=40.0, travel=(300.0, 150.0, 50.0))
    assert [f.place for f in stopped_at(25.0, machine, MEASURE).findings if f.code == "hands"] == [
        4
    ]


def test_hands_want_their_room_above_what_holds_the_work() -> None:
    held = setup(keepouts=[jaw((85, 5, -8), (95, 15, 20))])
    items = (*to_and_fro(DEPTHS), Rapid(77, 0, 20.5), Spindle(rpm=0), MEASURE)
    report = checked(run(*fit(SLOT_DRILL), *items), held)
    assert "hands" in codes(report)  # 1 mm above 20


@pytest.mark.parametrize(("z", "found"), [(42.5, False), (40.0, True)])
def test_by_a_handle_the_room_is_in_whole_turns(z: float, found: bool) -> None:
    # 44 mm of room are 17 turns of 2.5 mm: 42.5.
    machine = replace(hand_mill(), hand_room=44.0)
    low = [each.place for each in stopped_at(z, machine, MEASURE).findings if each.code == "hands"]
    assert low == [4, *([23, 24] if found else [])]


def test_a_run_ends_with_room_for_hands() -> None:
    held = setup(keepouts=[jaw((85, 5, -8), (95, 15, 4.5))])
    low = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS)), held).findings
    # Wanted is 1 mm above 4.5; the clear height, at which the cutter is fitted too, is 5.
    assert [(each.place, each.amount) for each in low if each.code == "hands"] == [
        (2, 0.5),
        (19, 0.5),
    ]
    higher = (*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Rapid(77, 0, 5.5))
    assert [e.place for e in checked(run(*higher), held).findings if e.code == "hands"] == [2]


def test_the_shank_meets_what_the_cutter_passes() -> None:
    thick = cutter(SLOT_DRILL.name, "slot drill", 6.0, shank=10.0, flute_length=12.0)

    def with_clamp(low_y: float, top: float) -> set[str]:

        held = setup(keepouts=[jaw((40, low_y, -8), (60, 30, top))])
        report = check_setup(good_run(), job(held), held, mill(), (thick,))
        return codes(report)

    # At z -8.2 the shank begins at 3.8: it meets a clamp of 4.5 mm that stands 4 mm off the middle.
    assert "keepout" in with_clamp(4.0, 4.5)
    assert "keepout" not in with_clamp(4.0, 3.7)
    assert "keepout" not in with_clamp(5.1, 4.5)


def test_a_rapid_that_need_not_go_straight_may_pass_over_the_whole_corner() -> None:
    held = setup(keepouts=[jaw((85, -20, -8), (95, -14, 10))])
    across = (Rapid(70, 0, CLEAR), Rapid(80, -15, 8), Rapid(70, 0, 8), Rapid(98, -28, 8))
    run_ = run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), across[2], Rapid(98, 0, 8))
    assert "keepout" not in codes(checked(run_, held, mill(rapid_straight=False)))
    slanting = run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Rapid(70, -4, 8), Rapid(103, 8, 8))
    assert "keepout" not in codes(checked(slanting, held, mill(rapid_straight=False)))
    corner = run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Rapid(70, -24, 8), Rapid(110, 8, 8))
    straight = run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), Rapid(60, -16, 8), Rapid(90, 14, 8))
    assert "keepout" not in codes(checked(straight, held, mill()))
    assert "keepout" in codes(checked(straight, held, mill(rapid_straight=False)))
    assert "keepout" in codes(checked(corner, held, mill(rapid_straight=False)))


@pytest.mark.parametrize(("air", "found"), [(0.2, False), (0.19, True)])
def test_a_cutter_that_reaches_what_lies_beneath_is_found(air: float, found: bool) -> None:
    report = checked(good_run(), setup(beneath=air))
    assert ("beneath" in codes(report)) is found


@pytest.mark.parametrize(("flutes", "found"), [(8.2, False), (8.1, True)])
def test_flutes_shorter_than_the_depth_are_found(flutes: float, found: bool) -> None:

    short = cutter(SLOT_DRILL.name, "slot drill", 6.0, flute_length=flutes)
    where = setup()
    report = check_setup(good_run(), job(where), where, mill(), (short,))
    assert ("shank" in codes(report)) is found
    if found:
        assert only(report, "shank").amount == pytest.approx(0.1)


# ---------------------------------------------------------------- holes

THROUGH = -9.6  # 8 mm, and 1.502 for the point of a 5 mm drill


def chain(pitch: float, bottom: float = THROUGH, **ways: float) -> set[str]:
    """Return what is found of a chain of 5 mm holes, the slot milled out after it."""
    holes = [Drill(25 + pitch * n, 0, bottom, 1, 50) for n in range(5)]
    items = (*fit(DRILL, 1), *holes, Spindle(rpm=0), *fit(SLOT_DRILL, 2), *to_and_fro(DEPTHS))
    where = setup(slot(ways=SlotWays(**ways)))  # type: ignore[arg-type]  # figures only
    report = checked(run(*items, cutters=(DRILL, SLOT_DRILL)), where)
    assert {"spot"} == {each.code for each in report.findings if each.severity == "caution"}
    return {each.code for each in report.findings if each.severity == "finding"}


def test_a_web_is_at_least_a_quarter_millimetre_unless_the_job_says_otherwise() -> None:
    assert chain(5.25) == set()
    assert chain(5.24) == {"web"}
    assert chain(5.3, least_web=0.4) == {"web"}
    assert chain(5.12, least_web=0.12) == set()


def test_holes_that_break_into_one_another_are_found() -> None:
    assert chain(4.9) == {"overlap"}


def test_a_hole_opened_out_over_its_pilot_is_not_an_overlap() -> None:
    pilot = cutter("3 mm drill", "drill", 3.0)

    items = (
        *fit(SPOT, 1),
        Drill(30, 0, -1, 1, 50),
        Spindle(rpm=0),
        *fit(pilot, 2),
        Drill(30, 0, -9.2, 1, 50),
        Spindle(rpm=0),
        *fit(DRILL, 3),
        Drill(30, 0, THROUGH, 1, 50),
        Spindle(rpm=0),
        *fit(SLOT_DRILL, 4),
        *to_and_fro(DEPTHS),
    )
    where = setup()
    cutters = (SPOT, pilot, DRILL, SLOT_DRILL)
    run_ = run(*items, cutters=cutters)
    report = check_setup(run_, job(where), where, mill(), cutters)
    assert report.findings == ()


def test_spots_are_no_holes() -> None:
    spots = [Drill(25 + 3.0 * n, 0, -1, 1, 50) for n in range(5)]
    items = (*fit(SPOT, 1), *spots, Spindle(rpm=0), *fit(SLOT_DRILL, 2), *to_and_fro(DEPTHS))
    assert codes(checked(run(*items, cutters=(SPOT, SLOT_DRILL)))) == set()


@pytest.mark.parametrize(("bottom", "found"), [(-9.51, False), (-9.49, True)])
def test_a_hole_is_through_when_its_full_diameter_is(bottom: float, found: bool) -> None:
    # point of 5 mm at 118 degrees: 2.5 / tan 59 = 1.502, so to -9.502
    assert ("not through" in chain(5.3, bottom)) is found


def test_a_hole_half_in_what_was_milled_is_found_and_one_wholly_in_it_is_not() -> None:
    def drilled_after(y: float) -> set[str]:
        items = (*fit(SLOT_DRILL, 1), *to_and_fro(DEPTHS), Spindle(rpm=0), *fit(DRILL, 2))
        hole = Drill(50, y, THROUGH, 1, 50)
        return codes(checked(run(*items, hole, cutters=(SLOT_DRILL, DRILL))))

    assert "half in air" in drilled_after(2.0)
    assert "half in air" not in drilled_after(0.0)


def test_a_hole_half_over_the_side_of_the_blank_is_found() -> None:
    def at(x: float) -> set[str]:
        return codes(checked(run(*fit(DRILL), Drill(x, 0, THROUGH, 1, 50), cutters=(DRILL,))))

    assert "half in air" in at(2.0)
    assert "half in air" not in at(2.6)
