"""Dividing heads and rotary tables: exact fractions, and errors where they do not come out."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.dividing import (
    exact_angle,
    index_angle,
    index_divisions,
    index_positions,
    nearest_index,
    rotary_positions,
    rotary_reading,
)
from tests.printed import as_printed, examples

published = partial(examples, "dividing")


@pytest.mark.parametrize("row", published("index-divisions", "index-angle"))
def test_the_crank_is_turned_as_printed(row: dict[str, Any]) -> None:
    move = row["given"]
    if "divisions" in move:
        index = index_divisions(move["divisions"], move["ratio"], move["circles"])
    else:
        angle = exact_angle(0, Fraction(move["angle_minutes"]))
        index = index_angle(angle, move["ratio"], move["circles"])
    assert index.turns == row["expected"]["turns"]
    assert index.part == Fraction(row["expected"]["part_turn"])
    assert [list(choice) for choice in index.choices] == row["expected"]["circle_and_spaces"]
    assert index.exact == bool(index.choices)


@pytest.mark.parametrize("row", published("index-approx"))
def test_an_angle_that_no_circle_gives_carries_its_error(row: dict[str, Any]) -> None:
    move = row["given"]
    wanted = exact_angle(0, Fraction(move["angle_minutes"]))
    assert not index_angle(wanted, move["ratio"], [move["circle"]]).exact
    near = nearest_index(wanted * move["ratio"] / 360, move["ratio"], [move["circle"]])
    assert (near.turns, near.spaces) == (0, move["spaces"])
    as_printed(
        row,
        angle_got=move["angle_minutes"] + near.error_deg * 60,
        error=near.error_deg * 60,
    )


@pytest.mark.parametrize("row", published("rotary-table"))
def test_a_rotary_table_is_read_as_printed(row: dict[str, Any]) -> None:
    degrees, _, minutes, _, seconds, _ = row["given"]["angle_text"].split()
    angle = exact_angle(int(degrees), int(minutes), int(seconds))
    reading = rotary_reading(angle, row["given"]["degrees_per_turn_deg"])
    as_printed(row, turns=reading.turns, dial_minutes=reading.degrees * 60 + reading.minutes)
    assert reading.error_deg == 0


RATIOS = st.sampled_from([40, 60, 72, 90])


@given(divisions=st.integers(1, 200), ratio=RATIOS, circle=st.integers(15, 66))
def test_no_position_is_out_by_more_than_half_a_space(
    divisions: int, ratio: int, circle: int
) -> None:
    half = 360 / ratio / circle / 2
    index = index_divisions(divisions, ratio, [circle])
    for i, position in enumerate(index_positions(divisions, ratio, circle)):
        got = (position.turns + position.spaces / circle) * 360 / ratio
        assert got - position.error_deg == pytest.approx(360 * i / divisions, abs=1e-9)
        assert abs(position.error_deg) <= half + 1e-12
        if index.exact:
            assert position.error_deg == 0


@given(divisions=st.integers(2, 200), ratio=RATIOS, circles=st.sets(st.integers(15, 66)))
def test_an_exact_move_repeated_comes_round(divisions: int, ratio: int, circles: set[int]) -> None:
    index = index_divisions(divisions, ratio, circles | {divisions})
    assert index.exact  # a circle of as many holes as divisions always serves
    for circle, spaces in index.choices:
        assert (index.turns + Fraction(spaces, circle)) * divisions == ratio


def test_of_equally_near_circles_the_smallest_is_taken() -> None:
    assert nearest_index(Fraction(1, 2), 40, (20, 18)).circle == 18
    assert nearest_index(Fraction(1, 2), 40, (15, 16)).circle == 16


def test_a_repeated_rounded_move_would_add_its_error_up() -> None:
    # 51 divisions on 18 holes: the move itself is out, and 50 of them by 50 times as much
    once = nearest_index(Fraction(40, 51), 40, (18,))
    last = index_positions(51, 40, 18)[-1]
    assert abs(once.error_deg * 50) > 4 * abs(last.error_deg)


@given(
    divisions=st.integers(1, 120),
    per_turn=st.sampled_from([4, 5, 9, Fraction(9, 2)]),
    least=st.sampled_from([1, 2, Fraction(1, 6), 5]),
)
def test_rotary_readings_stay_within_half_a_division(
    divisions: int, per_turn: Fraction, least: Fraction
) -> None:
    for i, r in enumerate(rotary_positions(divisions, per_turn, least)):
        shown = r.turns * per_turn + r.degrees + r.minutes / 60
        assert float(shown) - r.error_deg == pytest.approx(360 * i / divisions, abs=1e-9)
        assert abs(r.error_deg) <= least / 120 + 1e-12
        assert r.degrees + r.minutes / 60 < per_turn


def test_without_a_least_division_the_table_is_read_exactly() -> None:
    assert [r.error_deg for r in rotary_positions(7, 4)] == [0.0] * 7


def test_a_reading_that_rounds_up_to_a_whole_turn_is_one() -> None:
    reading = rotary_reading(exact_angle(3, 59, 50), 4, 1)
    assert (reading.turns, reading.degrees, reading.minutes) == (1, 0, 0.0)


def test_what_cannot_be_divided_is_refused() -> None:
    with pytest.raises(ValueError, match="divisions 0"):
        index_divisions(0, 40, (18,))
    with pytest.raises(ValueError, match="ratio 0"):
        nearest_index(1, 0, (18,))
    with pytest.raises(ValueError, match="give at least one"):
        index_angle(9, 40, ())
    with pytest.raises(ValueError, match="of 1 hole or more"):
        index_positions(6, 40, 0)
    with pytest.raises(ValueError, match="angle 0"):
        index_angle(0, 40, (18,))
    with pytest.raises(ValueError, match="count from 0 upwards"):
        rotary_reading(-1, 4)
    with pytest.raises(ValueError, match="degrees per turn 0"):
        rotary_reading(10, 0)
    with pytest.raises(ValueError, match="dial minutes 0"):
        rotary_reading(10, 4, 0)
