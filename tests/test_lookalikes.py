"""Threads taken for one another, by name and by size."""

import math
import re
from typing import Any

import pytest

from pathgen.reckon.lookalikes import describe, lookalikes
from pathgen.reckon.pitches import near_pitches, pitch_match
from pathgen.reckon.thread_names import thread, with_hand
from pathgen.reckon.threads import custom_thread
from tests.printed import figures

PUBLISHED = figures("threads")


@pytest.mark.parametrize("row", PUBLISHED["lookalike"], ids=lambda row: row["title"])
def test_printed_pair_is_found_from_either_side(row: dict[str, Any]) -> None:
    names = [thread(row[side]["designation"]).designation for side in ("a", "b")]
    for one, other in (names, reversed(names)):
        found = [p for p in lookalikes(thread(one)) if p.second.designation == other]
        assert len(found) == 1
        assert one in found[0].caution
        assert other in found[0].caution


@pytest.mark.parametrize(
    "side", [row[s] for row in PUBLISHED["lookalike"] for s in ("a", "b")], ids=str
)
def test_each_side_has_its_printed_figures(side: dict[str, Any]) -> None:
    ours = thread(side["designation"])
    assert ours.major == pytest.approx(side["major_mm"], abs=0.0005)
    assert ours.threads_an_inch == pytest.approx(side["tpi"])
    if "pitch_mm" in side:
        assert ours.pitch == pytest.approx(side["pitch_mm"], abs=0.0005)
        assert ours.minor_internal == pytest.approx(side["minor_mm"], abs=0.0005)
    if "angle_deg" in side:
        assert ours.form.angle_deg == side["angle_deg"]
    for key, field in {
        "pitch_diameter_in": "pitch_diameter",
        "minor_in": "minor_internal",
        "minor_internal_in": "minor_internal",
    }.items():
        if key in side:
            assert getattr(ours, field) / 25.4 == pytest.approx(side[key], abs=0.00005)


def test_names_alike_come_first_and_say_how_far_apart() -> None:
    first, second, *rest = lookalikes(thread("1/2 BSF"))
    assert (first.second.designation, first.alike) == ("G 1/2", "name")
    assert "the names are alike but the diameters are 8.25 mm apart" in first.caution
    assert (second.second.designation, second.alike) == ("1/2 BSW", "name")
    assert "the names are alike but the pitches differ" in second.caution
    assert rest == []


@pytest.mark.parametrize(
    ("one", "other", "differ"),
    [
        ("0BA", "M6", "form"),
        ("2BA", "M5", "form and pitch"),
        ("1/2 BSW", "1/2-13 UNC", "form and pitch"),
        ("1/4-20 UNC", "1/4 BSW", "form"),
    ],
)
def test_sizes_alike_say_what_differs(one: str, other: str, differ: str) -> None:
    (pair,) = [p for p in lookalikes(thread(one)) if p.second.designation == other]
    assert pair.alike == "size"
    assert f"they start on each other but differ in {differ}: " in pair.caution
    assert describe(thread(one)) in pair.caution
    assert describe(thread(other)) in pair.caution


def test_a_thread_is_not_its_own_lookalike() -> None:
    assert lookalikes(thread("M12")) == ()
    assert "M6" not in [p.second.designation for p in lookalikes(custom_thread(6.0, 1.0, 60.0))]


def test_threads_that_differ_in_one_thing_say_so() -> None:
    wide = [p for p in lookalikes(custom_thread(6.1, 1.0, 60.0)) if p.second.size == "M6"]
    assert "differ in diameter: " in wide[0].caution
    coarse = [p for p in lookalikes(custom_thread(6.0, 1.02, 60.0)) if p.second.size == "M6"]
    assert "differ in pitch: " in coarse[0].caution


def test_a_likeness_is_seen_from_both_sides() -> None:
    for name in ("0BA", "2BA", "M5", "1/4 BSF", "1/4-20 UNC", "3/8 BSW", "G 1/4"):
        for pair in lookalikes(thread(name)):
            back = [p.second.designation for p in lookalikes(pair.second)]
            assert name in back


