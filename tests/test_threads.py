"""Threads, their names and their forms against printed tables."""

import math
import re
from typing import Any

import pytest

from pathgen.reckon.drills import drill_diameter
from pathgen.reckon.thread_forms import (
    BA_47,
    ISO_60,
    UNR_DEPTH_EXTERNAL,
    WHITWORTH_55,
    Form,
    plain_form,
)
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import (
    STANDARD_FAMILIES,
    as_printed,
    custom_thread,
    half_up,
    standard_threads,
)
from tests.printed import figures

PUBLISHED = figures("threads")
FORMS = {"iso60": ISO_60, "whitworth55": WHITWORTH_55, "ba47.5": BA_47}
FIELDS = {
    "major": "major",
    "pitch_diameter": "pitch_diameter",
    "minor_internal": "minor_internal",
    "minor_external": "minor_external",
    "minor_external_17_24H": "minor_external",
    "minor": "minor_internal",
}
OFF = {(r["designation"], r["field"]) for r in PUBLISHED["disagreement"] if "in_table" in r}
NOISE = 1e-9


def printed_in(unit: str, designation: str, field: str) -> float:
    """Return a diameter as the standard prints it, in the unit of a row."""
    ours = as_printed(thread(designation))
    value: float = getattr(ours, field)
    return value * 25.4 if (unit, ours.unit) == ("mm", "in") else value


@pytest.mark.parametrize("row", PUBLISHED["thread"], ids=lambda row: row["designation"])
def test_diameters_are_those_printed(row: dict[str, Any]) -> None:
    checked = 0
    for name, field in FIELDS.items():
        if name not in row or (row["designation"], field) in OFF:  # shown to disagree below
            continue
        ours = printed_in(row["unit"], row["designation"], field)
        assert ours == pytest.approx(row[name], abs=row["printed_to"] / 2 + NOISE), name
        checked += 1
    assert checked >= 2


@pytest.mark.parametrize("row", PUBLISHED["thread"], ids=lambda row: row["designation"])
def test_other_figures_are_those_printed(row: dict[str, Any]) -> None:
    ours = thread(row["designation"])
    assert ours.family == row["family"]
    assert ours.form is FORMS[row["form"]]
    if "tpi" in row:
        assert ours.threads_an_inch == pytest.approx(row["tpi"])
    if "pitch" in row:  # printed to 0.001 mm for pipe threads
        assert ours.pitch == pytest.approx(row["pitch"], abs=0.0005)
    if "depth" in row:
        assert ours.depth_external == pytest.approx(row["depth"], abs=NOISE)
    if "crest_radius" in row:  # printed to 0.0001 mm
        assert ours.root_radius == pytest.approx(row["crest_radius"], abs=0.00005 + NOISE)
    if "major_in" in row:
        assert ours.major / 25.4 == pytest.approx(row["major_in"], abs=NOISE)
    if "minor_3dp" in row:
        # the three-figure column was rounded from four figures, not from the formula
        four = as_printed(ours).minor_internal
        assert half_up(four, 3) == pytest.approx(row["minor_3dp"], abs=NOISE)


@pytest.mark.parametrize(
    "row", [r for r in PUBLISHED["thread"] if "minor_external_unr" in r], ids=lambda r: str(r)[:20]
)
def test_unr_root_is_that_printed(row: dict[str, Any]) -> None:
    inches = row["major"] - 2 * UNR_DEPTH_EXTERNAL / row["tpi"]
    # the page's rows stand up to a tenth of a thousandth off the formula of ASME B1.1
    assert inches == pytest.approx(row["minor_external_unr"], abs=0.0001 + NOISE)


@pytest.mark.parametrize("row", PUBLISHED["thread"], ids=lambda row: row["designation"])
def test_every_spelling_is_the_same_thread(row: dict[str, Any]) -> None:
    for name in (row["designation"], *row["aliases"]):
        assert thread(name).designation == row["designation"]
        assert thread(name.lower()) is thread(row["designation"])


