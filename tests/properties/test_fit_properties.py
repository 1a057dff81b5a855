"""What holds of every fit, not only of the printed ones."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.fits import Fit, Limits, Play, hole_for, shaft_for
from pathgen.reckon.iso286 import deviations, grade_width

SIZES = st.floats(min_value=3.1, max_value=250.0)
GRADES = st.integers(min_value=5, max_value=14)
WIDTHS = st.floats(min_value=0.0, max_value=0.1)


@given(SIZES, GRADES, st.sampled_from("cdefgh"))
def test_loose_holes_mirror_their_shafts(size: float, grade: int, letter: str) -> None:
    lower, upper = deviations(size, f"{letter}{grade}")
    assert deviations(size, f"{letter.upper()}{grade}") == pytest.approx((-upper, -lower))
    assert upper - lower == pytest.approx(grade_width(size, grade))
    assert upper <= 0


@given(SIZES, st.floats(min_value=-0.1, max_value=0.1), WIDTHS, WIDTHS)
def test_a_shaft_made_for_a_hole_has_the_play_asked_for(
    size: float, smallest: float, own: float, spare: float
) -> None:
    play = Play(smallest=smallest, largest=smallest + own + spare, source="stated")
    hole = Limits(nominal=size, lower=0.0, upper=own)
    made = Fit(hole=hole, shaft=shaft_for(hole, play))
    assert made.smallest_clearance == pytest.approx(play.smallest, abs=1e-9)
    assert made.largest_clearance == pytest.approx(play.largest, abs=1e-9)
    back = hole_for(made.shaft, Play(smallest=smallest, largest=smallest + own + spare, source=""))
    assert back.lower == pytest.approx(hole.lower, abs=1e-9)
    assert back.upper == pytest.approx(hole.upper, abs=1e-9)