def test_a_left_hand_thread_is_taken_for_its_right_hand_twin_first() -> None:
    twin, *others = lookalikes(thread("M6 LH"))
    assert (twin.second, twin.alike) == (thread("M6"), "hand")
    assert "Neither starts on the other" in twin.caution
    assert "60 degrees, left-hand; M6: " in twin.caution
    # no nut of the other hand starts on it: the others are those of the right-hand one, turned
    right = [pair.second for pair in lookalikes(thread("M6"))]
    assert [with_hand(pair.second, left=False) for pair in others] == right
    assert all(pair.second.left_hand and pair.alike == "size" for pair in others)
    assert [pair.second.designation for pair in others] == ["0BA LH", "1/4 BSF LH"]


def test_names_alike_are_told_of_in_the_same_hand() -> None:
    found = [p.second.designation for p in lookalikes(thread("1/2 BSF LH")) if p.alike == "name"]
    assert found == ["G 1/2 LH", "1/2 BSW LH"]


def test_a_thread_of_two_starts_takes_no_nut_of_one() -> None:
    (twin,) = lookalikes(thread("M16xPh3P1.5"))
    assert (twin.second, twin.alike) == (thread("M16x1.5"), "starts")
    assert "2 starts, lead 3 mm; M16x1.5: " in twin.caution
    assert "Neither goes on the other" in twin.caution
    # 5/8-18 UNF starts on the thread of one start
    assert "5/8-18 UNF" in [p.second.designation for p in lookalikes(thread("M16x1.5"))]


def test_two_starts_of_no_series_are_taken_for_one_of_the_same_pitch() -> None:
    (twin,) = lookalikes(custom_thread(20.0, 4.0, 30.0, depth=2.0, starts=2))
    assert (twin.second.starts, twin.second.lead) == (1, 4.0)
    assert twin.second.designation == "20 mm x 4 mm 30 deg 2 starts with one start only"


def test_two_starts_of_the_left_hand_differ_in_both() -> None:
    found = [(p.second.designation, p.alike) for p in lookalikes(thread("M16xPh3P1.5 LH"))]
    assert found == [("M16xPh3P1.5", "hand"), ("M16x1.5 LH", "starts")]


def test_26_an_inch_only_seems_to_be_a_millimetre() -> None:
    # 26 an inch is 0.9769 mm: 0.0231 mm short a turn, so 0.05 mm is used up in 2.17 mm
    short, long = pitch_match(1.0, 25.4 / 26, 2.1), pitch_match(1.0, 25.4 / 26, 2.2)
    assert (short.matches, long.matches) == (True, False)
    assert not short.exact
    assert long.drift == pytest.approx(2.2 * (1 - 25.4 / 26))
    assert short.seems == long.seems == pytest.approx(0.05 / (1 - 25.4 / 26))


def test_the_pitches_near_one_are_of_all_the_series() -> None:
    # 19 an inch is 1.3368 mm, 18 an inch 1.4111: near 1.35 (1BA's 0.9 has none so near)
    assert [round(pitch, 4) for pitch, _ in near_pitches(1.35)] == [1.3368]
    assert [each.designation for _, each in near_pitches(1.5)] == ["M10"]
    assert [each.designation for _, each in near_pitches(25.4 / 26)] == ["1/4 BSF", "M6"]
    assert near_pitches(10.0) == ()


def test_pitches_that_are_the_same_match_at_any_length() -> None:
    found = pitch_match(thread("0BA").pitch, thread("M6").pitch, 1e6, allowed=0.0)
    assert (found.drift, found.exact, found.matches, found.seems) == (0, True, True, math.inf)


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        ((0.0, 1.0, 5.0), "first pitch"),
        ((1.0, 1.0, -5.0), "length"),
        ((1.0, 1.0, 1.0, -1), "allowed"),
    ],
)
def test_figures_out_of_range_are_refused(figures: tuple[float, ...], message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        pitch_match(*figures)
