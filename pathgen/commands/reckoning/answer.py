"""What a reckoning answers: figures with their units, the sum, advice, cautions, sources."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

from pathgen import INCH
from pathgen.input.units import Units
from pathgen.reckon.exact import FOOT, GRAVITY, POUND

Value: TypeAlias = float | str

POUND_FORCE = POUND * GRAVITY  # N, exactly
HORSE_POWER = POUND_FORCE * FOOT * 550  # W: 550 foot pounds a second, exactly

# Metric unit: what the inch system has for it, how much that is in the metric one, and how many
# decimals more it is printed with.
ALSO: dict[str, tuple[str, float, int]] = {
    "mm": ("in", INCH, 1),
    "mm/min": ("in/min", INCH, 2),
    "mm/rev": ("in/rev", INCH, 1),
    "mm/tooth": ("in/tooth", INCH, 1),
    "m/min": ("ft/min", FOOT, 0),
    "cm3/min": ("in3/min", (INCH / 10) ** 3, 1),
    "N": ("lbf", POUND_FORCE, 1),
    "W": ("hp", HORSE_POWER, 3),
    "Nm": ("lbf ft", POUND_FORCE * FOOT, 1),
    "kg": ("lb", POUND, 0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One figure of an answer, in its metric unit; a text where the answer is a word.

    `places` are the decimals printed of the metric figure.
    """

    quantity: str
    value: Value
    unit: str = ""
    places: int = 2
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a table: its heading, metric unit and decimals."""

    heading: str
    unit: str = ""
    places: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Figures that come in many lines, such as the holes of a circle."""

    title: str
    columns: tuple[Column, ...]
    lines: tuple[tuple[Value, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """All that a reckoning says.

    `formula` holds the sums with the figures put in, `advice` what to take or do, `cautions` what
    goes wrong otherwise, `sources` where the figures and the formula are from.
    """

    title: str
    rows: tuple[Row, ...] = ()
    tables: tuple[Table, ...] = ()
    formula: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def also(value: float, unit: str) -> tuple[float, str] | None:
    """Return a metric figure in the unit of the inch system, None where there is no other.

    >>> also(25.4, "mm"), also(90.0, "deg")
    ((1.0, 'in'), None)
    """
    if unit not in ALSO:
        return None
    other, size, _ = ALSO[unit]
    return value / size, other


def fixed(value: float, places: int) -> str:
    """Return a figure with so many decimals, never minus nought.

    >>> fixed(-0.0001, 2), fixed(7.876, 2)
    ('0.00', '7.88')
    """
    text = f"{value:.{places}f}"
    return text.lstrip("-") if float(text) == 0 else text


def plain(value: float, places: int) -> str:
    """Return a figure with at most so many decimals, without noughts at its end.

    >>> plain(68.0, 3), plain(7.88, 3)
    ('68', '7.88')
    """
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def degrees_and_minutes(angle_deg: float) -> str:
    """Return an angle in degrees and minutes.

    >>> degrees_and_minutes(5.739), degrees_and_minutes(-0.25)
    ('5 deg 44.3 min', '-0 deg 15.0 min')
    """
    tenths = round(abs(angle_deg) * 600)
    degrees, rest = divmod(tenths, 600)
    return f"{'-' if angle_deg < 0 < tenths else ''}{degrees} deg {rest / 10:.1f} min"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """How lengths are put into words: in the units that the question was asked in."""

    units: Units = "mm"

    def figure(self, length: float, places: int = 4) -> str:
        """Return a length in mm as a bare figure in the units of the question, for a sum."""
        if self.units == "in":
            return plain(length / INCH, places + 1)
        return plain(length, places)

    def length(self, length: float, places: int = 2) -> str:
        """Return a length in mm with the unit of the question."""
        return f"{self.figure(length, places)} {self.units}"

    def both(self, length: float, places: int = 2) -> str:
        """Return a length in mm in both units, that of the question first.

        >>> Wording().both(68.0), Wording(units="in").both(25.4)
        ('68 mm (2.677 in)', '1 in (25.4 mm)')
        """
        other = Wording(units="mm" if self.units == "in" else "in")
        return f"{self.length(length, places)} ({other.length(length, places)})"


def same(first: float, second: float) -> bool:
    """Return whether two lengths in mm are one, but for the noise of floats."""
    return math.isclose(first, second, abs_tol=1e-6)
