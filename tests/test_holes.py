"""Holes on circles, in rows and in grids."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.holes import (
    circle_from_chord,
    from_datum,
    hole_chord,
    hole_circle,
    hole_circle_from_tangents,
    hole_grid,
    hole_row,
    hole_row_between,
    least_web,
    straddling_start,
)
from tests.printed import as_printed, examples, figures

published = partial(examples, "holes")


@pytest.mark.parametrize("row", published("chord-factor"))
def test_the_chord_between_holes_is_that_of_the_table(row: dict[str, Any]) -> None:
    as_printed(row, chord=hole_chord(row["given"]["holes"], row["given"]["circle"]))


def test_the_table_misprints_the_chord_of_fifteen_holes() -> None:
    (slip,) = figures("holes")["misprint"]
    chord = hole_chord(slip["holes"], slip["circle"])
    assert chord == pytest.approx(slip["true"], abs=0.00005)
    assert abs(chord - slip["printed"]) > 0.0005  # ten times what rounding allows


@pytest.mark.parametrize("row", published("hole-circle"))
def test_holes_lie_where_the_example_has_them(row: dict[str, Any]) -> None:
    sizes = row["given"]
    place = hole_circle if sizes.get("origin", "centre") == "centre" else hole_circle_from_tangents
    holes = place(sizes["holes"], sizes["circle"], sizes["start_deg"])
    if "x" in row["expected"]:
        as_printed(row, x=[x for x, _ in holes], y=[y for _, y in holes])
    else:  # the question asks for the first of twelve straddling holes only
        assert sizes["start_deg"] == straddling_start(sizes["holes"])
        as_printed(row, off_one_centre_line=holes[0][1], off_other_centre_line=holes[0][0])


COUNTS = st.integers(2, 60)
ANGLES = st.floats(-360, 360)


@given(holes=COUNTS, diameter=st.floats(1, 500), start=ANGLES)
def test_holes_of_a_circle_are_a_chord_apart(holes: int, diameter: float, start: float) -> None:
    places = hole_circle(holes, diameter, start, (12.5, -7.0))
    chord = hole_chord(holes, diameter)
    for here, there in zip(places, places[1:] + places[:1], strict=True):
        assert math.dist(here, there) == pytest.approx(chord, rel=1e-9)
        assert math.dist(here, (12.5, -7.0)) == pytest.approx(diameter / 2, rel=1e-9)
    assert circle_from_chord(holes, chord) == pytest.approx(diameter, rel=1e-9)
    assert least_web(places, 1.0) == pytest.approx(chord - 1.0, abs=1e-9 * diameter)


@given(holes=st.integers(1, 40), diameter=st.floats(1, 500), start=ANGLES)
def test_no_hole_lies_below_the_tangents(holes: int, diameter: float, start: float) -> None:
    assert all(min(p) >= -1e-9 for p in hole_circle_from_tangents(holes, diameter, start))


def test_quarter_turns_are_exact() -> None:
    assert hole_circle(4, 50.0) == ((25.0, 0.0), (0.0, 25.0), (-25.0, 0.0), (0.0, -25.0))


def test_chords_across_more_holes() -> None:
    assert hole_chord(6, 40.0, 3) == pytest.approx(40.0)
    assert hole_chord(4, 1.0, 1) == pytest.approx(hole_chord(4, 1.0, 3))


@given(holes=COUNTS, pitch=st.floats(0.5, 50), angle=ANGLES)
def test_a_row_runs_from_first_to_last(holes: int, pitch: float, angle: float) -> None:
    row = hole_row(holes, pitch, (3.0, 4.0), angle)
    between = hole_row_between(row[0], row[-1], holes)
    for a, b in zip(row, between, strict=True):
        assert a == pytest.approx(b, abs=1e-9 * pitch * holes)
    assert between[0] == row[0]


def test_a_grid_starts_each_row_on_the_same_side() -> None:
    grid = hole_grid(3, 2, (10.0, 20.0), (1.0, 2.0))
    assert grid[:4] == ((1.0, 2.0), (11.0, 2.0), (21.0, 2.0), (1.0, 22.0))
    assert len(grid) == 6


@given(
    places=st.lists(st.tuples(st.floats(-99, 99), st.floats(-99, 99)), min_size=2, max_size=5),
    turned=ANGLES,
)
def test_a_turned_frame_keeps_all_distances(
    places: list[tuple[float, float]], turned: float
) -> None:
    moved = from_datum(places, (40.0, 30.0), turned)
    for i, (old, new) in enumerate(zip(places, moved, strict=True)):
        assert math.dist(new, (40.0, 30.0)) == pytest.approx(math.hypot(*old), abs=1e-9)
        assert math.dist(new, moved[0]) == pytest.approx(math.dist(old, places[0]), abs=1e-9), i


def test_what_cannot_be_drilled_so_is_refused() -> None:
    with pytest.raises(ValueError, match="0 holes are too few; give at least 1"):
        hole_circle(0, 50.0)
    with pytest.raises(ValueError, match="1 holes are too few; give at least 2"):
        hole_chord(1, 50.0)
    with pytest.raises(ValueError, match="give 1 to 5"):
        hole_chord(6, 50.0, 6)
    with pytest.raises(ValueError, match="start nan"):
        hole_circle(4, 50.0, math.nan)
    with pytest.raises(ValueError, match="give two places"):
        hole_row_between((1.0, 1.0), (1.0, 1.0), 3)
