"""Numbers as a program states them: whole counts of the last decimal, then plain decimals."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen import INCH
from pathgen.input.units import Units

FINE_DECIMALS = 6  # of figures in comments that are read back and reckoned with
EXACT = 1e-7  # mm by which such a figure may differ from what it states


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The positions that a control can be told: its units, and how many decimals of them.

    Each position is rounded once, to a whole count of the last decimal; every word comes from such
    counts, so that one depth is never written in two ways.
    """

    units: Units
    decimals: int

    @property
    def factor(self) -> float:
        """Return the length of one unit of the program, mm."""
        return INCH if self.units == "in" else 1.0

    @property
    def count(self) -> float:
        """Return the length of one count, mm."""
        return self.factor / float(10**self.decimals)

    def counts(self, length: float) -> int:
        """Return a length in mm as whole counts."""
        return round(length / self.factor * 10.0**self.decimals)

    def length(self, counts: float) -> float:
        """Return counts as a length, mm."""
        return counts * self.factor / 10.0**self.decimals

    def text(self, counts: int) -> str:
        """Return counts as a number of the program.

        >>> Grid(units="mm", decimals=3).text(-12500), Grid(units="mm", decimals=3).text(0)
        ('-12.5', '0.0')
        """
        return decimals(counts, self.decimals)

    def spoken(self, length: float) -> str:
        """Return a length in mm as a figure with its unit, rounded to counts.

        >>> Grid(units="in", decimals=4).spoken(6.35)
        '0.25 in'
        """
        return f"{self.text(self.counts(length))} {self.units}"

    def finely(self, length: float) -> str:
        """Return a length in mm as a figure with its unit: the program's, or mm where exacter.

        >>> Grid(units="in", decimals=4).finely(6.35), Grid(units="in", decimals=4).finely(5.98)
        ('0.25 in', '5.98 mm')
        """
        figure = rounded(length / self.factor, FINE_DECIMALS)
        if abs(float(figure) * self.factor - length) <= EXACT:
            return f"{figure} {self.units}"
        return f"{rounded(length, FINE_DECIMALS)} mm"


def decimals(counts: int, places: int) -> str:
    """Return whole counts of the last of so many decimals as plain decimals with a point.

    There is at least one digit on either side of the point, no exponent, and no minus nought.

    >>> decimals(5, 3), decimals(-1, 4), decimals(30000, 3)
    ('0.005', '-0.0001', '30.0')
    """
    whole, part = divmod(abs(counts), 10**places)
    digits = f"{part:0{places}d}".rstrip("0") or "0"
    return f"{'-' if counts < 0 else ''}{whole}.{digits}"


def rounded(value: float, places: int) -> str:
    """Return a value as plain decimals, at most so many.

    >>> rounded(0.1 + 0.2, 3)
    '0.3'
    """
    if not math.isfinite(value):
        raise ValueError(f"{value:g} cannot be written; give a finite number")
    return decimals(round(value * 10**places), places)
