"""Tapers and angles: ratio, half angle, top slide, set-over, sine bar, two tilts in one.

Lengths in mm, angles in degrees. A taper's *ratio* is the change of diameter over the length along
the axis (1 in 20 is 0.05; a taper per foot, in inches, is twelve times the ratio). Its *half angle*
is between side and axis; the included angle is twice that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, finite, not_below_zero, within

__all__ = [
    "CompoundTilt",
    "angle_from_square",
    "compound_tilt",
    "disk_centres",
    "fine_feed_angle",
    "half_angle",
    "included_from_side",
    "length_for_diameters",
    "ratio_from_half_angle",
    "set_over",
    "set_over_exact",
    "sine_bar_angle",
    "sine_bar_height",
    "taper_per_foot",
    "taper_ratio",
]


def taper_ratio(large: float, small: float, length: float) -> float:
    """Return the ratio of a taper from two diameters and the length between them.

    >>> round(taper_ratio(2.5, 2.0, 6.0), 6)
    0.083333
    """
    above_zero(large=large, length=length)
    not_below_zero(small=small)
    if small >= large:
        raise ValueError(f"{small:g} to {large:g} is no taper; give the larger diameter first")
    return (large - small) / length


def taper_per_foot(ratio: float) -> float:
    """Return the taper per foot, in inches, from a ratio.

    >>> taper_per_foot(0.05)
    0.6000000000000001
    """
    above_zero(ratio=ratio)
    return ratio * 12


def half_angle(ratio: float) -> float:
    """Return the half angle of a taper: what a top slide whose zero is along the bed is set to.

    Source: atan(ratio / 2).

    >>> round(half_angle(0.75 / 12), 2)
    1.79
    """
    above_zero(ratio=ratio)
    return math.degrees(math.atan(ratio / 2))


def ratio_from_half_angle(half_angle_deg: float) -> float:
    """Return the ratio of a taper from its half angle: 2 tan(angle).

    >>> round(ratio_from_half_angle(5.0), 5)
    0.17498
    """
    within(0, 90, half_angle=half_angle_deg)
    return 2 * math.tan(math.radians(half_angle_deg))


def included_from_side(ratio: float) -> float:
    """Return the included angle of a taper whose ratio is measured square to one side: atan.

    >>> round(included_from_side(6.9 / 12), 3)
    29.899
    """
    above_zero(ratio=ratio)
    return math.degrees(math.atan(ratio))


def angle_from_square(half_angle_deg: float) -> float:
    """Return the setting, in degrees, of a top slide whose scale is at zero square to the bed.

    Source: 90 less the angle to the axis (Jones).

    >>> angle_from_square(30.0)
    60.0
    """
    within(-1e-9, 90 + 1e-9, half_angle=half_angle_deg)
    return 90 - half_angle_deg


def length_for_diameters(large: float, small: float, half_angle_deg: float) -> float:
    """Return the length along the axis, in mm, over which a taper goes from one size to another.

    Also how far a plug gauge stands out for a bore that much too small.

    >>> round(length_for_diameters(20.0, 18.0, 45.0), 6)
    1.0
    """
    return taper_ratio(large, small, 1.0) / ratio_from_half_angle(half_angle_deg)


# ---------------------------------------------------------------- between centres


def set_over(ratio: float, total_length: float) -> float:
    """Return the set-over of the tailstock, in mm, by the trade's rule: ratio x length / 2.

    The whole length between centres counts, however short the taper. The rule is long by half the
    square of ratio / 2: one part in 1150 at an inch per foot; see `set_over_exact`.

    Source: Jones; US Navy NAVEDTRA 14345; Rose.

    >>> set_over(1 / 12, 6.0)
    0.25
    """
    above_zero(ratio=ratio, total_length=total_length)
    return ratio * total_length / 2


def set_over_exact(ratio: float, total_length: float) -> float:
    """Return the set-over of the tailstock, in mm, exactly: length x sin(half angle).

    Args:
        ratio: of the taper.
        total_length: from point to point of the centres, along the work, mm; so the depths of the
            centre holes come off.

    >>> round(set_over_exact(1 / 12, 6.0), 6)
    0.249783
    """
    above_zero(total_length=total_length)
    return total_length * math.sin(math.radians(half_angle(ratio)))


# ---------------------------------------------------------------- measuring and setting


def sine_bar_height(bar: float, angle_deg: float) -> float:
    """Return the height of gauge blocks, in mm, under a sine bar: L sin(angle).

    Above 45 degrees an error of the height tells more and more: set the complement instead.

    >>> round(sine_bar_height(127.0, 34 + 25 / 60) / 25.4, 3)
    2.826
    """
    above_zero(bar=bar)
    not_below_zero(angle=angle_deg)
    within(-1, 90, angle=angle_deg)
    return bar * math.sin(math.radians(angle_deg))


def sine_bar_angle(bar: float, height: float) -> float:
    """Return the angle, in degrees, of a sine bar over a height of gauge blocks.

    >>> round(sine_bar_angle(100.0, 50.0), 9)
    30.0
    """
    above_zero(bar=bar)
    not_below_zero(height=height)
    if height >= bar:
        raise ValueError(f"{height:g} under a bar of {bar:g} is upright; give less than the bar")
    return math.degrees(math.asin(height / bar))


def disk_centres(small: float, large: float, included_deg: float) -> float:
    """Return the centre distance, in mm, of two disks whose common tangents make an angle.

    Source: C = (D - d) / 2 / sin(angle / 2), Machinery's Handbook, 31st edition.

    >>> round(disk_centres(1.0, 3.0, 20.0), 3)
    5.759
    """
    above_zero(small=small)
    within(0, 180, included_angle=included_deg)
    if small >= large:
        raise ValueError(f"disks of {small:g} and {large:g} make no angle; give the smaller first")
    return (large - small) / 2 / math.sin(math.radians(included_deg) / 2)


def fine_feed_angle(ratio: float) -> float:
    """Return the angle to the bed, in degrees, at which a top slide moves a share of itself across.

    Source: asin; a tenth is often given as 6 degrees, which is 0.1045.

    >>> round(fine_feed_angle(0.1), 4)
    5.7392
    """
    within(0, 1 + 1e-12, ratio=ratio)
    return math.degrees(math.asin(min(ratio, 1.0)))


@dataclass(frozen=True, slots=True, kw_only=True)
class CompoundTilt:
    """One tilt and the direction in which it falls, degrees; the direction counts from +X."""

    tilt_deg: float
    direction_deg: float


def compound_tilt(along_x_deg: float, along_y_deg: float) -> CompoundTilt:
    """Return the one tilt that a face needs whose slopes along X and along Y are given.

    Turn the work by `direction_deg`, then tilt it by `tilt_deg`.

    Args:
        along_x_deg: slope of the face's trace in the XZ plane, plus where it falls towards +X.
        along_y_deg: the same in the YZ plane.

    Source: the slopes are the pieces of one gradient: tan^2 = tan^2 + tan^2.

    >>> tilt = compound_tilt(10.0, 10.0)
    >>> round(tilt.tilt_deg, 4), round(tilt.direction_deg, 6)
    (14.0019, 45.0)
    """
    finite(along_x=along_x_deg, along_y=along_y_deg)
    within(-90, 90, along_x=along_x_deg, along_y=along_y_deg)
    x, y = math.tan(math.radians(along_x_deg)), math.tan(math.radians(along_y_deg))
    return CompoundTilt(
        tilt_deg=math.degrees(math.atan(math.hypot(x, y))),
        direction_deg=math.degrees(math.atan2(y, x)),
    )
