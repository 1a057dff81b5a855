"""The metal of flat-bottomed work: exact plane regions at any height, as the moves clear them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import copy
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.crown import Crown
from pathgen.check.metal.left import Left, kept
from pathgen.check.metal.legs import Floats, Ints
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.sweeps import SAME, Key, Sweep
from pathgen.check.metal.voids import Voids, bounds_of
from pathgen.job.frame import Box, Frame

Corner = tuple[float, float, float]
SPECK = 1e-7  # a piece of metal with less area is none, mm2
FEW = 3  # so many outlines are taken off first, the newest, and then more at once


class Metal:
    """A blank and what has been cleared of it so far; setup's frame, mm.

    Nearly every cutter is as wide above as below, so what is cleared at one height is cleared above
    it too: the region cleared at a height is the union of the outlines of all sweeps whose tip came
    that low. A sweep over a path that was swept before only takes its tip lower. What setups of
    another lie cleared from below or from the sides are `voids`, over which there may be metal; so
    there may over the head of a cutter with a neck.
    """

    def __init__(
        self,
        box: Box,
        frame: Frame,
        strokes: Sequence[Stroke],
        left: Left | None,
        crown: Crown | None = None,
    ) -> None:
        self.low, self.high = box
        self.frame = frame
        self.crown = crown  # of a round shaft; None: it is as wide above as below
        self.plan = shapely.box(self.low[0], self.low[1], self.high[0], self.high[1])
        self._index: dict[Key, int] = {}
        self.sweeps: list[Sweep] = []
        cuts = () if left is None else left.cuts
        before = [cut.seen_in(frame) for cut in cuts if cut.lie.up == frame.lie.up]
        rows = [self._add(cut.sweep) for cut in before]
        self._others = [cut for cut in cuts if cut.lie.up != frame.lie.up]
        self.voids = Voids(cut.seen_in(frame) for cut in self._others)
        self._row = [self._add(stroke.sweep) for stroke in strokes]
        self._low = [stroke.low for stroke in strokes]
        self.tips: Floats = np.full(len(self.sweeps), math.inf)
        for row, cut in zip(rows, before, strict=True):
            self.tips[row] = min(self.tips[row], cut.tip)
        self._before = self.tips.copy()
        self._heads: Floats = np.array(
            [math.nan if s.undercut is None else s.undercut.height for s in self.sweeps]
        )
        self._holes = _holes_within(self.sweeps)
        self._cleared: dict[float, BaseGeometry] = {}
        self._tree = shapely.STRtree([bounds_of(sweep) for sweep in self.sweeps])

    def _add(self, sweep: Sweep) -> int:
        known = self._index.setdefault(sweep.key, len(self.sweeps))
        if known == len(self.sweeps):
            self.sweeps.append(sweep)
        return known

    def left(self) -> Left:
        """Return the metal left."""
        pairs = zip(self.sweeps, self.tips.tolist(), strict=True)
        own = (kept(sweep, tip, self.frame) for sweep, tip in pairs if tip < math.inf)
        return Left(cuts=(*self._others, *own))

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
        self.tips = self._before.copy()
        self._cleared = {}

    def swept_before(self, place: int, level: float) -> bool:
        """Return whether the very path of a stroke was swept to a level before."""
        return bool(self.tips[self._row[place]] <= level + SAME)

    def cleared(self, level: float) -> BaseGeometry:
        """Return the region cleared just above a level, mm; beyond the blank's edges too."""
        if level not in self._cleared:
            rows = np.flatnonzero(self.tips <= level + SAME)
            outlines = self._outlines(self._without_holes(rows), level)
            self._cleared[level] = shapely.union_all([*outlines, self.voids.at(level)])
        return self._cleared[level]

    def gone_before(self, outline: BaseGeometry, level: float) -> BaseGeometry:
        """Return what may meet an outline of the region that earlier setups cleared at a level."""
        rows = self._tree.query(outline)
        rows = rows[self._before[rows] <= level + SAME]
        outlines = [
            self.sweeps[row].outline(level - float(self._before[row])) for row in rows.tolist()
        ]
        return shapely.union_all([*filter(None, outlines), self.voids.at(level, outline)])

    def levels_before(self, outline: BaseGeometry, above: float) -> list[float]:
        """Return the heights, rising, where what was cleared before changes near an outline."""
        tips = set(self._before[self._tree.query(outline)].tolist())
        tips.update(self.voids.levels(outline, above, self.high[2]))
        return [above, *(tip for tip in sorted(tips) if above < tip < self.high[2] - SAME)]

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
        metal = self._under_cuts(outline, level)
        if not metal.is_empty and self.voids.near(metal):
            metal = metal.difference(self.voids.at(level, metal))
        return metal if metal.area >= SPECK else shapely.Polygon()

    def metal_over(self, outline: BaseGeometry | None, level: float) -> BaseGeometry:
        """Return all metal that stands over an outline anywhere above a level."""
        if outline is None or not self._overhung(outline):
            return self.metal_in(outline, level)
        return shapely.union_all(
            [
                self.metal_between(outline, *pair)
                for pair in pairwise(self.levels_near(outline, level))
            ]
        )

    def metal_between(self, outline: BaseGeometry | None, low: float, high: float) -> BaseGeometry:
        """Return the metal over an outline between two heights with no level between them."""
        if outline is None or not self.voids.near(outline):
            return self.metal_in(outline, low)
        metal = self._under_cuts(outline, low)
        if not metal.is_empty:
            metal = metal.difference(self.voids.between(low, high, metal))
        return metal if metal.area >= SPECK else shapely.Polygon()

    def plan_at(self, level: float) -> BaseGeometry:
        """Return the blank's outline just above a level, before anything is cut."""
        return self.plan if self.crown is None else self.crown.within(self.plan, level)

    def _under_cuts(self, outline: BaseGeometry | None, level: float) -> BaseGeometry:
        """Return what the cuts from above left of an outline just above a level."""
        if outline is None or level >= self.high[2] - SAME:
            return shapely.Polygon()
        metal: BaseGeometry = shapely.intersection(outline, self.plan_at(level))
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
        rows = self._tree.query(outline)
        tips = {*self.tips[rows].tolist(), *self._roofs(rows)}
        if self.voids.near(outline):
            tips.update(self.voids.levels(outline, above, self.high[2]))
        levels = [tip for tip in sorted(tips) if above < tip < self.high[2]]
        return [above, *levels, self.high[2]]

    def _overhung(self, outline: BaseGeometry | None) -> bool:
        """Return whether there may be metal over what is cleared of an outline."""
        if outline is None:
            return False
        return self.voids.near(outline) or bool(self._roofs(self._tree.query(outline)))

    def _roofs(self, rows: Ints) -> list[float]:
        """Return the heights up to which the heads of cutters with a neck have cut."""
        tops = self.tips[rows] + self._heads[rows]
        found: list[float] = tops[np.isfinite(tops)].tolist()
        return found

    def met(self, sweep: Sweep, low: float, less: float) -> tuple[BaseGeometry, float]:
        """Return the metal that a sweep would meet, and its height above the lowest tip, mm.

        Args:
            sweep: the way of the cutter.
            low: its lowest tip, mm.
            less: how much smaller to take the cutter: what it rubs off is no cut, mm.
        """
        floor = max(low, self.low[2])  # there is no metal beneath the blank
        if sweep.undercut is not None:
            return self._met_by_head(sweep, (low, floor), less)
        if sweep.flat and math.isinf(sweep.spread):
            metal = self.metal_over(sweep.outline(self.high[2] - low, less), floor)
            return (metal, 0.0) if metal.is_empty else (metal, self.top_over(metal, floor) - low)
        whole = sweep.outline(self.high[2] - low, less)
        if whole is None:
            return shapely.Polygon(), 0.0
        # Between two levels the outline is widest at the upper one; but what a cone cleared before
        # is narrowest at the lowest, where a flat at the end of this cutter may meet it.
        levels = self.levels_near(whole, floor)
        upper = [(below, above, above - 2 * SAME) for below, above in pairwise(levels)]
        for below, above, under in ((floor, floor, floor), *upper):
            outline = sweep.outline(under - low, less)
            metal = (
                self.metal_between(outline, below, above)
                if above > below and self._overhung(outline)
                else self.metal_in(outline, under)
            )
            if not metal.is_empty:
                return metal, self.top_over(metal, under) - low
        return shapely.Polygon(), 0.0

    def _met_by_head(
        self, sweep: Sweep, from_low: tuple[float, float], less: float
    ) -> tuple[BaseGeometry, float]:
        """Return as `met`, for a cutter with a neck, from its lowest tip and a floor on, mm."""
        low, floor = from_low
        assert sweep.undercut is not None
        widest = sweep.outline(0.0, less)
        if widest is None:
            return shapely.Polygon(), 0.0
        roof = low + sweep.undercut.height
        levels = sorted({*self.levels_near(widest, floor), max(roof, floor)})
        for below, above in pairwise(levels):
            metal = self.metal_between(sweep.outline(below - low, less), below, above)
            if not metal.is_empty:
                return metal, min(self.top_over(metal, below), max(roof, above)) - low
        return shapely.Polygon(), 0.0

    def top_over(self, outline: BaseGeometry, level: float) -> float:
        """Return the height of the metal within an outline that has metal at a level, mm."""
        return max(min(self._top_of_levels(outline, level), self.highest(outline)), level)

    def highest(self, outline: BaseGeometry) -> float:
        """Return how high the blank reached within an outline before anything was cut, mm."""
        return self.high[2] if self.crown is None else self.crown.top(outline)

    def _top_of_levels(self, outline: BaseGeometry, level: float) -> float:
        """Return up to which of the levels there is metal within an outline, mm."""
        levels = self.levels_near(outline, level)
        if self._overhung(outline):
            pairs = reversed(list(pairwise(levels)))
            return next(
                (
                    high
                    for low, high in pairs
                    if not self.metal_between(outline, low, high).is_empty
                ),
                level,
            )
        return next(
            (each for each in levels[1:] if self.metal_in(outline, each).is_empty), self.high[2]
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
        if len(sweep.path) > 1 and sweep.flat and math.isinf(sweep.spread) and not sweep.undercut:
            near = tree.query(sweep.line, predicate="dwithin", distance=sweep.radius)
            inside = shapely.distance(points[near], sweep.line) + radii[near] <= sweep.radius
            within[row] = holes[near[inside]]
    return within
