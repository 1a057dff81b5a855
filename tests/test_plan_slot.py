"""Planning a slot, held to figures worked out by hand for the fence bar and for published rows."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pathgen.commands.proving import prove_job
from pathgen.input.where import Faults, Refusal
from pathgen.job.load import load_job
from pathgen.moves.actions import FitCutter, Measure, Note, Zero
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.plan.bench import even_depths
from pathgen.plan.planners import plan_setup
from pathgen.reckon.drills import point_length
from pathgen.shop.crib import Crib
from pathgen.shop.shop import Shop
from tests.fence_bar import holes, job_of, planned, purposes, the, way, with_cutters
from tests.read_jobs import the_shop

ROOT = Path(__file__).parents[1]
MANUAL = "bench-mill-metric"
CONVERTED = "converted-mill"
INCH = 25.4


@pytest.fixture(scope="module")
def shop() -> Shop:
    return the_shop()


def test_equal_depths_end_exactly_at_the_floor() -> None:
    assert even_depths(0.0, -8.5, 2.0) == (-1.7, -3.4, -5.1, -6.8, -8.5)
    assert even_depths(0.0, -0.3, 2.0) == (-0.3,)
    assert even_depths(0.0, -2.0, 1.0) == (-1.0, -2.0)


# ---------------------------------------------------------------- the fence bar


def test_the_fence_bar_is_cut_in_the_order_of_the_trade(shop: Shop) -> None:
    plan = planned(shop, CONVERTED)
    assert purposes(plan) == ["spot", "chain drill", "rough", "semi-finish", "finish"]


def test_its_chain_is_as_worked_by_hand(shop: Shop) -> None:
    # Allowance 0.5 a side of 10.075: at most 9.075, so 9 mm. Ends 25 + 0.5 + 4.5 = 30 and 130;
    # pitch at least 9.5, so 10 spaces of 10 and webs of 1 mm.
    drilled = the(planned(shop, CONVERTED), "chain drill")
    assert drilled.cutter.name == "9 mm drill"
    assert [hole.x for hole in holes(drilled)] == [30.0 + 10 * n for n in range(11)]
    # 8 mm bar, 1 mm breakthrough, point 4.5 / tan 59 = 2.704.
    assert holes(drilled)[0].bottom == pytest.approx(-8 - 1 - 2.7039, abs=1e-4)


# The stud's slot two millimetres wider, in a bar 11 mm thick: at most 12.075 - 1, so 11 mm drills.
WIDER = (("width = 10\n", "width = 12\n"), ("outside = 9.9", "outside = 11.9"))
THICKER = ("thickness = 8", "thickness = 11")


def test_a_deep_pilot_is_pecked_and_a_shallow_hole_is_not(shop: Shop) -> None:
    plan = planned(shop, CONVERTED, *WIDER, THICKER)
    assert purposes(plan)[:3] == ["spot", "pilot", "chain drill"]
    pilot, drilled = the(plan, "pilot"), the(plan, "chain drill")
    # A fifth of 11 is 2.2: the next drill held is 2.5. 12.75 mm deep: over three of its diameters.
    assert (pilot.cutter.name, drilled.cutter.name) == ("2.5 mm drill", "11 mm drill")
    assert 0 < holes(pilot)[0].peck <= 2.5
    assert holes(drilled)[0].peck == 0.0
    assert [hole.x for hole in holes(pilot)] == [hole.x for hole in holes(drilled)]


def test_a_pilot_that_does_not_reach_is_passed_over(shop: Shop) -> None:
    job = job_of(*WIDER)
    # 8 mm bar, 1 mm breakthrough, point 0.75: a 2.5 mm drill ground short does not get down.
    short = tuple(
        replace(each, flute_length=9.0) if each.name == "2.5 mm drill" else each
        for each in shop.cutters
    )
    plan = plan_setup(job, job.setups[0], shop.machines[CONVERTED], Crib(cutters=short))
    assert the(plan, "pilot").cutter.name == "2.8 mm drill"


def test_the_job_may_name_a_pilot_or_want_none(shop: Shop) -> None:
    named = planned(shop, CONVERTED, way("pilot", '"4 mm drill"'))
    assert the(named, "pilot").cutter.name == "4 mm drill"
    without = planned(shop, CONVERTED, *WIDER, way("pilot", '"none"'))
    assert "pilot" not in purposes(without)


def test_a_crib_without_a_pilot_is_told_of_its_size(shop: Shop) -> None:
    large = tuple(each for each in shop.cutters if each.kind != "drill" or each.diameter >= 11)
    job = job_of(*WIDER)
    with pytest.raises(Refusal) as refused:
        plan_setup(job, job.setups[0], shop.machines[CONVERTED], Crib(cutters=large))
    assert str(refused.value).endswith(
        "ways.pilot: 11 mm drill wants a pilot of about 2.2 mm, the thickness of its web; "
        'none is held; put one into the crib, or say pilot = "none"'
    )


def test_a_control_goes_round_the_walls_against_the_cutter(shop: Shop) -> None:
    # 8 mm mill, 10.075 wanted: centre 1.0375 off the line; the back wall (y plus) going right,
    # so that it lies on the left of the feed.
    moves = list(the(planned(shop, CONVERTED), "finish").items)
    wall = next(
        item for item in moves if isinstance(item, Feed) and item.y == pytest.approx(1.0375)
    )
    before = moves[moves.index(wall) - 1]
    assert isinstance(before, Arc)
    assert wall.x > end_of(before)[0]
    assert all(item.clockwise for item in moves if isinstance(item, Arc))


def test_arcs_are_fed_by_their_cutting_edge(shop: Shop) -> None:
    finish = the(planned(shop, CONVERTED), "finish")
    arc = next(item for item in finish.items if isinstance(item, Arc))
    assert arc.feed == pytest.approx(finish.feed * 1.0375 / 5.0375)


def test_handles_finish_with_a_cutter_of_the_width(shop: Shop) -> None:
    finish = the(planned(shop, MANUAL), "finish")
    assert finish.cutter.name == "10 mm slot drill"
    feeds = [item for item in finish.items if isinstance(item, Feed)]
    assert {item.y for item in feeds} == {0.0}
    assert {item.x for item in feeds} == {30.0, 130.0}
    # One way only, so that both ends are come to from the same side.
    along = [item for item in feeds if item.x == 130.0 and item.z == feeds[-1].z]
    assert along


def test_every_move_by_hand_turns_one_handle(shop: Shop) -> None:
    for each in planned(shop, MANUAL).passes:
        at: tuple[float, float, float] | None = None
        for item in each.items:
            if isinstance(item, (Rapid, Feed, Arc, Drill)):
                if at is not None and isinstance(item, Feed):
                    changed = [a != b for a, b in zip(at, end_of(item)) if a == a]
                    assert sum(changed) <= 1
                at = end_of(item)


def test_the_depth_zero_is_taken_after_each_change_by_hand(shop: Shop) -> None:
    for machine, wanted in ((MANUAL, True), ("converted-mill-lean", True), (CONVERTED, False)):
        for each in planned(shop, machine).passes:
            fits = sum(isinstance(item, FitCutter) for item in each.items)
            zeros = sum(isinstance(item, Zero) for item in each.items)
            assert zeros == (fits if wanted else 0)


def test_it_is_measured_before_the_finish(shop: Shop) -> None:
    for machine in (name for name, each in shop.machines.items() if each.lathe is None):
        finish = the(planned(shop, machine), "finish")
        measure = next(item for item in finish.items if isinstance(item, Measure))
        first_cut = next(i for i, item in enumerate(finish.items) if isinstance(item, Feed))
        assert finish.items.index(measure) < first_cut
        assert measure.low < measure.expected < measure.high < 10.0


def test_a_caution_is_given_once(shop: Shop) -> None:
    plan = planned(shop, MANUAL)
    items = [*plan.before, *(item for each in plan.passes for item in each.items), *plan.after]
    texts = [item.text for item in items if isinstance(item, Note) and item.caution]
    assert len(texts) == len(set(texts))
    assert any("manual, local rules and trained supervision" in text for text in texts)


# ---------------------------------------------------------------- ways


def test_no_holes_wants_a_cutter_that_cuts_at_its_centre(shop: Shop) -> None:
    plan = planned(shop, CONVERTED, way("holes", '"none"'))
    assert purposes(plan) == ["rough", "semi-finish", "finish"]
    assert the(plan, "rough").cutter.name == "8 mm slot drill"


def test_ends_and_middle_only(shop: Shop) -> None:
    plan = planned(shop, CONVERTED, way("holes", '"ends and middle"'))
    assert [hole.x for hole in holes(the(plan, "chain drill"))] == [30.0, 80.0, 130.0]


def test_a_blind_slot_keeps_the_drill_points_off_the_floor(shop: Shop) -> None:
    plan = planned(shop, CONVERTED, ('depth = "through"', "depth = 5"))
    assert all(hole.bottom >= -4.7 for each in plan.passes for hole in holes(each))
    lowest = min(item.z for item in the(plan, "finish").items if isinstance(item, Feed))
    assert lowest == pytest.approx(-5.0)  # the middle of 5 mm and its general tolerance
    assert the(plan, "finish").cutter.name.endswith("slot drill")


def test_an_open_end_begins_a_web_inside_the_face(shop: Shop) -> None:
    plan = planned(
        shop,
        CONVERTED,
        ("centre = [80, 0]", 'open_at = ["left"]\ncentre_line = 0'),
    )
    first = holes(the(plan, "chain drill"))[0]
    assert first.x == pytest.approx(0.5 + 4.5)
    outside = min(item.x for item in the(plan, "rough").items if isinstance(item, Feed))
    assert outside < -4.0


def test_smaller_cutters_by_hand_have_the_ends_reamed(shop: Shop) -> None:
    plan = planned(shop, MANUAL, way("finish", '"8 mm end mill"'))
    assert purposes(plan)[:5] == ["spot", "chain drill", "chain drill", "ream", "rough"]
    reamed = holes(the(plan, "ream"))
    # Width 10.075 aimed at: round ends 5.0375 from the tips at 25 and 135.
    assert [hole.x for hole in reamed] == pytest.approx([30.0375, 129.9625])
    assert all(hole.feed_out for hole in reamed)
    finish = the(plan, "finish")
    rules = {
        rule.factor
        for item in finish.items
        if isinstance(item, Feed) and item.how
        for rule in item.how.rules
    }
    assert rules == {-0.5, 0.5}


# ---------------------------------------------------------------- long enough

REAMED = way("finish", '"8 mm end mill"')


def with_flutes(shop: Shop, lengths: dict[str, float]) -> Shop:
    """Return the shop with other lengths of some cutters' flutes."""
    cutters = tuple(
        replace(each, flute_length=lengths.get(each.name, each.flute_length))
        for each in shop.cutters
    )
    return replace(shop, crib=replace(shop.crib, cutters=cutters))