@pytest.mark.parametrize("row", PUBLISHED["disagreement"])
def test_misprinted_diameter_is_not_ours(row: dict[str, Any]) -> None:
    ours = getattr(as_printed(thread(row["designation"])), row["field"])
    assert abs(ours - row["printed"]) > {"in": 0.00009, "mm": 0.009}[row["unit"]], row["why"]


def test_misprinted_threads_an_inch_are_refused() -> None:
    # one page gives 3/16 BSF 28 threads an inch, those of 7/32
    with pytest.raises(ValueError, match=r"3/16 BSF has 32 threads an inch"):
        thread("3/16-28 BSF")


def test_pipe_majors_are_those_printed_in_inches() -> None:
    for size, inches in PUBLISHED["bsp_major_inch"].items():
        # printed to a thousandth before conversion; ISO 228 itself has millimetres
        assert thread(f"G {size}").major == pytest.approx(inches * 25.4, abs=0.0005 * 25.4)


# ---------------------------------------------------------------- forms


def test_60_degree_form_is_that_printed() -> None:
    row, half = PUBLISHED["form"]["iso60"], PUBLISHED["form"]["iso60"]["printed_to"] / 2
    ours = {
        "thread_angle_deg": ISO_60.angle_deg,
        "H": ISO_60.height,
        "depth_external": ISO_60.depth_external,
        "depth_overlap": ISO_60.depth_internal,
        "depth_us_full_thread": ISO_60.basis().depth,
        "root_radius_external": ISO_60.root_radius,
        "crest_flat_external": ISO_60.crest_cut * 2 * math.tan(math.radians(30)),
        "crest_flat_internal": (ISO_60.height - ISO_60.crest_cut - ISO_60.depth_internal)
        * (2 * math.tan(math.radians(30))),
    }
    for name, value in ours.items():
        assert value == pytest.approx(row[name], abs=half + NOISE), name
    assert_factors(
        row,
        {
            "pitch_diameter": ISO_60.pitch_depth,
            "minor_internal": 2 * ISO_60.depth_internal,
            "minor_external": 2 * ISO_60.depth_external,
        },
    )
    printed_unr = float(row["minor_external_unr"].removeprefix("major - ").removesuffix(" p"))
    assert_factor_off("iso60", "minor_external_unr", 2 * UNR_DEPTH_EXTERNAL, printed_unr)


@pytest.mark.parametrize(("name", "form"), [("whitworth55", WHITWORTH_55), ("ba47.5", BA_47)])
def test_round_form_is_that_printed(name: str, form: Form) -> None:
    row = PUBLISHED["form"][name]
    half = row["printed_to"] / 2 + NOISE
    assert form.angle_deg == row["thread_angle_deg"]
    assert form.height == pytest.approx(row["H"], abs=half)
    assert form.depth_external == form.depth_internal
    assert form.depth_external == pytest.approx(row["depth"], abs=half)
    assert form.root_radius == pytest.approx(row["root_radius"], abs=half)
    assert_factor_off(name, "shortening", form.crest_cut, row["shortening"])
    assert row["crest_radius"] == row["root_radius"]
    assert_factors(row, {"pitch_diameter": form.pitch_depth})
    minor = float(row["minor"].removeprefix("major - ").removesuffix(" p"))
    if name == "whitworth55":
        assert_factor_off(name, "minor", 2 * form.depth_external, minor)
    else:
        assert 2 * form.depth_external == pytest.approx(minor, abs=NOISE)
    if "rounding_height" in row:  # of the round at the crest: r (1 - sin(angle / 2))
        height = form.root_radius * (1 - math.sin(math.radians(form.angle_deg / 2)))
        assert_factor_off(name, "rounding_height", height, row["rounding_height"])


def assert_factor_off(form: str, name: str, ours: float, printed: float) -> None:
    """Hold that a printed factor differs from its formula, in its last digit only."""
    (known,) = [r for r in PUBLISHED["factor_off"] if (r["form"], r["name"]) == (form, name)]
    assert 0.5e-6 < abs(ours - printed) < 1.5e-6, known["why"]


