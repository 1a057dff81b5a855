"""Finished sizes of slots, and what is found when they leave their limits."""

import math
from dataclasses import replace
from typing import Any

import pytest

from pathgen.check.check import Report, merge_reports
from pathgen.check.findings import FinishedSize
from pathgen.job.job import JobSetup
from pathgen.job.slot import Slot
from pathgen.moves.actions import Spindle
from pathgen.moves.moves import Drill, Feed, Rapid
from pathgen.moves.plan import Doubt, Item, Wider
from tests.builders import (
    CLEAR,
    DEPTHS,
    DRILL,
    SLOT_DRILL,
    SMALL_SLOT_DRILL,
    TOUCHING,
    checked,
    codes,
    datum,
    fit,
    good_run,
    job,
    only,
    run,
    setup,
    size,
    slot,
    to_and_fro,
    zero,
    zero_from,
)

STOP = Spindle(rpm=0.0)
EXACT = 0.002  # what finished sizes are promised to, mm


def measured(report: Report, quantity: str, feature: str = "slot") -> FinishedSize:
    (found,) = (s for s in report.sizes if (s.feature, s.quantity) == (feature, quantity))
    return found


def assert_size(found: FinishedSize, least: float, most: float) -> None:
    assert found.least == pytest.approx(least, abs=EXACT)
    assert found.most == pytest.approx(most, abs=EXACT)


def milled(
    *items: Item, where: JobSetup | None = None, depths: tuple[float, ...] = DEPTHS, **more: Any
) -> Report:
    """Return the report on the slot cut along its centre line, and on what comes after it."""
    return checked(run(*fit(SLOT_DRILL), *to_and_fro(depths), *items, **more), where)


# ---------------------------------------------------------------- sizes of good slots


def test_a_slot_by_a_cutter_of_its_width_has_its_sizes() -> None:
    report = checked(good_run())
    assert [s.quantity for s in report.sizes] == ["width", "length", "middle", "centre line"]
    for quantity, value in (("width", 6), ("length", 60), ("middle", 50), ("centre line", 0)):
        assert_size(measured(report, quantity), value, value)


def slot_along_y(name: str = "slot") -> Slot:
    """Return a slot across the bar at x 50, 24 mm long."""
    return slot(
        name,
        along="y",
        low_end=-12.0,
        high_end=12.0,
        centre_line=50.0,
        length=size(24.0),
        middle=size(0.0, 0.1),
        across=size(50.0, 0.1),
    )


def along_y(x: float) -> list[Item]:
    """Return the moves to and fro through such a slot."""
    items: list[Item] = [Rapid(x, -9, CLEAR)]
    near, far = -9.0, 9.0
    for z in DEPTHS:
        items += [Feed(x, near, z, 60), Feed(x, far, z, 75)]
        near, far = far, near
    return [*items, Rapid(x, near, CLEAR)]


def test_a_slot_along_y_is_measured_along_y() -> None:
    items = along_y(50.03)
    report = checked(run(*fit(SLOT_DRILL), *items), setup(slot_along_y()))
    assert report.findings == ()
    assert_size(measured(report, "centre line"), 50.03, 50.03)
    assert_size(measured(report, "length"), 24.0, 24.0)


def test_the_measured_diameter_decides_not_the_stated_one() -> None:
    report = milled(wider=(Wider(1, 0.03, "M1"),))
    assert_size(measured(report, "width"), 6.03, 6.03)
    assert_size(measured(report, "length"), 60.03, 60.03)


def test_a_slot_open_to_the_left_is_measured_from_the_face() -> None:
    opened = slot(low_end=0.0, open_low=True, length=size(80.0, 0.1), middle=size(40.0, 0.1))
    where = setup(opened)
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, ends=(-5, 77.05))), where)
    assert report.findings == ()
    assert [s.quantity for s in report.sizes] == ["width", "length", "centre line"]
    assert_size(measured(report, "length"), 80.05, 80.05)
    short = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, ends=(-5, 76.85))), where)
    assert "metal left" in codes(short)
    long = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, ends=(-5, 77.15))), where)
    ends = [f for f in long.findings if f.code == "end"]
    assert len(ends) == 9  # six cuts, and three times down at that end
    assert all(f.amount == pytest.approx(0.05, abs=EXACT) for f in ends)


