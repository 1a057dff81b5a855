"""How a dish grows with depth, and depths at which each cut takes as much metal as the next."""

from __future__ import annotations

import math

from pathgen.reckon.guards import above_zero, not_below_zero

__all__ = [
    "FLY_DEPTHS",
    "FLY_FEEDS",
    "cap_volume",
    "chord_at",
    "depth_for_volume",
    "depth_of_dome_rim",
    "even_chip_depths",
]

# By how rigid a machine is: how deep a full cut of a fly cutter round a sphere may be, mm; and how
# far its rim may go on at each turn of the spindle, mm, the chip being thin (common practice).
FLY_DEPTHS = {"light": 0.3, "medium": 0.5, "rigid": 0.8}
FLY_FEEDS = {"rough": 0.2, "finish": 0.1}
FIRST_SHARE = 2.0  # of the deepest full cut: so deep may the short first ones be
TRIALS = 80
SLIVER = 1e-9


def depth_by_chord(radius: float, depth: float) -> float:
    """Return how much deeper a dish is for each mm that its chord is found wider.

    Args:
        radius: of the dish, mm.
        depth: about which it is asked for, mm.

    Source: the derivative of depth = radius - sqrt(radius^2 - (chord / 2)^2).

    >>> wide = chord_at(88.4, 6.71) - chord_at(88.4, 6.59)
    >>> round(0.12 / wide, 4), round(depth_by_chord(88.4, 6.65), 4)
    (0.2057, 0.2057)
    """
    return chord_at(radius, depth) / (4 * (radius - depth))


def chord_at(radius: float, depth: float) -> float:
    """Return how wide, in mm, a dish is at its face when it is so deep: what is measured.

    >>> round(chord_at(88.4, 6.8), 3), chord_at(10.0, 0.0)
    (68.0, 0.0)
    """
    above_zero(radius=radius)
    not_below_zero(depth=depth)
    return 2 * math.sqrt(max(depth * (2 * radius - depth), 0.0))


def depth_of_dome_rim(radius: float, chord: float) -> float:
    """Return how far below its top, in mm, a dome's side is at half a chord from the axis.

    >>> round(depth_of_dome_rim(88.4, 68.0), 4)
    6.8
    """
    above_zero(radius=radius, chord=chord)
    if chord > 2 * radius:
        raise ValueError(f"a chord {chord:g} is wider than a sphere of radius {radius:g}")
    return radius - math.sqrt(radius**2 - (chord / 2) ** 2)


def cap_volume(radius: float, depth: float) -> float:
    """Return the metal in a cap of a sphere, mm3: what a dish so deep has lost.

    Source: geometry: pi h^2 (R - h / 3).

    >>> round(cap_volume(10.0, 10.0) / (2 / 3 * math.pi * 1000), 9)
    1.0
    """
    above_zero(radius=radius)
    not_below_zero(depth=depth)
    return math.pi * depth**2 * (radius - depth / 3)


def depth_for_volume(radius: float, volume: float) -> float:
    """Return how deep a dish is that has lost so much metal, mm.

    >>> round(depth_for_volume(88.4, cap_volume(88.4, 6.8)), 9)
    6.8
    """
    above_zero(radius=radius)
    not_below_zero(volume=volume)
    low, high = 0.0, radius
    if volume > cap_volume(radius, radius):
        raise ValueError(f"{volume:g} mm3 is more than half a ball of radius {radius:g} holds")
    for _ in range(TRIALS):
        middle = (low + high) / 2
        if cap_volume(radius, middle) < volume:
            low = middle
        else:
            high = middle
    return high


def even_chip_depths(radius: float, depth: float, most: float) -> tuple[float, ...]:
    """Return the depths of the cuts of a dish, mm: rising, the last is the depth itself.

    All take the same metal, and the last is `most` deep or a little less; but the first ones, which
    are short, are never more than twice as deep (common practice, no source).

    >>> [round(each, 3) for each in even_chip_depths(88.4, 2.0, 0.4)]
    [0.8, 1.326, 1.696, 2.0]
    """
    above_zero(radius=radius, depth=depth, most=most)
    whole = cap_volume(radius, depth)
    largest = whole - cap_volume(radius, max(depth - most, 0.0))
    count = 1
    while _depths(radius, depth, most, (largest, count))[-1] < depth - SLIVER:
        count += 1
    low, high = 0.0, largest
    for _ in range(TRIALS):
        share = (low + high) / 2
        if _depths(radius, depth, most, (share, count))[-1] < depth - SLIVER:
            low = share
        else:
            high = share
    return (*_depths(radius, depth, most, (high, count))[:-1], depth)


def _depths(radius: float, depth: float, most: float, cuts: tuple[float, int]) -> tuple[float, ...]:
    """Return the depths of so many cuts of so much metal each, none beyond the depth; mm."""
    share, count = cuts
    whole = cap_volume(radius, depth)
    depths = [0.0]
    for _ in range(count):
        metal = min(cap_volume(radius, depths[-1]) + share, whole)
        deeper = depths[-1] + FIRST_SHARE * most
        if cap_volume(radius, min(deeper, depth)) > metal:
            deeper = depth_for_volume(radius, metal)
        depths.append(min(deeper, depth))
    return tuple(depths[1:])