def assert_factors(row: dict[str, Any], ours: dict[str, float]) -> None:
    for name, factor in ours.items():
        printed = re.fullmatch(r"major - ([\d.]+) p", row[name])
        assert printed is not None
        assert factor == pytest.approx(float(printed[1]), abs=0.5e-6 + NOISE), name


def test_rounded_off_ba_radius_is_not_ours() -> None:
    # one page prints 2 p / 11; 47.5 degrees and a depth of 0.6 p give 0.18083 p
    assert abs(BA_47.root_radius - 2 / 11) > 0.0009


# ---------------------------------------------------------------- names


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("m10 x 1.25", "M10x1.25"),
        ("M10\N{MULTIPLICATION SIGN}1.25", "M10x1.25"),
        ("M6 x 1 mm", "M6"),
        ("M16xPh3P1.5", "M16xPh3P1.5"),
        ("8-32 UNC", "#8-32 UNC"),
        ("1-64 UNC", "#1-64 UNC"),
        ("No. 6 UNC", "#6-32 UNC"),
        ("1/4 x 20 UNC", "1/4-20 UNC"),
        ("1/4 20 tpi UNC", "1/4-20 UNC"),
        ("UNF 1/4-28", "1/4-28 UNF"),
        ("1-1/4-7 UNC", "1 1/4-7 UNC"),
        ("1/2 in BSF", "1/2 BSF"),
        ('1/2" BSW', "1/2 BSW"),
        ("BSF 1/2", "1/2 BSF"),
        ("BA 2", "2BA"),
        ("1/2 bsp parallel", "G 1/2"),
        ("G 1/2", "G 1/2"),
        ("12 mm x 26 tpi 55 deg", "12 mm x 26 tpi 55 deg"),
        ("0.5 in x 1.5 mm, 60 degrees", "12.7 mm x 1.5 mm 60 deg"),
        ("M10x1.25 LH", "M10x1.25 LH"),
        ("1/2 BSF left hand", "1/2 BSF LH"),
    ],
)
def test_people_write_a_thread_in_many_ways(text: str, designation: str) -> None:
    found = thread(text)
    assert found.designation == designation
    assert found.left_hand == designation.endswith("LH")
    assert thread(designation) == found


