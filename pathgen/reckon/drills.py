"""Drill sizes by name, the sizes that exist next to a wanted one, and the length of a point."""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal

from pathgen.reckon.tables import table

INCH = 25.4
SAME_DIAMETER = 1e-6  # mm; only the noise of floats, so a near size never passes for an exact one
ORDINARY_POINT_DEG = 118.0  # high speed steel; 135 for cobalt and hard materials

Series = Literal["metric", "fractional", "letter", "number"]
ALL_SERIES: tuple[Series, ...] = ("metric", "fractional", "letter", "number")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """A drill of a series, by the name that `drill_diameter` understands; diameter in mm."""

    name: str
    series: Series
    diameter: float


Neighbours = tuple[Drill | None, Drill | None]


# ---------------------------------------------------------------- the series


def drill_series(series: Series) -> tuple[Drill, ...]:
    """Return every drill of a series, smallest first.

    Source: number and letter drills as tabled in `data/drills.toml`; fractions by 64ths of an
    inch; metric by the rule of BS 328, beyond 25.75 mm and 1 in from memory.

    >>> [drill.name for drill in drill_series("letter")[:2]]
    ['letter A drill', 'letter B drill']
    """
    return _all_drills()[series]


@cache
def _all_drills() -> dict[Series, tuple[Drill, ...]]:
    made: dict[Series, Iterator[Drill]] = {
        "metric": _metric(),
        "fractional": _fractional(),
        "letter": _letters(),
        "number": _numbers(),
    }
    return {name: tuple(sorted(d, key=lambda drill: drill.diameter)) for name, d in made.items()}


def _metric() -> Iterator[Drill]:
    for run in table("drills")["metric"]["runs"]:
        for base in range(run["from"], run["to"] + 1, run["step"]):
            for plus in run["plus"]:
                diameter = (base + plus) / 100
                yield Drill(name=f"{diameter:g} mm drill", series="metric", diameter=diameter)


def _fractional() -> Iterator[Drill]:
    for run in table("drills")["fraction"]["runs"]:
        for count in range(run["from"], run["to"] + 1, run["step"]):
            inches = Fraction(count, 64)
            yield Drill(
                name=f"{_spelt(inches)} in drill",
                series="fractional",
                diameter=float(inches) * INCH,
            )


def _letters() -> Iterator[Drill]:
    for letter, inches in table("drills")["letter"]["inches"].items():
        yield Drill(name=f"letter {letter} drill", series="letter", diameter=inches * INCH)


def _numbers() -> Iterator[Drill]:
    for number, inches in table("drills")["number"]["inches"].items():
        yield Drill(name=f"No. {number} drill", series="number", diameter=inches * INCH)


def _spelt(inches: Fraction) -> str:
    whole, rest = divmod(inches.numerator, inches.denominator)
    parts = [str(whole)] if whole else []
    if rest:
        parts.append(f"{rest}/{inches.denominator}")
    return " ".join(parts)


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
    if int(found["below"]) == 0:
        raise ValueError(f"{name!r}: nothing can be divided by nought; write '3/8 in drill'")
    inches = int(found["whole"] or 0) + Fraction(int(found["above"]), int(found["below"]))
    if inches <= 0 or 64 % inches.denominator:
        raise ValueError(
            f"{name!r}: drills in fractions of an inch go by 64ths; "
            f"{_nearest_names(float(inches) * INCH, 'fractional')}"
        )
    return float(inches) * INCH


def _refuse_bare_number(name: str, found: re.Match[str]) -> float:
    raise ValueError(
        f"{name!r} may be a drill or a screw size; write 'No. {found['number']} drill' for the "
        "drill, or the thread in full for the screw"
    )


def _refuse_letter_as_number(name: str, found: re.Match[str]) -> float:
    letter = found["letter"].upper()
    digit = {"I": "1", "O": "10"}.get(letter, "1")
    raise ValueError(
        f"{name!r} mixes letter and number; write 'letter {letter} drill' or 'No. {digit} drill'"
    )


def _refuse_number_as_letter(name: str, found: re.Match[str]) -> float:
    raise ValueError(
        f"{name!r}: letter drills run from A to Z; nearest by look is "
        f"'letter {'I' if found['digit'].startswith('1') else 'O'} drill'"
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
        (r"(?P<letter>[A-Z]) drill", _read_letter),
        (r"letter (?P<digit>\d+)(?: drill)?", _refuse_number_as_letter),
        (r"(?P<size>\d*\.?\d+|\d+\.) ?(?P<unit>mm|in\.?|inch|\") drill", _read_decimal),
        (
            r"(?:(?P<whole>\d+)[ -])?(?P<above>\d+) ?/ ?(?P<below>\d+) ?(?:in\.?|inch|\")? drill",
            _read_fraction,
        ),
    )
)


# ---------------------------------------------------------------- the sizes that exist


def drill_name(diameter: float, series: Sequence[Series] = ALL_SERIES) -> str | None:
    """Return the name of the drill that has exactly this diameter, or None where none has.

    Two series may share a size (1/4 in is letter E); the first in `series` names it. A nearest
    size never borrows a name: 5.1 mm is not No. 7.

    Args:
        diameter: mm.
        series: where to look, in this order.

    >>> drill_name(6.35), drill_name(6.35, ("letter",)), drill_name(5.11)
    ('1/4 in drill', 'letter E drill', None)
    """
    for name in series:
        below, above = neighbours_among(diameter, drill_series(name))
        if below is not None and below is above:
            return below.name
    return None


def nearest_drills(diameter: float, series: Sequence[Series] = ALL_SERIES) -> Neighbours:
    """Return the drills below and above a diameter; both the same where one fits exactly.

    Args:
        diameter: mm.
        series: the series to choose from; of two drills alike the first named series wins.

    Returns:
        (the largest not above it, the smallest not below it); None past an end of the series.

    >>> [drill.name for drill in nearest_drills(10.67, ("metric", "fractional"))]
    ['10.6 mm drill', '10.7 mm drill']
    """
    return neighbours_among(diameter, _merged(tuple(series)))


@cache
def _merged(series: tuple[Series, ...]) -> tuple[Drill, ...]:
    drills = [drill for name in series for drill in drill_series(name)]
    return tuple(sorted(drills, key=lambda drill: drill.diameter))


def neighbours_among(diameter: float, drills: Sequence[Drill]) -> Neighbours:
    """Return the drills below and above a diameter out of those at hand.

    Args:
        diameter: mm.
        drills: those held, smallest first.
    """
    _refuse_size(diameter)
    first_up = bisect_left(drills, diameter - SAME_DIAMETER, key=lambda drill: drill.diameter)
    first_over = bisect_right(drills, diameter + SAME_DIAMETER, key=lambda drill: drill.diameter)
    if first_up < first_over:
        return drills[first_up], drills[first_up]
    below = drills[first_up - 1] if first_up else None
    above = drills[first_up] if first_up < len(drills) else None
    return below, above


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
    _refuse_size(diameter)
    if not 0 < point_angle_deg < 180:
        raise ValueError(f"point angle {point_angle_deg:g} degrees is not between 0 and 180")
    return diameter / 2 / math.tan(math.radians(point_angle_deg / 2))


def _refuse_size(diameter: float) -> None:
    if not 0 < diameter < math.inf:
        raise ValueError(f"diameter {diameter:g} mm: give a length above zero")
