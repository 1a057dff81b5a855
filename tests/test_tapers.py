"""Tapers, angles and dovetails against worked examples and tables."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.dovetails import (
    between_rollers,
    corner_from_between,
    corner_from_over,
    over_rollers,
    roller_too_large,
    wide_width,
)
from pathgen.reckon.tapers import (
    angle_from_square,
    compound_tilt,
    disk_centres,
    fine_feed_angle,
    half_angle,
    included_from_side,
    length_for_diameters,
    ratio_from_half_angle,
    set_over,
    set_over_exact,
    sine_bar_angle,
    sine_bar_height,
    taper_per_foot,
    taper_ratio,
)
from tests.printed import as_printed, examples, figures

published = partial(examples, "tapers")


@pytest.mark.parametrize("row", published("setover"))
def test_the_tailstock_is_set_over_as_printed(row: dict[str, Any]) -> None:
    sizes = row["given"]
    if "taper_per_foot" in sizes:
        ratio = sizes["taper_per_foot"] / 12
        as_printed(row, setover=set_over(ratio, sizes["total_length"]))
    else:
        ratio = taper_ratio(sizes["large"], sizes["small"], sizes["taper_length"])
        as_printed(row, setover=set_over(ratio, sizes["total_length"]), taper_per_inch=ratio)
    # the printed rule takes the tangent for the sine: long by half the square of ratio / 2
    rule, exact = (f(ratio, sizes["total_length"]) for f in (set_over, set_over_exact))
    assert rule / exact - 1 == pytest.approx((ratio / 2) ** 2 / 2, rel=0.01)


@pytest.mark.parametrize("row", published("topslide-scale"))
def test_a_scale_that_is_zero_square_to_the_bed(row: dict[str, Any]) -> None:
    angle = row["given"]["angle_deg"]
    half = angle / 2 if row["given"]["included"] else angle
    as_printed(row, scale_deg=angle_from_square(half))


@pytest.mark.parametrize("row", published("taper-per-inch"))
def test_the_taper_of_an_angle_is_that_of_the_table(row: dict[str, Any]) -> None:
    got = ratio_from_half_angle(row["given"]["included_angle_deg"] / 2)
    as_printed(row, taper_per_inch=got)


def test_the_old_table_misprints_two_tapers() -> None:
    slips = figures("tapers")["misprint"]
    assert len(slips) == 2
    for slip in slips:
        got = ratio_from_half_angle(slip["included_angle_deg"] / 2)
        assert got == pytest.approx(slip["true"], abs=0.00002)
        # one digit is wrong in each, so they are out by a round hundredth and two
        assert slip["printed"] - got in (
            pytest.approx(0.01, abs=0.00002),
            pytest.approx(0.02, abs=0.00002),
        )


@pytest.mark.parametrize("row", published("half-angle"))
def test_the_half_angle_of_a_taper_per_foot(row: dict[str, Any]) -> None:
    as_printed(row, half_angle_deg=half_angle(row["given"]["taper_per_foot"] / 12))


@pytest.mark.parametrize("row", published("disks"))
def test_disks_stand_apart_as_printed(row: dict[str, Any]) -> None:
    sizes = row["given"]
    if "angle_deg" in sizes:
        included = sizes["angle_deg"]
    elif row["id"] == "disks-05":  # there the taper is measured square to one side
        included = included_from_side(sizes["taper_per_foot"] / 12)
    else:
        included = 2 * half_angle(sizes["taper_per_foot"] / 12)
    as_printed(row, centres=disk_centres(sizes["d"], sizes["D"], included))


@pytest.mark.parametrize("row", published("sine-bar"))
def test_blocks_under_a_sine_bar(row: dict[str, Any]) -> None:
    bar, angle = row["given"]["bar"], row["given"]["angle_deg"]
    as_printed(row, height=sine_bar_height(bar, angle))
    assert sine_bar_angle(bar, sine_bar_height(bar, angle)) == pytest.approx(angle, rel=1e-12)


@pytest.mark.parametrize("row", published("topslide-fine"))
def test_a_tenth_across_wants_less_than_six_degrees(row: dict[str, Any]) -> None:
    as_printed(row, angle_deg=fine_feed_angle(row["given"]["ratio"]))
    assert math.sin(math.radians(6)) == pytest.approx(0.1045, abs=0.00005)


def test_a_top_slide_square_to_the_bed_moves_all_of_itself_across() -> None:
    assert fine_feed_angle(1.0) == pytest.approx(90.0)


@given(half=st.floats(0.05, 85))
def test_a_half_angle_comes_back_from_its_ratio(half: float) -> None:
    assert half_angle(ratio_from_half_angle(half)) == pytest.approx(half, rel=1e-9)


@given(half=st.floats(0.05, 80))
def test_a_steeper_taper_has_the_larger_ratio(half: float) -> None:
    assert ratio_from_half_angle(half + 1) > ratio_from_half_angle(half)


@given(large=st.floats(2, 100), share=st.floats(0.05, 0.95), half=st.floats(0.5, 60))
def test_the_length_between_two_diameters_brings_back_the_ratio(
    large: float, share: float, half: float
) -> None:
    length = length_for_diameters(large, large * share, half)
    ratio = taper_ratio(large, large * share, length)
    assert half_angle(ratio) == pytest.approx(half, rel=1e-9)
    assert taper_per_foot(ratio) == pytest.approx(12 * ratio)


def test_a_cone_may_run_out_to_a_point() -> None:
    assert taper_ratio(10.0, 0.0, 5.0) == 2.0


@given(x=st.floats(-80, 80), y=st.floats(-80, 80))
def test_one_tilt_has_both_slopes(x: float, y: float) -> None:
    tilt = compound_tilt(x, y)
    steep = math.tan(math.radians(tilt.tilt_deg))
    for slope, way in ((x, math.cos), (y, math.sin)):
        got = steep * way(math.radians(tilt.direction_deg))
        assert got == pytest.approx(math.tan(math.radians(slope)), abs=1e-9)
    assert tilt.tilt_deg >= max(abs(x), abs(y)) - 1e-9


def test_a_tilt_along_one_way_is_itself() -> None:
    assert compound_tilt(12.0, 0.0).tilt_deg == pytest.approx(12.0)
    assert compound_tilt(0.0, 12.0).direction_deg == pytest.approx(90.0)


def test_what_is_no_taper_is_refused() -> None:
    with pytest.raises(ValueError, match="larger diameter first"):
        taper_ratio(10.0, 12.0, 50.0)
    with pytest.raises(ValueError, match="larger diameter first"):
        length_for_diameters(10.0, 10.0, 5.0)
    with pytest.raises(ValueError, match="half angle 90"):
        ratio_from_half_angle(90.0)
    with pytest.raises(ValueError, match="half angle 91"):
        angle_from_square(91.0)
    with pytest.raises(ValueError, match="less than the bar"):
        sine_bar_angle(100.0, 100.0)
    with pytest.raises(ValueError, match="angle 90"):
        sine_bar_height(100.0, 90.0)
    with pytest.raises(ValueError, match="smaller first"):
        disk_centres(3.0, 1.0, 20.0)
    with pytest.raises(ValueError, match=r"ratio 1\.2"):
        fine_feed_angle(1.2)
    with pytest.raises(ValueError, match="along y 90"):
        compound_tilt(0.0, 90.0)


# ---------------------------------------------------------------- dovetails


@pytest.mark.parametrize("row", published("dovetail-width"))
def test_the_wide_side_of_a_dovetail(row: dict[str, Any]) -> None:
    sizes = row["given"]
    as_printed(row, wide=wide_width(sizes["narrow"], sizes["height"], sizes["angle_deg"]))


@pytest.mark.parametrize("row", published("dovetail-pins-male"))
def test_a_male_dovetail_over_rollers(row: dict[str, Any]) -> None:
    sizes = row["given"]
    as_printed(row, over_pins=over_rollers(sizes["corner_width"], sizes["pin"], sizes["angle_deg"]))


@pytest.mark.parametrize("row", published("dovetail-pins-female"))
def test_a_female_dovetail_between_rollers(row: dict[str, Any]) -> None:
    sizes = row["given"]
    as_printed(
        row, between_pins=between_rollers(sizes["corner_width"], sizes["pin"], sizes["angle_deg"])
    )


@given(corner=st.floats(25, 200), roller=st.floats(1, 6), angle=st.floats(45, 75))
def test_a_dovetail_comes_back_from_its_rollers(corner: float, roller: float, angle: float) -> None:
    over, between = (f(corner, roller, angle) for f in (over_rollers, between_rollers))
    assert corner_from_over(over, roller, angle) == pytest.approx(corner, rel=1e-12)
    assert corner_from_between(between, roller, angle) == pytest.approx(corner, rel=1e-12)
    assert over - corner == pytest.approx(corner - between, rel=1e-9)


@given(roller=st.floats(1, 10), angle=st.floats(45, 75))
def test_a_roller_lies_against_base_and_flank(roller: float, angle: float) -> None:
    # its centre, from the corner: out along the base and up
    out = over_rollers(100.0, roller, angle) / 2 - 50.0 - roller / 2
    up = roller / 2
    off_the_flank = out * math.sin(math.radians(angle)) - up * math.cos(math.radians(angle))
    assert off_the_flank == pytest.approx(roller / 2, rel=1e-9)
    height = up + roller / 2 * math.cos(math.radians(angle))  # of the touch on the flank
    assert not roller_too_large(roller, height * 1.001, angle)
    assert roller_too_large(roller, height * 0.999, angle)


def test_the_factor_at_sixty_degrees() -> None:
    assert over_rollers(10.0, 1.0, 60.0) == pytest.approx(12.7321, abs=0.00005)


def test_rollers_that_do_not_fit_are_refused() -> None:
    with pytest.raises(ValueError, match="give smaller rollers"):
        between_rollers(10.0, 6.0, 60.0)
    with pytest.raises(ValueError, match=r"is more than 16\.39"):
        corner_from_over(16.0, 6.0, 60.0)
    with pytest.raises(ValueError, match="angle deg 90"):
        wide_width(20.0, 4.0, 90.0)
