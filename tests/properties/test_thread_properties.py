"""What holds of every thread, not only of the printed ones."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.pitches import pitch_match
from pathgen.reckon.tapping import engagement, tapping_drills, tapping_hole
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import STANDARD_FAMILIES, Thread, custom_thread, standard_threads

THREADS = st.sampled_from([t for f in STANDARD_FAMILIES for t in standard_threads(f)])
SHARES = st.floats(min_value=0.3, max_value=1.0)


@given(THREADS, SHARES)
def test_engagement_of_the_tapping_hole_is_that_asked_for(each: Thread, share: float) -> None:
    for basis in each.form.bases:
        hole = tapping_hole(each, share, basis.name)
        assert engagement(each, hole, basis.name) == pytest.approx(share)


@given(THREADS, SHARES)
def test_drill_below_gives_more_and_above_gives_less(each: Thread, share: float) -> None:
    choice = tapping_drills(each, share)
    if choice.below:
        assert choice.below.drill.diameter <= choice.hole + 1e-6
        assert choice.below.engagement >= share - 1e-5
    if choice.above:
        assert choice.above.drill.diameter >= choice.hole - 1e-6
        assert choice.above.engagement <= share + 1e-5


@given(THREADS, st.floats(min_value=0.3, max_value=0.95))
def test_larger_holes_leave_less_thread(each: Thread, share: float) -> None:
    assert tapping_hole(each, share + 0.05) < tapping_hole(each, share)


@given(
    st.floats(min_value=5.0, max_value=60.0),
    st.floats(min_value=0.2, max_value=2.0),
    st.sampled_from([60.0, 55.0, 47.5]),
)
def test_any_thread_has_its_diameters_in_order(major: float, pitch: float, angle: float) -> None:
    made = custom_thread(major, pitch, angle)
    assert 0 < made.minor_external <= made.minor_internal < made.pitch_diameter < made.major
    again = thread(made.designation)
    assert again.pitch_diameter == pytest.approx(made.pitch_diameter, rel=1e-8)


@given(
    st.floats(min_value=0.2, max_value=5.0),
    st.floats(min_value=0.2, max_value=5.0),
    st.floats(min_value=0.0, max_value=50.0),
)
def test_pitches_part_the_more_the_longer_they_run(one: float, other: float, length: float) -> None:
    short, long = pitch_match(one, other, length), pitch_match(one, other, length + 1)
    assert short.drift <= long.drift
    assert short.matches or not long.matches
