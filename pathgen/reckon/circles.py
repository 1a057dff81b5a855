"""Circles through points, tangents to them, and roundings of corners.

Lengths in mm, angles in degrees; a point is an (x, y) pair.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, finite, within

__all__ = [
    "Circle",
    "Fillet",
    "Point",
    "circle_through",
    "fillet",
    "tangent_length",
    "tangent_points",
]

Point = tuple[float, float]

SAME = 1e-12  # share by which a figure may be off through rounding alone


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle: centre (x, y) and radius, mm."""

    centre: Point
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fillet:
    """An arc that rounds a corner: its centre and where it leaves and meets the two lines; mm."""

    centre: Point
    start: Point
    end: Point


def circle_through(first: Point, second: Point, third: Point) -> Circle:
    """Return the circle through three points.

    >>> circle_through((5.0, 0.0), (0.0, 5.0), (-5.0, 0.0))
    Circle(centre=(0.0, 0.0), radius=5.0)
    """
    bx, by = second[0] - first[0], second[1] - first[1]
    cx, cy = third[0] - first[0], third[1] - first[1]
    finite(x1=first[0], y1=first[1], x2=bx, y2=by, x3=cx, y3=cy)
    twice_area = 2 * (bx * cy - by * cx)
    longest = max(math.hypot(bx, by), math.hypot(cx, cy), math.hypot(cx - bx, cy - by))
    if abs(twice_area) <= SAME * longest**2:
        raise ValueError("the three points lie on one line; give points on an arc")
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * b2 - by * c2) / twice_area, (bx * c2 - cx * b2) / twice_area
    return Circle(centre=(first[0] + x, first[1] + y), radius=math.hypot(x, y))


def tangent_length(distance: float, radius: float) -> float:
    """Return the length, in mm, of the tangent to a circle from a point off its centre.

    >>> tangent_length(13.0, 5.0)
    12.0
    """
    above_zero(distance=distance, radius=radius)
    if distance <= radius:
        raise ValueError(
            f"a point {distance:g} from the centre of a circle of radius {radius:g} has no "
            f"tangent; give more than {radius:g}"
        )
    return math.sqrt((distance - radius) * (distance + radius))


def tangent_points(circle: Circle, point: Point) -> tuple[Point, Point]:
    """Return where the two tangents from a point touch a circle.

    The first lies to the left of the way from the point to the centre.

    >>> left, right = tangent_points(Circle(centre=(0.0, 0.0), radius=3.0), (-5.0, 0.0))
    >>> [round(v, 6) for v in (*left, *right)]
    [-1.8, 2.4, -1.8, -2.4]
    """
    (cx, cy), radius = circle.centre, circle.radius
    dx, dy = point[0] - cx, point[1] - cy
    distance = math.hypot(dx, dy)
    along, across = radius / distance if distance else 0.0, tangent_length(distance, radius)
    foot = (cx + along**2 * dx, cy + along**2 * dy)
    off = (along * across / distance * dy, -along * across / distance * dx)
    return (foot[0] + off[0], foot[1] + off[1]), (foot[0] - off[0], foot[1] - off[1])


def fillet(before: Point, corner: Point, after: Point, radius: float) -> Fillet:
    """Return the arc that rounds the corner between two straight lines.

    Args:
        before: a point on the first line, where it starts.
        corner: where the lines meet.
        after: a point on the second line, where it ends.
        radius: of the rounding, mm.

    Raises:
        ValueError: no corner, or a line too short for the rounding.

    >>> corner = fillet((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), 2.0)
    >>> [round(v, 9) for v in (*corner.centre, *corner.start, *corner.end)]
    [8.0, 2.0, 8.0, 0.0, 10.0, 2.0]
    """
    above_zero(radius=radius)
    ux, uy, first = _towards(corner, before)
    vx, vy, second = _towards(corner, after)
    corner_deg = math.degrees(math.atan2(abs(ux * vy - uy * vx), ux * vx + uy * vy))
    within(SAME, 180 - 1e-9, corner_angle_deg=corner_deg)
    cut = radius / math.tan(math.radians(corner_deg) / 2)
    if cut > min(first, second) * (1 + SAME):
        raise ValueError(
            f"a rounding of {radius:g} takes {cut:g} off each line and one is only "
            f"{min(first, second):g} long; give a smaller radius"
        )
    reach = math.hypot(cut, radius) / math.hypot(ux + vx, uy + vy)
    x, y = corner
    return Fillet(
        centre=(x + reach * (ux + vx), y + reach * (uy + vy)),
        start=(x + cut * ux, y + cut * uy),
        end=(x + cut * vx, y + cut * vy),
    )


def _towards(start: Point, end: Point) -> tuple[float, float, float]:
    """Return the direction from one point to another, of length 1, and their distance."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    distance = math.hypot(dx, dy)
    above_zero(length_of_line=distance)
    return dx / distance, dy / distance, distance