def test_a_slot_open_at_both_ends_has_no_length() -> None:
    groove = slot(
        low_end=0.0,
        high_end=100.0,
        open_low=True,
        open_high=True,
        length=size(100.0),
        middle=size(50.0),
        depth=size(3.0, 0.1),
    )
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro([-3.0], ends=(-5, 105))), setup(groove))
    assert report.findings == ()
    assert [s.quantity for s in report.sizes] == ["width", "depth", "centre line"]


def test_crests_of_a_chain_of_overlapping_plunges_are_in_the_least_width() -> None:
    # plunges 3 mm apart with a 6 mm slot drill leave 3 - sqrt(9 - 1.5^2) = 0.402 on each wall
    plunges: list[Item] = []
    for n in range(19):
        x = 23 + 3.0 * n
        plunges += [Rapid(x, 0, CLEAR), Feed(x, 0, -8.2, 40), Rapid(x, 0, CLEAR)]
    report = checked(run(*fit(SLOT_DRILL), *plunges))
    crest = 3 - math.sqrt(9 - 1.5**2)
    assert_size(measured(report, "width"), 6 - 2 * crest, 6.0)
    assert "metal left" in codes(report)


# ---------------------------------------------------------------- walls and ends


@pytest.mark.parametrize(("off", "found"), [(0.049, False), (0.07, True)])
def test_a_wall_cut_beyond_the_width_is_found_with_its_line(off: float, found: bool) -> None:
    # the other wall lies at -3, so this one may lie at 3.05
    gouge = to_and_fro([-3.0], y=off, ends=(40, 60))
    report = milled(*gouge)
    assert ("wall" in codes(report)) is found
    if found:
        walls = [f for f in report.findings if f.code == "wall"]
        assert [f.place for f in walls] == [20, 21]  # its plunge and its feed
        assert walls[1].amount == pytest.approx(0.020, abs=EXACT)
        assert walls[1].at == pytest.approx((50, 3.07, -3), abs=EXACT)
        assert_size(measured(report, "width"), 6.0, 6.07)


@pytest.mark.parametrize(("end", "found"), [(77.09, False), (77.12, True)])
def test_an_end_cut_beyond_the_length_is_found(end: float, found: bool) -> None:
    # length 60.2 at most; the other end lies where it should
    report = milled(*to_and_fro([-3.0], ends=(70, end)), *to_and_fro([-3.0], ends=(22.9, 30)))
    assert ("end" in codes(report)) is found
    if found:
        assert only(report, "end").place == 21
        assert only(report, "end").amount == pytest.approx(0.02, abs=EXACT)


def test_a_round_end_cut_out_square_is_found_though_width_and_length_hold() -> None:
    tight = setup(slot(length=size(60.0, 0.05)))
    corner = (Rapid(23, 0, CLEAR), Rapid(23, 0, -3), Feed(22.5, 0.45, -3, 60))
    smaller = (STOP, *fit(SMALL_SLOT_DRILL, 2), *corner, Rapid(22.5, 0.45, CLEAR))
    items = (*fit(SLOT_DRILL), *to_and_fro(DEPTHS), *smaller)
    report = checked(run(*items, cutters=(SLOT_DRILL, SMALL_SLOT_DRILL)), tight)
    assert all(s.ok for s in report.sizes)
    # beyond the round end of radius 3.025 about x 23: hypot(0.5, 0.45) + 2.5 - 3.025
    assert only(report, "outside").amount == pytest.approx(0.1477, abs=EXACT)


