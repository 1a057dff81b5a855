"""What the moves meet in the order of time: each fault, and beside it what is near it and right."""

import pytest

from pathgen.job.slot import SlotWays
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Doubt, Item
from tests.builders import (
    CLEAR,
    DEPTHS,
    DRILL,
    END_MILL,
    REAMER,
    SLOT_DRILL,
    SMALL_SLOT_DRILL,
    checked,
    codes,
    cutter,
    fit,
    job,
    only,
    run,
    setup,
    size,
    slot,
    to_and_fro,
)

NAN = float("nan")
SIX_DRILL = cutter("6 mm drill", "drill", 6.0)
WHOLE = (*fit(SLOT_DRILL), *to_and_fro(DEPTHS))  # lines 2 to 4, then 5 to 17


def after_the_slot(*items: Item) -> set[str]:
    return codes(checked(run(*WHOLE, *items)))


# ---------------------------------------------------------------- rapids


def test_a_rapid_down_into_metal_is_found_with_its_line_and_depth() -> None:
    report = checked(run(*fit(SLOT_DRILL), Rapid(30, 0, CLEAR), Rapid(30, 0, -0.5)))
    finding = only(report, "rapid")
    assert finding.place == 6
    assert finding.amount == pytest.approx(0.5)
    assert finding.at == pytest.approx((30, 0, -0.5), abs=0.1)


def test_a_rapid_down_to_just_above_the_face_or_into_an_open_slot_is_none() -> None:
    down_to_face = (Rapid(30, 10, CLEAR), Rapid(30, 10, 0.32), Rapid(30, 10, CLEAR))
    into_slot = (Rapid(30, 0, CLEAR), Rapid(30, 0, -5), Rapid(30, 0, CLEAR))
    assert "rapid" not in after_the_slot(*down_to_face, *into_slot)


def test_a_rapid_down_deeper_than_the_slot_was_cut_so_far_is_found() -> None:
    items = [*fit(SLOT_DRILL), *to_and_fro([-1.5, -3.0]), Rapid(30, 0, -3.2), Rapid(30, 0, 5)]
    finding = only(checked(run(*items)), "rapid")
    assert finding.amount == pytest.approx(0.2)


def test_a_rapid_along_the_open_slot_is_none_and_into_its_end_is_one() -> None:
    along = (Rapid(30, 0, CLEAR), Rapid(30, 0, -2), Rapid(70, 0, -2), Rapid(70, 0, CLEAR))
    too_far = (Rapid(30, 0, CLEAR), Rapid(30, 0, -2), Rapid(77.1, 0, -2), Rapid(70, 0, CLEAR))
    assert "rapid" not in after_the_slot(*along)
    assert "rapid" in after_the_slot(*too_far)


def test_a_rapid_across_above_the_face_is_none() -> None:
    assert "rapid" not in after_the_slot(Rapid(10, 10, 0.5), Rapid(90, -10, 0.5))


# The builders' datum of z is good to 0.01 mm, and burrs stand up to 0.3 (common practice): 0.31.


@pytest.mark.parametrize(("z", "found"), [(0.0, True), (0.3, True), (0.32, False)])
def test_a_rapid_stays_above_uncut_work_by_more_than_burrs_and_what_is_open(
    z: float, found: bool
) -> None:
    down = (Rapid(30, 12, CLEAR), Rapid(30, 12, z), Rapid(30, 12, CLEAR))
    across = (Rapid(-20, 12, CLEAR), Rapid(-20, 12, z), Rapid(120, 12, z), Rapid(120, 12, CLEAR))
    for items in (down, across):
        report = checked(run(*WHOLE, *items))
        assert ("rapid" in codes(report)) is found
        if found:
            finding = only(report, "rapid")
            assert finding.amount == pytest.approx(0.31 - z)
            assert f"{z:.2f} mm above the uncut work, where 0.31 mm is the least" in finding.what


def test_what_the_machine_leaves_open_of_the_depth_counts() -> None:
    low = (Rapid(30, 12, CLEAR), Rapid(30, 12, 0.35), Rapid(30, 12, CLEAR))
    doubt = Doubt(setting=(0.0, 0.0, 0.03), zero=(0.0, 0.0, 0.05))
    assert "rapid" not in codes(checked(run(*WHOLE, *low)))
    assert "rapid" in codes(checked(run(*WHOLE, *low, doubt=doubt)))


def test_a_rapid_low_above_the_open_slot_or_beside_the_bar_is_none() -> None:
    above = (Rapid(30, 0, CLEAR), Rapid(30, 0, 0.1), Rapid(70, 0, 0.1), Rapid(70, 0, CLEAR))
    beside = (Rapid(30, 24, CLEAR), Rapid(30, 24, 0.0), Rapid(70, 24, 0.0), Rapid(70, 24, CLEAR))
    assert "rapid" not in after_the_slot(*above, *beside)
    # and before the slot is cut it is one
    assert "rapid" in codes(checked(run(*fit(SLOT_DRILL), *above, *to_and_fro(DEPTHS))))


