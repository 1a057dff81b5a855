"""Lengths in all the forms people write them, against figures worked by hand."""

from __future__ import annotations

import contextlib
import math
import re
import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from pathgen.input.lengths import COMMON, LONGEST, _registry, length
from pathgen.input.where import WrongValue


def lookup(name: str) -> float | None:
    """Know one drill, and say more of another."""
    if name == "No. 99 drill":
        raise ValueError("number drills end at No. 80; write No. 80 drill")
    if name == "3/10 in drill":
        raise ValueError("drills go by 64ths")
    return 5.1054 if name in ("No. 7 drill", "No. 7") else None


@pytest.mark.parametrize(
    ("value", "units", "wanted"),
    [
        (12, "mm", 12.0),
        (0.1, "mm", 0.1),
        (1, "in", 25.4),
        (0.6, "in", 15.24),
        (0.001, "in", 0.0254),
        (-2, "in", -50.8),
        (0, "in", 0.0),
    ],
)
def test_a_bare_number_is_in_the_files_units(value: float, units: str, wanted: float) -> None:
    assert length(value, units) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("10.7 mm", 10.7),
        ("10.7mm", 10.7),
        (".5 mm", 0.5),
        ("5. mm", 5.0),
        ("1e1 mm", 10.0),
        ("2 cm", 20.0),
        ("0.05 m", 50.0),
        ("1.5 metres", 1500.0),
        ("3 millimetres", 3.0),
        ("12 um", 0.012),
        ("12 µm", 0.012),  # the micro sign
        ("12 μm", 0.012),  # the Greek letter
        ("12 microns", 0.012),
        ("0.6 in", 15.24),
        ("0.6 in.", 15.24),
        ("0.6 IN", 15.24),
        ("0.6 inches", 15.24),
        ("0.6 inchs", 15.24),  # misspelt, yet can mean one thing only
        ('0.6"', 15.24),
        ("0.6″", 15.24),
        ("1 1/4 in", 31.75),  # 1.25 * 25.4
        ('1 1/4"', 31.75),
        ("  1   1/4   in ", 31.75),
        ("3/8 in", 9.525),  # 0.375 * 25.4
        ("3 / 8in", 9.525),
        ("5/4 in", 31.75),
        ("1/64 in", 0.396875),  # 25.4 / 64
        ("-1/2 in", -12.7),
        ("-1 1/4 in", -31.75),
        ("+3 mm", 3.0),
        ("24 thou", 0.6096),  # 24 * 0.0254
        ("1 thousandth", 0.0254),
        ("1 ft", 304.8),  # 12 * 25.4
        ("2 feet", 609.6),
        ("6.8 mm drill", 6.8),
        ("3/8 in drill", 9.525),
        ("3/8 in Drill", 9.525),
    ],
)
@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_text_with_a_unit_means_the_same_in_any_file(
    text: str, wanted: float, units: str
) -> None:
    assert length(text, units) == wanted


def test_a_fraction_without_a_unit_is_of_an_inch_or_refused() -> None:
    # In a file in mm, "7/16" is far more likely to be meant in inches than to be 0.4375 mm.
    with pytest.raises(WrongValue, match='write "7/16 in"'):
        length("7/16", "mm")
    assert length("1/2", "in") == 12.7
    assert length("1 1/4", "in") == 31.75
    assert length("0.5", "in") == 12.7


def test_zero_may_have_a_sign() -> None:
    assert length("-0 mm", "mm") == 0
    assert length(-0.0, "mm") == 0


def test_drills_are_known_by_name_where_somebody_knows_them() -> None:
    assert length("No. 7 drill", "in", lookup) == 5.1054
    assert length(" No.  7  drill ", "in", lookup) == 5.1054
    assert length("No. 7", "mm", lookup) == 5.1054
    assert length("6.8 mm drill", "in", lookup) == 6.8  # not known by name, but a length


def test_what_the_drill_table_says_is_passed_on() -> None:
    with pytest.raises(WrongValue) as caught:
        length("No. 99 drill", "mm", lookup)
    assert (caught.value.wrong, caught.value.right) == (
        "number drills end at No. 80",
        "write No. 80 drill",
    )


def test_the_drill_table_has_the_first_word_on_drills() -> None:
    assert length("3/10 in drill", "mm") == 7.62
    with pytest.raises(WrongValue, match=r"^drills go by 64ths$"):
        length("3/10 in drill", "mm", lookup)
    assert length("3/10 in", "mm", lookup) == 7.62


