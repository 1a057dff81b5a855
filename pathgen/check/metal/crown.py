"""A round shaft that lies along x, seen from above: how wide its metal is at each height.

Its upper half is exact on every level plane. Its lower half is taken as wide as its diameter, so
there is never less metal than in truth, and none that hangs over: nothing is cut there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.job.frame import Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Crown:
    """The upper half of a round shaft along x: where its axis lies, and its radius; mm."""

    y: float
    z: float
    radius: float

    def half_width(self, level: float) -> float:
        """Return half the chord just above a level, mm; below the axis the radius.

        >>> Crown(y=0.0, z=-7.5, radius=7.5).half_width(-3.0)
        6.0
        """
        up = max(level - self.z, 0.0)
        return math.sqrt(max(self.radius**2 - up**2, 0.0))

    def within(self, plan: BaseGeometry, level: float) -> BaseGeometry:
        """Return what of an outline the shaft fills just above a level."""
        half, (x0, _, x1, _) = self.half_width(level), plan.bounds
        filled: BaseGeometry = plan.intersection(shapely.box(x0, self.y - half, x1, self.y + half))
        return filled

    def top(self, region: BaseGeometry) -> float:
        """Return the greatest height of the shaft within a region, mm.

        >>> Crown(y=0.0, z=-7.5, radius=7.5).top(shapely.box(0, 4.5, 9, 6))
        -1.5
        """
        _, low, _, high = region.bounds
        aside = max(low - self.y, self.y - high, 0.0)
        return self.z + math.sqrt(max(self.radius**2 - aside**2, 0.0))


def crown_of(box: Box) -> Crown:
    """Return the shaft that fills a box from front to back and from bottom to top."""
    (_, y0, z0), (_, y1, z1) = box
    return Crown(y=(y0 + y1) / 2, z=(z0 + z1) / 2, radius=(z1 - z0) / 2)
