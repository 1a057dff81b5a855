"""A T-slot as the moves leave it: its throat, and the head under the metal on both sides of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import NOISE, Finished, Spans, finished_size, place_of_cut
from pathgen.check.measured.slots import SHRUNK, Measuring, measured_to
from pathgen.check.metal.strokes import touching
from pathgen.check.metal.sweeps import SAME
from pathgen.check.wanted.outline import Place, narrowest_head, widest
from pathgen.job.t_slot import TSlot


class Band(NamedTuple):
    """From where to where the head is cut, z: all along (inner), and anywhere (outer); mm."""

    lowest: float
    floor: float
    roof: float
    highest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedTSlot:
    """A T-slot as the moves leave it."""

    t_slot: TSlot
    neck: Finished
    band: Band | None  # None: no head was cut
    sizes: tuple[FinishedSize, ...]  # those of the neck, then those of the head

    @property
    def head_sizes(self) -> tuple[FinishedSize, ...]:
        """Return the sizes of the head alone."""
        return self.sizes[len(self.neck.sizes) :]


def measure_t_slot(context: Context, t_slot: TSlot) -> FinishedTSlot:
    """Return a T-slot as the moves leave it."""
    measuring = Measuring(context, t_slot.neck)
    low, high = floor = measuring.floor()
    place = place_of_cut(measured_to(measuring, floor, measuring.top))
    sides = _sides(measuring, t_slot, place)
    band = _band(measuring, sides)
    level = max(context.box.high[2] - t_slot.depth.low, high)
    if band is not None:
        floor = min(low, band.lowest), max(high, band.floor)
        level = max(level, band.highest)
    neck = measured_to(measuring, floor, level)
    sizes = _head_sizes(measuring, neck, (t_slot, sides), band)
    return FinishedTSlot(t_slot=t_slot, neck=neck, band=band, sizes=(*neck.sizes, *sizes))


def _sides(measuring: Measuring, t_slot: TSlot, place: Place) -> BaseGeometry:
    """Return the two strips beside the throat, where it lies, under which the head must be cut."""
    head = narrowest_head(t_slot, place).region.buffer(-SHRUNK)
    throat = widest(t_slot.neck, place).region.buffer(SHRUNK)
    sides: BaseGeometry = head.difference(throat).intersection(measuring.ground)
    return sides


def _band(measuring: Measuring, sides: BaseGeometry) -> Band | None:
    """Return from where to where the head is cut beside the throat; None where it is not."""
    metal = measuring.context.metal
    levels = list(pairwise(metal.levels_near(sides, measuring.low[2])))
    if sides.is_empty or not levels:
        return None
    left = [metal.metal_between(sides, *pair).area for pair in levels]
    least = NOISE * sides.length
    whole = [area < least for area in left]
    part = [area < sides.area - least for area in left]
    if True not in whole:
        return None
    first = last = lowest = highest = whole.index(True)
    while last + 1 < len(levels) and whole[last + 1]:
        last += 1
    while lowest > 0 and part[lowest - 1]:
        lowest -= 1
    highest = last
    while highest + 1 < len(levels) and part[highest + 1]:
        highest += 1
    return Band(levels[lowest][0], levels[first][0], levels[last][1], levels[highest][1])


def _head_sizes(
    measuring: Measuring,
    neck: Finished,
    wanted_head: tuple[TSlot, BaseGeometry],
    band: Band | None,
) -> tuple[FinishedSize, ...]:
    """Return how wide and how high the head is: nothing where it was not cut.

    Args:
        measuring: of the throat.
        neck: the throat as it is.
        wanted_head: what is wanted, and the strips beside the throat.
        band: between which heights the head is cut.
    """
    t_slot, sides = wanted_head
    doubt, across = measuring.context.run.doubt, 1 - measuring.along
    widths = heights = (0.0, 0.0)
    if band is not None:
        heights = (band.roof - band.floor, band.highest - band.lowest)
        spans = _widths(measuring, neck, (t_slot, sides), band)
        widths = min(each.least for each in spans), max(each.most for each in spans)
    settings = _settings(measuring.context, neck)
    sizes = []
    for quantity, wanted, found, axis in (
        ("head width", t_slot.head_width, widths, across),
        ("head height", t_slot.head_height, heights, 2),
    ):
        off = 0.0 if settings[axis] <= 1 else 2 * doubt.setting[axis]
        size = finished_size(t_slot.name, quantity, wanted, found, off)  # type: ignore[arg-type]
        wander = doubt.wander[axis]
        sizes.append(replace(size, uncertainty=off + wander, wander=wander))
    return tuple(sizes)


def _widths(
    measuring: Measuring, neck: Finished, wanted_head: tuple[TSlot, BaseGeometry], band: Band
) -> list[Spans]:
    """Return the walls of the head at each height where they may change."""
    t_slot, sides = wanted_head
    far = t_slot.head_width.high / 2 + measuring.margin
    levels = measuring.context.metal.levels_near(sides.buffer(measuring.margin), band.floor)
    levels = [z for z in levels if band.floor <= z < band.roof - SAME]
    return [measuring.walls_between(neck.straight, far, (z, z)) for z in levels]


def _settings(context: Context, neck: Finished) -> dict[int, int]:
    """Return at how many places of each axis the head was cut, as it went along."""
    legs, box = context.legs, context.box
    own = widest(neck.slot, place_of_cut(neck))
    rows = np.flatnonzero(touching(legs, *box) & legs.undercuts)
    inside = own.reach(legs.start[rows, :2], legs.end[rows, :2], np.zeros(len(rows))) < 0
    ends = legs.end[rows[inside]]
    return {axis: len(np.unique(ends[:, axis].round(6))) for axis in range(3)}
