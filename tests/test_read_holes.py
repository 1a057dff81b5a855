"""Reading holes: their places, their sizes, and what contradicts itself."""

from __future__ import annotations

import math

import pytest

from pathgen.job.holes import Holes
from tests.hole_plates import job_with, read


def holes_of(feature: str) -> Holes:
    (holes,) = job_with(feature).setups[0].holes
    return holes


def places_of(places: str) -> list[tuple[float, float]]:
    return [place.at for place in holes_of(f'{places}\ndiameter = 6\ndepth = "through"').places]


@pytest.mark.parametrize(
    ("places", "wanted"),
    [
        ("at = [20, 30]", [(20, 30)]),
        ('at = [[20, 30], ["2 in", 30]]', [(20, 30), (50.8, 30)]),
        (
            "row = { from = [20, 30], to = [80, 30], count = 4 }",
            [(20, 30), (40, 30), (60, 30), (80, 30)],
        ),
        (
            "row = { from = [20, 10], pitch = 15, count = 3, angle_deg = 90 }",
            [(20, 10), (20, 25), (20, 40)],
        ),
        (
            "grid = { from = [20, 10], columns = 2, rows = 2, pitch = [30, 20] }",
            [(20, 10), (50, 10), (20, 30), (50, 30)],
        ),
        (
            "circle = { centre = [50, 30], diameter = 40, count = 4, first_deg = 90 }",
            [(50, 50), (30, 30), (50, 10), (70, 30)],
        ),
    ],
)
def test_places(places: str, wanted: list[tuple[float, float]]) -> None:
    found = places_of(places)
    assert found == [pytest.approx(place) for place in wanted]


def test_a_plain_hole_has_the_general_tolerance() -> None:
    holes = holes_of("at = [20, 30]\ndiameter = 6\ndepth = 8")
    # ISO 2768-1 m: 0.1 over 3 up to 6 mm, 0.2 over 6 up to 30 mm.
    assert (holes.bore.low, holes.bore.high) == pytest.approx((5.9, 6.1))
    assert holes.depth is not None
    assert (holes.depth.low, holes.depth.high) == pytest.approx((7.8, 8.2))
    place = holes.places[0]
    assert (place.x.low, place.x.high, place.y.high) == pytest.approx((19.8, 20.2, 30.2))


def test_a_position_tolerance_is_plus_or_minus() -> None:
    holes = holes_of("at = [20, 30]\ndiameter = 6\ndepth = 8\nposition_tolerance = 0.05")
    assert (holes.places[0].x.low, holes.places[0].y.high) == pytest.approx((19.95, 30.05))


def test_a_tapped_hole_has_its_tapping_hole_lead_and_mouth() -> None:
    holes = holes_of('at = [20, 30]\ntapped = "M6"\ndepth = 8')
    # 0.6495 p a side is full by the charts: 6 - 2 x 0.75 x 0.6495 = 5.026; 65 % gives 5.156; 85 %
    # would give 4.896, but the core is 6 - 1.0825 = 4.917. Depth: 3 to 6 pitches more.
    assert holes.bore.nominal == pytest.approx(5.026, abs=5e-4)
    assert (holes.bore.low, holes.bore.high) == pytest.approx((4.9175, 5.1556), abs=5e-4)
    assert holes.depth is not None
    assert (holes.depth.low, holes.depth.high) == pytest.approx((11, 14))
    assert holes.countersink is not None
    assert (holes.countersink.diameter.low, holes.countersink.angle_deg) == (6, 90)


def test_a_tapping_hole_is_no_deeper_than_the_blank_lets_it() -> None:
    # 14 + 6 is all of the blank: 20 less half a millimetre and a 5.156 mm drill's point, 1.549.
    holes = holes_of('at = [20, 30]\ntapped = "M6"\ndepth = 14')
    assert holes.depth is not None
    assert (holes.depth.low, holes.depth.high) == pytest.approx((17, 17.951), abs=1e-3)


def test_the_limits_of_a_tapping_hole_hold_what_the_standard_lets_a_nut_have() -> None:
    # ISO 965-1, 6H: the minor diameter of an M6 nut is 4.917 to 5.153 mm (a common table of it).
    holes = holes_of('at = [20, 30]\ntapped = "M6"\ndepth = "through"')
    assert holes.bore.low == pytest.approx(4.917, abs=1e-3)
    assert holes.bore.high == pytest.approx(5.153, abs=4e-3)


