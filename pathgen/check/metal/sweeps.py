"""Swept outlines: the plane region that a stretch of the cutter's way clears at a height."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeAlias

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.legs import CHORD_ERROR, Floats, Mask
from pathgen.shop.cutters import Undercut

SAME = 1e-7  # two coordinates that differ by less are one, mm
LONG = 256  # corners of a path that is grown in one go
GENTLE = math.tan(math.radians(4.0))  # legs that slope less make one ramp, whatever their items
SLICES = 8  # of a ball's slanted leg, between which the hull lies within what it clears
ROUND = -1.0  # of a ball's key, in the place of a spread: no cone has it
LEAST_RADIUS = 1e-4  # a smaller circle of a point is nothing, mm
Key: TypeAlias = tuple[bytes, bytes, tuple[float, ...]]


def quarter_segments(radius: float, error: float = CHORD_ERROR) -> int:
    """Return how many sides a quarter circle needs to lie within an error of the true one.

    >>> quarter_segments(3.0, 0.001)
    31
    """
    return max(2, math.ceil(math.pi / 4 / math.acos(max(1 - error / radius, 0.0))))


def grown(path: BaseGeometry, radius: float) -> BaseGeometry:
    """Return the region within a radius of a path, its round parts inside by `CHORD_ERROR`."""
    quarter = quarter_segments(radius)
    corners = shapely.get_coordinates(path)
    if len(corners) <= LONG:
        region: BaseGeometry = path.buffer(radius, quad_segs=quarter)
        return region
    # A long path that crosses its own outline again and again is quicker piece by piece.
    pieces = [
        shapely.LineString(corners[i : i + LONG + 1]) for i in range(0, len(corners) - 1, LONG)
    ]
    return shapely.union_all(shapely.buffer(pieces, radius, quad_segs=quarter))


@dataclass(slots=True, eq=False)
class Sweep:
    """A stretch of way with one cutter, seen from its lowest tip; mm.

    ``rise`` is how far the tip stands above its lowest place at each point of the path; ``spread``
    how fast the point of the cutter widens (inf: flat end), ``tip`` the radius that it begins with.
    Of an ``undercut`` cutter only the head has the radius; above it there is the narrower neck.
    """

    path: Floats  # (n, 2)
    rise: Floats  # (n,)
    radius: float
    spread: float
    tip: float = 0.0
    undercut: Undercut | None = None
    flat: bool = field(init=False)
    _known: dict[tuple[float, float], BaseGeometry | None] = field(
        init=False, default_factory=dict, repr=False
    )  # outlines by how much of the path counts and by the radius
    # Places before the cutter's edge, along the path one way: cleared before it comes there.
    cleared_before: dict[tuple[bool, tuple[int, ...]], Mask] = field(
        init=False, default_factory=dict, repr=False
    )

    def __post_init__(self) -> None:
        self.flat = bool(self.rise.max() < SAME)

    @property
    def key(self) -> Key:
        """Return what two sweeps over the same path share, whichever way they go."""
        shape = (self.radius, self.spread, self.tip, *(self.undercut or ()))
        return self.path.tobytes(), self.rise.tobytes(), shape

    @property
    def line(self) -> BaseGeometry:
        """Return the path of the axis in plan."""
        return _line(self.path)

    def shifted(self, shift: Floats) -> Sweep:
        """Return the same sweep elsewhere, by an (x, y)."""
        return self._along(self.path + shift)

    def turned(self, turn: Floats, shift: Floats) -> Sweep:
        """Return the sweep turned, or turned over, about the origin by rows of (2, 2); shifted."""
        return self._along(self.path @ turn + shift)

    def _along(self, path: Floats) -> Sweep:
        return Sweep(path, self.rise, self.radius, self.spread, self.tip, self.undercut)

    @property
    def neck(self) -> Sweep:
        """Return the sweep of the neck alone, all the way down; of others their own."""
        if self.undercut is None:
            return self
        return Sweep(self.path, self.rise, self.undercut.neck / 2, math.inf)

    def radius_at(self, height: float) -> float:
        """Return the radius that the cutter has just above a height above its tip, mm."""
        if self.undercut is not None and height > self.undercut.height - SAME:
            return self.undercut.neck / 2
        if math.isinf(self.spread):
            return self.radius
        return min(self.radius, self.tip + height * self.spread)

    def outline(self, height: float, less: float = 0.0) -> BaseGeometry | None:
        """Return the region cleared at a height above the lowest tip; None when there is none.

        Args:
            height: above the lowest place of the tip, mm.
            less: how much smaller to take the radius, mm.
        """
        if height < -SAME:
            return None
        flat_end = math.isinf(self.spread)
        level = self.flat or (flat_end and height >= self.rise.max())
        as_wide = flat_end and not self.flat
        radius = (self.radius if as_wide else self.radius_at(max(height, 0.0))) - less
        if radius < LEAST_RADIUS and (level or flat_end):
            return None
        key = (math.inf, radius) if level else (height, radius)
        if key not in self._known:
            self._known[key] = (
                grown(self.line, radius) if level else self._slanted(height, radius, less)
            )
        return self._known[key]

    def _slanted(self, height: float, radius: float, less: float) -> BaseGeometry | None:
        """Return the region cleared by those parts of the path that lie below the height."""
        if math.isinf(self.spread):
            parts = [grown(_line(part), radius) for part in self._below(height)]
        else:
            parts = [*self._cones(height, less)]
        return shapely.union_all(parts) if parts else None

    def _below(self, height: float) -> Iterator[Floats]:
        """Yield the stretches of the path, (n, 2), on which the tip is no higher than a height."""
        under = self.rise <= height + SAME
        changes = np.flatnonzero(np.diff(under)) + 1
        for points in np.split(np.arange(len(under)), changes):
            if not under[points[0]]:
                continue
            first, last = int(points[0]), int(points[-1])
            ends = [self._crossing(first, first - 1, height)] if first > 0 else []
            after = [self._crossing(last, last + 1, height)] if last + 1 < len(under) else []
            yield np.array([*ends, *self.path[points], *after])

    def _crossing(self, inside: int, outside: int, height: float) -> Floats:
        """Return where the way between two points of the path, one of them higher, is that high."""
        low, high = self.rise[inside], self.rise[outside]
        share = max((height - low) / (high - low), 0.0)
        place: Floats = self.path[inside] + (self.path[outside] - self.path[inside]) * share
        return place

    def _cones(self, height: float, less: float) -> Iterator[BaseGeometry]:
        """Yield what a pointed cutter clears at a height, leg by leg."""
        for a, b, low, high in zip(
            self.path[:-1], self.path[1:], self.rise[:-1], self.rise[1:], strict=True
        ):
            if min(low, high) <= height + SAME:
                part = self._leg(a, b, (float(low), float(high)), (height, less))
                if not part.is_empty:
                    yield part

    def _leg(
        self, a: Floats, b: Floats, rises: tuple[float, float], at: tuple[float, float]
    ) -> BaseGeometry:
        """Return what a pointed cutter clears on one leg: by its part below the height."""
        height, _ = at
        low, high = rises
        share = 1.0 if abs(high - low) < SAME else (height - low) / (high - low)
        first, last = (0.0, 1.0)
        if high > height:
            last = min(share, 1.0)
        elif low > height:
            first = max(share, 0.0)
        ends = [a + (b - a) * first, a + (b - a) * last]
        return self._cone_leg(ends, [low + (high - low) * t for t in (first, last)], at)

    def _cone_leg(
        self, ends: list[Floats], rises: list[float], at: tuple[float, float]
    ) -> BaseGeometry:
        """Return what a pointed cutter clears on a slanted leg: hulls of its circles.

        The circle at the height widens evenly along the leg up to the full radius, so each part is
        the hull of the circles at its ends.
        """
        height, less = at
        full = (self.radius - self.tip) / self.spread  # height of the point
        stops = [0.0, 1.0]
        if abs(rises[1] - rises[0]) > SAME:
            share = (height - full - rises[0]) / (rises[1] - rises[0])
            stops = sorted({0.0, min(max(share, 0.0), 1.0), 1.0})
        circles: list[BaseGeometry] = []
        for stop in stops:
            place = ends[0] + (ends[1] - ends[0]) * stop
            rise = rises[0] + (rises[1] - rises[0]) * stop
            radius = max(self.radius_at(height - rise) - less, LEAST_RADIUS)
            circles.append(grown(shapely.Point(place), radius))
        pairs = pairwise(circles)
        return shapely.union_all([shapely.union_all(pair).convex_hull for pair in pairs])


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


def _line(path: Floats) -> BaseGeometry:
    """Return a path in plan: a point when it does not move."""
    if len(path) == 1 or float(np.ptp(path, axis=0).max()) < SAME:
        return shapely.Point(path[0])
    return shapely.LineString(path)
