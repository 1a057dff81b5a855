"""A dish or dome by brute force: every place of the cutting circle, the work turned under it.

It shares nothing with what it judges: the spindle stands upright, the work axis leans, and heights
are found by trying a great many places of the circle.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

Stand: TypeAlias = tuple[float, float]  # of a cutter off the axis, and of its end; mm
Floats: TypeAlias = "NDArray[np.float64]"
COMING_BY = 721  # places of half a circle of the work, the nearest to the cutter among them
TRIED = 4001  # places at a time; each half of the circle is gone over ever more closely


@dataclass(frozen=True, kw_only=True)
class TiltedWork:
    """Work on an axis that leans to the left, under a cutter on an upright spindle; mm."""

    circle: float
    tilt_deg: float
    nose: float
    dome: bool
    tip: tuple[float, float, float]  # of the nose's centre at the foot of its circle

    def _places(self, angle: Floats) -> tuple[Floats, Floats]:
        """Return (r, z) to the work axis, which goes through the origin, of the nose's centres."""
        side = -1.0 if self.dome else 1.0  # which end of the circle its foot is
        points = np.column_stack(
            [
                self.tip[0] + side * self.circle * (np.cos(angle) - 1.0),
                self.tip[1] + self.circle * np.sin(angle),
                np.full(len(angle), self.tip[2]),
            ]
        )
        tilt = math.radians(self.tilt_deg)
        axis = np.array([-math.sin(tilt), 0.0, math.cos(tilt)])
        return np.linalg.norm(np.cross(points, axis), axis=1), points @ axis

    def height_at(self, radius: float) -> float:
        """Return how low the work is cut at a distance from its axis: inf where it is not."""
        return min(self._lowest(radius, -math.pi, 0.0), self._lowest(radius, 0.0, math.pi))

    def _lowest(self, radius: float, low: float, high: float) -> float:
        """Return how low one half of the circle cuts at a distance from the axis."""
        for _ in range(4):
            angle = np.linspace(low, high, TRIED)
            height = self._heights(angle, radius)
            best = int(np.argmin(height))
            step = (high - low) / (TRIED - 1)
            low, high = float(angle[best]) - 3 * step, float(angle[best]) + 3 * step
        return float(height[best])

    def _heights(self, angle: Floats, radius: float) -> Floats:
        """Return how low the nose at each angle cuts at a distance from the axis; inf: not."""
        r, z = self._places(angle)
        if self.nose:
            under = self.nose**2 - (radius - r) ** 2
            cut: Floats = np.where(under >= 0, z - np.sqrt(np.maximum(under, 0.0)), np.inf)
            return cut
        crosses = (r - radius) * (np.roll(r, -1) - radius) <= 0
        crosses[-1] = False
        share = (radius - r) / np.where(crosses, np.roll(r, -1) - r, 1.0)
        between: Floats = np.where(crosses, z + share * (np.roll(z, -1) - z), np.inf)
        return between


def turned_height(radius: float, stands: list[Stand], corner: float, flat: float) -> float:
    """Return how low work that turns about an upright axis is cut at a distance from it, mm.

    Every place of its circle comes by under the cutter at each stand; inf where none is cut.

    Args:
        radius: off the axis, mm.
        stands: of the cutter.
        corner: radius of the cutter's corner, that of a ball-nose's ball; mm.
        flat: radius of the flat within the corner, mm.
    """
    angle = np.linspace(0.0, math.pi, COMING_BY)
    low = math.inf
    for off, tip in stands:
        away = np.hypot(radius * np.cos(angle) - off, radius * np.sin(angle))
        under = corner**2 - np.maximum(away - flat, 0.0) ** 2
        cut = np.where(under >= 0, tip + corner - np.sqrt(np.maximum(under, 0.0)), np.inf)
        low = min(low, float(cut.min()))
    return low


def off_the_sphere(places: list[tuple[float, float]], radius: float, *, dome: bool) -> float:
    """Return how far places (r, z) lie off a sphere at most, where it fits best on the axis; mm."""
    side = -1.0 if dome else 1.0
    r, z = np.array(places).T

    def worst(centre: float) -> float:
        return float(np.abs(np.hypot(r, z - centre) - radius).max())

    low, high = z.min() + side * radius - 1.0, z.min() + side * radius + 1.0
    if dome:
        low, high = z.max() - radius - 1.0, z.max() - radius + 1.0
    for _ in range(200):
        a, b = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, b) if worst(a) < worst(b) else (a, high)
    return worst((low + high) / 2)
