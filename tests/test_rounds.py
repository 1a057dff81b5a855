"""Round noses and ball ends against worked examples and traced circles."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.rounds import (
    ball_diameter_at,
    ball_step,
    ball_steps,
    corner_left,
    corner_radii,
    cusp,
    cusp_in_hollow,
    cusp_on_round,
    effective_diameter,
    step_crest,
    step_over,
)
from tests.printed import as_printed, examples

published = partial(examples, "rounds")


@pytest.mark.parametrize("row", published("radius-path"))
def test_the_path_of_a_round_nose_is_the_printed_one(row: dict[str, Any]) -> None:
    # the source's rounding is 0.030 wide: a nose of 0.015 on a radius of 1/2
    path, nose = row["given"]["path_radius"], 0.015
    step = ball_step(path - nose, row["given"]["angle_deg"], nose)
    as_printed(row, x=path - step.axial, y=step.radius + nose)


@pytest.mark.parametrize("row", published("ball-steps"))
def test_a_ball_is_stepped_as_in_the_table(row: dict[str, Any]) -> None:
    steps = ball_steps(row["given"]["ball_radius"], row["given"]["step_deg"])
    as_printed(row, axial=[s.axial for s in steps], radius=[s.radius for s in steps])


@pytest.mark.parametrize("row", published("ball-round-nose"))
def test_a_round_nose_goes_past_the_axis_at_the_end(row: dict[str, Any]) -> None:
    ball, nose = row["given"]["ball_radius"], row["given"]["nose_radius"]
    steps = [ball_step(ball, angle, nose) for angle in row["given"]["contact_angle_deg"]]
    as_printed(
        row,
        axial_in_from_face=[s.axial for s in steps],
        radius_reading=[s.radius for s in steps],
    )


@pytest.mark.parametrize("row", published("ball-axial"))
def test_the_diameter_of_a_ball_along_it(row: dict[str, Any]) -> None:
    ball = row["given"]["ball_radius"]
    as_printed(row, diameter=[ball_diameter_at(ball, z) for z in row["given"]["axial"]])


@pytest.mark.parametrize("row", published("step-crest"))
def test_the_crest_of_steps_on_a_ball(row: dict[str, Any]) -> None:
    as_printed(row, crest=step_crest(row["given"]["ball_radius"], row["given"]["step_deg"]))


@given(radius=st.floats(1, 100), step=st.floats(0.5, 90))
def test_no_step_of_a_ball_stands_higher_than_the_crest(radius: float, step: float) -> None:
    crests = []
    for i in range(math.ceil(90 / step)):
        near, far = math.radians(i * step), math.radians((i + 1) * step)
        crests.append(math.hypot(radius * math.cos(near), radius * math.sin(far)) - radius)
    assert step_crest(radius, step) == pytest.approx(max(crests), abs=1e-9 * radius)


@pytest.mark.parametrize("row", published("cusp-flat"))
def test_the_cusp_on_a_flat_and_its_rule(row: dict[str, Any]) -> None:
    nose, pitch = row["given"]["nose_radius"], row["given"]["pitch"]
    as_printed(row, cusp=cusp(nose, pitch), cusp_by_rule=pitch**2 / (8 * nose))


@pytest.mark.parametrize("row", published("cusp-curved"))
def test_the_cusp_on_a_curve(row: dict[str, Any]) -> None:
    reckon = {"convex": cusp_on_round, "concave": cusp_in_hollow}[row["given"]["form"]]
    sizes = [row["given"][name] for name in ("nose_radius", "pitch", "work_radius")]
    as_printed(row, cusp=reckon(*sizes))


@pytest.mark.parametrize("row", published("stepover"))
def test_the_step_over_for_a_scallop(row: dict[str, Any]) -> None:
    ball, scallop = row["given"]["ball_radius"], row["given"]["scallop"]
    as_printed(row, step=step_over(ball, scallop))
    assert cusp(ball, step_over(ball, scallop)) == pytest.approx(scallop, rel=1e-9)


@pytest.mark.parametrize("row", published("ball-effective"))
def test_a_ball_nose_meets_the_work_at_less_than_its_diameter(row: dict[str, Any]) -> None:
    as_printed(row, effective=effective_diameter(row["given"]["diameter"], row["given"]["depth"]))


@pytest.mark.parametrize("row", published("corner-left"))
def test_what_a_round_cutter_leaves_in_a_corner(row: dict[str, Any]) -> None:
    as_printed(row, left=corner_left(row["given"]["cutter_radius"]))


@pytest.mark.parametrize("row", published("corner-fit"))
def test_a_corner_is_a_little_rounder_than_the_cutter(row: dict[str, Any]) -> None:
    least, good = corner_radii(row["given"]["cutter"])
    as_printed(row, corner_least=least, corner_good=good)


@given(nose=st.floats(0.1, 10), share=st.floats(0.01, 0.99))
def test_a_cusp_comes_back_from_its_step(nose: float, share: float) -> None:
    pitch = 2 * nose * share
    assert step_over(nose, cusp(nose, pitch)) == pytest.approx(pitch, rel=1e-9)


@given(nose=st.floats(0.1, 5), work=st.floats(10, 1e4), share=st.floats(0.02, 0.9))
def test_cusps_are_higher_on_a_round_and_lower_in_a_hollow(
    nose: float, work: float, share: float
) -> None:
    pitch = nose * share
    flat = cusp(nose, pitch)
    assert cusp_in_hollow(nose, pitch, work) < flat < cusp_on_round(nose, pitch, work)


@given(nose=st.floats(0.1, 5), work=st.floats(10, 100), share=st.floats(0.02, 0.9))
def test_the_cusp_on_a_curve_is_where_two_noses_cross(
    nose: float, work: float, share: float
) -> None:
    half = nose * share / (2 * work)
    for side, reckon in ((1, cusp_on_round), (-1, cusp_in_hollow)):
        path = work + side * nose
        x, y = path * math.sin(half), path * math.cos(half)
        crossing = y - side * math.sqrt(nose**2 - x**2)
        assert reckon(nose, nose * share, work) == pytest.approx(
            side * (crossing - work), abs=1e-10
        )


def test_a_ball_nose_sunk_to_its_middle_cuts_at_its_whole_diameter() -> None:
    assert effective_diameter(6.0, 3.0) == effective_diameter(6.0, 4.0) == 6.0


def test_steps_end_at_the_largest_diameter_whatever_is_left() -> None:
    assert [s.angle_deg for s in ball_steps(10.0, 40.0)] == [0.0, 40.0, 80.0, 90.0]
    assert [s.angle_deg for s in ball_steps(10.0, 90.0)] == [0.0, 90.0]


def test_what_cannot_be_turned_so_is_refused() -> None:
    with pytest.raises(ValueError, match="do not meet; give at most 2"):
        cusp(1.0, 2.5)
    with pytest.raises(ValueError, match="do not meet"):
        cusp_on_round(0.5, 3.0, 2.0)
    with pytest.raises(ValueError, match="do not meet"):
        cusp_on_round(0.5, 40.0, 2.0)
    with pytest.raises(ValueError, match="does not fit a hollow of 3"):
        cusp_in_hollow(3.0, 0.5, 3.0)
    with pytest.raises(ValueError, match="give at most 3"):
        step_over(3.0, 3.5)
    with pytest.raises(ValueError, match="off a ball 20 across"):
        ball_diameter_at(10.0, 20.5)
    with pytest.raises(ValueError, match="angle deg 180"):
        ball_step(10.0, 180.0)
    with pytest.raises(ValueError, match="nose radius -1"):
        ball_step(10.0, 10.0, -1.0)
    with pytest.raises(ValueError, match="step deg 0"):
        ball_steps(10.0, 0.0)