def test_an_end_cut_short_leaves_metal() -> None:
    report = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, ends=(23.3, 77))))
    assert "metal left" in codes(report)
    assert_size(measured(report, "length"), 59.7, 59.7)
    good = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, ends=(23.1, 76.95))))
    assert good.findings == ()


def test_a_narrow_slot_leaves_metal_on_its_walls() -> None:
    report = milled(wider=(Wider(1, -0.06, "M1"),))
    assert "metal left" in codes(report)
    assert_size(measured(report, "width"), 5.94, 5.94)
    assert milled(wider=(Wider(1, -0.04, "M1"),)).findings == ()


def test_a_web_left_standing_in_the_slot_is_metal_left() -> None:
    halves = [*to_and_fro(DEPTHS, ends=(23, 47)), *to_and_fro(DEPTHS, ends=(53.5, 77))]
    report = checked(run(*fit(SLOT_DRILL), *halves))
    finding = only(report, "metal left")
    assert finding.at is not None
    assert finding.at[0] == pytest.approx(50.25, abs=0.3)


def test_a_slot_in_the_wrong_place_is_found_and_one_within_its_tolerance_not() -> None:
    def across(y: float) -> Report:
        return checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, y=y)))

    assert across(0.098).findings == ()
    report = across(-0.13)
    assert codes(report) == {"position"}
    assert only(report, "position").amount == pytest.approx(0.03, abs=EXACT)
    along = checked(run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS, ends=(23.15, 77.15))))
    assert codes(along) == {"position"}


def test_a_cut_beside_the_slot_is_found_wherever_it_is() -> None:
    report = milled(Rapid(50, 12, CLEAR), Feed(50, 12, -0.2, 60), Rapid(50, 12, CLEAR))
    finding = only(report, "outside")
    assert finding.place == 20
    # 12 + 3 from the centre line, less 3.025
    assert finding.amount == pytest.approx(11.975, abs=EXACT)
    air = milled(Rapid(50, 12, CLEAR), Feed(50, 12, 0.0, 60), Rapid(50, 12, CLEAR))
    assert air.findings == ()


def test_a_cut_beside_the_blank_is_none() -> None:
    beside = (Rapid(50, 23.1, CLEAR), Feed(50, 23.1, -3, 60), Feed(90, 23.1, -3, 60))
    assert milled(*beside, Rapid(90, 23.1, CLEAR)).findings == ()
    grazing = (Rapid(50, 22.9, CLEAR), Feed(50, 22.9, -3, 60), Feed(90, 22.9, -3, 60))
    assert "outside" in codes(milled(*grazing, Rapid(90, 22.9, CLEAR)))


# ---------------------------------------------------------------- floors

BLIND = slot(depth=size(4.0, 0.05))


def blind(*depths: float, more: tuple[Item, ...] = ()) -> Report:
    return milled(*more, where=setup(BLIND), depths=depths)


def test_a_blind_slot_has_a_depth() -> None:
    report = blind(-2.0, -4.02)
    assert report.findings == ()
    assert_size(measured(report, "depth"), 4.02, 4.02)


@pytest.mark.parametrize(("depth", "code"), [(4.04, None), (4.06, "floor"), (3.94, "metal left")])
def test_a_floor_outside_its_limits_is_found(depth: float, code: str | None) -> None:
    report = blind(-2.0, -depth)
    assert code in codes(report) if code else report.findings == ()
    assert_size(measured(report, "depth"), depth, depth)


def test_a_floor_too_deep_names_its_lines_and_how_much() -> None:
    floor = [f for f in blind(-2.0, -4.07).findings if f.code == "floor"]
    assert [f.place for f in floor] == [8, 9]
    assert floor[0].amount == pytest.approx(0.02, abs=EXACT)


