"""Spheres by a tilted cutter: the published relation, brute force, errors, steps, clearance."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.reckon.arcs import depth_of_arc, radius_from_chord
from pathgen.reckon.seats import gap_of_radii, reach_travel, tilt_range
from pathgen.reckon.sphere_clearance import RoundBody, body_clearance, inside_room
from pathgen.reckon.sphere_errors import Setting, effects, true_setting
from pathgen.reckon.sphere_profile import Generator, departure, pip_height
from pathgen.reckon.sphere_steps import cap_volume, chord_at, even_chip_depths
from pathgen.reckon.spheres import (
    Form,
    WayOfFeeding,
    circle_for,
    circle_of_sweep,
    compensated_feed,
    generated_radius,
    largest_chord,
    radius_stopping_short,
    sweep_of_circle,
    tilt_for,
    uncompensated,
)
from tests.printed import as_printed, examples
from tests.sphere_brute_force import TiltedWork

published = partial(examples, "spheres")
SEAT = Setting(radius=88.4, chord=68.0, tilt_deg=30.0, nose=0.4, form="dish")
FORMS: tuple[Form, Form] = ("dish", "dome")


def form_of(row: dict[str, Any]) -> Form:
    return "dish" if row["given"]["form"] == "concave" else "dome"


@pytest.mark.parametrize("row", published("sphere-angle", "sphere-angle-nose"))
def test_the_tilt_is_the_published_one(row: dict[str, Any]) -> None:
    given = row["given"]
    nose = given.get("edge_radius", 0.0)
    found = tilt_for(given["radius"], given["edge_circle"] / 2, nose, form_of(row))
    as_printed(row, angle_deg=found)


@pytest.mark.parametrize("row", published("sphere-radius"))
def test_the_radius_is_the_published_one(row: dict[str, Any]) -> None:
    given = row["given"]
    as_printed(row, radius=generated_radius(given["edge_circle"] / 2, given["angle_deg"]))


@pytest.mark.parametrize("row", published("sphere-miss-in-plane"))
def test_a_circle_short_of_the_axis(row: dict[str, Any]) -> None:
    given = row["given"]
    circle = given["edge_circle"] / 2
    tilt = tilt_for(given["nominal_radius"], circle)
    made = Generator(
        circle=circle, tilt_deg=tilt, nose=0.0, form="dish", foot=0.0, short=given["miss"]
    )
    as_printed(
        row,
        radius=radius_stopping_short(circle, tilt, given["miss"]),
        pip_diameter=2 * made.pip_radius,
    )


@pytest.mark.parametrize("row", published("sphere-offset-skew"))
def test_axes_that_pass_one_another_leave_a_pointed_pip(row: dict[str, Any]) -> None:
    given = row["given"]
    circle = given["edge_circle"] / 2
    tilt = tilt_for(given["radius"], circle)
    made = Generator(
        circle=circle, tilt_deg=tilt, nose=0.0, form="dish", foot=0.0, miss=given["offset"]
    )
    places = made.profile(10 * given["offset"], samples=20000)
    as_printed(row, pip_height=places[0][1] - min(z for _, z in places))


@pytest.mark.parametrize("row", published("sphere-reach"))
def test_the_widest_dish_in_one_setting(row: dict[str, Any]) -> None:
    given = row["given"]
    tilt = tilt_for(given["radius"], given["edge_circle"] / 2)
    as_printed(row, dish_diameter=largest_chord(given["radius"], tilt))


@pytest.mark.parametrize("row", published("sphere-feed"))
def test_a_feed_along_the_spindle_changes_the_radius(row: dict[str, Any]) -> None:
    given = row["given"]
    circle = given["edge_circle"] / 2
    tilt = tilt_for(given["radius"], circle)
    changed, pip = uncompensated(given["radius"], circle, tilt, given["feed"])
    assert pip == pytest.approx(given["feed"] * math.sin(math.radians(tilt)), abs=1e-12)
    as_printed(
        row,
        radius_fed_along_work_axis=radius_stopping_short(circle, tilt, 0.0),
        radius_fed_along_cutter_axis=changed,
    )


@pytest.mark.parametrize("row", published("trade"))
def test_thirty_degrees_and_thirteen_tenths(row: dict[str, Any]) -> None:
    given = row["given"]
    radius = generated_radius(given["sweep_share"] * given["chord"] / 2, given["tilt_deg"])
    as_printed(row, radius=radius, depth=depth_of_arc(radius, given["chord"]))


@pytest.mark.parametrize("row", published("measured"))
def test_a_measured_dish_tells_its_radius(row: dict[str, Any]) -> None:
    given = row["given"]
    assert true_setting(SEAT, given["chord"], given["depth"]).radius == radius_from_chord(
        given["chord"], given["depth"]
    )
    as_printed(row, radius=true_setting(SEAT, given["chord"], given["depth"]).radius)


# ---------------------------------------------------------------- brute force


@pytest.mark.parametrize("form", FORMS)
@settings(max_examples=40, deadline=None)
@given(
    tilt_deg=st.floats(10, 60),
    circle=st.floats(8, 60),
    nose=st.sampled_from([0.0, 0.4, 1.2]),
    short=st.floats(-0.3, 0.3),
    miss=st.sampled_from([0.0, 0.05, -0.2]),
    share=st.floats(0.2, 0.9),
)
def test_the_envelope_is_what_brute_force_finds(
    form: Form,
    tilt_deg: float,
    circle: float,
    nose: float,
    short: float,
    miss: float,
    share: float,
) -> None:
    if form == "dome":  # steeper, the far side of the circle would come in under the dome
        tilt_deg = min(tilt_deg, 40.0)
    made = Generator(
        circle=circle, tilt_deg=tilt_deg, nose=nose, form=form, foot=nose, short=short, miss=miss
    )
    half = min(2 * tilt_deg, 80.0)
    chord = 2 * circle / math.sin(math.radians(tilt_deg)) * math.sin(math.radians(share * half))
    beside = 0.05 + 2 * (abs(short) + abs(miss))  # any pip
    places = [place for place in made.profile(chord) if place[0] > beside]
    tilt = math.radians(tilt_deg)
    side = -1 if form == "dome" else 1
    # the foot, from the work's terms (short of its axis, its height) into those of the machine
    x = -side * short * math.cos(tilt) - nose * math.sin(tilt)
    z = -side * short * math.sin(tilt) + nose * math.cos(tilt)
    judge = TiltedWork(
        circle=circle, tilt_deg=tilt_deg, nose=nose, dome=form == "dome", tip=(x, miss, z)
    )
    for r, height in places[:: max(1, len(places) // 5)]:
        assert judge.height_at(r) == pytest.approx(height, abs=1e-6)


@pytest.mark.parametrize("form", FORMS)
@given(tilt_deg=st.floats(10, 60), radius=st.floats(15, 200), nose=st.sampled_from([0.0, 0.4, 2.0]))
@settings(max_examples=20, deadline=None)
def test_a_good_setting_leaves_a_true_sphere(
    form: Form, tilt_deg: float, radius: float, nose: float
) -> None:
    chord = 0.9 * largest_chord(radius, min(tilt_deg, 40.0))
    wanted = Setting(radius=radius, chord=chord, tilt_deg=tilt_deg, nose=nose, form=form)
    places = wanted.generator().profile(chord)
    assert departure(places, radius, form).worst < 1e-9
    found = effects(wanted)
    assert found.radius == pytest.approx(radius, abs=1e-8)
    assert found.pip_radius == pytest.approx(0.0, abs=1e-6)
    assert generated_radius(wanted.circle, tilt_deg, nose, form) == pytest.approx(radius)
    back = circle_of_sweep(sweep_of_circle(wanted.circle, nose, form), nose, form)
    assert back == pytest.approx(wanted.circle)


# ---------------------------------------------------------------- feeding


@pytest.mark.parametrize("tilt_deg", [10.0, 30.0, 45.0])
def test_two_slides_together_go_along_the_work_axis(tilt_deg: float) -> None:
    tilt = math.radians(tilt_deg)
    # as seen square to the tilt: (across, up) in the machine; the work axis, then the quill's way
    axis = (-math.sin(tilt), math.cos(tilt))
    for way, down, across, along in (
        ("work tilted", (0.0, -1.0), (1.0, 0.0), axis),
        ("head tilted, knee fed", (0.0, -1.0), (1.0, 0.0), (0.0, 1.0)),
        ("head tilted, quill fed", (-math.sin(tilt), -math.cos(tilt)), (1.0, 0.0), (0.0, 1.0)),
    ):
        kind: WayOfFeeding = way  # type: ignore[assignment]
        feed = compensated_feed(kind, tilt_deg, 2.0)
        moved = [feed.depth * d + feed.sideways * a for d, a in zip(down, across)]
        assert moved == pytest.approx([-2.0 * each for each in along])


# ---------------------------------------------------------------- errors and back again


def test_a_tenth_of_a_degree_matters_far_more_than_a_division() -> None:
    tilt = effects(SEAT, tilt_off_deg=0.1)
    division = effects(SEAT, short=0.02)
    miss = effects(SEAT, miss=0.02)
    assert abs(tilt.radius - 88.4) > 5 * abs(division.radius - 88.4)
    assert division.pip_radius == pytest.approx(0.02, abs=1e-9)
    assert miss.worst > 0
    assert effects(SEAT).worst < 1e-9


@pytest.mark.parametrize(
    ("wrong", "cause"),
    [({"tilt_off_deg": 0.25}, "tilt"), ({"sweep_off": 0.3}, "sweep")],
)
def test_a_measured_dish_tells_what_to_correct(wrong: dict[str, float], cause: str) -> None:
    cut = effects(SEAT, **wrong)
    # the foot leaves the axis a little by the tilt; as the pip has it, that is taken out first
    told = true_setting(SEAT, SEAT.chord, cut.depth, 2 * cut.pip_radius)
    assert told.radius == pytest.approx(cut.radius, abs=1e-6)
    amount = next(each.amount for each in told.found if f"the {cause} is out" in each.cause)
    assert amount == pytest.approx(next(iter(wrong.values())), rel=0.02)


def test_a_pip_tells_how_far_to_move() -> None:
    cut = effects(SEAT, short=-0.15)
    told = true_setting(SEAT, SEAT.chord, cut.depth, 2 * cut.pip_radius)
    assert told.short == pytest.approx(-0.15, abs=1e-6)
    assert "reaches past" in told.found[0].cause
    tilt = next(each.amount for each in told.found if "tilt is out" in each.cause)
    assert tilt == pytest.approx(0.0, abs=1e-4)


def test_a_pip_between_two_rounds() -> None:
    assert pip_height(0.0, 0.0, 5.0) == 0.0
    assert pip_height(0.4, 0.5, 5.0) == 5.0
    assert pip_height(0.5, 0.3, 5.0) == pytest.approx(0.1)


# ---------------------------------------------------------------- steps


@settings(max_examples=25, deadline=None)
@given(
    radius=st.floats(15, 200), share=st.floats(0.02, 0.6), most=st.sampled_from([0.1, 0.25, 0.5])
)
def test_cuts_take_the_same_metal(radius: float, share: float, most: float) -> None:
    depth = max(share * radius, 0.3)
    depths = even_chip_depths(radius, min(depth, 12.0), most)
    assert depths[-1] == min(depth, 12.0)
    taken = [
        cap_volume(radius, low) - cap_volume(radius, high) for high, low in pairwise((0.0, *depths))
    ]
    steps = [low - high for high, low in pairwise((0.0, *depths))]
    assert max(steps) <= 2 * most + 1e-9
    assert steps[-1] <= most + 1e-6
    full = [metal for metal, step in zip(taken, steps) if step < 2 * most - 1e-6]
    assert all(metal == pytest.approx(max(taken), rel=1e-4) for metal in full[:-1])
    assert all(metal <= max(taken) * (1 + 1e-4) for metal in taken)


def test_the_chord_grows_with_depth() -> None:
    assert chord_at(88.4, 6.8) == pytest.approx(68.0, abs=0.02)
    assert depth_of_arc(88.4, chord_at(88.4, 3.0)) == pytest.approx(3.0)


# ---------------------------------------------------------------- clearance


def test_a_body_within_the_circle_clears_a_dish() -> None:
    body = RoundBody(diameter=40.0, above=10.0, length=60.0)
    clear = body_clearance(SEAT.generator(), [body], work_radius=60.0)
    assert clear > 5.0
    fat = replace(body, diameter=2 * SEAT.circle + 6)
    low = replace(body, above=0.5, diameter=2 * SEAT.circle + 6)
    assert body_clearance(SEAT.generator(), [low], 60.0) < 0
    assert body_clearance(SEAT.generator(), [fat], 60.0) < clear


def test_a_dome_reaches_up_into_the_cutter() -> None:
    dome = Setting(radius=20.0, chord=24.0, tilt_deg=25.0, nose=0.2, form="dome")
    need = inside_room(20.0, 25.0)
    low = RoundBody(diameter=6.0, above=0.7 * need, length=30.0)
    high = RoundBody(diameter=6.0, above=1.2 * need + 0.2, length=30.0)
    assert body_clearance(dome.generator(), [low], 15.0) < 0
    assert 0 < body_clearance(dome.generator(), [high], 15.0) < 0.3 * need


# ---------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: generated_radius(10.0, 90.0), "tilt deg"),
        (lambda: generated_radius(2.0, 45.0, 4.0, "dome"), "larger than the dome"),
        (lambda: circle_for(3.0, 30.0, 4.0), "does not go into a dish"),
        (lambda: tilt_for(20.0, 21.0), "give a smaller sweep"),
        (lambda: circle_of_sweep(1.0, 0.8), "no wider than the nose"),
        (lambda: replace(SEAT, chord=200.0), "wider than the ball"),
        (lambda: departure([(9.0, 0.0)], 8.0, "dish"), "not on a sphere"),
    ],
)
def test_what_makes_no_sphere_is_refused(call: Any, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()


# ---------------------------------------------------------------- a part in its seat


def test_a_rounder_part_rocks_on_its_middle() -> None:
    gap = gap_of_radii(88.4, 88.0, 34.0)
    ends = [radius - math.sqrt(radius**2 - 34.0**2) for radius in (88.0, 88.4)]
    assert gap == pytest.approx(ends[0] - ends[1], abs=1e-12)
    assert gap_of_radii(88.0, 88.4, 34.0) == pytest.approx(-gap)
    with pytest.raises(ValueError, match="lie outside"):
        gap_of_radii(20.0, 30.0, 20.0)


def test_a_tip_turns_about_the_centre_of_the_seat() -> None:
    tilt = tilt_range(88.4, 68.0, 40.0)
    # an end of the foot comes just to the rim: turned about the centre, it lies 34 off the axis
    lean = math.radians(tilt) + math.asin(20.0 / 88.4)
    assert 88.4 * math.sin(lean) == pytest.approx(34.0)
    low, high = reach_travel(88.4, 60.0, 20.0, tilt)
    centre, tip = (0.0, 88.4), (60.0, 20.0)
    for way, moved in ((-1, low), (1, high)):
        turned = math.atan2(tip[1] - centre[1], tip[0]) + way * math.radians(tilt)
        height = centre[1] + math.dist(tip, centre) * math.sin(turned)
        assert height - tip[1] == pytest.approx(moved)
    with pytest.raises(ValueError, match="does not lie within a rim"):
        tilt_range(88.4, 68.0, 70.0)
