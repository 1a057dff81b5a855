"""Arcs, circles through points, tangents, and a bar in a spherical seat."""

from __future__ import annotations

import itertools
import math
from functools import partial
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pathgen.reckon.arcs import (
    ArcSegment,
    arc_segment,
    depth_of_arc,
    hollow_radius_from_rolls,
    radius_from_chord,
    radius_from_rolls,
    shallow_depth,
)
from pathgen.reckon.circles import (
    Circle,
    circle_through,
    fillet,
    tangent_length,
    tangent_points,
)
from pathgen.reckon.seats import contact_half_length, corner_gap, gap_at, scrape_depth
from tests.printed import as_printed, examples

published = partial(examples, "arcs")


@pytest.mark.parametrize("row", published("segment", "segment-full"))
def test_two_pieces_give_the_printed_others(row: dict[str, Any]) -> None:
    arc = arc_segment(
        **{"depth" if name == "height" else name: value for name, value in row["given"].items()}
    )
    found = {
        "radius": arc.radius,
        "height": arc.depth,
        "angle_deg": arc.angle_deg,
        "arc": arc.arc_length,
    }
    as_printed(row, **{name: found[name] for name in row["expected"]})


@pytest.mark.parametrize("row", published("segment-approx"))
def test_the_shallow_rule_is_short_of_the_true_depth(row: dict[str, Any]) -> None:
    radius, chord = row["given"]["radius"], row["given"]["chord"]
    rule, true = shallow_depth(radius, chord), depth_of_arc(radius, chord)
    as_printed(row, height=rule)
    # the rule is short by about h^2 / (2 r)
    assert true - rule == pytest.approx(true**2 / (2 * radius), rel=0.01)


@pytest.mark.parametrize("row", published("radius-over-rolls"))
def test_rolls_give_the_radius(row: dict[str, Any]) -> None:
    sizes = row["given"]
    if "height" in sizes:
        got = hollow_radius_from_rolls(sizes["over_rolls"], sizes["roll"], sizes["height"])
    else:
        # the reprint prints L + D for L - D: with that the row would miss by far
        got = radius_from_rolls(sizes["over_rolls"], sizes["roll"])
        misprint = (sizes["over_rolls"] + sizes["roll"]) ** 2 / (8 * sizes["roll"])
        assert misprint > 1.3 * got
    as_printed(row, radius=got)


PIECES = ("radius", "chord", "depth", "angle_deg", "arc_length")


@pytest.mark.parametrize("names", list(itertools.combinations(PIECES, 2)))
@given(radius=st.floats(0.5, 1e4), angle=st.floats(0.5, 179.0))
@settings(max_examples=40)
def test_any_two_pieces_of_an_arc_bring_back_the_rest(
    names: tuple[str, str], radius: float, angle: float
) -> None:
    whole = arc_segment(radius=radius, angle_deg=angle)
    again = arc_segment(**{name: getattr(whole, name) for name in names})
    # chord by length tells little of a shallow arc: its share below 1 is a^2 / 24
    slack = 1e-9 if names != ("chord", "arc_length") else 1e-9 * max(1, (60 / angle) ** 2) * 10
    for name in PIECES:
        assert getattr(again, name) == pytest.approx(getattr(whole, name), rel=slack), name


@given(radius=st.floats(1, 1e3), share=st.floats(0.01, 0.98))
def test_a_wider_dish_is_deeper(radius: float, share: float) -> None:
    narrow, wide = 2 * radius * share, 2 * radius * min(share * 1.01, 1)
    assert depth_of_arc(radius, wide) > depth_of_arc(radius, narrow)


def test_half_a_circle_is_reached_from_every_pair() -> None:
    half = ArcSegment(radius=5.0, chord=10.0, depth=5.0, angle_deg=180.0, arc_length=math.pi * 5.0)
    for names in itertools.combinations(PIECES, 2):
        again = arc_segment(**{name: getattr(half, name) for name in names})
        assert again.radius == pytest.approx(5.0, rel=1e-6), names


