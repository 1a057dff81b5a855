"""A region that is cleared at every height above a floor, kept as a sweep is."""

from __future__ import annotations

import math

import numpy as np
import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.legs import Floats
from pathgen.check.metal.sweeps import SAME, Key, Sweep


class Hollow(Sweep):
    """What is cleared of a blank by no cutter's way that is known: a plane region; mm."""

    __slots__ = ("region",)

    def __init__(self, region: BaseGeometry) -> None:
        x0, y0, x1, y1 = region.bounds
        super().__init__(np.array([[x0, y0], [x1, y1]]), np.zeros(2), SAME, math.inf)
        self.region = region

    @property
    def key(self) -> Key:
        """Return what two of the same region share."""
        return self.region.wkb, b"", ()

    @property
    def line(self) -> BaseGeometry:
        """Return the region: no axis is known to be nearer to its edge."""
        return self.region

    def shifted(self, shift: Floats) -> Hollow:
        """Return the same region elsewhere, by an (x, y)."""
        return self.turned(np.eye(2), shift)

    def turned(self, turn: Floats, shift: Floats) -> Hollow:
        """Return the region turned, or turned over, about the origin by rows of (2, 2); shifted."""
        (a, d), (b, e) = turn.tolist()
        return Hollow(shapely.affinity.affine_transform(self.region, [a, b, d, e, *shift.tolist()]))

    def outline(self, height: float, less: float = 0.0) -> BaseGeometry | None:
        """Return the region at a height above its floor; None under it."""
        if height < -SAME:
            return None
        region: BaseGeometry = self.region.buffer(-less) if less else self.region
        return None if region.is_empty else region