@pytest.mark.parametrize(
    ("value", "wrong", "right"),
    [
        (math.nan, "nan is not a length", 'write a number, or text such as "10.7 mm"'),
        (math.inf, "inf is not a length", "write a number"),
        (-math.inf, "-inf is not a length", "write a number"),
        (True, "true is not a length", "write a number"),
        ([1, 2], "a list of 2 is not a length", "write a number"),
        ({}, "a table is not a length", "write a number"),
        (10**400, "the length is beyond any number", "write a number"),
        (1e308, "the length is beyond any number", "write a number"),
        ("", "the text is empty", "write a number"),
        ("  ", "the text is empty", "write a number"),
        ("nan", '"nan" cannot be read as one length', "write a number"),
        ("inf", '"inf" cannot be read as one length', "write a number"),
        ("nan mm", '"nan mm" cannot be read as one length', "write a number"),
        ("mm", '"mm" cannot be read as one length', "write a number"),
        ("5 mm 3 in", '"5 mm 3 in" cannot be read as one length', "write a number"),
        ("1 ft 3 in", '"1 ft 3 in" cannot be read as one length', "write a number"),
        ("5 mm * 2", '"5 mm * 2" cannot be read as one length', "write a number"),
        ("5 mm/s", '"5 mm/s" cannot be read as one length', "write a number"),
        ("5 mm**2", '"5 mm**2" cannot be read as one length', "write a number"),
        ("1-1/4 in", '"1-1/4 in" cannot be read as one length', '"1 1/4 in"'),
        ("1½ in", '"1½ in" cannot be read as one length', '"1 1/4 in"'),
        ("1.5 1/4 in", '"1.5 1/4 in" cannot be read as one length', '"1 1/4 in"'),
        ("1 -1/4 in", '"1 -1/4 in" cannot be read as one length', '"1 1/4 in"'),
        ("1_000 mm", '"1_000 mm" cannot be read as one length', "write a number"),
        ("٣ mm", '"٣ mm" cannot be read as one length', "write a number"),
        ("1e999 mm", '"1e999 mm" cannot be read as one length', "write a number"),
        ("10,7 mm", '"10,7 mm" has a comma', 'write a decimal point, as in "10.7 mm"'),
        ("1/0 in", '"1/0 in" divides by nought', "write a number"),
        ("1 4/4 in", '"1 4/4 in" has a fraction of one or more', "write a proper fraction"),
        (
            "5 apples",
            '"5 apples": "apples" is no unit of length',
            "use mm, cm, m, um, in, ft or thou",
        ),
        ("2 kg", '"2 kg": "kg" is no unit of length', "use mm, cm, m, um, in, ft or thou"),
        ("6 M", '"6 M": "M" is no unit of length', "use mm"),
        ("6 pi", '"6 pi": "pi" is no unit of length', "use mm"),
        ("6 nan", '"6 nan": "nan" is no unit of length', "use mm"),
        ("5 tou", '"5 tou": "tou" is no unit of length', 'did you mean "thou"?'),
        ("5 milimetre", '"5 milimetre"', 'did you mean "millimetre"'),
        ("5 mil", '"5 mil": a mil is a thousandth of an inch to some', 'write "thou" or "mm"'),
        ("5 Mils", '"5 Mils": a mil is', 'write "thou" or "mm"'),
        ("No. 7 drill", '"No. 7 drill" names no drill known here', '"letter F drill"'),
        ("drill", '"drill" cannot be read as one length', "write a number"),
        ("7 drill", '"7 drill" may be a number, a fraction or a size in mm', '"7 mm drill"'),
        ("1/4 drill", '"1/4 drill" may be', '"1/4 in drill"'),
        ("1" * 61, "a text of 61 characters is too long", "write a number"),
    ],
)
def test_what_is_no_length_is_refused(value: object, wrong: str, right: str) -> None:
    units = "in" if value == 1e308 else "mm"
    with pytest.raises(ValueError, match=re.escape(wrong)) as caught:
        length(value, units)
    assert isinstance(caught.value, WrongValue)
    assert wrong in caught.value.wrong
    assert right in caught.value.right


@given(st.floats(1e-9, 1e6))
@settings(max_examples=100, deadline=None)
@example(0.1)
@example(1e-9)
def test_a_number_in_words_is_the_same_number(value: float) -> None:
    assert length(f"{value!r} mm", "in") == length(value, "mm") == value
    assert length(f"{value!r} in", "mm") == length(value, "in")
    assert length(f"-{value!r} in", "mm") == -length(value, "in")


@given(st.integers(-(10**7), 10**7), st.integers(0, 4))
@settings(max_examples=100, deadline=None)
def test_inches_to_mm_and_back_lose_nothing(digits: int, decimals: int) -> None:
    inches = digits / 10**decimals
    mm = length(inches, "in")
    assert mm == float(Fraction(digits, 10**decimals) * Fraction(254, 10))
    assert length(f"{mm:.12f} mm", "in") / 25.4 == pytest.approx(inches, rel=1e-15, abs=1e-15)


@given(st.integers(0, 99), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
@settings(max_examples=60, deadline=None)
def test_a_mixed_fraction_is_its_sum(whole: int, bottom: int, data: st.DataObject) -> None:
    top = data.draw(st.integers(1, bottom - 1))
    inches = whole + top / bottom  # exact in binary
    assert length(f"{whole} {top}/{bottom} in", "mm") == length(inches, "in")
    assert length(f"{whole * bottom + top}/{bottom}", "in") == length(inches, "in")


@given(st.text('0123456789 ./-+eEmincthou"drlNoµ', max_size=LONGEST))
@settings(max_examples=300, deadline=None)
def test_any_text_gives_a_length_or_is_refused(text: str) -> None:
    with contextlib.suppress(WrongValue):  # and nothing else
        assert math.isfinite(length(text, "mm"))


def loaded_by(code: str) -> set[str]:
    """Return which heavy packages a fresh interpreter has loaded after some code."""
    names = "numpy", "pint", "shapely", "click"
    tail = f"import sys; print(*[name for name in {names!r} if name in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\n{tail}"], capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


@pytest.mark.parametrize("unit", sorted(COMMON))
def test_the_common_units_are_as_the_registry_has_them(unit: str) -> None:
    registry, names = _registry()
    assert unit in names
    assert registry.Quantity(Fraction(1), unit).to("mm").magnitude == COMMON[unit]


def test_pint_is_loaded_by_the_first_uncommon_unit_only() -> None:
    read = (
        "from pathgen.input.where import Faults\n"
        "from pathgen.input.getters import parse_toml\n"
        'text = \'a = 0.6\\nb = [1, 2]\\nc = "1/2"\\nd = "6 cm"\\ne = "24 thou"\'\n'
        "table = parse_toml(text, 'x', Faults())\n"
        "assert table.with_units('in').length('a') == 15.24\n"
        "table.lengths('b'), table.length('c'), table.length('e'), table.no_more()\n"
    )
    assert loaded_by(read) == set()
    assert "pint" in loaded_by(f"{read}table.length('d')")