@pytest.mark.parametrize(
    "lengths",
    [
        {"10 mm reamer": 6.0},
        {"10 mm reamer": 10.5},  # 8 mm, 1 mm breakthrough, 1.5 mm of lead and a tenth: 10.6
        {"9.7 mm drill": 8.0},  # the next smaller one, 9.5 mm, leaves more than is reamed
    ],
)
def test_ends_are_not_reamed_by_what_is_too_short(shop: Shop, lengths: dict[str, float]) -> None:
    with pytest.raises(Refusal) as refused:
        planned(with_flutes(shop, lengths), MANUAL, REAMED)
    assert "alone cannot make the round ends" in refused.value.cannot
    assert "both long enough to go through" in refused.value.instead


def test_reamed_ends_are_proved(shop: Shop) -> None:
    for machine in (MANUAL, "bench-mill-inch"):
        (proof,) = prove_job(job_of(REAMED), shop, machine, lambda _: None)
        assert proof.report.ok
        assert "ream" in purposes(planned(shop, machine, REAMED))


def test_the_air_beneath_is_for_the_largest_drill(shop: Shop) -> None:
    # The chain's 9 mm drill comes 1 + 2.704 out below, the 9.7 mm one before the reamer 1 + 2.914.
    with pytest.raises(Refusal) as refused:
        planned(shop, MANUAL, REAMED, ("beneath = 12", "beneath = 3.8"))
    assert "the point of the 9.7 mm drill comes 3.914 mm out" in refused.value.cannot