@pytest.mark.parametrize(
    ("known", "hint"),
    [
        ({}, "two pieces, not by none"),
        ({"radius": 5.0}, "two pieces, not by radius"),
        ({"radius": 5.0, "chord": 4.0, "depth": 1.0}, "two pieces"),
        ({"radius": 5.0, "diameter": 10.0}, "not by radius, diameter"),
        ({"radius": 5.0, "height": 1.0}, "chord, depth, angle_deg, arc_length"),
        ({"chord": 0.0, "depth": 1.0}, "chord 0 .* above zero"),
        ({"radius": math.nan, "depth": 1.0}, "radius nan"),
        ({"radius": 25.0, "depth": 30.0}, "give at most 25"),
        ({"radius": 25.0, "chord": 51.0}, "give at most 50"),
        ({"chord": 20.0, "depth": 10.5}, "give at most 10"),
        ({"radius": 10.0, "arc_length": 32.0}, "give at most 31.4"),
        ({"radius": 10.0, "angle_deg": 181.0}, "give at most 180"),
        ({"arc_length": 10.0, "chord": 10.0}, "chord below 10 and at least 6.36"),
        ({"arc_length": 10.0, "chord": 6.0}, "at least 6.36"),
        ({"arc_length": 10.0, "depth": 3.5}, "give at most 3.18"),
    ],
)
def test_what_makes_no_arc_is_refused_with_what_would(known: dict[str, float], hint: str) -> None:
    with pytest.raises(ValueError, match=hint):
        arc_segment(**known)


def test_rolls_that_cannot_lie_so_are_refused() -> None:
    with pytest.raises(ValueError, match="more than 12"):
        radius_from_rolls(12.0, 6.0)
    with pytest.raises(ValueError, match="at least that"):
        hollow_radius_from_rolls(11.0, 6.0, 9.0)
    with pytest.raises(ValueError, match="more than 6"):
        hollow_radius_from_rolls(20.0, 6.0, 6.0)


@given(radius=st.floats(5, 500), roll=st.floats(1, 5))
def test_rolls_come_back_from_the_radius_they_stand_at(radius: float, roll: float) -> None:
    apart = 2 * math.sqrt((radius + roll / 2) ** 2 - (radius - roll / 2) ** 2)
    assert radius_from_rolls(apart + roll, roll) == pytest.approx(radius, rel=1e-9)


@given(
    radius=st.floats(10, 500),
    roll=st.floats(1, 4),
    share=st.floats(0.3, 0.9),
)
def test_a_hollow_comes_back_from_rolls_that_lie_in_it(
    radius: float, roll: float, share: float
) -> None:
    path = radius - roll / 2  # the centres of the rolls lie on this radius
    half = share * path
    assume(half > roll / 2)
    height = radius - math.sqrt(path**2 - half**2) + roll / 2
    found = hollow_radius_from_rolls(2 * half + roll, roll, height)
    assert found == pytest.approx(radius, rel=1e-9)


def test_a_diameter_serves_for_the_radius() -> None:
    by_diameter = arc_segment(diameter=120.0, chord=50.0)
    assert by_diameter == arc_segment(radius=60.0, chord=50.0)
    assert by_diameter.diameter == 120.0


def test_radius_from_chord_and_depth_is_that_of_the_segment() -> None:
    assert radius_from_chord(16.0, 6.0) == pytest.approx(25 / 3, rel=1e-12)


# ---------------------------------------------------------------- circles

PLACES = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


@given(
    centre=PLACES,
    radius=st.floats(1, 300),
    start=st.floats(0, 360),
    steps=st.tuples(st.floats(20, 160), st.floats(20, 160)),
)
def test_three_points_of_a_circle_bring_it_back(
    centre: tuple[float, float], radius: float, start: float, steps: tuple[float, float]
) -> None:
    angles = [start, start + steps[0], start + sum(steps)]
    first, second, third = (
        (
            centre[0] + radius * math.cos(math.radians(a)),
            centre[1] + radius * math.sin(math.radians(a)),
        )
        for a in angles
    )
    found = circle_through(first, second, third)
    assert found.radius == pytest.approx(radius, rel=1e-7)
    assert found.centre == pytest.approx(centre, abs=1e-5)


@pytest.mark.parametrize(
    "points",
    [
        ((0.0, 0.0), (1.0, 1.0), (3.0, 3.0)),
        ((2.0, 2.0), (2.0, 2.0), (3.0, 5.0)),
        ((2.0, 2.0), (2.0, 2.0), (2.0, 2.0)),
    ],
)
def test_points_on_one_line_make_no_circle(points: tuple[Any, Any, Any]) -> None:
    with pytest.raises(ValueError, match="points on an arc"):
        circle_through(*points)


@given(centre=PLACES, radius=st.floats(1, 100), far=st.floats(1.05, 20), way=st.floats(0, 360))
def test_a_tangent_stands_square_to_its_radius(
    centre: tuple[float, float], radius: float, far: float, way: float
) -> None:
    off = far * radius
    point = (
        centre[0] + off * math.cos(math.radians(way)),
        centre[1] + off * math.sin(math.radians(way)),
    )
    touches = tangent_points(Circle(centre=centre, radius=radius), point)
    for touch in touches:
        assert math.dist(touch, centre) == pytest.approx(radius, rel=1e-9)
        assert math.dist(touch, point) == pytest.approx(tangent_length(off, radius), rel=1e-7)
    (lx, ly), _ = touches
    left = (centre[0] - point[0]) * (ly - point[1]) - (centre[1] - point[1]) * (lx - point[0])
    assert left > 0


