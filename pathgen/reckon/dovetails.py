"""Dovetails: widths from corner to corner, and what to measure over or between two rollers.

Lengths in mm; the angle is that of the flank with the base, 60 or 55 degrees as a rule. Widths
are those across the *sharp* corners at the bottom of the flanks; reliefs and chamfers leave them.
"""

from __future__ import annotations

import math

from pathgen.reckon.guards import above_zero, within

__all__ = [
    "between_rollers",
    "corner_from_between",
    "corner_from_over",
    "over_rollers",
    "roller_too_large",
    "wide_width",
]


def wide_width(narrow: float, height: float, angle_deg: float) -> float:
    """Return the wide width, in mm, from the narrow one: narrow + 2 h / tan(angle).

    >>> round(wide_width(20.0, 4.0, 60.0), 4)
    24.6188
    """
    above_zero(narrow=narrow, height=height)
    return narrow + 2 * height / math.tan(_flank(angle_deg))


def over_rollers(corner_width: float, roller: float, angle_deg: float) -> float:
    """Return the size over two rollers, in mm, of a male dovetail.

    Args:
        corner_width: across the two inner corners, mm.
        roller: diameter, mm.
        angle_deg: of the flank.

    Source: a + D (1 + cot(angle / 2)).

    >>> round(over_rollers(25.0, 5.0, 55.0), 6)
    39.604911
    """
    above_zero(corner_width=corner_width)
    return corner_width + _both(roller, angle_deg)


def between_rollers(corner_width: float, roller: float, angle_deg: float) -> float:
    """Return the size between two rollers, in mm, of a female dovetail.

    Args:
        corner_width: across the two bottom corners, mm.
        roller: diameter, mm.
        angle_deg: of the flank.

    Source: b - D (1 + cot(angle / 2)).

    >>> round(between_rollers(50.0, 6.0, 60.0), 6)
    33.607695
    """
    above_zero(corner_width=corner_width)
    both = _both(roller, angle_deg)
    if both > corner_width:
        raise ValueError(
            f"two rollers of {roller:g} take up {both:.4g} and the corners are {corner_width:g} "
            f"apart; give smaller rollers"
        )
    return corner_width - both


def corner_from_over(over: float, roller: float, angle_deg: float) -> float:
    """Return the width across the corners, in mm, of a male dovetail from the size over rollers.

    >>> round(corner_from_over(39.604911, 5.0, 55.0), 6)
    25.0
    """
    both = _both(roller, angle_deg)
    if not both < over < math.inf:
        raise ValueError(
            f"over rollers of {roller:g} a dovetail is more than {both:.4g}, not {over:g}"
        )
    return over - both


def corner_from_between(between: float, roller: float, angle_deg: float) -> float:
    """Return the width across the corners, in mm, of a female dovetail from that between rollers.

    >>> round(corner_from_between(33.607695, 6.0, 60.0), 6)
    50.0
    """
    above_zero(between=between)
    return between + _both(roller, angle_deg)


def roller_too_large(roller: float, height: float, angle_deg: float) -> bool:
    """Return whether a roller touches the flank's edge, not the flank, or stands above it.

    The roller touches the flank at D / 2 (1 + cos(angle)) above the base.

    >>> roller_too_large(6.0, 5.0, 60.0), roller_too_large(8.0, 5.0, 60.0)
    (False, True)
    """
    above_zero(roller=roller, height=height)
    return roller / 2 * (1 + math.cos(_flank(angle_deg))) >= height


def _both(roller: float, angle_deg: float) -> float:
    """Return what two rollers stand beyond the corners: D (1 + cot(angle / 2))."""
    above_zero(roller=roller)
    return roller * (1 + 1 / math.tan(_flank(angle_deg) / 2))


def _flank(angle_deg: float) -> float:
    """Return the flank's angle in radians."""
    within(0, 90, angle_deg=angle_deg)
    return math.radians(angle_deg)
