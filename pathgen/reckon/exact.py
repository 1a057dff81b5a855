"""Figures that are exact by definition, each written once; fractions of an inch in mm."""

from __future__ import annotations

from fractions import Fraction

from pathgen import INCH

EXACT_INCH = Fraction(str(INCH))  # mm
FOOT = float(12 * EXACT_INCH / 1000)  # m
POUND = 0.45359237  # kg
GRAVITY = 9.80665  # m/s2, the standard value


def millimetres(inches: Fraction) -> float:
    """Return a fraction of an inch in mm, rounded once only.

    >>> millimetres(Fraction(3, 8))
    9.525
    """
    return float(inches * EXACT_INCH)