def test_starts_multiply_the_lead() -> None:
    two = thread("M16xPh3P1.5")
    assert (two.starts, two.pitch, two.lead) == (2, 1.5, 3.0)
    assert two.minor_internal == thread("M16x1.5").minor_internal
    assert custom_thread(20.0, 2.0, 60.0, starts=3).lead == 6.0


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("M13", "no thread of the metric series; nearest: M12, M14"),
        ("M0.9", "nearest: M1"),
        ("M100", "nearest: M64"),
        ("M6x0.8", "no standard pitch; nearest: M6, M6x0.75, M6x0.5"),
        ("M5.5", "has no coarse pitch; it has M5.5x0.5"),
        ("M10xPh4P1.5", "no whole number of pitches of 1.5 mm; two starts are a lead of 3 mm"),
        ("M10xPh0P1.5", "no whole number of pitches"),
        ("1/4-28 UNC", "1/4-20 UNC has 20 threads an inch; with 28 it is 1/4-28 UNF"),
        ("1/4-21 UNC", "1/4-20 UNC has 20 threads an inch"),
        ("1/4-20", "does not say which series; it may be 1/4-20 UNC or 1/4 BSW"),
        ("1/2", "it may be 1/2-13 UNC or 1/2-20 UNF or 1/2 BSW or 1/2 BSF or G 1/2"),
        ("1/4-21", "write it as '1/4-20 UNC' or '1/2 BSF'"),
        ("3/7 BSF", "no thread of the BSF series; nearest: 3/8 BSF, 7/16 BSF"),
        ("1/0 BSF", "nearest: 3/16 BSF"),
        ("7 BSW", "nearest: 2 BSW"),
        ("#7 UNC", "nearest: #6-32 UNC, #8-32 UNC"),
        ("#0 BSF", "nearest: 3/16 BSF"),
        ("G 9/16", "no thread of the BSP series; nearest: G 1/2, G 5/8"),
        ("99BA", "no thread of the BA series; nearest: 16BA"),
        ("3/0 BA", "nearest: 0BA"),
        ("1/2 BA", "no thread of the BA series; nearest: "),
        ("1/2 BSPT", "taper pipe thread, which is not reckoned here"),
        ("R 1/2", "the parallel one is written 'G 1/2'"),
        ("NPT 1/2", "taper pipe thread"),
        ("M6-6H", "no thread known here; nearest: M6"),
        ("12", "no thread known here; nearest: M12"),
        ("a bolt", "no thread known here; nearest: M6, M10x1.25"),
        ("12 mm x 0 tpi 55 deg", "more than no threads an inch"),
    ],
)
def test_unknown_thread_is_answered_with_the_nearest(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        thread(text)


@pytest.mark.parametrize("family", STANDARD_FAMILIES)
def test_every_designation_comes_back_as_its_thread(family: Any) -> None:
    for each in standard_threads(family):
        assert thread(each.designation) is each
        assert 0 < each.minor_external <= each.minor_internal < each.pitch_diameter < each.major
        assert each.lead == each.pitch


def test_custom_is_no_series() -> None:
    with pytest.raises(ValueError, match="made by custom_thread"):
        standard_threads("custom")


# ---------------------------------------------------------------- any angle and pitch


def test_custom_thread_of_a_standard_angle_is_the_standard_thread() -> None:
    for name in ("M6", "1/2-13 UNC", "1/2 BSF"):
        standard = thread(name)
        custom = custom_thread(standard.major, standard.pitch, standard.form.angle_deg)
        assert custom.pitch_diameter == standard.pitch_diameter
        assert custom.minor_external == standard.minor_external
        assert custom.depth_internal == standard.depth_internal


def test_custom_thread_of_another_angle_needs_its_depth() -> None:
    with pytest.raises(ValueError, match="29 degrees has no standard depth here; give its depth"):
        custom_thread(25.0, 5.0, 29.0)
    made = custom_thread(25.0, 5.0, 29.0, depth=2.5)
    assert made.minor_external == 20.0
    assert made.pitch_diameter == 22.5
    assert made.form.height == pytest.approx(1.933, abs=0.0005)


@pytest.mark.parametrize(
    ("figures", "message"),
    [
        ({"major": 0.0}, "major 0 is out of reach"),
        ({"pitch": -1.0}, "pitch -1 is out of reach"),
        ({"starts": 0}, "at least one start"),
        ({"major": 2.0, "pitch": 2.0}, "leaves no core in 2 mm"),
        ({"depth": 3.0}, "a 60 degree thread is less than 0.866 of the pitch deep"),
        ({"angle_deg": 180.0, "depth": 1.0}, "not between 0 and 180"),
    ],
)
def test_thread_that_cannot_be_is_refused(figures: dict[str, Any], message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        custom_thread(**{"major": 20.0, "pitch": 2.0, "angle_deg": 60.0, **figures})


def test_starts_are_named_in_a_custom_thread() -> None:
    assert custom_thread(20.0, 2.0, 60.0, starts=2).designation == "20 mm x 2 mm 60 deg 2 starts"


def test_plain_form_is_cut_alike_at_crest_and_root() -> None:
    form = plain_form(29.0, 0.5)
    assert form.height - form.crest_cut - form.depth_external == pytest.approx(form.crest_cut)
    assert form.basis("full").depth == 0.5


def test_halves_are_rounded_up() -> None:
    assert half_up(0.0005, 3) == 0.001
    assert half_up(0.00049, 3) == 0.0


def test_drill_names_of_the_tables_are_their_sizes() -> None:
    for row in PUBLISHED["thread"]:
        for drill in row["tap_drill"]:
            diameter = drill_diameter(drill["name"].replace("#", "No. ") + " drill")
            assert diameter == pytest.approx(drill["mm"], abs=0.00005 + NOISE)
