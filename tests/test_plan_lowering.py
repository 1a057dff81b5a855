"""The ways straight down of a mill in a slot: a pass at a time in metal, fast in the air."""

from __future__ import annotations

import math

import pytest

from pathgen.input.where import Refusal
from pathgen.moves.moves import Drill, Feed, Rapid
from pathgen.moves.plan import Pass
from pathgen.plan.heights import just_above, reaches
from pathgen.shop.shop import Shop
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.writer import write_sheet
from tests.fence_bar import OPEN_RIGHT, planned, purposes, the, way, with_cutters
from tests.read_jobs import the_shop

MANUAL = "bench-mill-metric"
CONVERTED = "converted-mill"
OPEN_LEFT = ("centre = [80, 0]", 'open_at = ["left"]\ncentre_line = 0')


@pytest.fixture(scope="module")
def shop() -> Shop:
    return the_shop()


def plunges(each: Pass) -> list[tuple[float, float, float]]:
    """Return (x, z it starts from, z it ends at) of each feed straight down."""
    found = []
    at = (math.nan, math.nan, math.nan)
    for item in each.items:
        if isinstance(item, Feed) and at[:2] == (item.x, item.y):
            found.append((item.x, at[2], item.z))
        if isinstance(item, (Rapid, Feed)):
            at = item.x, item.y, item.z
    return found


@pytest.mark.parametrize("machine", [MANUAL, "bench-mill-inch"])
def test_one_cutter_for_all_never_plunges_deeper_than_a_pass(shop: Shop, machine: str) -> None:
    plan = planned(with_cutters(shop, "10 mm slot drill"), machine)
    assert purposes(plan) == ["finish"]
    cut = the(plan, "finish")
    ends = [z for _, _, z in plunges(cut)]
    # 8.5 mm by the depth of a pass, each but once, always at the same end.
    assert len(ends) == round(8.5 / cut.depth_of_cut)
    for above, z in zip([0.0, *ends], ends):
        assert above - z == pytest.approx(cut.depth_of_cut)
    assert {x for x, _, _ in plunges(cut)} == {30.0}


def test_the_far_end_is_opened_a_pass_at_a_time(shop: Shop) -> None:
    # A full slot of 6 mm may be about 0.85 deep here, 5.1 mm2 at a time; 0.5 mm on either side is
    # 1 mm of width, so 0.7 x 5.1 / 1 = 3.6 mm at most: 11.5 mm (11 and 0.5 below) in four passes.
    plan = planned(
        with_cutters(shop, "6 mm slot drill", "5 mm slot drill"),
        MANUAL,
        ("thickness = 8", "thickness = 11"),
        ("width = 10", "width = 6"),
        ("outside = 9.9", "outside = 5.85"),
    )
    depths = [-2.875, -5.75, -8.625, -11.5]
    opened = [(132.0, z) for z in depths]
    assert [(x, z) for x, _, z in plunges(the(plan, "finish"))] == [
        *opened,
        *((28.0, z) for z in depths),
    ]


def test_a_pass_is_come_down_to_fast_until_just_above_the_last(shop: Shop) -> None:
    cut = the(planned(with_cutters(shop, "10 mm slot drill"), CONVERTED), "finish")
    starts = [start for _, start, _ in plunges(cut)]
    ends = [z for _, _, z in plunges(cut)]
    assert starts == pytest.approx([above + 1.0 for above in (0.0, *ends[:-1])])


def test_a_handle_stops_above_the_last_pass_at_a_round_figure(shop: Shop) -> None:
    # 2 mm a turn: tenths of a turn are 0.2 mm. Last pass at -1.42: 1 mm above it is -0.42, and the
    # next tenth of a turn upwards -0.4. On an inch dial 0.01 in each: -0.42 mm gives -0.016 in.
    assert just_above(shop.machines[MANUAL], -1.42) == pytest.approx(-0.4)
    assert just_above(shop.machines["bench-mill-inch"], -1.42) == pytest.approx(-0.254)
    assert just_above(shop.machines[CONVERTED], -1.42) == pytest.approx(-0.42)
    assert just_above(shop.machines[MANUAL], 0.0) == pytest.approx(1.0)


