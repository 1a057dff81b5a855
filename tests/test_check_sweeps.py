"""Swept outlines and the metal left, against figures worked out by hand."""

import math

import numpy as np
import pytest
import shapely

from pathgen.check.metal.legs import CHORD_ERROR, FEED, RAPID, chords, legs_of
from pathgen.check.metal.prismatic import Metal
from pathgen.check.metal.strokes import strokes_of
from pathgen.check.metal.sweeps import Ball, Sweep, quarter_segments
from pathgen.job.frame import UPRIGHT, Box, Frame
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item
from tests.builders import CRIB, DRILL, SLOT_DRILL, fit, run

BOX = Box((0.0, -20.0, -8.0), (100.0, 20.0, 0.0))
FLAT = math.inf


def sweep(*points: tuple[float, float, float], radius: float, spread: float = FLAT) -> Sweep:
    xyz = np.array(points)
    return Sweep(xyz[:, :2], xyz[:, 2] - xyz[:, 2].min(), radius, spread)


def area(of: Sweep, height: float) -> float:
    outline = of.outline(height)
    return 0.0 if outline is None else float(outline.area)


def ring_error(radius: float) -> float:
    """Return how much smaller a circle with sides may be than a true one, mm2."""
    return 2 * math.pi * radius * CHORD_ERROR


def test_a_quarter_circle_of_sides_keeps_to_the_chord_error() -> None:
    for radius in (0.5, 3.0, 25.0):
        half_side = math.pi / 4 / quarter_segments(radius)
        assert radius * (1 - math.cos(half_side)) <= CHORD_ERROR


def test_a_level_cut_clears_a_capsule() -> None:
    cut = sweep((0, 0, -2), (30, 40, -2), radius=3.0)
    assert area(cut, 0.0) == pytest.approx(50 * 6 + math.pi * 9, abs=ring_error(3.0))


def test_a_plunge_clears_a_disc() -> None:
    assert area(sweep((5, 5, -2), radius=3.0), 1.0) == pytest.approx(
        math.pi * 9, abs=ring_error(3.0)
    )


def test_nothing_is_cleared_below_the_tip() -> None:
    assert sweep((0, 0, -2), (9, 0, -2), radius=3.0).outline(-0.001) is None


def test_a_slanted_cut_clears_at_each_height_what_lies_below_it() -> None:
    ramp = sweep((0, 0, 0), (40, 0, -4), radius=3.0)  # 1 in 10, lowest at x 40
    for height in (1.0, 2.5, 4.0):
        wanted = 10 * height * 6 + math.pi * 9
        assert area(ramp, height) == pytest.approx(wanted, abs=ring_error(3.0))


def test_an_arc_clears_a_ring() -> None:
    way = chords((10.0, 0.0, -1.0), Arc(10, 0, -1, 0, 0, clockwise=False, feed=60))
    ring = sweep((10.0, 0.0, -1.0), *way, radius=2.0)
    assert area(ring, 0.0) == pytest.approx(
        math.pi * (12**2 - 8**2), abs=2 * ring_error(12) + 2 * ring_error(8)
    )


@pytest.mark.parametrize(
    ("clockwise", "turns", "angle"), [(False, 0, 90), (True, 0, 270), (False, 1, 450)]
)
def test_an_arc_goes_the_whole_way_round_its_centre(
    clockwise: bool, turns: int, angle: float
) -> None:
    arc = Arc(0, 10, -2, 0, 0, clockwise=clockwise, feed=60, turns=turns)
    points = np.array([(10.0, 0.0, 0.0), *chords((10.0, 0.0, 0.0), arc)])
    length = np.hypot(*np.diff(points[:, :2], axis=0).T).sum()
    assert length == pytest.approx(math.radians(angle) * 10, rel=1e-4)
    assert np.allclose(np.hypot(points[:, 0], points[:, 1]), 10)
    assert points[-1].tolist() == [0, 10, -2]
    assert np.all(np.diff(points[:, 2]) < 0)


def test_an_arc_that_ends_where_it_began_is_a_whole_turn() -> None:
    way = chords((10.0, 0.0, 0.0), Arc(10, 0, 0, 0, 0, clockwise=True, feed=60))
    assert min(x for x, _, _ in way) == pytest.approx(-10, abs=CHORD_ERROR)


def test_a_point_widens_with_the_height_over_its_tip() -> None:
    spread = math.tan(math.radians(59))  # 118 degrees over all
    drilled = sweep((5, 5, -8), radius=2.5, spread=spread)
    point_length = 2.5 / spread  # 1.502 mm
    assert point_length == pytest.approx(1.502, abs=0.0005)
    for height, radius in ((0.5, 0.832), (point_length, 2.5), (4.0, 2.5)):
        assert area(drilled, height) == pytest.approx(
            math.pi * radius**2, abs=ring_error(2.5) + 0.01
        )


