"""What holds of every drilled hole."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.drilling import even_peck, pecks


@given(st.floats(min_value=0.5, max_value=400.0), st.floats(min_value=0.5, max_value=50.0))
def test_pecks_go_down_to_the_depth_within_the_rule(depth: float, diameter: float) -> None:
    depths = pecks(depth, diameter)
    assert depths[-1] == depth
    assert depths[0] <= 3 * diameter + 1e-6
    for here, deeper in pairwise(depths):
        step = diameter if deeper <= 6 * diameter + 1e-6 else diameter / 2
        assert 0 < deeper - here <= step + 1e-6
    each = even_peck(depth, diameter)
    assert (each is None) == (len(depths) == 1)
    if each is not None:
        assert each <= diameter + 1e-6
        assert abs(depth / each - round(depth / each)) < 1e-6
