"""Tapping holes, drills and clearance holes against printed tables."""

import re
from typing import Any

import pytest

from pathgen.reckon.drills import Drill, drill_series
from pathgen.reckon.tapping import (
    clearance_hole,
    engagement,
    largest_minor,
    tapping_drill,
    tapping_drills,
    tapping_hole,
)
from pathgen.reckon.thread_forms import BA_47, ISO_60, WHITWORTH_55, BasisName
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import custom_thread
from tests.printed import figures

PUBLISHED = figures("threads")
BASES: dict[str, BasisName] = {
    "pct_of_0_6495p": "chart",
    "pct_of_0_6134p": "bolt",
    "pct_of_0_5413p": "overlap",
    "pct_of_0_6403p": "full",
    "pct_of_0_6p": "full",
}
NOISE = 1e-9
CUT_OFF = {(r["designation"], r["mm"]): r for r in PUBLISHED["percent_cut_off"]}
OVER = {(r["designation"], r["mm"]) for r in PUBLISHED["doubtful_drill"] if "over" in r["fault"]}
HOLE_OFF = {(r["designation"], r["percent"]) for r in PUBLISHED["hole_off"]}


def drill(diameter: float) -> Drill:
    return Drill(name=f"{diameter:g} mm drill", series="metric", diameter=diameter)


@pytest.mark.parametrize("row", PUBLISHED["basis"])
def test_depth_that_counts_as_full_is_that_named(row: dict[str, Any]) -> None:
    form = {"pct_of_0_6403p": WHITWORTH_55, "pct_of_0_6p": BA_47}.get(row["key"], ISO_60)
    basis = form.basis(BASES[row["key"]])
    assert basis.depth == pytest.approx(row["depth"], abs=row["printed_to"] / 2)
    assert f"{row['depth']:.4f}".rstrip("0") in basis.words


@pytest.mark.parametrize("row", PUBLISHED["thread"], ids=lambda row: row["designation"])
def test_tapping_drills_leave_the_share_reckoned(row: dict[str, Any]) -> None:
    ours = thread(row["designation"])
    for each in row["tap_drill"]:
        for key, percent in each["calc"].items():
            share = 100 * engagement(ours, each["mm"], BASES[key])
            # the rows carry the drill to 0.0001 mm, which moves the finest by 0.03 of a percent
            assert share == pytest.approx(percent, abs=0.05 + 1e-6), each["name"]
        found = tapping_drill(ours, drill(each["mm"]))
        over = (row["designation"], each["mm"]) in OVER
        assert ("over the largest minor" in (found.caution or "")) == over
        assert "under the core" not in (found.caution or "")


@pytest.mark.parametrize(
    ("row", "each"),
    [(r, d) for r in PUBLISHED["thread"] for d in r["tap_drill"] if "published_percent" in d],
)
def test_printed_share_is_ours(row: dict[str, Any], each: dict[str, Any]) -> None:
    share = 100 * engagement(thread(row["designation"]), each["mm"], "chart")
    if (row["designation"], each["mm"]) in CUT_OFF:  # cut off below the point, not rounded
        assert int(share) == each["published_percent"]
        assert round(share) != each["published_percent"]
    else:
        assert share == pytest.approx(each["published_percent"], abs=0.5)


@pytest.mark.parametrize("row", [r for r in PUBLISHED["thread"] if "hole_at_percent_basis" in r])
def test_hole_at_a_share_is_that_printed(row: dict[str, Any]) -> None:
    assert row["hole_at_percent_basis"].startswith("0.649519 p")
    inches = "hole_at_percent_in" in row or row["unit"] == "in"
    half, unit = (0.00005, 25.4) if inches else (0.005, 1.0)
    holes = row["hole_at_percent_in" if "hole_at_percent_in" in row else "hole_at_percent"]
    for percent, printed in holes.items():
        ours = tapping_hole(thread(row["designation"]), int(percent) / 100, "chart") / unit
        off = (row["designation"], int(percent)) in HOLE_OFF  # 0.07735 printed as 0.0774
        assert ours == pytest.approx(printed, abs=half + (1e-6 if off else NOISE))
        assert (abs(ours - printed) > half + NOISE) == off


