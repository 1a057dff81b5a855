"""Limits and fits against printed tables of ISO 286."""

import math
import re
from itertools import pairwise
from typing import Any

import pytest

from pathgen.reckon.fits import (
    Limits,
    Play,
    class_limits,
    fit,
    hole_for,
    limits,
    play_for,
    shaft_for,
)
from pathgen.reckon.iso286 import GRADES, SHAFT_LETTERS, deviations, grade_width
from tests.printed import figures

PUBLISHED = figures("fits")
HALF_DIGIT = PUBLISHED["printed_to_um"] / 2
NOISE = 1e-6  # micrometres: tables of whole and half micrometres must agree outright


def within(row: dict[str, Any]) -> list[float]:
    """Return sizes in a row's band: just over its lower end, the middle, the upper end.

    From 1 mm, since some classes are not for less.
    """
    over, upto = max(row["over_mm"], 1), row["upto_mm"]
    return [over + 1e-6, (over + upto) / 2, upto]


def microns(nominal: float, tolerance_class: str) -> tuple[float, float]:
    lower, upper = deviations(nominal, tolerance_class)
    return lower * 1000, upper * 1000


@pytest.mark.parametrize("row", PUBLISHED["it"])
def test_grade_is_that_printed(row: dict[str, Any]) -> None:
    for size in within(row):
        assert grade_width(size, row["grade"]) * 1000 == pytest.approx(row["tolerance_um"])


@pytest.mark.parametrize("row", PUBLISHED["it"])
def test_grade_formula_agrees_just_where_it_is_said_to(row: dict[str, Any]) -> None:
    # k i is rounded to whole micrometres up to 100, to fives up to 200, to tens above; grades 12
    # to 14 are ten times the grade five below. Elsewhere the table rules over the formula.
    multiple = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160, 13: 250, 14: 400}
    low, high = max(row["over_mm"], 1), row["upto_mm"]
    mean = math.sqrt(low * high)
    unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
    assert multiple[row["grade"]] * unit == pytest.approx(row["formula_um"], abs=0.0051)
    ours = grade_width(high, row["grade"]) * 1000
    if row["grade"] >= 12:
        agrees = ours == pytest.approx(10 * grade_width(high, row["grade"] - 5) * 1000)
    else:
        step = 1 if row["formula_um"] <= 100 else 5 if row["formula_um"] <= 200 else 10
        agrees = abs(ours - row["formula_um"]) <= step / 2 + 0.005
    assert agrees == row["formula_agrees"]


@pytest.mark.parametrize("row", PUBLISHED["tolerance_factor"])
def test_tolerance_factor_is_that_of_the_band(row: dict[str, Any]) -> None:
    mean = math.sqrt(max(row["over_mm"], 1) * row["upto_mm"])
    assert mean == pytest.approx(row["D_mm"], abs=0.00006)
    unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
    assert unit == pytest.approx(row["i_um"], abs=0.00006)
    # grade 8, 25 factors, is the one grade whose whole table is the formula rounded
    assert grade_width(row["upto_mm"], 8) * 1000 == pytest.approx(25 * row["i_um"], abs=0.51)


@pytest.mark.parametrize("row", PUBLISHED["shaft_deviation"])
def test_letter_starts_where_printed(row: dict[str, Any]) -> None:
    for size in within(row):
        lower, upper = microns(size, f"{row['letter']}7")
        assert (upper if row["which"] == "es" else lower) == pytest.approx(row["um"], abs=NOISE)


@pytest.mark.parametrize("row", PUBLISHED["delta"])
def test_hole_step_is_that_printed(row: dict[str, Any]) -> None:
    # ES of the hole is -ei of the shaft plus the step (none to 3 mm), read off the letter K
    shaft_lower, _ = microns(row["upto_mm"], "k7")
    _, hole_upper = microns(row["upto_mm"], f"K{row['grade']}")
    assert hole_upper + shaft_lower == pytest.approx(row["um"], abs=NOISE)


@pytest.mark.parametrize("row", PUBLISHED["zone"])
def test_class_has_its_printed_limits(row: dict[str, Any]) -> None:
    assert row["zone"][0].isupper() == (row["kind"] == "hole")
    for size in within(row):
        lower, upper = microns(size, row["zone"])
        assert lower == pytest.approx(row["lower_um"], abs=NOISE)
        assert upper == pytest.approx(row["upper_um"], abs=NOISE)
    if "older_tables_um" in row:  # 1988 let an odd grade's half be rounded down
        assert int(row["upper_um"]) == row["older_tables_um"]


