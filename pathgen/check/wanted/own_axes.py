"""Places and regions in a slot's own axes, which may be turned against the setup's."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import shapely

from pathgen.check.metal.legs import Floats
from pathgen.job.slot import Slot, Turned

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


def into(turned: Turned | None, points: Floats) -> Floats:
    """Return points, (n, 2), in turned axes, mm; as they are if the axes are not turned.

    >>> into(Turned(10.0, 0.0, 90.0), np.array([[10.0, 2.0]])).round(9).tolist()
    [[2.0, 0.0]]
    """
    if turned is None:
        return points
    cos, sin = turned.way
    dx, dy = points[:, 0] - turned.x, points[:, 1] - turned.y
    return np.column_stack([dx * cos + dy * sin, dy * cos - dx * sin])


def along_across(slot: Slot, points: Floats) -> Floats:
    """Return points, (n, 2) or (n, 3), along and across a slot, (n, 2), mm."""
    if slot.turned is not None:
        return into(slot.turned, points)
    return points[:, :2] if slot.along == "x" else points[:, 1::-1]


def region_into(turned: Turned | None, region: BaseGeometry) -> BaseGeometry:
    """Return a region in turned axes; as it is if the axes are not turned."""
    if turned is None:
        return region
    moved: BaseGeometry = shapely.transform(region, lambda points: into(turned, points))
    return moved


def shares(turned: Turned | None, figures: tuple[float, float], axis: int) -> float:
    """Return what the figures of x and y make of one of a slot's own axes at worst, mm.

    Args:
        turned: the slot's axes.
        figures: of x and of y, none below 0.
        axis: 0 or 1, of the slot's own axes.
    """
    if turned is None:
        return figures[axis]
    cos, sin = (abs(each) for each in turned.way)
    x, y = figures
    return cos * x + sin * y if axis == 0 else sin * x + cos * y
