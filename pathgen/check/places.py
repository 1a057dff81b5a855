"""Where along its way a cutter does something: which leg it is, and a point of it."""

from __future__ import annotations

import numpy as np
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import At
from pathgen.check.metal.legs import Floats, Ints
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.sweeps import SAME


def place_in(metal: BaseGeometry, z: float) -> At:
    """Return a place within the metal met, at the height of the tip."""
    point = metal.representative_point()
    return point.x, point.y, z


def leg_at(context: Context, stroke: Stroke, metal: BaseGeometry) -> int:
    """Return which leg of a stroke passes nearest to a piece of metal."""
    point = metal.representative_point()
    return nearest_leg(context, np.arange(stroke.first, stroke.last), (point.x, point.y))


def nearest_leg(context: Context, among: Ints, place: tuple[float, float]) -> int:
    """Return which leg of a row passes nearest to a place in plan."""
    b = context.legs.end[among, :2]
    a = np.where(np.isnan(context.legs.start[among, :2]), b, context.legs.start[among, :2])
    away = distance_to_legs(a, b, place)
    return int(among[int(np.nanargmin(away))])


def distance_to_legs(a: Floats, b: Floats, place: tuple[float, float]) -> Floats:
    """Return how far a place is from each straight leg between points a and b, (n, 2), mm."""
    along = b - a
    to_place = np.array(place) - a
    square = np.maximum((along**2).sum(axis=1), SAME**2)
    share = np.clip((to_place * along).sum(axis=1) / square, 0.0, 1.0)
    away: Floats = np.hypot(*(to_place - along * share[:, None]).T)
    return away
