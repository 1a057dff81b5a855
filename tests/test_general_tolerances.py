"""General tolerances against the printed tables of ISO 2768-1."""

import re
from typing import Any

import pytest

from pathgen.reckon.general_tolerances import general_angle, general_chamfer, general_linear
from tests.printed import figures

PUBLISHED = figures("general_tolerances")
KINDS = {"linear": general_linear, "chamfer": general_chamfer, "angle": general_angle}


def sizes(over: float, upto: float | None) -> list[float]:
    """Return sizes in a band: just inside its lower end, the middle and the upper end."""
    top = upto if upto is not None else 2 * over
    return [over + 1e-6, (over + top) / 2, top]


@pytest.mark.parametrize("row", PUBLISHED["linear"])
def test_linear_band_is_that_of_the_standard(row: dict[str, Any]) -> None:
    for size in sizes(row["over_mm"], row["upto_mm"]):
        if row["tabulated"]:
            assert general_linear(size, row["cls"]) == row["plus_minus_mm"]
        else:
            with pytest.raises(ValueError, match="write the tolerance at the size itself"):
                general_linear(size, row["cls"])


@pytest.mark.parametrize("row", PUBLISHED["chamfer"])
def test_chamfer_band_is_that_of_the_standard(row: dict[str, Any]) -> None:
    for size in sizes(row["over_mm"], row.get("upto_mm")):
        assert general_chamfer(size, row["cls"]) == row["plus_minus_mm"]


@pytest.mark.parametrize("row", PUBLISHED["angle"])
def test_angle_band_is_that_of_the_standard(row: dict[str, Any]) -> None:
    for side in sizes(row["shorter_side_over_mm"], row.get("shorter_side_upto_mm")):
        minutes = general_angle(side, row["cls"]) * 60
        assert minutes == pytest.approx(row["plus_minus_minutes"], abs=1e-9)


@pytest.mark.parametrize("row", PUBLISHED["case"])
def test_worked_case_has_its_limits(row: dict[str, Any]) -> None:
    if not row["applies"]:
        with pytest.raises(ValueError, match="ISO 2768-1"):
            general_linear(row["nominal_mm"], row["cls"])
        return
    tolerance = general_linear(row["nominal_mm"], row["cls"])
    assert tolerance == row["plus_minus_mm"]
    assert row["nominal_mm"] - tolerance == pytest.approx(row["min_mm"], abs=1e-9)
    assert row["nominal_mm"] + tolerance == pytest.approx(row["max_mm"], abs=1e-9)


@pytest.mark.parametrize("row", PUBLISHED["disagreement"])
def test_figures_of_the_older_standard_are_not_ours(row: dict[str, Any]) -> None:
    ours = KINDS[row["kind"]](row["size"], row["cls"]) * (60 if row["kind"] == "angle" else 1)
    assert ours != pytest.approx(row["printed"], abs=1e-9), row["why"]


def test_lower_end_of_the_first_band_belongs_to_it() -> None:
    assert general_linear(0.5, "f") == 0.05
    assert general_chamfer(0.5, "v") == 0.4


@pytest.mark.parametrize(
    ("size", "tolerance_class", "message"),
    [
        (0.4, "m", "size 0.4 mm: class m of ISO 2768-1 (linear) holds from 0.5 mm up to 4000 mm"),
        (2.0, "v", "size 2 mm: class v of ISO 2768-1 (linear) holds over 3 mm up to 4000 mm"),
        (3000.0, "f", "size 3000 mm: class f of ISO 2768-1 (linear) holds from 0.5 mm up to 2000"),
        (float("nan"), "m", "size nan mm: give a length above zero"),
        (10.0, "medium", "did you mean 'm'?"),
        (10.0, "H7", "the classes are f (fine), m (medium), c (coarse) and v (very coarse)"),
    ],
)
def test_refusal_says_what_would_be_right(size: float, tolerance_class: str, message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        general_linear(size, tolerance_class)


def test_chamfer_without_upper_end_says_from_where() -> None:
    with pytest.raises(ValueError, match=r"\(chamfer\) holds from 0.5 mm; write"):
        general_chamfer(0.2, "m")


@pytest.mark.parametrize("tolerance_class", ["f", "m", "c", "v"])
def test_larger_sizes_have_no_smaller_tolerance(tolerance_class: str) -> None:
    wide = [general_linear(size, tolerance_class) for size in (4, 20, 100, 300, 900, 1900)]
    assert wide == sorted(wide)
    narrow = [general_angle(side, tolerance_class) for side in (5, 40, 100, 300, 900)]
    assert narrow == sorted(narrow, reverse=True)