def test_without_a_chain_the_ends_alone_are_drilled_and_reamed(shop: Shop) -> None:
    # 1.5 mm left a side allows a chain of 7.075 mm at most, and this crib has no such drill.
    crib = with_cutters(shop, "9.7 mm drill", "10 mm reamer", "8 mm slot drill", "6 mm slot drill")
    ways = way("finish", '"6 mm slot drill"\nways.rough = "6 mm slot drill"\nways.allowance = 1.5')
    plan = planned(crib, MANUAL, ways)
    assert [hole.x for hole in holes(the(plan, "chain drill"))] == pytest.approx(
        [30.0375, 129.9625]
    )
    assert purposes(plan)[:2] == ["chain drill", "ream"]


@pytest.mark.parametrize("name", ["9 mm drill", "10 mm drill", "3.5 mm drill"])
def test_a_pilot_leads_its_drill_all_the_way(shop: Shop, name: str) -> None:
    # The 3.5 mm drill is smaller, but goes 8 + 1 + 1.05 mm down.
    short = with_flutes(shop, {"3.5 mm drill": 10.0})
    with pytest.raises(Refusal) as refused:
        planned(short, CONVERTED, way("pilot", f'"{name}"'))
    assert "cannot lead the 9 mm drill all the way down" in refused.value.cannot


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("machine", "changes", "said", "would"),
    [
        (CONVERTED, (("beneath = 12", "beneath = 3"),), "3.704 mm out of the under", "3.704 mm"),
        (CONVERTED, (("beneath = 12", "beneath = 0"),), "0 mm of air beneath", "at least 0.5 mm"),
        (MANUAL, (("outside = 9.9", "outside = 9.65"), ("width = 10\n", "width = 9.8\n")),
         "no cutter", "a slot drill that measures 9.75 to 9.9 mm"),
        (CONVERTED, (way("rough", '"16 mm end mill"'),), "16 mm end mill measures 16", "smaller"),
        (CONVERTED, (way("finish", '"8 mm endmill"'),), "no cutter called '8 mm endmill'",
         '"8 mm end mill"'),
        (CONVERTED, (way("drill", '"8 mm end mill"'),), "but an end mill", "name a drill"),
        (CONVERTED, (way("drill", '"9.5 mm drill"'),), "9.5 mm drill measures 9.5 mm", "smaller"),
        (CONVERTED, (("thickness = 8", "thickness = 30"), ("beneath = 12", "beneath = 15")),
         "no cutter finishes", "flutes of 30.6 mm"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_refused_with_what_would(
    shop: Shop, machine: str, changes: tuple[tuple[str, str], ...], said: str, would: str
) -> None:
    with pytest.raises(Refusal) as refused:
        planned(shop, machine, *changes)
    assert said in refused.value.cannot
    assert would in refused.value.instead


def test_point_length_is_that_of_the_trade() -> None:
    assert point_length(9.0, 118.0) == pytest.approx(2.7039, abs=1e-4)


def test_a_slot_along_y_is_the_same_slot_turned(shop: Shop) -> None:
    turned = planned(
        shop,
        CONVERTED,
        ("length = 160", "length = 30"),
        ("width = 30 ", "width = 160 "),
        ('along = "x"', 'along = "y"'),
        ("centre = [80, 0]", "centre = [15, 0]"),
        ("keepouts = [", "keepouts = [] # ["),
        ("    { name", "#    { name"),
        ("\n]\n\n[setup.datum.x]", "\n\n[setup.datum.x]"),
    )
    straight = planned(shop, CONVERTED)
    assert purposes(turned) == purposes(straight)
    for a, b in zip(turned.passes, straight.passes):
        assert [hole.y + 80 for hole in holes(a)] == pytest.approx([hole.x for hole in holes(b)])


def test_the_shipped_demo_loads(shop: Shop) -> None:
    faults = Faults()
    job = load_job(ROOT / "jobs" / "fence-bar.toml", faults)
    assert not faults
    assert job is not None
    assert job.setups[0].machine in shop.machines