@pytest.mark.parametrize(
    ("feature", "said"),
    [
        ("diameter = 6\ndepth = 8", "feature[1].at: missing; place the holes by one of"),
        (
            "at = [9, 9]\nrow = { from = [1, 1], pitch = 9, count = 2 }\ndiameter = 6\ndepth = 8",
            "row and at given",
        ),
        ("at = [20, 30, 40]\ndiameter = 6\ndepth = 8", "feature[1].at"),
        ("at = []\ndiameter = 6\ndepth = 8", "no points"),
        ("at = [20, 30]\ndiameter = 6", "depth: missing"),
        ("at = [20, 30]\ndepth = 8", "diameter: missing"),
        ("at = [98, 30]\ndiameter = 6\ndepth = 8", "runs out of the blank"),
        ("at = [[20, 30], [25, 30]]\ndiameter = 6\ndepth = 8", "two holes 5 mm apart"),
        # 18 + 0.2 at full diameter and 1.77 of point (5.9 / 2 / tan 59): 19.97 of 20 is still in,
        # but a reamer's drill may go 3 mm deeper.
        ("at = [20, 30]\ndiameter = 6\ndepth = 18", "with the drill's point"),
        ("at = [20, 30]\ndiameter = 6\ndepth = 19\nfinish = 'drilled'", "with the drill's point"),
        ("at = [20, 30]\ntapped = 'M13'\ndepth = 8", "nearest: M12, M14"),
        # A hole of 15.5 + 3 pitches and 1.55 of point in 20 mm, half a millimetre under it, leaves
        # no room; 20 - 0.5 - 1.549 - 0.2 - 3 does.
        ("at = [20, 30]\ntapped = 'M6'\ndepth = 15.5", "tap 14.75 mm at most"),
        ("at = [20, 30]\ntapped = '1/4-20'\ndepth = 8", "tapped"),
        ("at = [20, 30]\ntapped = 'M6'\ndiameter = 5\ndepth = 8", "diameter: given beside tapped"),
        ("at = [20, 30]\ndiameter = 5\nengagement_percent = 70\ndepth = 8", "given without tapped"),
        ("at = [20, 30]\ndiameter = 6\ndepth = 8\ncountersink = { diameter = 6 }", "make it wider"),
        (
            "at = [20, 30]\ndiameter = 6\ndepth = 8\ncounterbore = { diameter = 10, depth = 8 }",
            "as deep as the hole itself",
        ),
        (
            (
                "at = [9, 9]\ndiameter = 6\ndepth = 8\ncounterbore = { diameter = 9, depth = 3 }\n"
                "countersink = { diameter = 9 }"
            ),
            "given beside counterbore",
        ),
        ("row = { from = [20, 30], count = 3 }\ndiameter = 6\ndepth = 8", "row.to: missing"),
        (
            "row = { from = [20, 30], to = [20, 30], count = 3 }\ndiameter = 6\ndepth = 8",
            "the same place",
        ),
        ('at = [20, 30]\ndiameter = 6\ndepth = "through"\ndepth_limits = [1, 2]', "leave them out"),
    ],
)
def test_what_contradicts_itself_is_told(feature: str, said: str) -> None:
    job, errors = read(feature)
    assert job is None
    assert any(said in error for error in errors), errors


def test_holes_that_run_into_a_slot_are_told() -> None:
    slot = """
[[setup.feature]]
kind = "slot"
name = "way"
along = "x"
centre = [50, {y}]
length = 40
width = 8
depth = "through"
"""
    holes = "at = [[20, 30], [40, 30]]\ndiameter = 6\ndepth = 8"
    job, errors = read(holes + slot.format(y=36.9))
    assert job is None
    assert any("'pins' and 'way' run into one another" in error for error in errors)
    # Walls at most 4.1 from the centre line, holes at most 3.05: 7.2 apart leaves them whole.
    assert read(holes + slot.format(y=37.2))[0] is not None


def test_the_ends_of_a_circle_are_exact() -> None:
    x, y = places_of("circle = { centre = [50, 30], diameter = 40, count = 3, first_deg = 30 }")[0]
    assert (x, y) == pytest.approx((50 + 20 * math.cos(math.pi / 6), 40))
