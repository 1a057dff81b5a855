"""How long a plan takes, against sums done by hand."""

from __future__ import annotations

import math

import pytest

from pathgen.moves.actions import Dwell, FitCutter, Measure, Note, Pause, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, TurnedArc
from pathgen.moves.plan import Item
from pathgen.moves.timing import CHANGE_MIN, MEASURE_MIN, PAUSE_MIN, Pace, minutes

PACE = Pace(rapid=1000.0)


def test_feeds_rapids_and_arcs_take_their_way_by_their_pace() -> None:
    items: list[Item] = [
        Rapid(0, 0, 5),
        Feed(0, 0, -1, 60.0),
        Feed(30, 40, -1, 100.0),
        Rapid(30, 40, 5),
    ]
    assert minutes(items, PACE) == pytest.approx(6 / 60 + 50 / 100 + 6 / 1000)
    whole_turn: list[Item] = [Rapid(10, 0, 0), Arc(10, 0, 0, 0, 0, clockwise=True, feed=100.0)]
    assert minutes(whole_turn, PACE) == pytest.approx(20 * math.pi / 100)


def test_an_axis_that_a_move_leaves_alone_stays_where_it_was() -> None:
    items = [Rapid(0, 0, 5), Rapid(math.nan, math.nan, 15), Rapid(100, 0, 15)]
    assert minutes(items, PACE) == pytest.approx(110 / 1000)


def test_a_hole_takes_its_way_there_its_pecks_and_its_way_up() -> None:
    # 30 mm across, 4 down to the clear height, 10 mm drilled at 50, up 10 and 4 more.
    plain = Drill(30, 0, -9, 1, 50.0, back_to=5)
    assert minutes([Rapid(0, 0, 5), plain], PACE) == pytest.approx(
        (math.hypot(30, 4) + 10 + 4) / 1000 + 10 / 50
    )
    # Pecks of 4: drawn up from 4 and from 8 mm down, and down again to where they ended.
    pecked = Drill(30, 0, -9, 1, 50.0, peck=4.0, back_to=5)
    assert minutes([Rapid(0, 0, 5), pecked], PACE) == pytest.approx(
        (math.hypot(30, 4) + 10 + 4 + 2 * 4 + 2 * 8) / 1000 + 10 / 50
    )
    # A reamer comes up at its feed; the drill stays 3 s at the bottom.
    reamed = Drill(0, 0, -9, 1, 50.0, dwell_s=3.0, feed_out=True)
    assert minutes([Rapid(0, 0, 1), reamed], PACE) == pytest.approx(20 / 50 + 3 / 60)


def test_what_people_do_is_guessed() -> None:
    items: list[Item] = [
        FitCutter(number=1, name="drill", diameter=5.0),
        Measure(name="M1", what="width", expected=1.0, low=0.9, high=1.1),
        Pause(reason="tap"),
        Dwell(seconds=30.0),
        Spindle(rpm=500.0),
        Note(text="oil"),
    ]
    assert minutes(items, PACE) == CHANGE_MIN + MEASURE_MIN + PAUSE_MIN + 0.5


def test_a_way_from_an_unknown_place_counts_for_nothing() -> None:
    """As where a stretch of a program begins with an arc; whole turns are known all the same."""
    assert minutes([Arc(1, 0, 0, 0, 0, clockwise=False, feed=60.0)], PACE) == 0
    assert minutes(
        [Arc(1, 0, 0, 0, 0, clockwise=False, feed=60.0, turns=2)], PACE
    ) == pytest.approx(2 * 2 * math.pi / 60)
    assert minutes([TurnedArc(1.0, 0.0, 0.0, 0.0, True, 60.0)], PACE) == 0
