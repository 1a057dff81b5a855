"""Contours: areas and lengths against figures worked by hand, and against shapely."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from pathgen.job.contour import (
    Bend,
    Contour,
    Straight,
    anticlockwise,
    circle,
    crossing,
    heading_at,
    nearest_place,
    rectangle,
    reversed_contour,
)

D_SHAPE = Contour(  # a half disc of radius 10 on a straight: area 50 pi, length 20 + 10 pi
    start=(10.0, 0.0),
    segments=(
        Bend(to=(-10.0, 0.0), centre=(0.0, 0.0), clockwise=False),
        Straight(to=(10.0, 0.0)),
    ),
)
BITTEN = Contour(  # a square of 20 with a half disc of radius 5 bitten out of its top
    start=(0.0, 0.0),
    segments=(
        Straight(to=(20.0, 0.0)),
        Straight(to=(20.0, 20.0)),
        Straight(to=(15.0, 20.0)),
        Bend(to=(5.0, 20.0), centre=(10.0, 20.0), clockwise=True),
        Straight(to=(0.0, 20.0)),
        Straight(to=(0.0, 0.0)),
    ),
)


@pytest.mark.parametrize(
    ("contour", "area", "length", "box"),
    [
        (D_SHAPE, 50 * math.pi, 20 + 10 * math.pi, (-10, 0, 10, 10)),
        (BITTEN, 400 - 12.5 * math.pi, 70 + 5 * math.pi, (0, 0, 20, 20)),
        (circle((3.0, 4.0), 6.0), 36 * math.pi, 12 * math.pi, (-3, -2, 9, 10)),
        (
            rectangle((0, 0), (30, 20), 4),
            600 - 16 * (4 - math.pi),
            68 + 8 * math.pi,
            (0, 0, 30, 20),
        ),
    ],
)
def test_figures_worked_by_hand(
    contour: Contour, area: float, length: float, box: tuple[float, float, float, float]
) -> None:
    assert contour.area == pytest.approx(area)
    assert contour.length == pytest.approx(length)
    assert contour.box == pytest.approx(box)


@pytest.mark.parametrize("contour", [D_SHAPE, BITTEN, rectangle((0, 0), (30, 20), 4)])
def test_its_polygon_agrees_with_shapely_within_the_chords(contour: Contour) -> None:
    error = 0.001
    inside = shapely.Polygon(contour.points(error))
    assert inside.is_valid
    assert abs(inside.area - contour.area) <= error * contour.length
    assert inside.length == pytest.approx(contour.length, rel=1e-3)


def test_the_way_round() -> None:
    other = reversed_contour(BITTEN)
    assert other.area == pytest.approx(-BITTEN.area)
    assert other.length == pytest.approx(BITTEN.length)
    assert anticlockwise(other).area == pytest.approx(BITTEN.area)
    assert anticlockwise(BITTEN) is BITTEN


def test_inside_corners() -> None:
    # From within, every corner of the square is a sharp hollow, and so are both ends of the bite.
    corners = sorted(spot for spot, _ in BITTEN.inside_corners())
    assert corners == [(0, 0), (0, 20), (5, 20), (15, 20), (20, 0), (20, 20)]
    assert BITTEN.tightest == 0.0
    assert rectangle((0, 0), (30, 20), 4).tightest == 4.0
    assert D_SHAPE.tightest == 0.0
    assert circle((0, 0), 7.0).tightest == 7.0
    assert reversed_contour(circle((0, 0), 7.0)).tightest == math.inf


def test_crossing_itself() -> None:
    bow = Contour(
        start=(0.0, 0.0),
        segments=tuple(
            Straight(to=to) for to in ((10.0, 10.0), (10.0, 0.0), (0.0, 10.0), (0.0, 0.0))
        ),
    )
    assert crossing(bow) == pytest.approx((5.0, 5.0))
    assert crossing(BITTEN) is None


def test_nearest_places_and_headings() -> None:
    assert nearest_place(BITTEN, (10.0, 14.0)) == pytest.approx((10.0, 15.0))
    assert nearest_place(BITTEN, (-3.0, 7.0)) == pytest.approx((0.0, 7.0))
    assert nearest_place(BITTEN, (25.0, 25.0)) == pytest.approx((20.0, 20.0))
    assert heading_at(BITTEN, (21.0, 7.0)) == pytest.approx(math.pi / 2)
    assert math.sin(heading_at(BITTEN, (10.0, 14.9))) == pytest.approx(0.0, abs=1e-9)


@given(
    x=st.floats(-50, 50),
    y=st.floats(-50, 50),
    corner=st.floats(0, 9.5),
    size=st.tuples(st.floats(20, 80), st.floats(20, 80)),
)
def test_moving_changes_neither_area_nor_length(
    x: float, y: float, corner: float, size: tuple[float, float]
) -> None:
    plate = rectangle((0.0, 0.0), size, corner)
    moved = plate.moved(x, y)
    assert moved.area == pytest.approx(plate.area)
    assert moved.length == pytest.approx(plate.length)
    expected = 4 * corner**2 * (1 - math.pi / 4)
    assert size[0] * size[1] - plate.area == pytest.approx(expected, abs=1e-6)
