"""What holds of every drill size, not only of the printed ones."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.drills import ALL_SERIES, Series, drill_name, nearest_drills, point_length

SIZES = st.floats(min_value=0.35, max_value=50.0)
SERIES = st.lists(st.sampled_from(ALL_SERIES), min_size=1, unique=True)


@given(SIZES, SERIES)
def test_drill_below_and_above_enclose_the_size(size: float, series: list[Series]) -> None:
    below, above = nearest_drills(size, series)
    assert below is None or below.diameter <= size + 1e-6
    assert above is None or above.diameter >= size - 1e-6
    assert below is not None or above is not None


@given(SIZES, SERIES)
def test_only_an_exact_size_has_a_name(size: float, series: list[Series]) -> None:
    name = drill_name(size, series)
    below, above = nearest_drills(size, series)
    assert (name is not None) == (below is not None and below is above)


@given(SIZES, st.floats(min_value=10.0, max_value=170.0))
def test_flatter_points_are_shorter(size: float, angle: float) -> None:
    assert point_length(size, angle + 5) < point_length(size, angle)
    assert point_length(2 * size, angle) == pytest.approx(2 * point_length(size, angle))
