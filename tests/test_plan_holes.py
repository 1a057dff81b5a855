"""Plans of holes against what was worked out by hand."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.input.where import Refusal
from pathgen.moves.actions import FitCutter, Note, Pause
from pathgen.moves.moves import Arc, Drill, Rapid
from pathgen.moves.plan import Item, Pass, PlannedSetup
from pathgen.plan.holes.order import by_hand, goings_back, shortest
from pathgen.plan.planners import plan_setup
from pathgen.reckon.oversize import drilled_oversize
from pathgen.shop.crib import Crib
from pathgen.shop.taps import Tap
from tests.hole_plates import job_text, job_with, made, prove
from tests.read_jobs import the_shop

POINT = 1 / math.tan(math.radians(59))  # height of an ordinary drill's point for 1 mm of radius
THROUGH = 'at = [20, 30]\ndepth = "through"\n'


def plan_of(feature: str, machine: str = "converted-mill", beneath: float = 10) -> PlannedSetup:
    plan = made(feature, machine, beneath).plan
    assert plan is not None
    return plan


def pass_of(plan: PlannedSetup, purpose: str) -> Pass:
    (found,) = [each for each in plan.passes if each.purpose == purpose]
    return found


def drills(each: Pass) -> list[Drill]:
    return [item for item in each.items if isinstance(item, Drill)]


def order_of(plan: PlannedSetup) -> list[tuple[str, str]]:
    return [(each.purpose, each.cutter.name) for each in plan.passes]


def test_a_plain_hole_is_spotted_and_drilled_through() -> None:
    plan = plan_of(THROUGH + "diameter = 6.5")
    assert order_of(plan) == [("spot", "10 mm spotting drill"), ("drill", "6.5 mm drill")]
    (hole,) = drills(pass_of(plan, "drill"))
    # 20 of plate, 1 past it at full diameter, and the point of 3.25 mm radius.
    assert hole.bottom == pytest.approx(-(20 + 1 + 3.25 * POINT))
    # 20 of plate is over 3 diameters, so drawn out; 22.95 mm in steps of 6.5 at most: 4.
    assert hole.peck == pytest.approx((21 + 3.25 * POINT) / 4)
    (spot,) = drills(pass_of(plan, "spot"))
    # As wide as the drill but at most 0.8 of it: 5.2 across, at 90 degrees 2.6 deep.
    assert spot.bottom == pytest.approx(-2.6)


def test_a_blind_hole_is_as_deep_at_its_full_diameter() -> None:
    plan = plan_of("at = [20, 30]\ndiameter = 6\ndepth = 8\ndepth_limits = [8, 8.4]")
    (hole,) = drills(pass_of(plan, "drill"))
    assert hole.bottom == pytest.approx(-(8.2 + 3 * POINT))


def test_a_deep_hole_leaves_as_much_room_for_hands_as_the_machine_reaches() -> None:
    job = job_text(THROUGH + "diameter = 5").replace("thickness = 20", "thickness = 45")
    proof = prove(job, "bench-mill-metric")
    assert proof.report.ok, proof.report.findings
    assert proof.plan is not None
    (drilled,) = drills(pass_of(proof.plan, "drill"))
    assert drilled.bottom == pytest.approx(-(46 + 2.5 * POINT))
    up = max(item.z for item in proof.plan.after if isinstance(item, Rapid))
    # 85 mm of travel: from 47.5 under the top it reaches 37.5 over it, from 4 in turns of 2 to 36.
    assert up == pytest.approx(36)


def test_a_large_hole_is_piloted_by_a_drill_as_thick_as_the_web() -> None:
    plan = plan_of(THROUGH + "diameter = 12")
    names = [each.cutter.name for each in plan.passes]
    # A fifth of 12 is 2.4: the next drill held is 2.5.
    assert names == ["10 mm spotting drill", "2.5 mm drill", "12 mm drill"]


@pytest.mark.parametrize("how", ["diameter_limits = [7.99, 8.02]", 'finish = "reamed"'])
def test_a_close_hole_is_reamed_after_a_drill_that_leaves_the_stock(how: str) -> None:
    plan = plan_of(f"{THROUGH}diameter = 8\n{how}")
    assert order_of(plan)[1:] == [("drill", "7.7 mm drill"), ("ream", "8 mm reamer")]
    (reamed,) = drills(pass_of(plan, "ream"))
    # 20 of plate, 1 past it at full diameter, and 1.5 of lead that does not cut to size.
    assert (reamed.bottom, reamed.feed_out) == (-22.5, True)


def test_a_blind_hole_is_drilled_deeper_than_it_is_reamed() -> None:
    plan = plan_of("at = [20, 30]\ndiameter = 8\ndiameter_limits = [7.99, 8.02]\ndepth = 10")
    # The lead of 1.5 mm does not cut to size, and the drill goes on half a millimetre for chips.
    assert drills(pass_of(plan, "ream"))[0].bottom == pytest.approx(-11.5)
    assert drills(pass_of(plan, "drill"))[0].bottom == pytest.approx(-(12 + 3.85 * POINT))


def test_limits_that_leave_room_for_what_a_drill_cuts_over_are_drilled() -> None:
    # A 6 mm drill makes about 6.081.
    assert drilled_oversize(6.0) == pytest.approx(0.0508 + 0.03)
    drilled = plan_of(f"{THROUGH}diameter = 6\ndiameter_limits = [6, 6.1]")
    assert order_of(drilled)[-1] == ("drill", "6 mm drill")
    reamed = plan_of(f"{THROUGH}diameter = 6\ndiameter_limits = [6, 6.08]")
    assert order_of(reamed)[-1] == ("ream", "6 mm reamer")


def test_a_hole_said_to_be_drilled_is_drilled_with_a_caution() -> None:
    proof = made(f'{THROUGH}diameter = 7\ndiameter_limits = [6.99, 7.03]\nfinish = "drilled"')
    assert proof.report.ok
    (caution,) = proof.report.findings
    # 0.0508 + 0.005 x 7 = 0.086 over 7, where 0.03 is allowed.
    assert caution.severity == "caution"
    assert caution.amount == pytest.approx(0.0558, abs=1e-3)


def test_a_countersink_is_as_deep_as_its_cone_is_wide() -> None:
    plan = plan_of(THROUGH + "diameter = 6.5\ncountersink = { diameter = 12.6 }")
    (hole,) = drills(pass_of(plan, "countersink"))
    assert pass_of(plan, "countersink").cutter.name == "16.5 mm countersink"
    # Its end is a flat of 3.2 mm: (12.6 - 3.2) / 2 deep at 90 degrees.
    assert hole.bottom == pytest.approx(-4.7)


def test_a_countersink_whose_end_does_not_go_into_the_hole_is_not_taken() -> None:
    # The flat of the smallest is 1.5 mm, the hole may be 1.1: a spotting drill comes to a point.
    sunk = "diameter = 1\ndepth = 3\nfinish = 'drilled'\ncountersink = { diameter = 2 }"
    by = pass_of(plan_of(f"at = [20, 30]\n{sunk}"), "countersink")
    assert by.cutter.name == "6 mm spotting drill"
    assert drills(by)[0].bottom == pytest.approx(-1)


def test_a_counterbore_by_the_cutter_of_its_size_stays_at_the_floor() -> None:
    mouth = "counterbore = { diameter = 16, depth = 6, depth_limits = [6, 6.2] }"
    feature = f"{THROUGH}diameter = 10\n{mouth}"
    for machine in ("converted-mill", "bench-mill-metric"):
        made_by = pass_of(plan_of(feature, machine), "counterbore")
        (hole,) = drills(made_by)
        assert (made_by.cutter.name, hole.peck, hole.dwell_s) == ("16 mm slot drill", 0, 1)
        assert hole.bottom == pytest.approx(-6.1)


def test_a_counterbore_over_a_small_hole_is_pecked() -> None:
    def peck(bore: float, machine: str) -> float:
        mouth = "counterbore = { diameter = 8, depth = 4.2, depth_limits = [4.1, 4.3] }"
        plan = plan_of(f"{THROUGH}diameter = {bore}\n{mouth}", machine)
        (sunk,) = drills(pass_of(plan, "counterbore"))
        return sunk.peck

    # Half of the mill is 4 mm, the hole 4.1 at the least. In mild steel a quarter of its 8 mm at a
    # time on a machine of medium rigidity: 4.2 in 3; 0.15 of it, 1.2, on a light one: 4.2 in 4.
    assert peck(4.2, "converted-mill") == 0
    assert peck(3, "converted-mill") == pytest.approx(1.4)
    assert peck(3, "bench-mill-metric") == pytest.approx(1.05)


def test_a_counterbore_of_no_cutters_size_is_led_round_where_the_machine_can() -> None:
    feature = f"{THROUGH}diameter = 10\ncounterbore = {{ diameter = 15, depth = 4 }}"
    by = pass_of(plan_of(feature), "counterbore")
    arcs = [item for item in by.items if isinstance(item, Arc)]
    radius = 15 / 2 - by.cutter.diameter / 2
    # The largest mill that leaves half a millimetre to go round by: 1/2 in. It does not cut at its
    # centre, but the hole is wider than half of it.
    assert by.cutter.name == "1/2 in end mill"
    assert all(arc.clockwise for arc in arcs)
    assert {round(arc.x, 6) for arc in arcs} == {20 + radius, 20.0}
    assert min(arc.z for arc in arcs) == -4
    with pytest.raises(Refusal, match=r"no cutter makes counterbores of 14\.8 to 15\.2 mm"):
        made(feature, "bench-mill-metric")


def test_a_tapped_hole_says_what_its_drill_gives_and_stops_for_the_tap() -> None:
    plan = plan_of('at = [[70, 30], [20, 30]]\ntapped = "M6"\ndepth = 8')
    drilled = pass_of(plan, "drill")
    # (6 - 5) / (2 x 0.6495) = 77 %; half-way between 3 and 6 pitches beyond 8 mm of thread.
    assert "77% of a full thread (of 0.6495 p" in drilled.why
    assert drills(drilled)[0].bottom == pytest.approx(-(12.5 + 2.5 * POINT))
    pauses = [item.reason for item in plan.after if isinstance(item, Pause)]
    assert pauses == [
        "spindle off at its switch; cutter out, a sprung centre in its place",
        "tap hole 1 of 2 of pins by hand, M6, 8 mm of full thread",
        "tap hole 2 of 2 of pins by hand, M6, 8 mm of full thread",
    ]
    over = [item for item in plan.after if isinstance(item, Rapid)]
    # Over each hole, and up again after it, since the centre may have been brought down.
    assert [each.z for each in over] == [45] * 5
    assert [each.x for each in over[1::2]] == [20, 70]
    notes = [item.text for item in plan.after if isinstance(item, Note)]
    # A bottoming tap's lead is 3 pitches: its end at 8 + 3 mm, 1 mm a turn.
    assert any(
        "until its end is 11 mm below the top face, about 11 turns" in each for each in notes
    )
    assert any("brush the chips out of each hole first" in each for each in notes)
    assert (
        notes.count("The tap out and the centre up, clear of the work: only then move anything.")
        == 2
    )
    assert "thread M6, 8 mm deep by its gauge" in notes[-2]
    cautions = [item.text for item in plan.after if isinstance(item, Note) and item.caution]
    assert any("M6 and 0BA" in text for text in cautions)


@pytest.mark.parametrize(
    ("beneath", "said"),
    [
        # Taps lead with up to 8, 5 and 3 pitches of 1 mm.
        (8, "right through: the taper tap, until its full thread is out"),
        (7.9, "then the second tap until its full thread is out"),
        (4.9, "then the bottoming tap until its full thread is out"),
    ],
)
def test_a_tap_goes_through_as_far_as_there_is_air(beneath: float, said: str) -> None:
    plan = plan_of(THROUGH + 'tapped = "M6"', beneath=beneath)
    assert any(said in item.text for item in plan.after if isinstance(item, Note))


def test_a_tap_that_does_not_come_through_is_refused() -> None:
    # The 5 mm drill needs 1 + 1.5 mm, the tap 3.
    with pytest.raises(Refusal, match=r"a tap for M6 comes 3 mm out .* with 2\.9 mm of air"):
        made(THROUGH + 'tapped = "M6"', "converted-mill", 2.9)
    parallel = '{ name = "parallel", low = [22, 0, -40], high = [40, 60, -22.9] }'
    # 22 is 2 mm from the axis, where the tap has 3; it stands 2.9 mm under the blank.
    job = job_text(THROUGH + 'tapped = "M6"').replace(
        "beneath = 10", f"beneath = 10, keepouts = [{parallel}]"
    )
    with pytest.raises(
        Refusal, match="parallel lies in the way of the tap under the hole at x 20 mm"
    ):
        prove(job)
    assert prove(job.replace("low = [22,", "low = [23,")).report.ok
    assert prove(job.replace("-22.9] }", "-23] }")).report.ok


def test_a_thread_without_a_drill_says_which_would_do() -> None:
    # 1/4 BSF at 75 %: 6.35 - 1.5 x 0.6403 x 0.9769 = 5.41; No. 3 is 0.213 in, 5.41 mm.
    assert pass_of(plan_of(THROUGH + 'tapped = "1/4 BSF"'), "drill").cutter.name == "No. 3 drill"
    # M20 at 75 %: 20 - 1.5 x 0.6495 x 2.5 = 17.56, between two drills of a quarter millimetre.
    with pytest.raises(Refusal) as refused:
        made(THROUGH + 'tapped = "M20"')
    assert "put into the crib 17.5 mm drill or 17.75 mm drill" in str(refused.value)


def cautions_of(feature: str, crib: Crib, beneath: float = 10) -> tuple[list[str], list[str]]:
    """Return the cautions before the tapping and those of it, with what a crib has."""
    job, shop = job_with(feature, beneath), the_shop()
    plan = plan_setup(job, job.setups[0], shop.machines["converted-mill"], crib)
    before = [item for each in plan.passes for item in each.items]
    return cautions_in(before), cautions_in(plan.after)


def cautions_in(items: Iterable[Item]) -> list[str]:
    return [item.text for item in items if isinstance(item, Note) and item.caution]


NO_TAP = "The crib lists no tap for M6: see that one is at hand before the holes are drilled."


def test_a_thread_whose_tap_is_not_in_the_crib_is_told_before_the_drill() -> None:
    crib = replace(the_shop().crib, taps=())
    assert NO_TAP in cautions_of(THROUGH + 'tapped = "M6"', crib)[0]
    assert NO_TAP not in cautions_of(THROUGH + "diameter = 6", crib)[0]
    assert NO_TAP not in cautions_of(THROUGH + 'tapped = "M6"', the_shop().crib)[0]


SECOND = (Tap(thread="M6", lead="taper"), Tap(thread="M6", lead="second"))


@pytest.mark.parametrize(
    ("feature", "beneath", "said"),
    [
        # The hole is drilled 3 pitches of 1 mm deeper at least; a second tap tapers in over 5.
        (
            'at = [20, 30]\ndepth = 8\ntapped = "M6"',
            10,
            "may leave the last 2 mm of the thread less than full.",
        ),
        (
            THROUGH + 'tapped = "M6"',
            4.9,
            "comes 5 mm out before its thread is full, into 4.9 mm of air.",
        ),
        (THROUGH + 'tapped = "M6"', 5, ""),
    ],
)
def test_a_crib_without_a_bottoming_tap_is_told_what_the_second_leaves(
    feature: str, beneath: float, said: str
) -> None:
    crib = replace(the_shop().crib, taps=SECOND)
    told = [text for text in cautions_of(feature, crib, beneath)[1] if "last of M6" in text]
    assert told == ([f"The second tap, the crib's last of M6, {said}"] if said else [])
    whole = cautions_of(feature, the_shop().crib, beneath)[1]
    assert not any("last of M6" in text for text in whole)


def test_drills_speak_the_job_s_units_where_they_do_as_well() -> None:
    # At 75 % M5 wants 4.221 mm: No. 19 is 4.216, and 4.2 mm is all but as near.
    assert pass_of(plan_of(THROUGH + 'tapped = "M5"'), "drill").cutter.name == "4.2 mm drill"
    # 1/4-20 UNC: 6.35 - 1.5 x 0.6495 x 1.27 = 5.113: No. 7 is 5.105, the nearest metric one 5.
    named = pass_of(plan_of(THROUGH + 'tapped = "1/4-20 UNC"'), "drill").cutter.name
    assert named == "No. 7 drill"


def test_cutters_are_fitted_once_for_several_features() -> None:
    more = """
