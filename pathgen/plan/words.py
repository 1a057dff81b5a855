"""Sizes in words, in the units that the job is written in."""

from __future__ import annotations

from pathgen.input.units import Units, between
from pathgen.job.sizes import Size


def span(size: Size, units: Units) -> str:
    """Return the limits of a size with their unit.

    >>> span(Size(nominal=10, low=10, high=10.15, basis="own limits"), "mm")
    '10 to 10.15 mm'
    """
    return between(size.low, size.high, units)


def made_anew(feature: str, quantity: str) -> str:
    """Return what to do where a program's cut comes out otherwise than was expected."""
    return (
        "if it is off by more than the tolerance allows, make the rest anew by it: pathgen make "
        f"with --found '{feature}: {quantity}=...'"
    )
