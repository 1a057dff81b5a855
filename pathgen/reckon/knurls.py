"""Knurls: how many teeth go round a diameter, for which diameter they are whole, how it swells.

A knurl is pressed, not cut. Its wheel rolls off on the work, so that after each turn its teeth fall
into those of the turn before only if the circumference holds a whole number of them.
"""

from __future__ import annotations

import math
from typing import Literal, TypeAlias

from pathgen.reckon.guards import above_zero

Pattern: TypeAlias = Literal["straight", "diamond"]
PATTERNS: tuple[Pattern, ...] = ("straight", "diamond")
HELIX_DEG = 30.0  # between the axis and the teeth of a diamond knurl: DIN 82, from memory
SWELLS: dict[Pattern, float] = {"straight": 0.5, "diamond": 0.67}  # pitches, on the diameter
OFF_WHOLE = 0.25  # of a pitch that the circumference may be off whole teeth; common practice


def pitch_round(pitch: float, pattern: Pattern) -> float:
    """Return the pitch along the circumference, mm, of one that is given square to the teeth.

    >>> pitch_round(1.0, "straight"), round(pitch_round(1.0, "diamond"), 4)
    (1.0, 1.1547)
    """
    above_zero(pitch=pitch)
    slant_deg = HELIX_DEG if pattern == "diamond" else 0.0
    return pitch / math.cos(math.radians(slant_deg))


def teeth_round(diameter: float, pitch: float, pattern: Pattern) -> float:
    """Return how many teeth of a pitch go round a diameter, mm; seldom a whole number.

    >>> round(teeth_round(20.0, 1.0, "straight"), 2)
    62.83
    """
    above_zero(diameter=diameter)
    return math.pi * diameter / pitch_round(pitch, pattern)


def diameter_of(teeth: int, pitch: float, pattern: Pattern) -> float:
    """Return the diameter before knurling that so many teeth go round, mm.

    >>> round(diameter_of(63, 1.0, "straight"), 3)
    20.054
    """
    above_zero(teeth=teeth)
    return teeth * pitch_round(pitch, pattern) / math.pi


def whole_within(
    low: float, high: float, pitch: float, pattern: Pattern
) -> tuple[int, float, float]:
    """Return the whole number of teeth nearest to a diameter, and between which ones they track.

    Args:
        low: the diameter's least, mm.
        high: its most, mm.
        pitch: square to the teeth, mm.
        pattern: of the knurl.

    >>> teeth, least, most = whole_within(19.8, 20.2, 1.0, "straight")
    >>> teeth, round(least, 3), round(most, 3)
    (63, 19.974, 20.133)
    """
    teeth = max(1, round(teeth_round((low + high) / 2, pitch, pattern)))
    open_ = OFF_WHOLE * pitch_round(pitch, pattern) / math.pi
    whole = diameter_of(teeth, pitch, pattern)
    return teeth, whole - open_, whole + open_


def swelling(pitch: float, pattern: Pattern) -> float:
    """Return by how much a diameter grows in knurling, mm.

    Source: DIN 82, from memory: the diameter before is that over the knurl less 0.5 pitches for
    straight teeth, less 0.67 for raised diamonds. Metals differ: try it on a piece of the bar.

    >>> swelling(1.0, "straight")
    0.5
    """
    above_zero(pitch=pitch)
    return SWELLS[pattern] * pitch


def pressed_in(pitch: float, pattern: Pattern) -> float:
    """Return how deep the wheel's teeth go in under the diameter that was turned, mm.

    As much metal rises as is pressed down: half of the swelling, on the radius. Common practice.

    >>> pressed_in(1.0, "straight")
    0.25
    """
    return swelling(pitch, pattern) / 2