def test_a_tenth_of_the_flutes_stays_above_the_top_face(shop: Shop) -> None:
    # What a dial rounds a depth by must not bury them: flutes of 24 mm go 23.9 mm deep.
    (drill,) = with_cutters(shop, "2 mm drill").cutters
    assert drill.flute_length == 24.0
    assert reaches(drill, -23.9)
    assert not reaches(drill, -23.91)


@pytest.mark.parametrize("machine", [MANUAL, CONVERTED])
def test_nothing_is_fed_down_outside_an_open_end(shop: Shop, machine: str) -> None:
    plan = planned(shop, machine, OPEN_LEFT)
    mills = [each for each in plan.passes if each.purpose in ("rough", "semi-finish", "finish")]
    assert len(mills) == 3
    assert all(x > 0 for each in mills for x, _, _ in plunges(each))
    outside = [item for item in the(plan, "rough").items if isinstance(item, Rapid) and item.x < 0]
    assert min(item.z for item in outside) < -1.0  # it is come down to in the air


def test_outside_an_open_end_the_slack_is_not_taken_out_again(shop: Shop) -> None:
    # Six passes, each begun outside on the left; only the first comes up to its place.
    ways = way("holes", '"none"\nways.rough = "none"\nways.finish = "10 mm end mill"')
    machine = shop.machines[MANUAL]
    plan = planned(shop, MANUAL, OPEN_LEFT, ways)
    text = write_text(write_sheet(plan, machine), machine)
    cut = text[text.index(". FINISH") : text.index("\nTO END WITH")]
    assert cut.count("over the first end") == 6
    assert cut.count("back past the next reading") <= 2  # of both slides, once


@pytest.mark.parametrize(("material", "fed_from"), [("mild steel", 16.0), ("tool steel", 1.0)])
def test_much_air_over_a_hole_is_gone_through_fast(
    shop: Shop, material: str, fed_from: float
) -> None:
    # A clamp 12.7 mm high: the clear plane is 3 mm above it, at the next whole turn of 2 mm. The
    # 9 mm drill goes down at 120 mm/min in mild steel, 8 s through the air; in tool steel at 34.
    clamp = '{ name = "clamp", low = [0, 20, -8], high = [20, 40, 12.7] },'
    keepouts = ("keepouts = [", f"keepouts = [\n    {clamp} #")
    plan = planned(shop, MANUAL, keepouts, ("mild steel", material))
    drilled = [item for item in the(plan, "chain drill").items if isinstance(item, Drill)]
    assert {hole.clear for hole in drilled} == {fed_from}
    assert {hole.left_at for hole in drilled} == {16.0}
    machine = shop.machines[MANUAL]
    text = write_text(write_sheet(plan, machine), machine)
    cut = text[text.index(". CHAIN DRILL") : text.index("\nTO END WITH")]
    assert ("down in the air, just above the metal" in cut) == (fed_from == 1.0)


def test_a_cutter_that_does_not_cut_at_its_centre_begins_where_it_can(shop: Shop) -> None:
    # From the left, as the slide comes to a position, it would begin at the closed end.
    ways = way("holes", '"none"\nways.rough = "none"\nways.finish = "10 mm end mill"')
    plan = planned(shop, MANUAL, OPEN_RIGHT, ways)
    assert not plunges(the(plan, "finish"))


def test_ends_that_are_not_drilled_are_not_taken_for_reamed(shop: Shop) -> None:
    ways = way("holes", '"none"\nways.finish = "8 mm slot drill"')
    with pytest.raises(Refusal) as refused:
        planned(shop, MANUAL, ways)
    assert "alone cannot make the round ends" in refused.value.cannot
