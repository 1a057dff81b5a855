"""Lengths in words, in the units that the job is written in."""

from __future__ import annotations

from typing import Literal, TypeAlias

from pathgen import INCH
from pathgen.job.sizes import Size

Units: TypeAlias = Literal["mm", "in"]
DECIMALS = {"mm": 3, "in": 4}


def figure(length: float, units: Units) -> str:
    """Return a length as a figure without its unit, no longer than it need be.

    >>> figure(10.0, "mm"), figure(9.525, "in"), figure(2.70385, "mm")
    ('10', '0.375', '2.704')
    """
    value = length / INCH if units == "in" else length
    text = f"{value:.{DECIMALS[units]}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def spoken(length: float, units: Units) -> str:
    """Return a length with its unit.

    >>> spoken(12.7, "in")
    '0.5 in'
    """
    return f"{figure(length, units)} {units}"


def span(size: Size, units: Units) -> str:
    """Return the limits of a size with their unit.

    >>> span(Size(nominal=10, low=10, high=10.15, basis="own limits"), "mm")
    '10 to 10.15 mm'
    """
    return f"{figure(size.low, units)} to {spoken(size.high, units)}"