@pytest.mark.parametrize(("z", "found"), [(-1.0, True), (0.1, True), (0.32, False)])
def test_a_rapid_from_a_place_not_known_must_not_end_in_or_close_above_metal(
    z: float, found: bool
) -> None:
    # After a change of cutter nobody knows how high its end stands.
    down = (Rapid(30, 12, CLEAR), *fit(SLOT_DRILL), Rapid(30, 12, NAN), Rapid(30, 12, z))
    across = (*fit(SLOT_DRILL), Rapid(NAN, NAN, z), Rapid(30, 12, z))
    for items in (down, across):
        assert ("rapid" in after_the_slot(*items, Rapid(30, 12, CLEAR))) is found


def test_a_feed_may_begin_or_go_close_above_the_work() -> None:
    assert "rapid" not in after_the_slot(Rapid(30, 12, 1), Feed(30, 12, 0.1, 60), Rapid(40, 12, 5))


def test_a_slanted_rapid_that_clears_the_corner_is_none_and_one_that_cuts_it_is() -> None:
    # down a slope outside the bar's end at x 100; with radius 3 it must be at x 103 at z 0
    clears = (Rapid(120, 0, 8), Rapid(103.5, 0, -3))
    cuts = (Rapid(120, 0, 8), Rapid(95, 0, -3))
    assert "rapid" not in after_the_slot(*clears)
    assert "rapid" in after_the_slot(*cuts)


# ---------------------------------------------------------------- plunges


def test_a_plunge_into_solid_metal_needs_a_cutter_that_cuts_at_its_centre() -> None:
    items: list[Item] = [Rapid(30, 0, CLEAR), Feed(30, 0, -1, 40), Rapid(30, 0, CLEAR)]
    finding = only(checked(run(*fit(END_MILL), *items, cutters=(END_MILL,))), "plunge")
    assert finding.place == 6
    assert finding.amount == pytest.approx(1.0)
    assert "plunge" not in codes(checked(run(*fit(SLOT_DRILL), *items)))


def test_a_plunge_over_a_drilled_hole_is_none_and_beside_it_is_one() -> None:
    def plunge(x: float) -> set[str]:
        hole = (*fit(DRILL, 1), Drill(30, 0, -9.6, 1, 50), Rapid(30, 0, CLEAR))
        mill = (*fit(END_MILL, 2), Rapid(x, 0, CLEAR), Feed(x, 0, -8, 40), Rapid(x, 0, CLEAR))
        return codes(checked(run(*hole, *mill, cutters=(DRILL, END_MILL))))

    # The middle 3 mm of the end mill do not cut; the hole of 5 leaves room for 1 mm each way.
    assert "plunge" not in plunge(30.9)
    assert "plunge" in plunge(31.1)


def test_a_gentle_ramp_needs_no_centre_teeth_and_a_steep_one_does() -> None:
    def ramp(down: float) -> set[str]:
        items: list[Item] = [Rapid(30, 0, CLEAR), Feed(30, 0, 0, 40), Feed(50, 0, -down, 40)]
        return codes(checked(run(*fit(END_MILL), *items, cutters=(END_MILL,))))

    assert "plunge" not in ramp(1.7)  # 4.9 degrees
    assert "plunge" in ramp(1.8)  # 5.1 degrees


@pytest.mark.parametrize(("deep", "found"), [(3.0, False), (3.1, True)])
def test_a_mill_goes_straight_down_no_further_in_one_go_than_a_cut_is_deep(
    deep: float, found: bool
) -> None:
    # mild steel, rigid machine: half of 6 mm (common practice), 0.02 for rounding
    down: list[Item] = [Rapid(30, 0, CLEAR), Feed(30, 0, -deep, 40), Rapid(30, 0, CLEAR)]
    report = checked(run(*fit(SLOT_DRILL), *down))
    assert ("plunge" in codes(report)) is found
    if found:
        finding = only(report, "plunge")
        assert finding.place == 6
        assert finding.amount == pytest.approx(3.1)


def test_a_mill_goes_down_further_step_by_step_and_where_its_middle_is_open() -> None:
    steps = (Feed(30, 0, -3, 40), Feed(30, 0, -6, 40), Feed(30, 0, -8.2, 40))
    assert "plunge" not in codes(checked(run(*fit(SLOT_DRILL), Rapid(30, 0, CLEAR), *steps)))

    def over_a_hole(x: float) -> set[str]:
        hole = (*fit(DRILL, 1), Drill(30, 0, -9.6, 1, 50), Rapid(30, 0, CLEAR))
        down = (*fit(SLOT_DRILL, 2), Rapid(x, 0, CLEAR), Feed(x, 0, -8, 40), Rapid(x, 0, CLEAR))
        return codes(checked(run(*hole, *down, cutters=(DRILL, SLOT_DRILL))))

    # Its middle 3 mm are to be open; the hole of 5 leaves room for 1 mm each way.
    assert "plunge" not in over_a_hole(30.9)
    assert "plunge" in over_a_hole(31.1)


