"""The two units of length that people write and read, and lengths as words in them."""

from __future__ import annotations

from typing import Literal, TypeAlias

from pathgen import INCH

Units: TypeAlias = Literal["mm", "in"]
UNITS: tuple[Units, ...] = ("mm", "in")
DECIMALS: dict[Units, int] = {"mm": 3, "in": 4}


def in_units(length: float, units: Units) -> float:
    """Return a length in mm as a number of units."""
    return length / INCH if units == "in" else length


def figure(length: float, units: Units) -> str:
    """Return a length in mm as a figure without its unit, no longer than it need be.

    >>> figure(10.0, "mm"), figure(9.525, "in"), figure(2.70385, "mm")
    ('10', '0.375', '2.704')
    """
    text = f"{in_units(length, units):.{DECIMALS[units]}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def spoken(length: float, units: Units) -> str:
    """Return a length in mm with its unit.

    >>> spoken(12.7, "in")
    '0.5 in'
    """
    return f"{figure(length, units)} {units}"


def between(low: float, high: float, units: Units) -> str:
    """Return two lengths in mm, smaller and larger, with their unit.

    >>> between(10.0, 10.15, "mm")
    '10 to 10.15 mm'
    """
    return f"{figure(low, units)} to {spoken(high, units)}"
