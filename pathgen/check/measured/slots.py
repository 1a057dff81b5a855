"""The finished sizes of a slot, measured on the metal that is left."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize
from pathgen.check.measured.beside import beside, gone_at, gone_layers
from pathgen.check.measured.doubts import Doubts, still_axis
from pathgen.check.measured.finished import NOISE, Finished, Spans, finished_size
from pathgen.check.metal.sweeps import SAME
from pathgen.check.wanted.chamfered import under_chamfers
from pathgen.check.wanted.outline import largest_region, narrowest, nominal_place
from pathgen.check.wanted.own_axes import region_into
from pathgen.job.job import Feature
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot

SPECK = 1e-7  # mm2: less is a line
SHRUNK = 0.02  # the floor is looked at this far from its walls, mm
BISECTIONS = 14  # of a floor's height where a cutter goes down a slope


def _owner(context: Context, slot: Slot) -> Feature:
    """Return the feature of the setup that a slot is, or is the throat of."""
    own = (t for t in context.setup.t_slots if t.neck is slot)
    return next(own, slot)


class Measuring:
    """One slot in the metal left: regions cut out of it, in the slot's own directions."""

    def __init__(self, context: Context, slot: Slot) -> None:
        self.context, self.slot = context, slot
        self.along = 0 if slot.along == "x" else 1
        self.low, self.high = context.box
        self.top = under_chamfers(context, _owner(context, slot)) - 2 * SAME
        self.margin = max(slot.width.nominal, 2.0)  # it is looked at this far beyond its outline
        others: list[BaseGeometry] = [
            largest_region(other).buffer(SHRUNK)
            for other in context.setup.features
            if other is not _owner(context, slot)
        ]
        gone = self.gone = gone_layers(context)
        if gone:
            floor = self.low[2] if slot.depth is None else self.top - slot.depth.high
            within = largest_region(slot).buffer(SHRUNK)
            others.append(beside(gone, within, floor, self.top))
        plan: BaseGeometry = context.metal.plan
        ground = plan.difference(shapely.union_all(others)) if others else plan
        self.ground = ground  # in the setup's axes
        self.own_ground = region_into(slot.turned, ground)

    def box(self, first: float, last: float, low: float, high: float) -> BaseGeometry:
        """Return the part of the blank between two places along and two across, own axes, mm."""
        corners = (first, low, last, high) if self.along == 0 else (low, first, high, last)
        return shapely.box(*corners).intersection(self.own_ground)

    def span(self, region: BaseGeometry, axis: int) -> tuple[float, float] | None:
        """Return the least and most of a region along (0) or across (1); None when it is empty."""
        if region.is_empty:
            return None
        bounds = region.bounds
        which = self.along if axis == 0 else 1 - self.along
        return bounds[which], bounds[which + 2]

    def cleared(self, level: float) -> BaseGeometry:
        """Return the region cleared just above a level, in the setup's axes."""
        return self.context.metal.cleared(level)

    def own_cleared(self, level: float) -> BaseGeometry:
        """Return the region cleared just above a level, in the slot's own axes."""
        return region_into(self.slot.turned, self.cleared(level))

    # ------------------------------------------------------------ floor

    def floor(self) -> tuple[float, float]:
        """Return the lowest tip over the slot and the highest metal of its floor, z."""
        slot = self.slot
        inner: BaseGeometry = narrowest(slot, nominal_place(slot)).region.buffer(-SHRUNK)
        inner = inner.intersection(self.ground).difference(self._deeper())
        tips = self._tips_over(inner)
        floor = inner.intersection(self.cleared(self.top).buffer(-SHRUNK))
        if floor.area < SHRUNK**2 or not tips:
            return self.high[2], self.high[2]
        if slot.through and self._clear(floor, self.low[2]):
            return tips[0], self.low[2]
        return tips[0], self._highest(floor, tips)

    def _deeper(self) -> BaseGeometry:
        """Return where what was gone before reaches below the floor that is wanted."""
        depth = self.slot.depth
        if depth is None or not self.gone:
            return shapely.Polygon()
        return gone_at(self.gone, self.top - depth.high - SHRUNK).buffer(SHRUNK)

    def _tips_over(self, inner: BaseGeometry) -> list[float]:
        """Return the heights of the tips that came over the floor, rising."""
        metal = self.context.metal
        rows = np.flatnonzero(metal.tips < self.top)
        if inner.is_empty or not len(rows):
            return []
        lines = [metal.sweeps[row].line for row in rows.tolist()]
        reach = np.array([metal.sweeps[row].radius for row in rows.tolist()])
        over = shapely.distance(lines, inner) < reach
        return [float(tip) for tip in np.unique(metal.tips[rows[over]])]

    def _highest(self, floor: BaseGeometry, tips: list[float]) -> float:
        """Return the height of the highest metal over the floor, z."""
        first, last = 0, len(tips)  # tips[last] is clear; beyond the row: the top
        while first < last:
            half = (first + last) // 2
            if self._clear(floor, tips[half]):
                last = half
            else:
                first = half + 1
        high = tips[last] if last < len(tips) else self.top
        if last == 0 or not self._sloping():
            return high
        low = tips[last - 1]
        for _ in range(BISECTIONS):
            half_way = (low + high) / 2
            low, high = (low, half_way) if self._clear(floor, half_way) else (half_way, high)
        return high

    def _clear(self, floor: BaseGeometry, level: float) -> bool:
        return bool(self.cleared(level).covers(floor))

    def _sloping(self) -> bool:
        """Return whether any cutter left a slope, so that metal ends between two tips."""
        return any(not sweep.flat or sweep.spread < np.inf for sweep in self.context.metal.sweeps)

    # ------------------------------------------------------------ walls and ends

    def _of_slot(self, box: BaseGeometry, level: float) -> BaseGeometry:
        """Return what is cleared of a box, without pieces that lie apart from the slot."""
        slot = narrowest(self.slot, nominal_place(self.slot)).region
        slot = region_into(self.slot.turned, slot)
        parts = shapely.get_parts(box & self.own_cleared(level))
        parts = parts[shapely.area(parts) > SPECK]  # not the very face, where a side was cut before
        return shapely.union_all(parts[shapely.intersects(parts, slot)])

    def _cut_of(self, box: BaseGeometry, levels: tuple[float, float]) -> BaseGeometry:
        """Return what is cleared of a box at the higher of two levels, where metal stood before.

        Where another setup's slot crosses this one there is no wall to be cut too far. In the floor
        of another's pocket there is one beneath that floor only, down to the slot's own.
        """
        low, high = levels
        depth = self.slot.depth
        own = self.low[2] if depth is None else self.high[2] - depth.low
        of_slot = self._of_slot(box, high)
        if not self.gone:
            return of_slot
        fresh: BaseGeometry = shapely.union_all(
            [
                self._of_slot(box, z).difference(region_into(self.slot.turned, gone))
                for z, gone in ((z, gone_at(self.gone, z)) for z in {own, low, high})
            ]
        )
        return of_slot if fresh.area <= SPECK else fresh

    def ends(self, level: float) -> Spans:
        """Return the ends: the outermost places cut, and the metal met along the centre line."""
        slot, half, m = self.slot, self.slot.width.nominal / 2, self.margin
        first, last = slot.low_end - m, slot.high_end + m
        c = slot.centre_line
        box = self.box(first, last, c - half, c + half)
        cut = self.span(self._cut_of(box, (level, self.top)), 0)
        middle = (slot.low_end + slot.high_end) / 2
        line: BaseGeometry = shapely.LineString([slot.point(first, c), slot.point(last, c)])
        line = line.intersection(self.context.metal.plan) & self.cleared(level)
        line = region_into(slot.turned, line)
        spans = [self.span(part, 0) for part in shapely.get_parts(line)]
        metal = next((s for s in spans if s is not None and s[0] <= middle <= s[1]), None)
        nothing = (middle, middle)
        return Spans(cut=cut or nothing, metal=metal or nothing)

    def straight(self, ends: Spans) -> tuple[float, float]:
        """Return where both walls are straight, along, clear of the round ends."""
        slot = self.slot
        room = slot.width.nominal / 2 + min(
            (slot.length.high - slot.length.low) / 2, slot.width.nominal / 2
        )
        low = max(ends.metal[0], slot.low_end) + (0.0 if slot.open_low else room)
        high = min(ends.metal[1], slot.high_end) - (0.0 if slot.open_high else room)
        if high - low > 2 * NOISE:
            return low, high
        middle = (slot.low_end + slot.high_end) / 2
        return middle - NOISE, middle + NOISE

    def walls(self, straight: tuple[float, float], level: float) -> Spans:
        """Return the walls over the straight part: the outermost cut and the innermost metal."""
        far = self.slot.width.nominal / 2 + self.margin
        return self.walls_between(straight, far, (level, self.top))

    def walls_between(
        self, straight: tuple[float, float], far: float, levels: tuple[float, float]
    ) -> Spans:
        """Return the outermost cut at one level, and the innermost metal at another.

        Args:
            straight: where to look, along.
            far: how far off the centre line, mm.
            levels: that of the metal and that of the cut.
        """
        c, low = self.slot.centre_line, self.own_cleared(levels[0])
        above, below = self.box(*straight, c, c + far), self.box(*straight, c - far, c)
        cut = [self.span(self._cut_of(side, levels), 1) or (c, c) for side in (below, above)]
        metal = [self.span(side - low, 1) for side in (below, above)]
        return Spans(
            cut=(cut[0][0], cut[1][1]),
            metal=(
                metal[0][1] if metal[0] is not None else cut[0][0],
                metal[1][0] if metal[1] is not None else cut[1][1],
            ),
        )


