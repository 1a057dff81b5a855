"""Spheres cut by a tilted cutter: the point of a fly cutter goes round, the work turns as well.

The work turns about its own axis, which leans by the tilt to the spindle. The round end (nose) of
the cutting point has its centre on a circle, and this circle passes through the work axis. Lengths
in mm, angles in degrees; a dish is hollow, a dome stands up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.reckon.guards import above_zero, finite, not_below_zero, within

__all__ = [
    "Form",
    "SlideFeed",
    "WayOfFeeding",
    "circle_for",
    "circle_of_sweep",
    "compensated_feed",
    "generated_radius",
    "largest_chord",
    "sign",
    "sweep_of_circle",
    "tilt_for",
    "uncompensated",
]

Form: TypeAlias = Literal["dish", "dome"]
WayOfFeeding: TypeAlias = Literal["work tilted", "head tilted, knee fed", "head tilted, quill fed"]


def sign(form: Form) -> int:
    """Return +1 for a dish, -1 for a dome."""
    return 1 if form == "dish" else -1


def generated_radius(
    circle: float, tilt_deg: float, nose: float = 0.0, form: Form = "dish"
) -> float:
    """Return the radius, in mm, of the sphere that a tilted circle leaves.

    Args:
        circle: radius of the circle of the nose's centre, r, mm.
        tilt_deg: between spindle and work axis, t.
        nose: radius of the cutting point, e, mm.
        form: which of the two is cut.

    Source: the relation for generating spherical surfaces with an inclined rotating tool (quoted
    from Chalcogenide Glasses for Infrared Optics, McGraw-Hill, p. 121: sin t = D / 2R), the nose
    added by geometry: R = r / sin t + e for a dish, R = r / sin t - e for a dome.

    >>> round(generated_radius(44.2, 30.0), 3)
    88.4
    """
    above_zero(circle=circle)
    not_below_zero(nose=nose)
    _tilt(tilt_deg)
    radius = circle / math.sin(math.radians(tilt_deg)) + sign(form) * nose
    if radius <= 0:
        raise ValueError(f"a nose of {nose:g} is larger than the dome; give a smaller nose")
    return radius


def circle_for(radius: float, tilt_deg: float, nose: float = 0.0, form: Form = "dish") -> float:
    """Return the radius, in mm, of the nose centre's circle for a wanted sphere at a tilt.

    >>> round(circle_for(88.4, 30.0), 3)
    44.2
    """
    above_zero(radius=radius)
    _tilt(tilt_deg)
    return _middle_radius(radius, nose, form) * math.sin(math.radians(tilt_deg))


def tilt_for(radius: float, circle: float, nose: float = 0.0, form: Form = "dish") -> float:
    """Return the tilt, in degrees, at which a circle leaves a wanted sphere.

    >>> round(tilt_for(60.0, 15.0), 6)
    14.477512
    """
    above_zero(radius=radius, circle=circle)
    share = circle / _middle_radius(radius, nose, form)
    if share >= 1:
        raise ValueError(
            f"a circle of radius {circle:g} does not lie on a sphere of radius {radius:g}; "
            "give a smaller sweep"
        )
    return math.degrees(math.asin(share))


def sweep_of_circle(circle: float, nose: float, form: Form = "dish") -> float:
    """Return what a rule across the cutting point's round finds, mm.

    That is the outside of its circle for a dish, and the inside for a dome, where the point looks
    inwards: where it is measured is where it cuts.

    >>> sweep_of_circle(44.0, 0.4), sweep_of_circle(44.0, 0.4, "dome")
    (88.8, 87.2)
    """
    not_below_zero(nose=nose)
    return 2 * (circle + sign(form) * nose)


def circle_of_sweep(sweep: float, nose: float, form: Form = "dish") -> float:
    """Return the radius of the nose centre's circle from the sweep measured across, mm.

    >>> circle_of_sweep(88.8, 0.4)
    44.0
    """
    above_zero(sweep=sweep)
    not_below_zero(nose=nose)
    circle = sweep / 2 - sign(form) * nose
    if circle <= 0:
        raise ValueError(f"a sweep of {sweep:g} is no wider than the nose; measure it again")
    return circle


def largest_chord(radius: float, tilt_deg: float) -> float:
    """Return the widest dish or dome, in mm across, that a tilt reaches: half angles up to 2 t.

    Source: geometry; CHALC as above asks for a cutter wider than half the part, the same rule.

    >>> round(largest_chord(60.0, 14.477512), 4)
    58.0947
    """
    above_zero(radius=radius)
    _tilt(tilt_deg)
    return 2 * radius * math.sin(math.radians(min(2 * tilt_deg, 90.0)))


@dataclass(frozen=True, slots=True, kw_only=True)
class SlideFeed:
    """How far two slides go together to deepen a sphere; mm."""

    depth: float  # of the slide that takes depth
    sideways: float  # of the other, the tip going towards the work axis' foot


def compensated_feed(way: WayOfFeeding, tilt_deg: float, deeper: float) -> SlideFeed:
    """Return how far each slide goes so that the circle moves along the work axis, mm.

    Args:
        way: which of work and head is tilted, and what is fed.
        tilt_deg: between spindle and work axis.
        deeper: how much deeper the sphere gets, q, along the work axis.

    Source: geometry. Work tilted: q cos t down the spindle and q sin t across; head tilted and the
    knee fed: q; head tilted and the quill fed: q / cos t down the quill and q tan t across.

    >>> feed = compensated_feed("work tilted", 30.0, 1.0)
    >>> round(feed.depth, 6), round(feed.sideways, 6)
    (0.866025, 0.5)
    """
    _tilt(tilt_deg)
    finite(deeper=deeper)
    tilt = math.radians(tilt_deg)
    match way:
        case "work tilted":
            return SlideFeed(depth=deeper * math.cos(tilt), sideways=deeper * math.sin(tilt))
        case "head tilted, knee fed":
            return SlideFeed(depth=deeper, sideways=0.0)
        case "head tilted, quill fed":
            return SlideFeed(depth=deeper / math.cos(tilt), sideways=deeper * math.tan(tilt))


def uncompensated(radius: float, circle: float, tilt_deg: float, fed: float) -> tuple[float, float]:
    """Return the radius and the pip's radius, in mm, left by a feed along the spindle alone.

    Args:
        radius: R that the setting gives, mm; its difference from r / sin t is taken for the nose.
        circle: r, mm.
        tilt_deg: t.
        fed: along the spindle from the place where the circle passes through the work axis, mm.

    Source: geometry: the circle comes to stop short of the work axis by fed x sin t (for a dome it
    reaches past it), which leaves a pip of that radius; a dish's radius grows, a dome's shrinks.

    >>> radius, pip = uncompensated(60.0, 15.0, 14.477512186, 1.0)
    >>> round(radius, 6), round(pip, 6)
    (60.968758, 0.25)
    """
    above_zero(radius=radius, circle=circle)
    _tilt(tilt_deg)
    not_below_zero(fed=fed)
    sine = math.sin(math.radians(tilt_deg))
    nose = radius - circle / sine  # above 0 for a dish, below for a dome, next to 0 for a point
    side = -1 if nose < -circle * 1e-9 else 1
    short = side * fed * sine
    return radius_stopping_short(circle, tilt_deg, short) + nose, abs(short)


def radius_stopping_short(circle: float, tilt_deg: float, short: float) -> float:
    """Return the radius of the nose centre's sphere when the circle misses the work axis, mm.

    The two axes still meet; `short` is above zero where the circle stops short of the work axis,
    below where it reaches past. The sphere is as true as any, but for a pip of radius `short`.

    Source: geometry: R^2 = (r^2 + 2 r s cos t + s^2) / sin^2 t.

    >>> round(radius_stopping_short(15.0, 14.477512186, 0.1), 6)
    60.387381
    """
    tilt = math.radians(tilt_deg)
    square = circle**2 + 2 * circle * short * math.cos(tilt) + short**2
    return math.sqrt(square) / math.sin(tilt)


def _middle_radius(radius: float, nose: float, form: Form) -> float:
    """Return the radius of the sphere on which the nose's centre goes, mm."""
    not_below_zero(nose=nose)
    middle = radius - sign(form) * nose
    if middle <= 0:
        raise ValueError(
            f"a nose of {nose:g} does not go into a dish of radius {radius:g}; give a smaller one"
        )
    return middle


def _tilt(tilt_deg: float) -> None:
    within(0, 90, tilt_deg=tilt_deg)
