"""The metal that may stay in an inner corner, as a tool's nose leaves it."""

from __future__ import annotations

from shapely.geometry import Point, box
from shapely.geometry.base import BaseGeometry

ROUND = 64  # chords in a quarter of a corner


def fillet(z: float, x: float, radius: float, *, along: int, out: int) -> BaseGeometry:
    """Return the fillet of a radius in the corner at z and x, mm.

    Args:
        z: of the corner, along the axis.
        x: of the corner, from the axis.
        radius: of what may stay.
        along: which way along the axis the hollow lies, +1 to the right.
        out: which way across it lies, +1 away from the axis.
    """
    if not radius:
        return Point(z, x)
    far_z, far_x = z + along * radius, x + out * radius
    whole = box(min(z, far_z), min(x, far_x), max(z, far_z), max(x, far_x))
    return whole.difference(Point(far_z, far_x).buffer(radius, quad_segs=ROUND))