def test_a_mill_put_down_in_pecks_is_judged_by_the_peck() -> None:
    def pecked(peck: float) -> set[str]:
        return codes(checked(run(*fit(SLOT_DRILL), Drill(30, 0, -8.2, 1, 40, peck=peck))))

    assert "plunge" not in pecked(3.0)
    assert "plunge" in pecked(3.1)
    assert "plunge" in pecked(0.0)


def test_a_way_down_nearly_straight_is_a_plunge_too() -> None:
    def slanted(along: float) -> set[str]:
        items = (Rapid(30, 0, CLEAR), Rapid(30, 0, 0.5), Feed(30 + along, 0, -8.2, 40))
        return codes(checked(run(*fit(SLOT_DRILL), *items)))

    assert "plunge" in slanted(4.0)
    # Less steep it is a cut along the work, too deep where it ends.
    assert "plunge" not in slanted(20.0)
    assert "depth of cut" in slanted(20.0)


def test_a_reamer_needs_a_hole() -> None:
    ream = (*fit(REAMER, 2), Drill(30, 0, -9, 1, 50))
    drilled = (*fit(DRILL, 1), Drill(30, 0, -9.6, 1, 50), Rapid(30, 0, CLEAR))
    assert "plunge" in codes(checked(run(*ream, cutters=(DRILL, REAMER))))
    # 5 mm is less than nine tenths of 6
    assert "plunge" in codes(checked(run(*drilled, *ream, cutters=(DRILL, REAMER))))


def test_a_drill_is_not_fed_sideways_through_metal() -> None:
    def sideways(z: float) -> set[str]:
        hole = (*fit(DRILL), Drill(30, 0, -9.6, 1, 50))
        return codes(checked(run(*hole, Feed(30, 0, z, 50), Feed(40, 0, z, 50), cutters=(DRILL,))))

    assert "sideways" in sideways(-2.0)
    assert "sideways" not in sideways(0.5)


def test_beneath_the_blank_there_is_nothing_to_meet() -> None:
    # The drill's full diameter is through 8 mm; the mill's end goes lower than the drill's point.
    hole = (*fit(DRILL, 1), Drill(30, 0, -9.6, 1, 50), Rapid(30, 0, CLEAR))
    mill = (*fit(END_MILL, 2), Rapid(30, 0, CLEAR), Feed(30, 0, -11, 40), Rapid(30, 0, CLEAR))
    assert "plunge" not in codes(checked(run(*hole, *mill, cutters=(DRILL, END_MILL))))
    fast = (*fit(SMALL_SLOT_DRILL, 2), Rapid(30, 0, CLEAR), Rapid(30, 0, -11), Rapid(30, 0, CLEAR))
    assert "rapid" not in codes(checked(run(*hole, *fast, cutters=(DRILL, SMALL_SLOT_DRILL))))


# ---------------------------------------------------------------- depth of cut


def test_a_full_width_cut_is_at_most_half_the_diameter_deep() -> None:
    # mild steel, rigid machine: half of 6 mm (common practice), 0.02 for rounding
    def deep(*depths: float) -> set[str]:
        return codes(checked(run(*fit(SLOT_DRILL), *to_and_fro(depths))))

    assert "depth of cut" not in deep(-3.0, -6.0, -8.2)
    assert "depth of cut" in deep(-3.1, -6.0, -8.2)
    assert "depth of cut" in deep(-3.0, -6.1, -8.2)


def test_the_finding_tells_depth_width_and_line() -> None:
    finding = only(checked(run(*fit(SLOT_DRILL), *to_and_fro([-4.0, -6.0, -8.2]))), "depth of cut")
    assert finding.amount == pytest.approx(4.0)
    assert finding.place == 7
    assert "4.000 mm deep and 6.00 mm wide" in finding.what


def round_the_walls(z: float, off: float, round_feed: float) -> list[Item]:
    """Return a way round the slot's outline, against the cutter's turn, off the centre line."""
    return [
        Rapid(50, 0, CLEAR),
        Rapid(50, 0, z),
        Feed(50, off, z, 60),
        Feed(77, off, z, 60),
        Arc(77, -off, z, 77, 0, True, round_feed),
        Feed(23, -off, z, 60),
        Arc(23, off, z, 23, 0, True, round_feed),
        Feed(50, off, z, 60),
        Rapid(50, off, CLEAR),
    ]


