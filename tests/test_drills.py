"""Drill sizes, names and points against printed tables."""

from typing import Any

import pytest

from pathgen.reckon.drills import (
    ALL_SERIES,
    drill_diameter,
    drill_name,
    drill_series,
    jobber_flutes,
    nearest_drills,
    neighbours_among,
    point_length,
)
from tests.printed import figures

PUBLISHED = figures("drills")
INCH = 25.4


@pytest.mark.parametrize(
    ("kind", "spelling"), [("number", "No. {}"), ("letter", "letter {}"), ("fraction", "{} in")]
)
def test_named_drill_has_its_printed_size(kind: str, spelling: str) -> None:
    rows = PUBLISHED[kind]["size"]
    assert len(rows) == {"number": 80, "letter": 26, "fraction": 64}[kind]
    for name, inches in rows.items():
        diameter = drill_diameter(spelling.format(name) + " drill")
        assert diameter == pytest.approx(inches * INCH, abs=1e-9)


def test_metric_series_is_the_printed_one() -> None:
    ours = [drill.diameter for drill in drill_series("metric") if drill.diameter <= 25.75]
    assert ours == PUBLISHED["metric"]["series"]
    assert sum(diameter <= 25.0 for diameter in ours) == 227


@pytest.mark.parametrize("row", PUBLISHED["neighbours"]["pairs"])
def test_near_metric_size_is_not_the_named_drill(row: dict[str, Any]) -> None:
    name = row["name"].replace("#", "No. ") + " drill"
    diameter = drill_diameter(name)
    assert diameter is not None
    half = PUBLISHED["neighbours"]["printed_to"] / 2
    assert diameter == pytest.approx(row["mm"], abs=half + 1e-9)
    difference = row["metric"] - diameter
    assert difference == pytest.approx(row["metric_minus_name_mm"], abs=half + 1e-9)
    metric_name = drill_name(row["metric"], ("metric",))
    assert metric_name == f"{row['metric']:g} mm drill"
    found_as = drill_name(diameter, ("number", "letter", "fractional"))
    assert found_as is not None
    assert drill_diameter(found_as) == pytest.approx(diameter, abs=1e-6)
    if abs(difference) > 1e-6:
        assert drill_name(row["metric"], ("number", "letter", "fractional")) is None


@pytest.mark.parametrize("row", PUBLISHED["misprint"])
def test_misprinted_size_is_not_that_drill(row: dict[str, Any]) -> None:
    diameter = drill_diameter(row["name"])
    assert diameter is not None
    assert abs(diameter - row["printed_inches"] * INCH) > 0.02, row["why"]
    assert drill_name(row["printed_inches"] * INCH) != row["name"]


@pytest.mark.parametrize("row", PUBLISHED["point"]["factor"])
def test_point_of_unit_diameter_has_the_printed_length(row: dict[str, Any]) -> None:
    ours = point_length(1.0, row["angle_deg"])
    assert ours == pytest.approx(row["length_per_diameter"], abs=row["printed_to"] / 2)


@pytest.mark.parametrize("row", PUBLISHED["point"]["rule_of_thumb"])
def test_rule_of_thumb_is_out_by_what_is_said_of_it(row: dict[str, Any]) -> None:
    error = 100 * (row["length_per_diameter"] / point_length(1.0, row["angle_deg"]) - 1)
    assert error == pytest.approx(row["error_percent"], abs=row["printed_to"] / 2)


@pytest.mark.parametrize("row", PUBLISHED["point"]["example"])
def test_tip_goes_deeper_by_the_point(row: dict[str, Any]) -> None:
    length = point_length(row["diameter"], row["angle_deg"])
    assert length == pytest.approx(row["point_length"], abs=row["printed_to"] / 2)
    tip = row["full_depth"] + length
    assert tip == pytest.approx(row["tip_depth"], abs=row["printed_to"] / 2)


@pytest.mark.parametrize("row", PUBLISHED["point"]["spot_example"])
def test_spot_has_the_depth_of_its_cone(row: dict[str, Any]) -> None:
    ours = point_length(row["spot_diameter"], row["angle_deg"])
    assert ours == pytest.approx(row["depth"], abs=row["printed_to"] / 2)


def test_ordinary_point_is_118_degrees() -> None:
    assert point_length(10.0) == point_length(10.0, 118.0)


@pytest.mark.parametrize(
    ("name", "diameter"),
    [
        ("no 7", 5.1054),
        ("no. 7", 5.1054),
        ("No.7 Drill", 5.1054),
        ("number 7 drill", 5.1054),
        ("#7 drill", 5.1054),
        ("F drill", 6.5278),
        ("Letter f", 6.5278),
        ("3/8 in drill", 9.525),
        ('3/8" drill', 9.525),
        ("3/8 inch drill", 9.525),
        ("1 1/8 in drill", 28.575),
        ("1-1/8 in drill", 28.575),
        ("0.201 in drill", 5.1054),
        ("6.8 mm drill", 6.8),
        (" 6.8mm  drill ", 6.8),
    ],
)
def test_people_write_a_name_in_many_ways(name: str, diameter: float) -> None:
    assert drill_diameter(name) == pytest.approx(diameter, abs=1e-9)