@pytest.mark.parametrize("row", PUBLISHED["fit"])
def test_fit_has_its_printed_limits_and_clearances(row: dict[str, Any]) -> None:
    found = fit(f"{row['nominal_mm']} {row['fit']}")
    ours = {
        "hole_max_mm": found.hole.largest,
        "hole_min_mm": found.hole.smallest,
        "shaft_max_mm": found.shaft.largest,
        "shaft_min_mm": found.shaft.smallest,
        "hole_upper_um": found.hole.upper * 1000,
        "hole_lower_um": found.hole.lower * 1000,
        "shaft_upper_um": found.shaft.upper * 1000,
        "shaft_lower_um": found.shaft.lower * 1000,
        "clearance_min_um": found.smallest_clearance * 1000,
        "clearance_max_um": found.largest_clearance * 1000,
    }
    for name, value in ours.items():
        assert value == pytest.approx(row[name], abs=NOISE), name
    assert found.kind == row["kind"]


@pytest.mark.parametrize("row", PUBLISHED["band"])
def test_band_holds_its_upper_end_and_not_its_lower(row: dict[str, Any]) -> None:
    assert grade_width(row["nominal_mm"], 7) * 1000 == pytest.approx(row["it7_um"])


@pytest.mark.parametrize("row", PUBLISHED["tslot_throat"])
def test_throat_of_a_t_slot_has_its_printed_tolerances(row: dict[str, Any]) -> None:
    for grade in (8, 12):
        lower, upper = microns(row["throat_mm"], f"H{grade}")
        assert lower == 0
        assert upper == pytest.approx(row[f"throat_H{grade}_um"])


@pytest.mark.parametrize("row", PUBLISHED["misprint"])
def test_slip_in_print_is_not_ours(row: dict[str, Any]) -> None:
    ours = class_limits(row["size"], row["class"])
    value = {"upper": ours.upper, "smallest": ours.smallest}[row["limit"]]
    assert abs(value * 1000 - row["printed_um"]) > 2, row["why"]


@pytest.mark.parametrize("row", PUBLISHED["free_sliding"])
def test_free_sliding_allowance_is_a_word_for_play(row: dict[str, Any]) -> None:
    word = "loose" if "head" in row["what"] else "free slide"
    play = play_for(word, 12.0)
    assert [play.smallest, play.largest] == row["allowance_mm"]
    assert play.source == "common practice, no source"


def test_size_and_class_are_written_in_several_ways() -> None:
    hole = limits("32 H7")
    assert hole == limits("32H7") == limits("32.0 mm H7") == limits(" 32 H 7 ")
    assert hole.middle == 32.0125
    assert limits("32 h6").largest == 32.0
    assert fit("32H7 / g6") == fit("32 mm H7/g6")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("H7", "write it as '32 H7' or '32 g6'"),
        ("32 H4", "nearest is H5"),
        ("32 h16", "nearest is h14"),
        ("32 Q7", "nearest is P7 or R7"),
        ("32 cd6", "nearest is c6 or d6"),
        ("32 ZC20", "nearest is U14"),
        ("32 Hh7", "nearest is H7 or J7"),
        ("300 H7", "they hold above 0 up to 250 mm"),
        ("0 H7", "they hold above 0 up to 250 mm"),
        ("20 t6", "t6 is for sizes over 24 mm; nearest at 20 mm is s6"),
        ("20 T7", "nearest at 20 mm is S7"),
        ("1 a11", "nearest at 1 mm is c11"),
        ("1 B11", "nearest at 1 mm is C11"),
        ("1 N9", "N9 is for sizes over 1 mm; nearest at 1 mm is N8"),
        ("0.8 H14", "nearest is H13"),
        ("20 K9", "nearest at 20 mm is K8"),
        ("20 j8", "nearest is j7 or js8"),
        ("20 J5", "nearest is J6 or JS5"),
    ],
)
def test_class_outside_the_tables_is_answered_with_the_nearest(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        limits(text)


@pytest.mark.parametrize("text", ["32 g6/H7", "32 H7", "H7/g6", "32 H7/G6", "32 H7-g6"])
def test_what_is_no_fit_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="hole in capitals and the shaft in small letters"):
        fit(text)


def test_class_alone_is_checked_where_the_size_comes_apart() -> None:
    with pytest.raises(ValueError, match="write it as 'H7' or 'g6'"):
        class_limits(32.0, "seven")
    with pytest.raises(ValueError, match="grade 3 is outside the tables; nearest is 5"):
        grade_width(32.0, 3)


def test_holes_over_grade_eight_start_where_the_standard_says() -> None:
    assert microns(10.0, "N9")[1] == 0  # N over grade 8 and over 3 mm
    assert microns(2.0, "N9")[1] == pytest.approx(-4)
    assert microns(10.0, "P9")[1] == pytest.approx(-15)  # no step over grade 7
    assert microns(2.0, "K9")[1] == 0
    assert microns(10.0, "M9")[1] == pytest.approx(-6)


def test_shaft_k_over_grade_seven_starts_at_the_nominal_size() -> None:
    assert microns(20.0, "k7")[0] == pytest.approx(2)
    assert microns(20.0, "k9")[0] == 0