def test_a_narrow_cut_may_be_deeper_by_the_section_it_takes() -> None:
    # 5 mm cutter, full depth 2.5 + 0.02: 12.6 mm2 of section. At the walls 0.5 mm x 8 mm = 4 mm2.
    steps = (-2.5, -5.0, -7.5, -8.2)
    items = [
        *fit(SMALL_SLOT_DRILL),
        *to_and_fro(steps, ends=(22.5, 77.5)),
        *round_the_walls(-8.2, 0.5, 10),  # 60 x 0.5 / (0.5 + 2.5): the edge goes on as fast
    ]
    report = checked(run(*items, cutters=(SMALL_SLOT_DRILL,)))
    assert report.findings == ()
    (width, *_) = report.sizes
    assert (width.least, width.most) == pytest.approx((6.0, 6.0), abs=0.001)


def test_a_wide_side_cut_at_full_depth_is_too_much() -> None:
    wide = setup(slot(width=size(9.0), length=size(63.0, 0.5), low_end=18.5, high_end=81.5))
    steps = (-2.5, -5.0, -7.5, -8.2)
    items = [
        *fit(SMALL_SLOT_DRILL),
        *to_and_fro(steps, ends=(23, 77)),
        *to_and_fro([-8.2], y=2.0, ends=(23, 77)),  # 2 x 8.2 = 16.4 mm2
    ]
    assert "depth of cut" in codes(checked(run(*items, cutters=(SMALL_SLOT_DRILL,)), wide))


def test_what_the_job_asks_for_is_allowed() -> None:
    asked = setup(slot(ways=SlotWays(depth_of_cut=4.2)))
    assert "depth of cut" not in codes(
        checked(run(*fit(SLOT_DRILL), *to_and_fro([-4.1, -8.2])), asked)
    )


def test_a_helix_sees_what_its_own_earlier_turns_cleared() -> None:
    # a bore of 10 mm in six turns of 1.4 mm with a 6 mm cutter
    def helix(turns: int) -> set[str]:
        way = (Rapid(52, 0, CLEAR), Feed(52, 0, 0, 60), Arc(52, 0, -8.4, 50, 0, False, 60, turns))
        return codes(checked(run(*fit(SLOT_DRILL), *way, Rapid(52, 0, CLEAR))))

    assert "depth of cut" not in helix(5)
    assert "depth of cut" in helix(1)


def test_a_material_without_figures_is_cut_half_a_diameter_deep() -> None:
    def deep(depth: float) -> set[str]:
        items = (*fit(SLOT_DRILL), *to_and_fro([-depth, -6.0, -8.2]))
        return codes(checked(run(*items), job=job(setup(), material="cast basalt")))

    assert "depth of cut" not in deep(3.0)
    assert "depth of cut" in deep(3.1)


def test_a_rapid_where_a_rapid_cut_before_is_found_once() -> None:
    down = (Rapid(30, 0, CLEAR), Rapid(30, 0, -0.5), Rapid(30, 0, CLEAR))
    report = checked(run(*fit(SLOT_DRILL), *down, *down))
    assert only(report, "rapid").place == 6


def test_a_heavy_place_does_not_hide_in_a_long_leg() -> None:
    # The slot is roughed to -6 but for its last 12 mm; one leg of 54 mm then goes through at -6.
    near = to_and_fro((-1.5, -3.0, -4.5, -6.0), ends=(23.0, 65.0))
    report = checked(run(*fit(SLOT_DRILL), *near, *to_and_fro((-6.0,), ends=(23.0, 77.0))))
    found = only(report, "depth of cut")
    assert found.amount == pytest.approx(6.0)


@pytest.mark.parametrize(("deep", "found"), [(3.0, False), (6.0, True)])
def test_webs_of_a_chain_are_cut_no_deeper_than_a_solid(deep: float, found: bool) -> None:
    # Between holes 6 mm wide and 7 mm apart webs are left, 1 mm thick in the middle, which a cutter
    # of 6 mm meets all over its width. Half its diameter is allowed in a full slot, so 3 x 6 = 18
    # mm2. In a radius of the way, 3 mm, lies one web: 6 x 7 - pi x 3 x 3 = 13.7 mm2, so on average
    # 4.6 mm is cut; 3 mm deep that is 14 mm2, and 6 mm deep 27 mm2.
    chain = [Drill(23.0 + 7.0 * row, 0.0, -10.0, 1.0, 50.0) for row in range(8)]
    drilled = [*fit(SIX_DRILL), Rapid(23.0, 0.0, CLEAR), *chain]
    milled = [*fit(SLOT_DRILL, 2), *to_and_fro([-deep], ends=(23.0, 72.0))]
    report = checked(run(*drilled, *milled, cutters=(SIX_DRILL, SLOT_DRILL)))
    told = [each for each in report.findings if each.code == "depth of cut"]
    assert bool(told) == found