def test_a_point_led_down_a_slope_clears_hulls_of_its_circles() -> None:
    # 90 degrees: the radius is the height. At height 2 over the lowest tip the circle grows from 0,
    # where the tip is at that height, to 2 at the lowest.
    vee = sweep((0, 0, -1), (10, 0, -3), radius=5.0, spread=1.0)
    outline = vee.outline(2.0)
    assert outline is not None
    assert outline.bounds[2] == pytest.approx(12.0, abs=0.001)
    assert outline.bounds[3] == pytest.approx(2.0, abs=0.003)
    assert outline.bounds[0] == pytest.approx(0.0, abs=0.001)


@pytest.mark.parametrize("pitch", [1.0, 3.0, 4.5])
def test_overlapping_holes_leave_crests_as_high_as_the_rule_says(pitch: float) -> None:
    # practice: crest d/2 - sqrt((d/2)^2 - (p/2)^2)
    discs = [sweep((20 + pitch * n, 0, -9), radius=2.5) for n in range(8)]
    row = shapely.union_all([disc.outline(0.0) for disc in discs])
    middle = shapely.box(20 + pitch, 0, 20 + 6 * pitch, 10)
    wall = middle.difference(row).bounds[1]
    crest = 2.5 - math.sqrt(2.5**2 - (pitch / 2) ** 2)
    # a circle too small by e meets its neighbour lower by e r / (height of the place)
    lower = CHORD_ERROR * 2.5 / (2.5 - crest)
    assert 2.5 - wall == pytest.approx(crest, abs=lower)


def test_level_legs_in_a_row_make_one_stroke_and_the_same_way_back_the_same_sweep() -> None:
    items: list[Item] = [
        Rapid(20, 0, 5),
        Feed(20, 0, -1, 60),
        Feed(30, 0, -1, 60),
        Feed(40, 5, -1, 60),
        Feed(40, 5, -2, 60),
        Feed(30, 0, -2, 60),
        Feed(20, 0, -2, 60),
        Rapid(20, 0, 5),
    ]
    strokes = strokes_of(legs_of(run(*fit(SLOT_DRILL), *items), CRIB), *BOX)
    assert [stroke.down for stroke in strokes] == [True, False, True, False]
    assert [stroke.low for stroke in strokes] == [-1, -1, -2, -2]
    assert strokes[1].sweep is strokes[3].sweep


def test_a_drilled_hole_is_a_rapid_down_and_a_feed() -> None:
    legs = legs_of(run(*fit(DRILL), Drill(20, 0, -10, 1, 50)), CRIB)
    assert legs.kind[-3] == RAPID  # down to the clear height
    assert legs.end[-2].tolist() == [20, 0, -10]
    assert legs.end[-1].tolist() == [20, 0, 1]


def test_a_reamer_that_is_fed_out_is_not_a_rapid() -> None:
    legs = legs_of(run(*fit(DRILL), Drill(20, 0, -10, 1, 50, feed_out=True)), CRIB)
    assert legs.kind[-1] == FEED
    assert legs.feed[-1] == 50


def test_the_metal_is_cleared_in_the_order_of_time() -> None:
    items: list[Item] = [Rapid(20, 0, 5), Feed(20, 0, -3, 60), Feed(40, 0, -3, 60), Rapid(40, 0, 5)]
    strokes = strokes_of(legs_of(run(*fit(SLOT_DRILL), *items), CRIB), *BOX)
    metal = Metal(BOX, Frame(UPRIGHT, (0.0, 20.0, 0.0)), strokes, None)
    spot = shapely.Point(30, 0).buffer(1)
    assert not metal.metal_in(spot, -3.0).is_empty
    for place in range(len(strokes)):
        metal.cut(place)
    assert metal.metal_in(spot, -3.0).is_empty
    assert not metal.metal_in(spot, -3.001).is_empty
    assert metal.top_over(spot, -4.0) == pytest.approx(-3.0)


def test_a_ball_clears_its_own_circle_at_each_height() -> None:
    ball = Ball(np.array([[0.0, 0.0], [10.0, 0.0]]), np.zeros(2), 5.0)
    for height, radius in ((1.0, 3.0), (2.0, 4.0), (5.0, 5.0), (9.0, 5.0)):
        outline = ball.outline(height)
        assert outline is not None
        assert outline.bounds[3] == pytest.approx(radius, abs=1e-3)
    assert ball.turned(np.eye(2), np.array([1.0, 0.0])).radius_at(1.0) == pytest.approx(3.0)
    cone = Sweep(ball.path, ball.rise, 5.0, 1.0)
    assert cone.key != ball.key


def test_a_ball_aslant_clears_no_more_than_it_does() -> None:
    ball = Ball(np.array([[0.0, 0.0], [10.0, 0.0]]), np.array([0.0, 2.0]), 5.0)
    outline = ball.outline(1.0)
    assert outline is not None
    truth = shapely.union_all(
        [
            shapely.Point(10 * share, 0.0).buffer(math.sqrt(above * (10 - above)), quad_segs=64)
            for share in np.linspace(0.0, 0.499, 400)
            if (above := 1.0 - 2.0 * share) > 0
        ]
    )
    assert outline.difference(truth.buffer(1e-3)).area < 1e-3
    assert outline.area > 0.97 * truth.area