@pytest.mark.parametrize(
    "row",
    [r for r in PUBLISHED["thread"] if "minor_internal_max_6H" in r or "minor_internal_max" in r],
    ids=lambda row: row["designation"],
)
def test_largest_minor_diameter_is_that_printed(row: dict[str, Any]) -> None:
    printed = row.get("minor_internal_max_6H", row.get("minor_internal_max"))
    ours = largest_minor(thread(row["designation"]))
    assert ours == pytest.approx(printed, abs=0.0005 + NOISE)


@pytest.mark.parametrize(
    "row",
    [r for r in PUBLISHED["thread"] if any("max_2B" in key for key in r)],
    ids=lambda row: row["designation"],
)
def test_largest_unified_minor_is_that_printed(row: dict[str, Any]) -> None:
    (printed,) = [value for key, value in row.items() if "max_2B" in key]
    ours = largest_minor(thread(row["designation"]))
    assert ours is not None
    # the tables go to four decimals of an inch below #6, to three from there
    half = 0.0005 if thread(row["designation"]).major > 0.13 * 25.4 else 0.00005
    assert ours / 25.4 == pytest.approx(printed, abs=half + NOISE)


@pytest.mark.parametrize("row", PUBLISHED["doubtful_drill"])
def test_doubtful_drill_is_found_out(row: dict[str, Any]) -> None:
    found = tapping_drill(thread(row["designation"]), drill(row["mm"]))
    assert 100 * found.engagement == pytest.approx(row["percent"], abs=0.05), row["why"]
    assert (found.caution is not None) == bool(row["fault"])
    assert row["fault"] in (found.caution or "")


@pytest.mark.parametrize(
    ("row", "name", "hole"),
    [
        (PUBLISHED["example_m6"], "M6", PUBLISHED["example_m6"]["hole_mm"]),
        (
            PUBLISHED["example_quarter_unc"],
            "1/4-20 UNC",
            PUBLISHED["example_quarter_unc"]["hole_in"] * 25.4,
        ),
    ],
)
def test_one_hole_has_three_shares(row: dict[str, Any], name: str, hole: float) -> None:
    found = tapping_drill(thread(name), drill(hole))
    shares = {basis.name: 100 * share for basis, share in found.by_basis}
    assert found.basis.name == "chart"
    assert len(shares) == 3
    for key in ("pct_of_0_6495p", "pct_of_0_6134p", "pct_of_0_5413p"):
        assert shares[BASES[key]] == pytest.approx(row[key], abs=0.05)


def test_share_of_the_bolts_depth_is_that_of_a_writer_who_counts_so() -> None:
    row = PUBLISHED["hall_m6"]
    assert tapping_hole(thread("M6"), 1.0, "bolt") == pytest.approx(row["full_hole"], abs=0.005)
    share = 100 * engagement(thread("M6"), row["hole"], "bolt")
    assert share == pytest.approx(row["percent"], abs=0.5)


@pytest.mark.parametrize("row", PUBLISHED["lookalike"][0]["half_BSF_options"])
def test_half_inch_bsf_leaves_what_is_printed(row: dict[str, Any]) -> None:
    share = 100 * engagement(thread("1/2 BSF"), row["mm"])
    assert share == pytest.approx(row["pct_of_0_6403p"], abs=0.05)


