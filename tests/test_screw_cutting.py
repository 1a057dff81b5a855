"""Change wheels, thread dials, passes, wires and limits, against published figures."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pathgen.reckon.bolt_limits import bolt_limits
from pathgen.reckon.change_wheels import (
    every_mark,
    exactly,
    goes_together,
    lead_of,
    train_for,
    wheels_are_there,
)
from pathgen.reckon.screw_cutting import (
    best_wire,
    even_areas,
    over_wires,
    pitch_diameter_at,
    tip_radius_at,
    widened_by,
    wires_that_measure,
)
from pathgen.reckon.thread_forms import ISO_60
from pathgen.reckon.thread_names import thread

INCH = 25.4
EIGHT_TPI = INCH / 8


@pytest.mark.parametrize("tpi", [10, 11, 12, 13, 14, 16, 18, 20, 24])
def test_inch_leads_on_an_inch_leadscrew_are_the_plain_ratio(tpi: int) -> None:
    # The rule of the trade: drivers to driven as the leadscrew's threads an inch to the wanted.
    wheels = [20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 80, 120]
    found = train_for(INCH / tpi, EIGHT_TPI, wheels)
    assert found.error == 0.0
    ratio = Fraction(1)
    for driver, driven in found.pairs:
        ratio *= Fraction(driver, driven)
    assert ratio == Fraction(8, tpi)
    assert wheels_are_there(found.pairs, wheels)


def test_127_teeth_make_metric_leads_exact_and_63_one_part_in_8000_long() -> None:
    # 127 x 0.2 = 25.4; 63/100 in place of 127 x 2 / 403.175: 63/62.992 = 1.000125.
    exact = train_for(2.0, EIGHT_TPI, [20, 40, 50, 80, 127])
    assert exact.error == 0.0
    near = train_for(2.0, EIGHT_TPI, [20, 40, 50, 63])
    assert near.error == pytest.approx(1 / 8000, rel=1e-9)
    assert near.lead == pytest.approx(2.00025)
    assert train_for(INCH / 16, 3.0, [20, 30, 60, 80, 127]).error == 0.0  # 127/60 x 20/80


def test_two_wheels_of_a_number_are_used_only_where_there_are_two() -> None:
    assert not wheels_are_there(((20, 40), (20, 60)), [20, 40, 60])
    assert wheels_are_there(((20, 40), (20, 60)), [20, 20, 40, 60])
    with pytest.raises(ValueError, match="two make the least train"):
        train_for(1.0, 3.0, [40])


def test_a_wheel_in_the_way_of_a_stud_is_no_train() -> None:
    assert not goes_together(((20, 30), (70, 40)))
    assert goes_together(((40, 50), (30, 60)))


@pytest.mark.parametrize(
    ("tpi", "every"),
    # As printed beside thread dials of 8 tpi, 16 teeth, 8 lines (common practice, no source): any
    # line for multiples of 4, numbered lines for even, every second number for odd, one for halves.
    [(8, 1), (12, 1), (20, 1), (10, 2), (14, 2), (18, 2), (9, 4), (11, 4), (13, 4), (11.5, 8)],
)
def test_the_lines_of_a_thread_dial_are_those_printed_beside_it(tpi: float, every: int) -> None:
    assert every_mark(exactly(INCH / tpi), EIGHT_TPI, 16, 8) == every


def test_metric_leads_on_an_inch_leadscrew_keep_the_nuts_closed() -> None:
    assert every_mark(exactly(1.5), EIGHT_TPI, 16, 8) is None
    assert every_mark(lead_of(EIGHT_TPI, ((63, 40), (20, 50))), EIGHT_TPI, 16, 8) is None
    assert every_mark(exactly(INCH / 20), 3.0, 14, 2) is None


def test_metric_leads_on_a_metric_leadscrew_want_the_dial_wheel_that_divides() -> None:
    # 14 pitches of 3 mm are 42 mm: 1.75 x 24, but no whole number of 1.25; 15 are 45 = 36 x 1.25.
    assert every_mark(exactly(1.75), 3.0, 14, 2) == 1
    assert every_mark(exactly(1.25), 3.0, 14, 2) is None
    assert every_mark(exactly(1.25), 3.0, 15, 3) == 1
    assert every_mark(exactly(2.0), 3.0, 15, 3) is None
    assert every_mark(exactly(2.0), 3.0, 16, 4) == 1


@pytest.mark.parametrize(
    ("angle", "of_wire", "of_pitch", "best"),
    # The standard formulas: 60 degrees; Whitworth 55; BA 47.5.
    [
        (60.0, 3.0, 0.866025, 0.57735),
        (55.0, 3.1657, 0.9605, 0.5637),
        (47.5, 3.4829, 1.13634, 0.5463),
    ],
)
def test_wires_by_the_standard_formulas(
    angle: float, of_wire: float, of_pitch: float, best: float
) -> None:
    assert over_wires(0.0, 0.0, angle, 1.0) == pytest.approx(of_wire, abs=6e-5)
    assert over_wires(0.0, 1.0, angle, 0.0) == pytest.approx(-of_pitch, abs=6e-5)
    assert best_wire(1.0, angle) == pytest.approx(best, abs=6e-5)


def test_wires_lie_on_the_flanks_and_stand_out() -> None:
    # 60 degrees, p = 1: crest 0.75775 above the point; top of the wire 1.5 W, touch 0.75 W above.
    low, high = wires_that_measure(1.0, ISO_60)
    assert low == pytest.approx(0.757772 / 1.5, abs=1e-5)
    assert high == pytest.approx(0.757772 / 0.75, abs=1e-5)


def test_passes_of_even_area_take_the_whole_depth() -> None:
    depths = even_areas(1.2, 0.3)
    assert len(depths) == 16
    assert depths[-1] == pytest.approx(1.2)
    areas = [b**2 - a**2 for a, b in zip((0.0, *depths), depths, strict=False)]
    assert areas == pytest.approx([0.09] * 16)


def test_a_tool_of_the_form_s_own_root_comes_to_the_minor_diameter() -> None:
    m16 = thread("M16")
    tip = tip_radius_at(m16.pitch_diameter, 2.0, ISO_60, m16.root_radius)
    assert 2 * tip == pytest.approx(m16.minor_external, abs=1e-9)
    assert pitch_diameter_at(tip, 2.0, ISO_60, m16.root_radius) == pytest.approx(m16.pitch_diameter)


@pytest.mark.parametrize(
    ("name", "major", "pitch"),
    # Printed limits of 6g and 2A (ISO 965-2, ASME B1.1; from memory): mm, inch.
    [
        ("M6", (5.794, 5.974), (5.212, 5.324)),
        ("M10", (9.732, 9.968), (8.862, 8.994)),
        ("M12", (11.701, 11.966), (10.679, 10.829)),
        ("M16", (15.682, 15.962), (14.503, 14.663)),
        ("M20", (19.623, 19.958), (18.164, 18.334)),
    ],
)
def test_limits_of_metric_bolts(
    name: str, major: tuple[float, float], pitch: tuple[float, float]
) -> None:
    found = bolt_limits(thread(name))
    assert found.major == pytest.approx(major, abs=6e-4)
    assert found.pitch == pytest.approx(pitch, abs=6e-4)


def test_limits_of_unified_bolts() -> None:
    found = bolt_limits(thread("1/2-13 UNC"))
    assert [each / INCH for each in found.major] == pytest.approx([0.4876, 0.4985], abs=6e-5)
    assert [each / INCH for each in found.pitch] == pytest.approx([0.4435, 0.4485], abs=6e-5)


def test_an_error_of_the_lead_thickens_a_bolt_by_its_flanks() -> None:
    assert widened_by(-0.01, 60.0) == pytest.approx(0.01732, abs=1e-5)


def test_the_slope_of_the_lead_lifts_the_wires_of_several_starts() -> None:
    # 6 mm on 22 mm: S = 0.08681; 1.7 x 0.003768 x 0.86603 x 1.73205 = 0.00961 mm.
    plain = over_wires(22.0, 3.0, 60.0, 1.7)
    assert over_wires(22.0, 3.0, 60.0, 1.7, 6.0) - plain == pytest.approx(0.00961, abs=1e-5)
    # With one start it is a few micrometres at most.
    assert over_wires(14.6, 2.0, 60.0, 1.15, 2.0) - over_wires(14.6, 2.0, 60.0, 1.15) < 0.002
