"""How far a leg cuts beyond where it may, looked at exactly."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import At
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.sweeps import SAME, Sweep


def excess(
    context: Context, leg: int, radius: float, free: BaseGeometry
) -> tuple[float, At] | None:
    """Return how far a leg cuts metal beyond a region, and where; None when it does not.

    Args:
        context: what every rule is given.
        leg: which.
        radius: of its cutter at the blank's top, mm.
        free: where it may cut, grown by `NOISE` already.
    """
    legs = context.legs
    ends = np.array([legs.start[leg, :2], legs.end[leg, :2]])
    ends = ends[~np.isnan(ends).any(axis=1)]
    outline = Sweep(ends, np.zeros(len(ends)), max(radius, SAME), np.inf).outline(0.0)
    if outline is None:
        return None
    cut = outline.intersection(context.metal.plan).difference(free)
    if cut.area < NOISE**2:
        return None
    corners = shapely.points(shapely.get_coordinates(cut))
    amount = float(shapely.distance(corners, free).max()) + NOISE
    point = cut.representative_point()
    return amount, (point.x, point.y, float(legs.low[leg]))