def test_j_is_as_tabled() -> None:
    # memory of ISO 286-2: J7 of 20 mm is +12 -9, j6 of 20 mm is +9 -4
    assert microns(20.0, "J7") == pytest.approx((-9, 12))
    assert microns(20.0, "j6") == pytest.approx((-4, 9))


def test_hole_and_shaft_of_like_letters_give_like_fits() -> None:
    # what the step is for: H7/p6 and P7/h6 must have the same clearances
    for size in (5.0, 20.0, 60.0, 100.0, 200.0):
        for letter in ("k", "m", "n", "p", "r", "s", "u"):
            shaft_fit, hole_fit = fit(f"{size} H7/{letter}6"), fit(f"{size} {letter.upper()}7/h6")
            assert shaft_fit.largest_clearance == pytest.approx(hole_fit.largest_clearance)
            assert shaft_fit.smallest_clearance == pytest.approx(hole_fit.smallest_clearance)


@pytest.mark.parametrize("band", list(pairwise([30, 40, 50, 65, 80, 100, 120, 140, 160, 180])))
def test_letters_carried_from_memory_keep_to_their_formulas(band: tuple[int, int]) -> None:
    # memory of ISO 286-1, annex A; the tables of a and b are rounded far more coarsely
    low, high = band
    mean = math.sqrt(low * high)
    grades = {grade: grade_width(high, grade) * 1000 for grade in (6, 7)}
    between = math.sqrt(microns(high, "p7")[0] * microns(high, "s7")[0])
    lower = {
        "m": grades[7] - grades[6],
        "r": between,
        "t": grades[7] + 0.63 * mean,
        "u": grades[7] + mean,
    }
    for letter, formula in lower.items():
        assert microns(high, f"{letter}7")[0] == pytest.approx(formula, abs=1, rel=0.026)
    upper = {
        "a": 265 + 1.3 * mean if high <= 120 else 3.5 * mean,
        "b": 140 + 0.85 * mean if high <= 160 else 1.8 * mean,
    }
    for letter, formula in upper.items():
        assert -microns(high, f"{letter}9")[1] == pytest.approx(formula, rel=0.05)


def test_letters_follow_one_another() -> None:
    # in one grade each later letter's shaft is the larger, from loose to tight
    order = [letter for letter in SHAFT_LETTERS if letter not in {"j", "js"}]
    for size in (30.0, 40.0, 100.0, 250.0):
        edges = [deviations(size, f"{letter}7")[0] for letter in order]
        assert edges == sorted(edges)


def test_coarser_grades_are_wider() -> None:
    for size in (0.8, 3.0, 3.1, 25.0, 250.0):
        widths = [grade_width(size, grade) for grade in GRADES]
        assert widths == sorted(set(widths))


def test_stated_play_comes_before_the_table() -> None:
    stated = {"close slide": (0.05, 0.08), "running": (0.02, 0.04)}
    assert play_for("close slide", 32.0, stated) == Play(
        smallest=0.05, largest=0.08, source="stated"
    )
    assert play_for("running", 32.0, stated).largest == 0.04
    assert play_for("push", 32.0, stated).source == "common practice, no source"


def test_words_for_play_run_from_tight_to_loose() -> None:
    words = ("press", "push", "close slide", "free slide", "loose")
    for size in (5.0, 20.0, 60.0):
        plays = [play_for(word, size) for word in words]
        assert [p.smallest for p in plays] == sorted(p.smallest for p in plays)
        assert [p.largest for p in plays] == sorted(p.largest for p in plays)


@pytest.mark.parametrize(
    ("word", "size", "message"),
    [
        ("pres", 10.0, "nearest: press"),
        ("wobbly", 10.0, "nearest: close slide, free slide, loose, press, push"),
        ("press", 90.0, "press has figures above 0 up to 80 mm, not for 90 mm"),
        ("push", 0.0, "not for 0 mm"),
    ],
)
def test_unknown_play_is_answered_with_what_is_known(word: str, size: float, message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        play_for(word, size)


def test_part_wider_than_the_play_is_refused() -> None:
    wide = Limits(nominal=12.0, lower=0.0, upper=0.18)
    with pytest.raises(ValueError, match=r"0.18 mm, is wider than the play's own range, 0.03 mm"):
        shaft_for(wide, play_for("close slide", 12.0))
    with pytest.raises(ValueError, match="measure the part"):
        hole_for(wide, play_for("close slide", 12.0))


def test_crossed_limits_are_refused() -> None:
    with pytest.raises(ValueError, match="above the upper"):
        Limits(nominal=10.0, lower=0.1, upper=0.0)
    with pytest.raises(ValueError, match="smallest first"):
        Play(smallest=0.1, largest=float("nan"), source="stated")
