"""Drills by the names people type, and the length of a drill's point."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction

from pathgen import INCH
from pathgen.reckon.drill_series import (
    ALL_SERIES,
    SAME_DIAMETER,
    Drill,
    Neighbours,
    Series,
    drill_name,
    drill_series,
    nearest_drills,
    neighbours_among,
    refuse_diameter,
)
from pathgen.reckon.exact import millimetres
from pathgen.reckon.tables import table

__all__ = [
    "ALL_SERIES",
    "ORDINARY_POINT_DEG",
    "SAME_DIAMETER",
    "Drill",
    "Neighbours",
    "Series",
    "drill_diameter",
    "drill_name",
    "drill_series",
    "jobber_flutes",
    "nearest_drills",
    "neighbours_among",
    "point_length",
]

ORDINARY_POINT_DEG = 118.0  # high speed steel; 135 for cobalt and hard materials

# ---------------------------------------------------------------- names


def drill_diameter(name: str) -> float | None:
    """Return the diameter, in mm, of a drill as people name it, or None where it names no drill.

    Understood: "No. 7 drill", "no 7", "#7 drill", "letter F drill", "letter F", "F drill",
    "3/8 in drill", "1 1/8 in drill", "0.201 in drill", "6.8 mm drill". A plain length such as
    "6.8 mm" is not the name of a drill. A size given in figures need not be one that is made:
    `drill_name` tells.

    Raises:
        ValueError: the text names a drill that does not exist or that cannot be told for
            certain; the message names the nearest that do.

    >>> round(drill_diameter("No. 7 drill"), 4)
    5.1054
    >>> drill_diameter("letter E drill"), drill_diameter("6.8 mm drill"), drill_diameter("6.8 mm")
    (6.35, 6.8, None)
    >>> drill_diameter("No. 99 drill")
    Traceback (most recent call last):
    ValueError: 'No. 99 drill': number drills run from No. 1 to No. 80; nearest is No. 80 drill
    """
    text = " ".join(name.split())
    for pattern, read in _READERS:
        if found := pattern.fullmatch(text):
            return read(name, found)
    if re.search(r"\bdrill\b", text, re.IGNORECASE):
        raise ValueError(
            f"{name!r} is no drill name known here; write 'No. 7 drill', 'letter F drill', "
            "'3/8 in drill' or '6.8 mm drill'"
        )
    return None


def _read_number(name: str, found: re.Match[str]) -> float:
    inches = table("drills")["number"]["inches"]
    number = int(found["number"])
    if str(number) not in inches:
        nearest = min(max(number, 1), 80)
        raise ValueError(
            f"{name!r}: number drills run from No. 1 to No. 80; nearest is No. {nearest} drill"
        )
    return float(inches[str(number)]) * INCH


def _read_letter(_name: str, found: re.Match[str]) -> float:
    return float(table("drills")["letter"]["inches"][found["letter"].upper()]) * INCH


def _read_decimal(name: str, found: re.Match[str]) -> float:
    diameter = float(found["size"]) * (1 if found["unit"].lower().startswith("m") else INCH)
    if diameter <= 0:
        raise ValueError(f"{name!r}: a drill has a diameter above zero, as '6.8 mm drill'")
    return diameter


def _read_fraction(name: str, found: re.Match[str]) -> float:
    if not int(found["above"]) or not int(found["below"]):
        raise ValueError(f"{name!r}: a fraction needs figures above nought; write '3/8 in drill'")
    inches = int(found["whole"] or 0) + Fraction(int(found["above"]), int(found["below"]))
    if 64 % inches.denominator:
        raise ValueError(
            f"{name!r}: drills in fractions of an inch go by 64ths; "
            f"{_nearest_names(millimetres(inches), 'fractional')}"
        )
    return millimetres(inches)


def _refuse_bare_number(name: str, found: re.Match[str]) -> float:
    raise ValueError(
        f"{name!r} may be a drill or a screw size; write 'No. {found['number']} drill' for the "
        "drill, or the thread in full for the screw"
    )


def _refuse_letter_as_number(name: str, found: re.Match[str]) -> float:
    letter = found["letter"].upper()
    raise ValueError(
        f"{name!r} mixes letter and number; write 'letter {letter} drill', or a number drill from "
        "'No. 1 drill' to 'No. 80 drill'"
    )


def _refuse_number_as_letter(name: str, _found: re.Match[str]) -> float:
    raise ValueError(
        f"{name!r} mixes letter and number; letter drills run from A to Z, as 'letter I drill'; "
        f"number drills are written 'No. 7 drill'"
    )


def _nearest_names(diameter: float, series: Series) -> str:
    names = [drill.name for drill in nearest_drills(diameter, (series,)) if drill]
    return f"nearest is {' or '.join(names)}"


_NO = r"(?:no\.?|number|nr\.?)"
_READERS: tuple[tuple[re.Pattern[str], Callable[[str, re.Match[str]], float]], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), read)
    for pattern, read in (
        (rf"{_NO} ?(?P<number>\d+)(?: drill)?", _read_number),
        (r"# ?(?P<number>\d+) drill", _read_number),
        (r"# ?(?P<number>\d+)", _refuse_bare_number),
        (rf"(?:{_NO}|#) ?(?P<letter>[A-Z]) drill", _refuse_letter_as_number),
        (r"letter (?P<letter>[A-Z])(?: drill)?", _read_letter),
        (r"(?-i:(?P<letter>[A-Z])) drill", _read_letter),
        (r"letter \d+(?: drill)?", _refuse_number_as_letter),
        (r"(?P<size>\d*\.?\d+|\d+\.) ?(?P<unit>mm|in\.?|inch|\") drill", _read_decimal),
        (
            r"(?:(?P<whole>\d+)[ -])?(?P<above>\d+) ?/ ?(?P<below>\d+) ?(?:in\.?|inch|\")? drill",
            _read_fraction,
        ),
    )
)


# ---------------------------------------------------------------- the point


def point_length(diameter: float, point_angle_deg: float = ORDINARY_POINT_DEG) -> float:
    """Return how far, in mm, the tip of a drill reaches past its full diameter.

    The cone is taken as sharp; the chisel edge makes a real one a little shorter. The same cone
    gives the depth of a spot of this diameter.

    Args:
        diameter: of the drill, mm.
        point_angle_deg: included angle of the point, between 0 and 180.

    Source: right triangle of the cone, length = d / 2 / tan(angle / 2).

    >>> round(point_length(10.0), 4)
    3.0043
    """
    refuse_diameter(diameter)
    if not 0 < point_angle_deg < 180:
        raise ValueError(f"point angle {point_angle_deg:g} degrees is not between 0 and 180")
    return diameter / 2 / math.tan(math.radians(point_angle_deg / 2))


# ---------------------------------------------------------------- flutes


def jobber_flutes(diameter: float) -> float:
    """Return how long the flutes of a jobber drill are, mm.

    Args:
        diameter: mm, over 0.67 up to 20.

    Raises:
        ValueError: outside the table.

    Source: DIN 338, from memory; inch drills of a size with them are as long or longer.

    >>> jobber_flutes(6.8), jobber_flutes(12.7)
    (69.0, 101.0)
    """
    rows = table("drills")["jobber"]
    if diameter > rows["over"] + SAME_DIAMETER:
        for upto, flutes in rows["flutes"]:
            if diameter <= upto + SAME_DIAMETER:
                return float(flutes)
    largest = rows["flutes"][-1][0]
    raise ValueError(
        f"the flutes of a {diameter:.4g} mm drill are not known here, which has jobber drills over "
        f"{rows['over']:g} up to {largest:g} mm; measure them"
    )