[[setup.feature]]
kind = "holes"
name = "screws"
at = [60, 30]
diameter = 6.5
depth = 8
"""
    plan = plan_of(THROUGH + "diameter = 6.5" + more)
    fitted = [i.name for each in plan.passes for i in each.items if isinstance(i, FitCutter)]
    assert fitted == ["10 mm spotting drill", "6.5 mm drill"]
    assert [each.feature for each in plan.passes] == ["pins", "screws", "pins", "screws"]


@pytest.mark.parametrize(
    ("feature", "beneath", "said"),
    [
        # 1 past and 1.95 of point: 2.95 under the plate.
        (THROUGH + "diameter = 6.5", 2.9, "comes 2.953 mm out of the underside"),
        (THROUGH + "diameter = 7.3\ndiameter_limits = [7.29, 7.32]", 10, "no reamer of that size"),
        (THROUGH + "diameter = 20", 10, "nothing in the crib makes holes of 19.8 to 20.2 mm"),
        (THROUGH + 'diameter = 20\nfinish = "drilled"', 10, "no drill of 19.8 to 20.2 mm"),
        (
            THROUGH + "diameter = 6\ncountersink = { diameter = 12, angle_deg = 82 }",
            10,
            "no countersink of 82",
        ),
        (THROUGH + "diameter = 6\ncountersink = { diameter = 30 }", 10, "30.2 mm wide or more"),
    ],
)
def test_what_cannot_be_done_is_refused(feature: str, beneath: float, said: str) -> None:
    with pytest.raises(Refusal) as refused:
        made(feature, "converted-mill", beneath)
    assert said in str(refused.value)
    assert refused.value.instead


def test_enough_air_is_enough() -> None:
    assert made(THROUGH + "diameter = 6.5", "converted-mill", 2.96).report.ok


def test_the_order_by_hand_goes_back_least() -> None:
    grid = [(x, y) for x in (0.0, 30.0, 60.0) for y in (0.0, 20.0)]
    assert by_hand(grid, {"x": 1, "y": 1}) == (
        (0, 0), (30, 0), (60, 0), (0, 20), (30, 20), (60, 20),
    )  # fmt: skip
    # One column only: the table need not go back at all, whatever its side.
    assert by_hand([(5.0, 0.0), (5.0, 20.0)], {"x": -1, "y": -1}) == ((5, 20), (5, 0))


@settings(max_examples=60)
@given(
    places=st.lists(
        st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=2, max_size=5, unique=True
    ),
    signs=st.sampled_from([(1, 1), (-1, 1), (1, -1), (-1, -1)]),
)
def test_no_order_by_hand_goes_back_less(
    places: list[tuple[int, int]], signs: tuple[int, int]
) -> None:
    each = [(float(x), float(y)) for x, y in places]
    least = min(
        sum(
            (signs[0] * (b[0] - a[0]) < 0) + (signs[1] * (b[1] - a[1]) < 0)
            for a, b in itertools.pairwise(way)
        )
        for way in itertools.permutations(each)
    )
    way = by_hand(each, {"x": signs[0], "y": signs[1]})
    assert sorted(way) == sorted(each)
    assert goings_back(way, signs) == least


def test_four_holes_on_a_circle_take_one_going_back() -> None:
    # In rows from the front: (0, -9), (-9, 0), (9, 0), (0, 9), the table going back twice.
    circle = [(9.0, 0.0), (0.0, 9.0), (-9.0, 0.0), (0.0, -9.0)]
    assert by_hand(circle, {"x": 1, "y": 1}) == ((0, -9), (9, 0), (-9, 0), (0, 9))


def test_the_order_of_a_program_is_short() -> None:
    circle = [(30 * math.cos(a), 30 * math.sin(a)) for a in (0, 3, 1, 5, 2, 4)]
    way = shortest(circle)
    turns = [round(math.atan2(y, x) % (2 * math.pi)) for x, y in way]
    steps = [(b - a) % 6 for a, b in itertools.pairwise(turns)]
    assert set(steps) in ({1}, {5})  # round the circle one way, never across


def test_holes_take_their_limits_from_what_goes_into_them() -> None:
    mate = """
[[mate]]
name = "dowel in its hole"
inside = "pins: diameter"
outside = [7.98, 7.99]
go = "0 to 0.05 mm play"
"""
    proof = made(f"{THROUGH}diameter = 8{mate}")
    # 7.99 and nothing to spare, 7.98 and 0.05: closer than a drill of 8, so a reamer.
    (bore,) = [size for size in proof.report.sizes if size.quantity == "diameter"]
    assert (bore.wanted.low, bore.wanted.high) == pytest.approx((7.99, 8.03))
    assert proof.plan is not None
    assert proof.plan.passes[-1].purpose == "ream"
    assert proof.report.ok
