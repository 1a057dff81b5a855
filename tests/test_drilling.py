"""Which drills lead to a hole, and in what pecks."""

from itertools import pairwise
from typing import Any

import pytest

from pathgen.reckon.drilling import drilling_sequence, even_peck, last_drill, pecks
from pathgen.reckon.drills import Drill, drill_diameter, drill_series, point_length
from tests.printed import figures

PUBLISHED = figures("drilling")
METRIC = drill_series("metric")


def held(*names: str) -> list[Drill]:
    diameters = [(drill_diameter(name), name) for name in names]
    return [Drill(name=n, series="metric", diameter=d) for d, n in diameters if d is not None]


@pytest.mark.parametrize("row", PUBLISHED["reaming"])
def test_stock_for_the_reamer_is_that_printed(row: dict[str, Any]) -> None:
    least, most = row["stock_on_diameter_mm"]
    half = 0.0254 / 2  # the inch figures are to the thousandth
    for inches in row["hole_in"]:
        final = inches * 25.4
        drill, why = last_drill(final, METRIC, "ream")
        assert least - half <= final - drill.diameter <= most + half
        assert why.endswith("on diameter to ream")
        # a drill a tenth of a millimetre from either end of the printed stock is refused
        for stock in (least - 0.1, most + 0.1):
            near = Drill(name="one", series="metric", diameter=final - stock)
            with pytest.raises(ValueError, match="no drill held leaves"):
                last_drill(final, [near], "ream")


def test_enough_is_left_to_bore_true() -> None:
    rule = PUBLISHED["leave_to_bore"]
    for final in (12.0, 16.0, 19.05, 25.4):
        left = final - last_drill(final, METRIC, "bore")[0].diameter
        assert rule["least"] <= left <= rule["most"]


def test_more_is_left_to_bore_where_nothing_larger_is_held() -> None:
    drill, why = last_drill(40.0, held("6 mm drill", "25 mm drill", "39.5 mm drill"), "bore")
    assert drill.name == "25 mm drill"
    assert why == "leaves 15 mm on diameter to bore"


def test_small_hole_needs_no_pilot() -> None:
    spot, last = drilling_sequence(PUBLISHED["pilot_above"]["diameter"])
    assert (spot.purpose, spot.drill, spot.diameter) == ("spot", None, 5.0)
    assert spot.depth == point_length(5.0, 120.0)
    assert last.purpose == "last"
    assert last.drill is not None
    assert last.drill.name == "10 mm drill"


def test_pilot_is_as_thick_as_the_web_of_what_follows() -> None:
    web = PUBLISHED["web_per_diameter"]
    for final in (11.0, 13.0, 16.0, 25.0):
        steps = drilling_sequence(final)
        assert [step.purpose for step in steps[:2]] == ["spot", "pilot"]
        assert web["low"] * final <= steps[1].diameter <= web["high"] * final + 0.1
        assert steps[0].diameter < steps[1].diameter


def test_large_hole_is_opened_in_shared_steps() -> None:
    steps = drilling_sequence(30.0)
    assert [step.diameter for step in steps[1:]] == [6.0, 14.0, 22.0, 30.0]
    assert [step.purpose for step in steps] == ["spot", "pilot", "open out", "open out", "last"]


def test_a_pilot_that_is_itself_large_has_its_own() -> None:
    steps = drilling_sequence(20.0, pilot_above=3.0)
    assert [step.diameter for step in steps[1:]] == [0.8, 4.0, 12.0, 20.0]


def test_steps_not_held_are_left_out() -> None:
    few = held("30 mm drill", "6 mm drill")
    assert [step.diameter for step in drilling_sequence(30.0, drills=few)[1:]] == [6.0, 30.0]


@pytest.mark.parametrize(
    ("final", "names", "method", "message"),
    [
        (10.05, ["10 mm drill", "10.1 mm drill"], "drill", "next to it: 10 mm drill and 10.1 mm"),
        (10.0, [], "drill", "next to it: none"),
        (12.0, ["11 mm drill"], "ream", "wanted is one of 11.58 to 11.76 mm"),
        (12.0, ["11.9 mm drill"], "ream", "no drill held leaves 0.241 to 0.419 mm to ream"),
        (2.0, ["1.9 mm drill"], "ream", "over 2.28 up to 40.0 mm, not for 2 mm; bore it"),
        (0.8, ["0.5 mm drill"], "bore", "no drill held leaves 1 to 2 mm to bore to 0.8 mm"),
        (20.0, ["20 mm drill"], "drill", "20 mm drill wants a pilot of about 4.0 mm"),
        (20.0, ["20 mm drill", "3 mm drill"], "drill", "the thickness of its web; none is held"),
        (0.0, ["20 mm drill"], "drill", "above zero"),
    ],
)
def test_hole_that_cannot_be_led_to_is_refused(
    final: float, names: list[str], method: Any, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        drilling_sequence(final, drills=held(*names), method=method)


def test_pecks_follow_the_rule() -> None:
    assert pecks(30.0, 10.0) == (30.0,)  # three diameters in one go
    assert pecks(60.0, 10.0) == pytest.approx((30.0, 40.0, 50.0, 60.0))
    assert pecks(70.0, 10.0) == pytest.approx((30.0, 40.0, 50.0, 60.0, 65.0, 70.0))


def test_a_little_over_three_diameters_leaves_no_sliver() -> None:
    first, last = pecks(30.2, 10.0)
    assert last == 30.2
    assert last - first > 5.0


def test_even_peck_divides_the_hole() -> None:
    assert even_peck(30.0, 10.0) is None
    assert even_peck(60.0, 10.0) == pytest.approx(10.0)
    assert even_peck(61.0, 10.0) == pytest.approx(61.0 / 13)


@pytest.mark.parametrize(("depth", "diameter"), [(0.0, 5.0), (10.0, 0.0), (float("nan"), 5.0)])
def test_impossible_hole_is_refused(depth: float, diameter: float) -> None:
    with pytest.raises(ValueError, match=r"above zero|finite"):
        pecks(depth, diameter)


def test_no_step_opens_more_than_it_must_when_all_is_held() -> None:
    for final in (12.0, 18.5, 27.0, 40.0, 50.0):
        diameters = [step.diameter for step in drilling_sequence(final)[1:]]
        assert diameters == sorted(diameters)
        assert all(after - before <= 10.5 for before, after in pairwise(diameters))
