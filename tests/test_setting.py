"""Edges, middles, four jaws, dials, eccentrics and a head out of square."""

from __future__ import annotations

import math
from functools import partial
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.dials import dial_count, infeed
from pathgen.reckon.setting import (
    centring_error_left,
    edge_reading,
    four_jaw_move,
    height_from_pip,
    middle_of_touches,
    packing_for_eccentric,
    radius_at_height,
    stand_off,
    tailstock_shift,
    tram_lean,
    trough_hollow,
)
from tests.printed import as_printed, examples

published = partial(examples, "setting")


@pytest.mark.parametrize("row", published("edge-touch"))
def test_the_axis_stands_off_an_edge(row: dict[str, Any]) -> None:
    as_printed(row, stand_off=stand_off(row["given"]["diameter"], row["given"]["paper"]))


@pytest.mark.parametrize("row", published("midpoint"))
def test_the_middle_with_the_slack_put_right(row: dict[str, Any]) -> None:
    sizes = row["given"]
    names = ("reading_1", "reading_2", "edge_finder", "backlash")
    middle = middle_of_touches(*(sizes[name] for name in names))
    as_printed(
        row,
        middle_reading_first_way=middle.reading,
        width=middle.width,
        error_if_slack_forgotten=middle.if_forgotten,
    )


@pytest.mark.parametrize("row", published("round-centre"))
def test_what_is_left_after_centring_on_a_round(row: dict[str, Any]) -> None:
    as_printed(row, left=centring_error_left(row["given"]["diameter"], row["given"]["offset"]))


@pytest.mark.parametrize("row", published("dial", "dial-mixed"))
def test_turns_and_divisions(row: dict[str, Any]) -> None:
    sizes = row["given"]
    count = dial_count(sizes["distance"], sizes["per_turn"], sizes["divisions"])
    as_printed(row, turns=count.turns, divisions=count.divisions)


@pytest.mark.parametrize("row", published("cross-slide"))
def test_the_infeed_by_either_kind_of_dial(row: dict[str, Any]) -> None:
    sizes = row["given"]["from"], row["given"]["to"]
    as_printed(
        row,
        slide_reading=infeed(*sizes, "slide"),
        diameter_reading=infeed(*sizes, "diameter"),
    )


@pytest.mark.parametrize("row", published("eccentric-packing"))
def test_packing_for_an_eccentric(row: dict[str, Any]) -> None:
    radius, off = row["given"]["bar_radius"], row["given"]["eccentricity"]
    packing = packing_for_eccentric(radius, off)
    as_printed(row, packing=packing)
    short_rule = 1.5 * off * (1 - off / (16 * radius))
    assert short_rule > 1.02 * packing  # the rule in circulation disagrees with the geometry


@pytest.mark.parametrize(("share", "too_much"), [(0.02, 0.008), (0.1, 0.04)])
def test_how_far_out_the_short_rule_for_packing_is(share: float, too_much: float) -> None:
    short_rule = 1.5 * share * (1 - share / 8)
    true = packing_for_eccentric(0.5, share)
    assert short_rule / true - 1 == pytest.approx(too_much, rel=0.1)


@given(radius=st.floats(5, 100), share=st.floats(0.01, 0.5))
def test_a_packed_bar_touches_all_three_jaws(radius: float, share: float) -> None:
    # jaws at 0 and 120 degrees either way; the bar lies off the axis towards the unpacked two
    off = share * radius
    packing = packing_for_eccentric(radius, off)
    opened = off / 2 + math.sqrt(radius**2 - 0.75 * off**2)  # of the two jaws, on their own line
    assert opened == pytest.approx(radius - off + packing, rel=1e-9)


@pytest.mark.parametrize("row", published("tilt-trough"))
def test_a_leaning_head_cuts_hollow(row: dict[str, Any]) -> None:
    sizes = row["given"]
    as_printed(row, hollow=trough_hollow(sizes["cutter"], sizes["lean_deg"], sizes["width"]))
    assert trough_hollow(sizes["cutter"], -sizes["lean_deg"], sizes["width"]) == pytest.approx(
        row["expected"]["hollow"], abs=1e-6
    )


SIDES = st.sampled_from(["low", "high"])


