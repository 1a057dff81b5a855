"""What a ball clears: a ball-nose along its way, or a dish that is there already."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.legs import Floats
from pathgen.check.sweeps import SAME, Key, Sweep, grown

SLICES = 8  # of a slanted leg, between which the hull lies within what the ball clears
ROUND = -1.0  # in a key, in the place of a spread: no cone has it


class Ball(Sweep):
    """The way of a cutter that ends in a ball as wide as itself, seen from its lowest place; mm."""

    __slots__ = ()

    def __init__(self, path: Floats, rise: Floats, radius: float) -> None:
        super().__init__(path, rise, radius, 1.0)  # as high as it is wide

    @property
    def key(self) -> Key:
        """Return what two over the same path share."""
        return self.path.tobytes(), self.rise.tobytes(), (self.radius, self.spread, ROUND)

    def _along(self, path: Floats) -> Ball:
        return Ball(path, self.rise, self.radius)

    def radius_at(self, height: float) -> float:
        """Return the radius that the ball has at a height above its lowest place, mm."""
        if height >= self.radius:
            return self.radius
        return math.sqrt(max(height * (2 * self.radius - height), 0.0))

    def _leg(
        self, a: Floats, b: Floats, rises: tuple[float, float], at: tuple[float, float]
    ) -> BaseGeometry:
        """Return what one slanted leg clears at a height: hulls of its circles, within the truth.

        Along the leg the circle grows less than evenly, so a hull of two of them stays inside.
        """
        height, less = at
        circles: list[BaseGeometry] = []
        for share in np.linspace(0.0, 1.0, SLICES + 1).tolist():
            above = height - (rises[0] + (rises[1] - rises[0]) * share)
            radius = self.radius_at(max(above, 0.0)) - less
            if above >= -SAME and radius > SAME:
                circles.append(grown(shapely.Point(a + (b - a) * share), radius))
        hulls = [shapely.union_all(pair).convex_hull for pair in pairwise(circles)]
        return shapely.union_all(hulls or circles)