def test_metal_left_in_a_part_of_the_floor_counts_and_so_does_a_dimple() -> None:
    half = to_and_fro([-4.0], ends=(23, 60))
    report = blind(-3.0, more=tuple(half))
    assert_size(measured(report, "depth"), 3.0, 4.0)
    assert only(report, "metal left").amount == pytest.approx(0.95, abs=EXACT)
    hole = (STOP, *fit(DRILL, 2), Drill(50, 0, -4.3, 1, 50))
    items = (*fit(SLOT_DRILL), *to_and_fro([-2.0, -4.0]), *hole)
    dimple = checked(run(*items, cutters=(SLOT_DRILL, DRILL)), setup(BLIND))
    assert_size(measured(dimple, "depth"), 4.0, 4.3)
    assert only(dimple, "floor").amount == pytest.approx(0.25, abs=EXACT)


def test_a_floor_left_on_a_slope_counts_to_its_highest_place() -> None:
    ramp = (Rapid(23, 0, CLEAR), Feed(23, 0, -3.0, 60), Feed(77, 0, -4.0, 60), Rapid(77, 0, CLEAR))
    report = checked(run(*fit(SLOT_DRILL), *ramp), setup(BLIND))
    depth = measured(report, "depth")
    assert depth.most == pytest.approx(4.0, abs=EXACT)
    assert depth.least == pytest.approx(3.0, abs=0.06)  # measured 0.02 off the walls


def test_a_through_slot_that_stops_short_is_found() -> None:
    report = milled(depths=(-2.5, -5.0, -7.9))
    assert only(report, "metal left").amount == pytest.approx(0.1, abs=EXACT)
    assert milled(depths=(-2.5, -5.0, -8.0)).findings == ()


# ---------------------------------------------------------------- doubt

DOUBT = Doubt(setting=(0.01, 0.02, 0.015), zero=(0.03, 0.04, 0.05), stop=(0.005, 0.0, 0.0))


def test_one_setting_of_the_cross_position_leaves_the_width_to_the_cutter() -> None:
    report = milled(doubt=DOUBT)
    assert measured(report, "width").uncertainty == 0
    assert measured(report, "length").uncertainty == pytest.approx(2 * 0.01 + 0.005)
    assert measured(report, "middle").uncertainty == pytest.approx(0.03 + 0.01 + 0.0025)
    assert measured(report, "centre line").uncertainty == pytest.approx(0.04 + 0.02)


def test_two_settings_make_a_width_as_uncertain_as_both() -> None:
    report = milled(*to_and_fro([-8.2], y=0.01), doubt=DOUBT)
    assert measured(report, "width").uncertainty == pytest.approx(2 * 0.02)


def test_a_depth_hangs_on_its_zero_and_its_setting() -> None:
    report = milled(where=setup(BLIND), depths=(-2.0, -4.0), doubt=DOUBT)
    assert measured(report, "depth").uncertainty == pytest.approx(0.05 + 0.015)


def test_a_depth_is_known_no_better_than_its_datum_is_touched() -> None:
    # The program says that nothing is open of its zero; the datum of z is good to 0.01 mm.
    doubt = replace(DOUBT, zero=(0.03, 0.04, 0.0))
    report = milled(where=setup(BLIND), depths=(-2.0, -4.0), doubt=doubt)
    assert measured(report, "depth").uncertainty == pytest.approx(0.01 + 0.015)


def test_a_good_size_that_the_machine_may_spoil_is_a_caution() -> None:
    report = milled(where=setup(BLIND), depths=(-2.0, -4.0), doubt=DOUBT)
    caution = only(report, "measure")
    assert caution.severity == "caution"
    assert "measure before finishing" in str(caution)
    assert report.ok
    assert caution.amount == pytest.approx(0.065 - 0.05, abs=EXACT)


def test_a_size_well_within_its_limits_needs_no_caution() -> None:
    report = milled(where=setup(BLIND), depths=(-2.0, -4.0), doubt=Doubt(zero=(0, 0, 0.04)))
    assert report.findings == ()


# ---------------------------------------------------------------- several features, setups, cases


def test_two_slots_that_cross_are_measured_each_by_itself() -> None:
    report = milled(*along_y(50), where=setup(slot(), slot_along_y("cross")))
    assert report.findings == ()
    assert_size(measured(report, "width"), 6.0, 6.0)
    assert_size(measured(report, "width", "cross"), 6.0, 6.0)


