"""The metal of flat-bottomed work: exact plane regions at any height, as the moves clear them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import copy

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.legs import Floats, Ints
from pathgen.check.sweeps import SAME, Key, Left, Stroke, Sweep

Corner = tuple[float, float, float]
SPECK = 1e-7  # a piece of metal with less area is none, mm2
FEW = 3  # so many outlines are taken off first, the newest, and then more at once


class Metal:
    """A blank and what has been cleared of it so far; setup's frame, mm.

    Every cutter is as wide above as below, so what is cleared at one height is cleared above it
    too: the region cleared at a height is the union of the outlines of all sweeps whose tip came
    that low. A sweep over a path that was swept before only takes its tip lower.
    """

    def __init__(
        self,
        box: tuple[Corner, Corner],
        origin: Corner,
        strokes: Sequence[Stroke],
        left: Left | None,
    ) -> None:
        self.low, self.high = box
        self.origin = origin
        self.plan = shapely.box(self.low[0], self.low[1], self.high[0], self.high[1])
        self._index: dict[Key, int] = {}
        self.sweeps: list[Sweep] = []
        tips: list[float] = []
        for sweep, tip in self._from(left):
            self._add(sweep)
            tips.append(tip)
        self._row = [self._add(stroke.sweep) for stroke in strokes]
        self._low = [stroke.low for stroke in strokes]
        self.tips: Floats = np.full(len(self.sweeps), math.inf)
        self.tips[: len(tips)] = tips
        self._at_first = self.tips.copy()
        self._holes = _holes_within(self.sweeps)
        self._cleared: dict[float, BaseGeometry] = {}
        self._tree = shapely.STRtree([_bounds(sweep) for sweep in self.sweeps])

    def _add(self, sweep: Sweep) -> int:
        known = self._index.setdefault(sweep.key, len(self.sweeps))
        if known == len(self.sweeps):
            self.sweeps.append(sweep)
        return known

    def _from(self, left: Left | None) -> list[tuple[Sweep, float]]:
        """Return the sweeps of earlier setups, brought from the blank's axes into this frame."""
        x, y, z = self.origin
        pairs = () if left is None else left.sweeps
        return [(sweep.moved(-x, -y), tip - z) for sweep, tip in pairs]

    def left(self) -> Left:
        """Return the metal left, in the blank's own axes."""
        x, y, z = self.origin
        pairs = zip(self.sweeps, self.tips.tolist(), strict=True)
        return Left(
            sweeps=tuple((sweep.moved(x, y), tip + z) for sweep, tip in pairs if tip < math.inf)
        )

    def cut(self, place: int) -> None:
        """Clear what the stroke with this place in the run clears."""
        row = self._row[place]
        self.tips[row] = min(self.tips[row], self._low[place])
        self._cleared.clear()

    def as_of(self, place: int) -> Metal:
        """Return the metal as it is before the stroke with this place in the run."""
        then = copy(self)
        then.begin_anew()
        for each in range(place):
            then.cut(each)
        return then

    def begin_anew(self) -> None:
        """Go back to the metal before the first stroke."""
        self.tips = self._at_first.copy()
        self._cleared = {}

    def swept_before(self, place: int, level: float) -> bool:
        """Return whether the very path of a stroke was swept to a level before."""
        return bool(self.tips[self._row[place]] <= level + SAME)

    def cleared(self, level: float) -> BaseGeometry:
        """Return the region cleared just above a level, mm; beyond the blank's edges too."""
        if level not in self._cleared:
            rows = np.flatnonzero(self.tips <= level + SAME)
            outlines = self._outlines(self._without_holes(rows), level)
            self._cleared[level] = shapely.union_all(outlines)
        return self._cleared[level]

    def _without_holes(self, rows: Ints) -> list[int]:
        """Return the rows without the holes that lie within another of them: a union is quicker."""
        within = [self._holes[row] for row in rows.tolist() if row in self._holes]
        kept = rows[~np.isin(rows, np.concatenate(within))] if within else rows
        left: list[int] = kept.tolist()
        return left

    def _outlines(self, rows: Sequence[int], level: float) -> list[BaseGeometry]:
        each = (self.sweeps[row].outline(level - float(self.tips[row])) for row in rows)
        return [outline for outline in each if outline is not None]

    def metal_in(self, outline: BaseGeometry | None, level: float) -> BaseGeometry:
        """Return the metal that an outline meets just above a level; empty when there is none."""
        if outline is None or level >= self.high[2] - SAME:
            return shapely.Polygon()
        metal: BaseGeometry = shapely.intersection(outline, self.plan)
        if metal.area < SPECK:
            return shapely.Polygon()
        rows = self._tree.query(metal)
        rows = np.sort(rows[self.tips[rows] <= level + SAME])[::-1]
        kept, many = self._without_holes(rows), FEW
        while kept:
            outlines = self._outlines(kept[:many], level)
            metal = shapely.difference(metal, shapely.union_all(outlines))
            if metal.area < SPECK:
                return shapely.Polygon()
            kept, many = kept[many:], 4 * many
        return metal

    def levels_near(self, outline: BaseGeometry, above: float) -> list[float]:
        """Return the heights, rising, where what an outline meets may change; the top is last."""
        tips = sorted(set(self.tips[self._tree.query(outline)].tolist()))
        levels = [tip for tip in tips if above < tip < self.high[2]]
        return [above, *levels, self.high[2]]

    def met(self, sweep: Sweep, low: float, less: float) -> tuple[BaseGeometry, float]:
        """Return the metal that a sweep would meet, and its height above the lowest tip, mm.

        Args:
            sweep: the way of the cutter.
            low: its lowest tip, mm.
            less: how much smaller to take the cutter: what it rubs off is no cut, mm.
        """
        floor = max(low, self.low[2])  # there is no metal beneath the blank
        if sweep.flat and math.isinf(sweep.spread):
            metal = self.metal_in(sweep.outline(self.high[2] - low, less), floor)
            return (metal, 0.0) if metal.is_empty else (metal, self.top_over(metal, floor) - low)
        whole = sweep.outline(self.high[2] - low, less)
        if whole is None:
            return shapely.Polygon(), 0.0
        # Between two levels the outline is widest at the upper one; but what a cone cleared before
        # is narrowest at the lowest, where a flat at the end of this cutter may meet it.
        upper = [above - 2 * SAME for above in self.levels_near(whole, floor)[1:]]
        for under in (floor, *upper):
            metal = self.metal_in(sweep.outline(under - low, less), under)
            if not metal.is_empty:
                return metal, self.top_over(metal, under) - low
        return shapely.Polygon(), 0.0

    def top_over(self, outline: BaseGeometry, level: float) -> float:
        """Return the height of the metal within an outline that has metal at a level, mm."""
        levels = self.levels_near(outline, level)[1:]
        return next(
            (each for each in levels if self.metal_in(outline, each).is_empty), self.high[2]
        )


def _holes_within(sweeps: Sequence[Sweep]) -> dict[int, Ints]:
    """Return for each level path of a flat cutter the rows of the holes that lie within it."""
    holes = np.array([row for row, sweep in enumerate(sweeps) if len(sweep.path) == 1], np.int64)
    if not len(holes):
        return {}
    radii = np.array([sweeps[row].radius for row in holes.tolist()])
    points = np.array([shapely.Point(sweeps[row].path[0]) for row in holes.tolist()])
    tree = shapely.STRtree(points)
    within: dict[int, Ints] = {}
    for row, sweep in enumerate(sweeps):
        if len(sweep.path) > 1 and sweep.flat and math.isinf(sweep.spread):
            near = tree.query(sweep.line, predicate="dwithin", distance=sweep.radius)
            inside = shapely.distance(points[near], sweep.line) + radii[near] <= sweep.radius
            within[row] = holes[near[inside]]
    return within


def _bounds(sweep: Sweep) -> BaseGeometry:
    """Return the box that a sweep stays within."""
    low = sweep.path.min(axis=0) - sweep.radius
    high = sweep.path.max(axis=0) + sweep.radius
    box: BaseGeometry = shapely.box(low[0], low[1], high[0], high[1])
    return box