def test_drills_stand_on_either_side_of_the_hole() -> None:
    choice = tapping_drills(thread("1/2 BSF"), 1.0)
    assert choice.hole == pytest.approx(10.667, abs=0.0005)
    assert choice.basis.words == "of 0.6403 p, the full depth"
    assert choice.below is not None
    assert choice.above is not None
    assert (choice.below.drill.name, choice.above.drill.name) == ("10.6 mm drill", "10.7 mm drill")
    assert choice.below.caution is not None
    assert "under the core of 1/2 BSF, 10.667 mm" in choice.below.caution
    assert choice.above.caution is None
    assert choice.above.engagement == pytest.approx(0.984, abs=0.0005)


def test_only_drills_held_are_chosen() -> None:
    rack = [drill(11.5), drill(11.0)]
    choice = tapping_drills(thread("1/2 BSF"), 0.75, drills=rack)
    assert choice.below is not None
    assert choice.above is not None
    assert (choice.below.drill.diameter, choice.above.drill.diameter) == (11.0, 11.5)
    none = tapping_drills(thread("1/2 BSF"), 0.75, drills=[drill(12.7)])
    assert (none.below, none.above) == (None, None)
    number = tapping_drills(thread("1/4-20 UNC"), 0.75, drills=drill_series("number"))
    assert number.below is not None
    assert number.below.drill.name == "No. 7 drill"


def test_basis_named_is_the_basis_used() -> None:
    by_overlap = tapping_drills(thread("M6"), 0.75, "overlap")
    assert by_overlap.hole == pytest.approx(5.188, abs=0.0005)
    assert by_overlap.basis.name == "overlap"
    assert by_overlap.above is not None
    assert by_overlap.above.caution is not None
    assert "over the largest minor diameter" in by_overlap.above.caution


@pytest.mark.parametrize("share", [0.0, 1.01, float("nan")])
def test_share_out_of_range_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="above 0, at most 1"):
        tapping_hole(thread("M6"), share)


@pytest.mark.parametrize("hole", [0.0, 6.0, float("nan")])
def test_hole_out_of_range_is_refused(hole: float) -> None:
    with pytest.raises(ValueError, match="below its major diameter, 6 mm"):
        engagement(thread("M6"), hole)


def test_basis_of_another_form_is_refused() -> None:
    with pytest.raises(
        ValueError, match="'chart' is no basis of the Whitworth form; it has 'full'"
    ):
        tapping_hole(thread("1/2 BSF"), 0.75, "chart")


def test_largest_minor_is_unknown_where_it_is_not_carried() -> None:
    assert largest_minor(thread("1/4 BSW")) is None
    assert largest_minor(thread("M1")) is None  # a pitch below 0.35 mm has no grade 6
    assert largest_minor(custom_thread(12.0, 1.0, 55.0)) is None


def test_clearance_holes_are_those_of_the_standard() -> None:
    # memory of ISO 273; the fine series gives 0.2 to 0.5 mm over M3 to M10, 1 mm over M12
    assert clearance_hole(thread("M6"), "close") == (6.4, "ISO 273 (memory)")
    assert clearance_hole(thread("M6"))[0] == 6.6
    assert clearance_hole(thread("M10x1.25"), "free")[0] == 12.0
    assert 0.2 <= clearance_hole(thread("M3"), "close")[0] - 3 <= 0.5


def test_other_screws_have_the_room_of_the_metric_size_below() -> None:
    hole, source = clearance_hole(thread("1/2 BSF"), "close")
    assert hole == pytest.approx(13.7)
    assert source == "room as ISO 273 gives M12; common practice"
    assert clearance_hole(thread("0BA")) == (6.6, "room as ISO 273 gives M6; common practice")


@pytest.mark.parametrize(
    ("name", "hole_class", "message"),
    [
        ("M6", "snug", "'snug' is no clearance hole; they are close, medium, free"),
        ("M64", "close", "M64 is 64 mm; clearance holes are known from 1 to 42 mm"),
        ("16BA", "close", "known from 1 to 42 mm"),
    ],
)
def test_clearance_outside_the_table_is_refused(name: str, hole_class: Any, message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        clearance_hole(thread(name), hole_class)