def measure(context: Context, slot: Slot) -> Finished:
    """Return a slot as the moves leave it."""
    measuring = Measuring(context, slot)
    low, high = context.box
    floor = measuring.floor()
    wanted = low[2] if slot.depth is None else high[2] - slot.depth.low
    return measured_to(measuring, floor, max(wanted, floor[1]))


def measured_to(measuring: Measuring, floor: tuple[float, float], level: float) -> Finished:
    """Return a slot as the moves leave it, with its walls down to a level.

    Args:
        measuring: of the slot.
        floor: its lowest and its highest place, z.
        level: z.
    """
    context, slot = measuring.context, measuring.slot
    ends = measuring.ends(level)
    straight = measuring.straight(ends)
    finished = Finished(
        slot=slot,
        across=measuring.walls(straight, level),
        along=ends,
        straight=straight,
        floor=floor,
        walls_to=level,
        sizes=(),
    )
    return replace(finished, sizes=_sizes(context, finished))


def _sizes(context: Context, finished: Finished) -> tuple[FinishedSize, ...]:
    """Return the sizes that a slot has: a through one no depth, an open one no middle."""
    slot, across, along = finished.slot, finished.across, finished.along
    doubt = Doubts(context, finished)
    sizes = [
        finished_size(slot.name, "width", slot.width, (across.least, across.most), doubt.width)
    ]
    if not (slot.open_low and slot.open_high):
        sizes.append(
            finished_size(slot.name, "length", slot.length, (along.least, along.most), doubt.length)
        )
    if slot.depth is not None:
        depths = (context.box[1][2] - finished.floor[1], context.box[1][2] - finished.floor[0])
        sizes.append(finished_size(slot.name, "depth", slot.depth, depths, doubt.depth))
    if not (slot.open_low or slot.open_high) and along.most > 0:
        middles = _trusted(along, slot.length)
        sizes.append(finished_size(slot.name, "middle", slot.middle, middles, doubt.middle))
    if across.most > 0:
        middles = _trusted(across, slot.width)
        sizes.append(
            finished_size(slot.name, "centre line", slot.across, middles, doubt.centre_line)
        )
    return tuple(_as_pushed(context, slot, size) for size in sizes)


def _as_pushed(context: Context, slot: Slot, size: FinishedSize) -> FinishedSize:
    """Return a size with what a slide without a lock leaves open of it beside the rest."""
    axis = still_axis(slot, size.quantity, context.setup.set_over)
    wander = 0.0 if axis is None else context.run.doubt.wander[axis]
    return replace(size, uncertainty=size.uncertainty + wander, wander=wander)


def _trusted(spans: Spans, wanted: Size) -> tuple[float, float]:
    """Return the middles that tell where a slot lies: not those of one cut out of its limits.

    A single gouge would shift the middle of what was cut, a bump that of the metal; each is told of
    by itself.
    """
    cut, metal = spans.middles
    too_large, too_small = spans.most > wanted.high + NOISE, spans.least < wanted.low - NOISE
    if too_large and not too_small:
        return metal, metal
    if too_small and not too_large:
        return cut, cut
    return cut, metal