def test_a_later_setup_starts_from_what_the_earlier_one_left() -> None:
    first = setup(slot(depth=size(4.0, 0.05)))
    # the same slot taken through from another origin: the right front corner of the top
    through = slot(
        low_end=-80.0, high_end=-20.0, centre_line=20.0, middle=size(-50.0), across=size(20.0, 0.1)
    )
    second = replace(
        setup(through, origin=(100.0, 0.0, 0.0)), name="second", datum_x=datum("right")
    )
    bar = job(first, second)
    before = checked(run(*fit(SLOT_DRILL), *to_and_fro([-2.0, -4.0])), first, job=bar)
    down = [Rapid(-77, 20, CLEAR), Rapid(-77, 20, -4.0)]
    deeper = [*fit(SLOT_DRILL), *down, *to_and_fro([-6.0, -8.2], y=20, ends=(-77, -23))[1:]]
    zeros = (TOUCHING, zero_from("x", "right", -1, 0.0), zero_from("y", "front", 1, 0.0), zero("z"))
    finish = run(*deeper, zeros=zeros)
    finish = replace(finish, head=replace(finish.head, setup="second"))
    assert checked(finish, second, job=bar, left=before.left).findings == ()
    # from the whole blank the rapid would run into metal
    assert "rapid" in codes(checked(finish, second, job=bar))


def test_cases_of_a_sheet_are_put_together() -> None:
    narrow = milled(wider=(Wider(1, -0.02, "M1"),), case="cutter at its smallest")
    wide = milled(wider=(Wider(1, 0.06, "M1"),), case="cutter at its largest")
    merged = merge_reports([narrow, wide])
    width = measured(merged, "width")
    assert_size(width, 5.98, 6.06)
    assert not width.ok
    assert all("(case: cutter at its largest)" in f.what for f in merged.findings)


def test_nothing_cut_is_one_finding_of_metal_left() -> None:
    assert codes(checked(run(*fit(SLOT_DRILL)))) == {"metal left"}


def test_the_time_is_that_of_the_feeds_and_rapids() -> None:
    # six times 54 mm at 75; down from z 5 to -8.2 at 60; back up, and 23 mm across, at 1000
    report = checked(good_run())
    feeds = 6 * 54 / 75 + (5 + 8.2) / 60
    rapids = (23 + (5 + 8.2)) / 1000
    assert report.minutes == pytest.approx(feeds + rapids)


def test_what_an_earlier_setup_cut_too_wide_is_found_without_a_line() -> None:
    first = setup(slot(depth=size(4.0, 0.05)))
    through = replace(setup(slot()), name="second")
    bar = job(first, through)
    wide = run(*fit(SLOT_DRILL), *to_and_fro([-2.0, -4.0]), *to_and_fro([-4.0], y=0.1))
    before = checked(wide, first, job=bar)
    finish = run(*fit(SLOT_DRILL), *to_and_fro([-6.0, -8.2]))
    finish = replace(finish, head=replace(finish.head, setup="second"))
    finding = only(checked(finish, through, job=bar, left=before.left), "wall")
    assert (finding.place, finding.where) == (None, "job")
    assert finding.amount == pytest.approx(0.05, abs=EXACT)


def test_a_slot_as_long_as_it_is_wide_is_a_hole() -> None:
    hole = slot(low_end=47.0, high_end=53.0, length=size(6.0, 0.1))
    steps = [Feed(50, 0, z, 40) for z in DEPTHS]
    plunge: list[Item] = [Rapid(50, 0, CLEAR), *steps, Rapid(50, 0, CLEAR)]
    report = checked(run(*fit(SLOT_DRILL), *plunge), setup(hole))
    assert report.findings == ()
    assert_size(measured(report, "width"), 6.0, 6.0)
    assert_size(measured(report, "length"), 6.0, 6.0)