@given(edge=st.floats(-100, 100), diameter=st.floats(0.5, 20), side=SIDES)
def test_an_edge_comes_back_from_its_touch(
    edge: float, diameter: float, side: Literal["low", "high"]
) -> None:
    off = stand_off(diameter, 0.08)
    touch = edge - off if side == "low" else edge + off
    assert edge_reading(touch, off, side) == pytest.approx(edge, abs=1e-9)


@given(
    low=st.floats(-50, 50),
    width=st.floats(1, 200),
    finder=st.floats(2, 12),
    slack=st.floats(0, 1),
)
def test_a_middle_comes_back_from_its_touches(
    low: float, width: float, finder: float, slack: float
) -> None:
    first = low - finder / 2
    second = low + width + finder / 2 - slack  # met winding back: the dial lags by the slack
    middle = middle_of_touches(first, second, finder, slack)
    assert middle.reading == pytest.approx(low + width / 2, abs=1e-9)
    assert middle.width == pytest.approx(width, abs=1e-9)
    forgotten = middle_of_touches(first, second, finder - slack)
    assert middle.reading - forgotten.reading == pytest.approx(middle.if_forgotten, abs=1e-9)


@given(off=st.floats(-2, 2), base=st.floats(0, 5))
def test_the_four_jaw_move_centres_the_work(off: float, base: float) -> None:
    move = four_jaw_move(base + off, base - off)
    sign = {"first": 1, "second": -1, "neither": 0}[move.away_from]
    assert off - sign * move.distance == pytest.approx(0, abs=1e-12)


@given(
    turns=st.integers(0, 60),
    divisions=st.sampled_from([62.5, 100.0, 125.0, 40.0]),
    part=st.floats(0, 0.999),
    per_turn=st.sampled_from([1.0, 1.5, 1.5875, 2.0, 2.54, 3.175]),
)
def test_a_distance_comes_back_from_its_count(
    turns: int, divisions: float, part: float, per_turn: float
) -> None:
    distance = (turns + part) * per_turn
    count = dial_count(distance, per_turn, divisions)
    assert 0 <= count.divisions < divisions
    again = (count.turns + count.divisions / divisions) * per_turn
    assert again == pytest.approx(distance, abs=1e-8)
    judged = dial_count(distance, per_turn, divisions, judged=0.5)
    assert abs(judged.error) <= per_turn / divisions / 4 + 1e-12
    shown = (judged.turns + judged.divisions / divisions) * per_turn
    assert shown - judged.error == pytest.approx(distance, abs=1e-8)


def test_whole_turns_are_not_lost_by_rounding() -> None:
    count = dial_count(87.3125, 1.5875, 62.5)  # 55 turns of 1/16 in, in mm
    assert (count.turns, count.divisions) == (55, 0.0)


def test_outward_is_minus() -> None:
    assert infeed(20.0, 21.0, "slide") == -0.5


def test_small_sums_of_the_lathe() -> None:
    assert radius_at_height(5.0, 0.0) == 5.0
    assert radius_at_height(4.0, 3.0) == radius_at_height(4.0, -3.0) == 5.0
    assert height_from_pip(0.3) == 0.15
    assert tailstock_shift(20.0, 19.96) == pytest.approx(-0.02)
    assert centring_error_left(10.0, -3.0) == pytest.approx(1.0)


@given(lean=st.floats(-2, 2))
def test_the_lean_comes_back_from_the_swing(lean: float) -> None:
    assert tram_lean(200 * math.tan(math.radians(lean)), 200.0) == pytest.approx(lean, abs=1e-9)


def test_what_cannot_be_set_so_is_refused() -> None:
    with pytest.raises(ValueError, match="give 'low' or 'high'"):
        edge_reading(0.0, 5.0, "left")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="low face first"):
        middle_of_touches(60.0, 0.0, 10.0)
    with pytest.raises(ValueError, match="come within 5"):
        centring_error_left(10.0, 6.0)
    with pytest.raises(ValueError, match="give less than 10"):
        packing_for_eccentric(10.0, 10.0)
    with pytest.raises(ValueError, match="in one pass"):
        trough_hollow(50.0, 0.1, 51.0)
    with pytest.raises(ValueError, match="lean 90"):
        trough_hollow(50.0, 90.0, 40.0)
    with pytest.raises(ValueError, match="give 'slide' or 'diameter'"):
        infeed(20.0, 19.0, "radius")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="distance -1"):
        dial_count(-1.0, 2.0, 100.0)
    with pytest.raises(ValueError, match="judged 0"):
        dial_count(1.0, 2.0, 100.0, judged=0.0)
