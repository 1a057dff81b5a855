"""A bar whose underside is turned to a radius, bedding in a spherical seat of the same radius.

The underside is round along the bar and straight across it, the seat is round both ways. So the
bar stands on its four corners and its middle hangs free until the edges have been scraped away.
Lengths in mm; `along` is measured along the bar from its middle, `across` from its middle line.
"""

from __future__ import annotations

import math

from pathgen.reckon.guards import above_zero, finite

__all__ = [
    "contact_half_length",
    "corner_gap",
    "gap_at",
    "gap_of_radii",
    "reach_travel",
    "scrape_depth",
    "tilt_range",
]


def contact_half_length(seat_diameter: float, width: float, bar_length: float) -> float:
    """Return half the length, in mm, over which a bar lies in a seat.

    The corners that touch lie on the rim of the seat, or are those of the bar where it is shorter.

    Args:
        seat_diameter: of the seat at its rim, mm.
        width: of the bar, mm.
        bar_length: of the bar, mm.

    >>> round(contact_half_length(68.0, 20.0, 120.0), 3)
    32.496
    """
    above_zero(seat_diameter=seat_diameter, width=width, bar_length=bar_length)
    if width >= seat_diameter:
        raise ValueError(
            f"a bar {width:g} wide does not go into a seat {seat_diameter:g} across; "
            f"give a width below that"
        )
    on_the_rim = math.sqrt((seat_diameter - width) * (seat_diameter + width)) / 2
    return min(on_the_rim, bar_length / 2)


def corner_gap(radius: float, width: float, half_length: float) -> float:
    """Return how far, in mm, the middle of the bar hangs above the seat when its corners touch.

    Args:
        radius: of the bar's underside and of the seat, R, mm.
        width: of the bar, w, mm.
        half_length: half the length in contact, x, mm; see `contact_half_length`.

    Source: geometry of a cylinder in a sphere: sqrt(R^2 - x^2) - sqrt(R^2 - x^2 - w^2 / 4).

    >>> round(corner_gap(77.29, 20.0, 32.496), 3)
    0.717
    """
    above_zero(width=width, half_length=half_length)
    return scrape_depth(radius, half_length, width / 2)


def scrape_depth(radius: float, along: float, across: float) -> float:
    """Return how much to scrape off the underside at a place, in mm, for the bar to bed all over.

    Nothing on the middle line, most at the four corners.

    >>> scrape_depth(77.29, 20.0, 0.0)
    0.0
    >>> round(scrape_depth(77.29, 0.0, 10.0), 3)
    0.65
    """
    above_zero(radius=radius)
    finite(along=along, across=across)
    if math.hypot(along, across) >= radius:
        raise ValueError(
            f"a place {math.hypot(along, across):g} from the middle lies outside a seat of radius "
            f"{radius:g}; give one within it"
        )
    middle = radius**2 - along**2
    return across**2 / (math.sqrt(middle) + math.sqrt(middle - across**2))


def gap_at(radius: float, width: float, half_length: float, place: tuple[float, float]) -> float:
    """Return the gap, in mm, under the bar at a place (along, across) while its corners touch.

    >>> round(gap_at(77.29, 20.0, 34.0, (0.0, 0.0)), 3), gap_at(77.29, 20.0, 34.0, (34.0, 10.0))
    (0.724, 0.0)
    """
    along, across = place
    if abs(along) > half_length or abs(across) > width / 2:
        raise ValueError(
            f"the place {along:g}, {across:g} is not under the bar; give one within "
            f"{half_length:g} of the middle along and {width / 2:g} across"
        )
    return corner_gap(radius, width, half_length) - scrape_depth(radius, along, across)


def gap_of_radii(seat: float, part: float, half_length: float) -> float:
    """Return the gap at the ends, in mm, of a part rounder than its seat that bears in the middle.

    Below zero it is the flatter one: it bears at its ends, and the gap is in the middle.

    Args:
        seat: radius of the seat, mm.
        part: radius of what lies in it, mm.
        half_length: from the middle to the end of what lies in it, mm.

    >>> round(gap_of_radii(88.4, 88.0, 34.0), 4), gap_of_radii(50.0, 50.0, 10.0)
    (0.0335, 0.0)
    """
    above_zero(seat=seat, part=part, half_length=half_length)
    if half_length >= min(seat, part):
        raise ValueError(
            f"ends {half_length:g} from the middle lie outside a radius of {min(seat, part):g}; "
            "give them within it"
        )
    return _sagitta(part, half_length) - _sagitta(seat, half_length)


def _sagitta(radius: float, half: float) -> float:
    return half**2 / (radius + math.sqrt(radius**2 - half**2))


def tilt_range(radius: float, rim: float, foot: float) -> float:
    """Return how far a part may tilt in a seat to either side, in degrees, its foot all within it.

    Args:
        radius: of both, mm.
        rim: diameter of the seat at its face, mm.
        foot: length of the part's rounded underside, along its chord; mm.

    >>> round(tilt_range(88.4, 68.0, 40.0), 2)
    9.54
    """
    above_zero(radius=radius, rim=rim, foot=foot)
    if foot > rim or rim > 2 * radius:
        raise ValueError(
            f"a foot {foot:g} long does not lie within a rim {rim:g} across; give a shorter one"
        )
    return math.degrees(math.asin(rim / 2 / radius) - math.asin(foot / 2 / radius))


def reach_travel(radius: float, reach: float, above: float, tilt_deg: float) -> tuple[float, float]:
    """Return how much a tip sinks and rises, in mm, as its bar tilts in the seat to either side.

    The bar turns about the centre of the sphere.

    Args:
        radius: of the seat, mm.
        reach: of the tip from the middle of the seat, along the bar, mm.
        above: of the tip over the lowest place of the seat, the bar level; mm.
        tilt_deg: to either side.

    Source: geometry: the tip turns by the tilt about the centre of the sphere.

    >>> low, high = reach_travel(88.4, 60.0, 20.0, 9.55)
    >>> round(low, 2), round(high, 2)
    (-9.01, 10.9)
    """
    above_zero(radius=radius, reach=reach)
    finite(above=above, tilt_deg=tilt_deg)
    tilt = math.radians(tilt_deg)
    under = above - radius  # over the centre
    heights = [under * math.cos(tilt) + way * reach * math.sin(tilt) for way in (-1, 1)]
    return heights[0] - under, heights[1] - under
