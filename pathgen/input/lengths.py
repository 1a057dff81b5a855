"""Lengths as people write them, turned into millimetres; nothing else here knows of pint."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from pathgen.input.values import shown
from pathgen.input.where import WrongValue, nearest, quoted

if TYPE_CHECKING:
    from pint import UnitRegistry  # noqa: TID251 - this is the one module that may

BARE: dict[str, Fraction] = {"mm": Fraction(1), "in": Fraction(254, 10)}  # what 1 is, in mm
COMMON = {**BARE, "thou": BARE["in"] / 1000}  # units read without loading pint; a test compares
FORMS = 'write a number, or text such as "10.7 mm", "0.6 in", "1 1/4 in", "24 thou"'
LONGEST = 60  # characters; no length needs as many
DEFINITIONS = Path(__file__).with_name("trade_units.txt")

_TEXT = re.compile(
    r"""(?P<sign>[+-]?)\ *
    (?: (?:(?P<whole>[0-9]+)\ +)? (?P<top>[0-9]+)\ */\ *(?P<bottom>[0-9]+)
      | (?P<decimal>(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?) )
    \ *(?P<unit>[^\W\d_]*\.?|["″])""",
    re.VERBOSE,
)
_LETTERS = r"[^\W\d_]"  # as `_TEXT` has them
_DRILL = re.compile(r"(?P<size>.*[^ ]) +drill", re.IGNORECASE)
_COMMA = re.compile(r"[0-9],[0-9]")


def length(value: object, units: str, named: Callable[[str], float | None] | None = None) -> float:
    """Return a length in mm, the nearest float to what was written.

    Args:
        value: a number in `units`, or text: a number or fraction with a unit of its own, or without
            one in `units`, or the name of a drill.
        units: "mm" or "in".
        named: returns the diameter, in mm, of a drill from its name ("No. 7 drill"), or None for
            a text that is no such name; it may raise ValueError to say more.

    Raises:
        WrongValue: the value is no length; the message tells what is wrong and what would be right.

    >>> length(12, "mm"), length(0.6, "in"), length("1 1/4 in", "mm"), length("24 thou", "mm")
    (12.0, 15.24, 31.75, 0.6096)
    """
    match value:
        case bool():
            raise WrongValue(f"{shown(value)} is not a length", FORMS)
        case int() | float():
            return _bare(value, units)
        case str():
            return _worded(" ".join(value.split()), units, named)
        case _:
            raise WrongValue(f"{shown(value)} is not a length", FORMS)


def spelling() -> str:
    """Return a regular expression, as JSON Schema has them, of the texts that are a length.

    It knows nothing of which units there are, nor of drills that are named by a number or letter.
    """
    pattern = re.sub(r"(?<!\\)\s+", "", _TEXT.pattern)  # the layout that VERBOSE allows
    pattern = re.sub(r"\(\?P<\w+>", "(?:", pattern).replace("\\ ", r"\s")
    pattern = pattern.replace(_LETTERS, "[A-Za-zµμ]")  # \W is of ASCII only there
    return pattern + r"(?:\s+[dD][rR][iI][lL][lL])?"


def _bare(value: int | float, units: str) -> float:
    if isinstance(value, float) and not math.isfinite(value):
        raise WrongValue(f"{value} is not a length", FORMS)
    if isinstance(value, float) and BARE[units] == 1:
        return value
    # As Fraction of what was written, so that 0.6 in and "0.6 in" are the same float.
    return _as_float(Fraction(value if isinstance(value, int) else str(value)) * BARE[units])


def _worded(text: str, units: str, named: Callable[[str], float | None] | None) -> float:
    """Return the length, in mm, of a text without stray blanks."""
    if not text:
        raise WrongValue("the text is empty", FORMS)
    if len(text) > LONGEST:
        raise WrongValue(f"a text of {len(text)} characters is too long for a length", FORMS)
    drill = _DRILL.fullmatch(text)
    found = _TEXT.fullmatch(drill["size"] if drill else text)
    if named and (drill or not found):
        diameter = _ask(named, text)
        if diameter is not None:
            return diameter
    if not found:
        raise _unreadable(text, is_drill=drill is not None)
    unit = found["unit"].rstrip(".")
    if drill and not unit:
        raise WrongValue(
            f"{quoted(text)} may be a number, a fraction or a size in mm",
            'write "No. 7 drill", "1/4 in drill" or "7 mm drill"',
        )
    if found["bottom"] and not unit and units == "mm":
        raise WrongValue(
            f"{quoted(text)} is a fraction with no unit of its own, and the file is in mm",
            f'write "{text} in", or a decimal of a mm',
        )
    number = _number(text, found)
    return _as_float(number * (_factor(text, unit) if unit else BARE[units]))


def _ask(named: Callable[[str], float | None], text: str) -> float | None:
    """Return the diameter a drill's name stands for; put what is wrong with it in our form."""
    try:
        return named(text)
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        raise WrongValue(wrong, right) from error


def _number(text: str, found: re.Match[str]) -> Fraction:
    """Return the signed number that stands before the unit."""
    if found["decimal"]:
        number = Fraction(found["decimal"])
    else:
        top, bottom = int(found["top"]), int(found["bottom"])
        if bottom == 0:
            raise WrongValue(f"{quoted(text)} divides by nought", FORMS)
        if found["whole"] and top >= bottom:
            raise WrongValue(
                f"{quoted(text)} has a fraction of one or more after a whole number",
                'write a proper fraction, such as "1 1/4 in"',
            )
        number = int(found["whole"] or 0) + Fraction(top, bottom)
    return -number if found["sign"] == "-" else number


def _factor(text: str, unit: str) -> Fraction:
    """Return how many mm a unit is; the first need of an uncommon one loads pint."""
    if unit.lower() in ("mil", "mils"):
        raise WrongValue(
            f"{quoted(text)}: a mil is a thousandth of an inch to some, a millimetre to others",
            'write "thou" or "mm"',
        )
    spelling = "in" if unit in ('"', "″") else unit if len(unit) == 1 else unit.lower()
    if spelling in COMMON:
        return COMMON[spelling]
    registry, names = _registry()
    name = next((each for each in (spelling, spelling.removesuffix("s")) if each in names), None)
    if name is None:
        raise WrongValue(
            f'{quoted(text)}: "{unit}" is no unit of length known here',
            _nearest_unit(unit, names),
        )
    return Fraction(registry.Quantity(Fraction(1), name).to("mm").magnitude)


def _nearest_unit(unit: str, names: frozenset[str]) -> str:
    alike = nearest(unit, sorted(names)) if len(unit) > 1 else ""
    return alike or "use mm, cm, m, um, in, ft or thou"


@cache
def _registry() -> tuple[UnitRegistry[Fraction], frozenset[str]]:
    """Return the units of the trade, exact, and the names that they go by."""
    import pint  # noqa: PLC0415, TID251 - slow to load, so only once a unit is written

    registry: UnitRegistry[Fraction] = pint.UnitRegistry(DEFINITIONS, non_int_type=Fraction)
    return registry, frozenset(registry)


def _unreadable(text: str, *, is_drill: bool) -> WrongValue:
    """Return what is to be said of a text that is neither a number with a unit nor a drill."""
    if is_drill:
        return WrongValue(
            f"{quoted(text)} names no drill known here",
            'write "No. 7 drill", "letter F drill", "3/8 in drill" or "6.8 mm drill"',
        )
    if _COMMA.search(text):
        return WrongValue(f"{quoted(text)} has a comma", 'write a decimal point, as in "10.7 mm"')
    return WrongValue(f"{quoted(text)} cannot be read as one length", FORMS)


def _as_float(number: Fraction) -> float:
    try:
        return float(number)
    except OverflowError:
        raise WrongValue("the length is beyond any number", FORMS) from None