@pytest.mark.parametrize("text", ["6.8 mm", "3/8 in", "24 thou", "F", "M6", "", "letterhead"])
def test_what_names_no_drill_is_left_to_others(text: str) -> None:
    assert drill_diameter(text) is None


@pytest.mark.parametrize(
    ("name", "right"),
    [
        ("No. 99 drill", "nearest is No. 80 drill"),
        ("No. 0 drill", "nearest is No. 1 drill"),
        ("#10", "write 'No. 10 drill' for the drill"),
        ("No. I drill", "write 'letter I drill'"),
        ("letter 1 drill", "as 'letter I drill'"),
        ("a drill", "write 'No. 7 drill'"),
        ("5/17 in drill", "nearest is 9/32 in drill or 19/64 in drill"),
        ("1/128 in drill", "nearest is 1/64 in drill"),
        ("3 1/7 in drill", "nearest is 2 in drill"),
        ("0/8 in drill", "write '3/8 in drill'"),
        ("3/0 in drill", "write '3/8 in drill'"),
        ("0 mm drill", "a diameter above zero"),
    ],
)
def test_wrong_name_is_answered_with_a_right_one(name: str, right: str) -> None:
    with pytest.raises(ValueError, match="drill") as refused:
        drill_diameter(name)
    assert right in str(refused.value)


@pytest.mark.parametrize("series", ALL_SERIES)
def test_every_name_comes_back_as_its_diameter(series: Any) -> None:
    drills = drill_series(series)
    assert [d.diameter for d in drills] == sorted({d.diameter for d in drills})
    for drill in drills:
        assert drill_diameter(drill.name) == pytest.approx(drill.diameter, abs=1e-9)
        assert drill_name(drill.diameter, (series,)) == drill.name


def test_one_size_with_two_names_takes_the_first_series() -> None:
    assert drill_name(6.35) == "1/4 in drill"
    assert drill_name(6.35, ("letter", "fractional")) == "letter E drill"
    assert drill_name(12.7) == "12.7 mm drill"


def test_neighbours_past_an_end_are_none() -> None:
    below, above = nearest_drills(0.1)
    assert below is None
    assert above is not None
    assert above.diameter == 0.2
    below, above = nearest_drills(60.0)
    assert below is not None
    assert below.name == "2 in drill"
    assert above is None
    assert neighbours_among(5.0, ()) == (None, None)


def test_neighbours_of_a_made_size_are_the_drill_itself() -> None:
    below, above = nearest_drills(10.7, ("metric",))
    assert below is above
    assert below is not None
    assert below.name == "10.7 mm drill"


@pytest.mark.parametrize("size", PUBLISHED["metric"]["not_made"])
def test_a_quarter_millimetre_that_is_not_made_is_never_named(size: float) -> None:
    # thread tables print them as tapping drills, major less pitch
    assert drill_name(size, ("metric",)) is None
    below, above = nearest_drills(size, ("metric",))
    assert below is not None
    assert above is not None
    assert below.diameter == pytest.approx(size - 0.05)
    assert above.diameter == pytest.approx(size + 0.05)


@pytest.mark.parametrize("angle", [0.0, 180.0, -118.0, float("nan")])
def test_impossible_point_is_refused(angle: float) -> None:
    with pytest.raises(ValueError, match="not between 0 and 180"):
        point_length(10.0, angle)


@pytest.mark.parametrize("diameter", [0.0, -1.0, float("nan"), float("inf")])
def test_impossible_diameter_is_refused(diameter: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        point_length(diameter)
    with pytest.raises(ValueError, match="above zero"):
        nearest_drills(diameter)


def test_flutes_are_as_long_as_those_of_the_shortest_jobber_drills() -> None:
    # DIN 338, from memory: 57 mm over 5.3 up to 6 mm, 63 mm up to 6.7 mm
    assert (jobber_flutes(5.3), jobber_flutes(5.31), jobber_flutes(6.0)) == (52, 57, 57)
    assert (jobber_flutes(6.01), jobber_flutes(20.0)) == (63, 140)
    for refused in (0.67, 20.1):
        with pytest.raises(ValueError, match=r"over 0\.67 up to 20 mm; measure them"):
            jobber_flutes(refused)


def test_longer_drills_have_longer_flutes() -> None:
    sizes = [drill.diameter for drill in drill_series("metric") if 0.67 < drill.diameter <= 20]
    lengths = [jobber_flutes(size) for size in sizes]
    assert lengths == sorted(lengths)
    assert len(set(lengths)) == 33  # every row is met by a metric drill