@pytest.mark.parametrize("point", [(0.0, 0.0), (3.0, 0.0), (1.0, 1.0)])
def test_a_point_within_a_circle_has_no_tangent(point: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match=r"above zero|more than 3"):
        tangent_points(Circle(centre=(0.0, 0.0), radius=3.0), point)


@given(corner=st.floats(10, 170), radius=st.floats(0.5, 5), turned=st.floats(0, 360))
def test_a_rounding_touches_both_lines(corner: float, radius: float, turned: float) -> None:
    long = 100.0
    before = (long * math.cos(math.radians(turned)), long * math.sin(math.radians(turned)))
    other = math.radians(turned + corner)
    after = (long * math.cos(other), long * math.sin(other))
    made = fillet(before, (0.0, 0.0), after, radius)
    for touch, line in ((made.start, before), (made.end, after)):
        assert math.dist(touch, made.centre) == pytest.approx(radius, rel=1e-9)
        square = (touch[0] - made.centre[0]) * line[0] + (touch[1] - made.centre[1]) * line[1]
        assert square == pytest.approx(0, abs=1e-8 * long)
        assert touch[0] * line[1] - touch[1] * line[0] == pytest.approx(0, abs=1e-8 * long)


def test_corners_that_cannot_be_rounded_are_refused() -> None:
    straight = ((0.0, 0.0), (5.0, 0.0), (10.0, 0.0))
    with pytest.raises(ValueError, match="corner angle deg 180"):
        fillet(*straight, 1.0)
    with pytest.raises(ValueError, match="corner angle deg 0"):
        fillet((0.0, 0.0), (5.0, 0.0), (0.0, 0.0), 1.0)
    with pytest.raises(ValueError, match="takes 6 off each line and one is only 5"):
        fillet((0.0, 0.0), (5.0, 0.0), (5.0, 9.0), 6.0)
    with pytest.raises(ValueError, match="length of line 0"):
        fillet((5.0, 0.0), (5.0, 0.0), (5.0, 9.0), 1.0)


# ---------------------------------------------------------------- a bar in its seat


def test_the_press_bar_hangs_by_the_gap_of_its_corners() -> None:
    # a seat of 68 across: its rim meets the corners of a bar 20 wide 32.496 from the middle
    half = contact_half_length(68.0, 20.0, 200.0)
    assert half == pytest.approx(math.sqrt(34**2 - 10**2), abs=1e-12)
    assert corner_gap(77.29, 20.0, half) == pytest.approx(0.717, abs=0.0005)
    # with 34 itself as half the length in contact the gap is another
    assert corner_gap(77.29, 20.0, 34.0) == pytest.approx(0.7241, abs=0.00005)


def test_a_short_bar_touches_at_its_own_corners() -> None:
    assert contact_half_length(68.0, 20.0, 50.0) == 25.0


@given(
    radius=st.floats(40, 200),
    width=st.floats(2, 30),
    half=st.floats(2, 20),
    place=st.tuples(st.floats(-1, 1), st.floats(-1, 1)),
)
def test_the_bar_nowhere_cuts_into_the_seat(
    radius: float, width: float, half: float, place: tuple[float, float]
) -> None:
    along, across = place[0] * half, place[1] * width / 2
    gap = gap_at(radius, width, half, (along, across))
    seat = radius - math.sqrt(radius**2 - along**2 - across**2)
    bar = radius - math.sqrt(radius**2 - along**2) + corner_gap(radius, width, half)
    assert gap == pytest.approx(bar - seat, abs=1e-9)
    assert gap >= -1e-12


@given(radius=st.floats(40, 200), along=st.floats(0, 20), across=st.floats(0, 15))
def test_more_is_scraped_farther_out(radius: float, along: float, across: float) -> None:
    here = scrape_depth(radius, along, across)
    assert scrape_depth(radius, along + 1, across) >= here
    assert scrape_depth(radius, along, across + 1) > here
    assert scrape_depth(radius, -along, -across) == here


def test_bars_and_places_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="does not go into a seat"):
        contact_half_length(20.0, 20.0, 50.0)
    with pytest.raises(ValueError, match="outside a seat"):
        corner_gap(30.0, 40.0, 29.0)
    for place in ((35.0, 0.0), (0.0, 10.5)):
        with pytest.raises(ValueError, match="not under the bar"):
            gap_at(77.29, 20.0, 34.0, place)
