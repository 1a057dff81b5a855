"""What was cleared from below and from the sides before a setup, as it is met in its frame.

Level planes cut it exactly, but for points of drills and slopes that were cut from a side: those
are taken in steps of `STEP` that stay inside them, so that there is never less metal than in truth.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.left import Seen
from pathgen.check.metal.sweeps import SAME, Sweep
from pathgen.job.frame import Way

STEP = 0.1  # mm along the way in which a point or a slope was cut from a side
MOST_STEPS = 64
SLICE = 0.5  # mm of height: where what is cleared changes all along, it is looked at so often
FAR = 1e5  # mm: beyond the blank on any side


@dataclass(frozen=True, slots=True, eq=False)
class _Under:
    """A sweep seen from beneath: what lies under it is cleared, from its tip downwards; mm."""

    sweep: Sweep
    tip: float

    @property
    def bounds(self) -> BaseGeometry:
        return bounds_of(self.sweep)

    def open_up_to(self, level: float) -> BaseGeometry | None:
        """Return the region cleared at every height under a level."""
        height = self.tip - level
        return None if height < -SAME else self.sweep.outline(max(height, 0.0))

    def levels(self) -> Iterator[float]:
        """Yield the heights at which what it cleared ends or is looked at."""
        yield self.tip
        deep = _slope_of(self.sweep)
        for step in range(1, _count(deep, SLICE) + 1):
            yield self.tip - deep * step / _count(deep, SLICE)


@dataclass(frozen=True, slots=True, eq=False)
class _Band:
    """A level region that the head of a cutter cleared from beneath, between two heights; mm."""

    region: BaseGeometry
    low: float
    high: float

    @property
    def bounds(self) -> BaseGeometry:
        return self.region.envelope

    def open_between(self, low: float, high: float) -> BaseGeometry | None:
        """Return the region where it is cleared at every height between two."""
        return self.region if self.low - SAME <= low and high <= self.high + SAME else None

    def levels(self) -> Iterator[float]:
        """Yield the heights at which it begins and ends."""
        yield from (self.low, self.high)


@dataclass(frozen=True, slots=True, eq=False)
class _Aside:
    """A region of an upright plane, cleared from a place on outwards: towards one side; mm.

    The head of a cutter with a neck clears it no further than up to where it ends.
    """

    way: Way
    start: float  # along the way's axis
    region: BaseGeometry  # in the other level axis and z
    end: float | None = None  # along the way's axis; None: beyond the blank

    @property
    def bounds(self) -> BaseGeometry:
        low, _, high, _ = self.region.bounds
        return self._along((low, high))

    def at(self, level: float) -> Iterator[BaseGeometry]:
        """Yield the rectangles cleared just above a level."""
        low, _, high, _ = self.region.bounds
        height = level + 2 * SAME
        line: BaseGeometry = shapely.LineString([(low - 1, height), (high + 1, height)])
        for part in shapely.get_parts(line.intersection(self.region)):
            if part.length > SAME:
                yield self._along((part.bounds[0], part.bounds[2]))

    def between(self, low: float, high: float) -> Iterator[BaseGeometry]:
        """Yield the rectangles cleared at every height between two levels."""
        first, bottom, last, top = self.region.bounds
        if low < bottom - SAME or high > top + SAME:
            return
        strip = shapely.box(first, low + SAME, last, high - SAME)
        place = first
        blocked = shapely.get_parts(strip.difference(self.region))
        for start, end in sorted((part.bounds[0], part.bounds[2]) for part in blocked):
            if start > place + SAME:
                yield self._along((place, start))
            place = max(place, end)
        if last > place + SAME:
            yield self._along((place, last))

    def levels(self) -> Iterator[float]:
        """Yield the heights at which what it cleared begins, ends or is looked at."""
        _, low, _, high = self.region.bounds
        count = _count(high - low, SLICE)
        yield from (low + (high - low) * step / count for step in range(count + 1))

    def _along(self, span: tuple[float, float]) -> BaseGeometry:
        """Return the rectangle from the start outwards, over a span of the other level axis."""
        end = self.way.sign * FAR if self.end is None else self.end
        out = (min(self.start, end), max(self.start, end))
        (x0, x1), (y0, y1) = (out, span) if self.way.axis == 0 else (span, out)
        rectangle: BaseGeometry = shapely.box(x0, y0, x1, y1)
        return rectangle


class Voids:
    """What earlier setups cleared from below and from the sides; it stays as it is."""

    def __init__(self, cuts: Iterable[Seen]) -> None:
        under: list[_Under] = []
        heads: list[_Band | _Aside] = []
        sides: dict[Way, list[Seen]] = {}
        for cut in cuts:
            heads.extend(_heads(cut))
            cut = cut._replace(sweep=cut.sweep.neck)  # noqa: PLW2901 - its head is seen to
            if cut.way.axis == 2:
                under.append(_Under(cut.sweep, cut.tip))
            else:
                sides.setdefault(cut.way, []).append(cut)
        aside = [each for way, row in sides.items() for each in _nested(way, row)]
        self._each: list[_Under | _Band | _Aside] = [*under, *aside, *heads]
        self._tree = shapely.STRtree([each.bounds for each in self._each])

    def near(self, outline: BaseGeometry | None) -> bool:
        """Return whether any of it may lie over or under an outline."""
        return bool(self._each) and outline is not None and len(self._tree.query(outline)) > 0

    def at(self, level: float, outline: BaseGeometry | None = None) -> BaseGeometry:
        """Return the region cleared just above a level, or what of it may meet an outline."""
        parts: list[BaseGeometry] = []
        for each in self._about(outline):
            if isinstance(each, _Aside):
                parts.extend(each.at(level))
            elif isinstance(each, _Band):
                parts.extend(filter(None, [each.open_between(level, level + 2 * SAME)]))
            elif level < each.tip - SAME:
                parts.extend(filter(None, [each.open_up_to(level)]))
        return shapely.union_all(parts)

    def between(self, low: float, high: float, outline: BaseGeometry) -> BaseGeometry:
        """Return what may meet an outline of the region cleared at every height between two.

        Never more than there is; less where only several cuts from different sides together
        clear it at every height.
        """
        parts: list[BaseGeometry] = []
        for each in self._about(outline):
            if isinstance(each, _Aside):
                parts.extend(each.between(low, high))
            elif isinstance(each, _Band):
                parts.extend(filter(None, [each.open_between(low, high)]))
            else:
                parts.extend(filter(None, [each.open_up_to(high)]))
        return shapely.union_all(parts)

    def levels(self, outline: BaseGeometry, low: float, high: float) -> list[float]:
        """Return the heights between two at which it changes within an outline, rising."""
        found = {level for each in self._about(outline) for level in each.levels()}
        return sorted(level for level in found if low + SAME < level < high - SAME)

    def _about(self, outline: BaseGeometry | None) -> list[_Under | _Band | _Aside]:
        if outline is None:
            return self._each
        return [self._each[row] for row in np.sort(self._tree.query(outline)).tolist()]


def _heads(cut: Seen) -> Iterator[_Band | _Aside]:
    """Yield what the head of a cutter with a neck cleared, wider than that neck."""
    if cut.sweep.undercut is None:
        return
    region = cut.sweep.outline(0.0)
    assert region is not None
    end = cut.tip + cut.way.sign * cut.sweep.undercut.height
    if cut.way.axis == 2:
        yield _Band(region, min(cut.tip, end), max(cut.tip, end))
    else:
        yield _Aside(cut.way, cut.tip, region, end)


def _nested(way: Way, cuts: list[Seen]) -> Iterator[_Aside]:
    """Yield the regions cleared from one side, the deepest first, each with all that lie deeper."""
    regions: dict[float, list[BaseGeometry]] = {}
    for cut in cuts:
        for height, region in _steps(cut.sweep):
            start = round(cut.tip + way.sign * height, 9)
            regions.setdefault(start, []).append(region)
    so_far: BaseGeometry = shapely.Polygon()
    for start in sorted(regions, reverse=way.sign < 0):
        here = shapely.union_all(regions[start])
        if not so_far.covers(here):
            so_far = so_far.union(here)
            yield _Aside(way, start, so_far)


def _steps(sweep: Sweep) -> Iterator[tuple[float, BaseGeometry]]:
    """Yield heights above the lowest tip, rising, with what is cleared from there on outwards."""
    deep = _slope_of(sweep)
    count = min(_count(deep, STEP), MOST_STEPS)
    for step in range(count + 1):
        height = deep * step / max(count, 1)
        region = sweep.outline(height)
        if region is not None and not region.is_empty:
            yield height, region


def _slope_of(sweep: Sweep) -> float:
    """Return over how much height above its lowest tip a sweep widens, mm; 0 for a flat one."""
    point = 0.0 if math.isinf(sweep.spread) else (sweep.radius - sweep.tip) / sweep.spread
    return point if sweep.flat else float(sweep.rise.max()) + point


def _count(length: float, most: float) -> int:
    """Return how many equal parts, none longer than the most, a length has; 0 for none."""
    return math.ceil(length / most - SAME) if length > SAME else 0


def bounds_of(sweep: Sweep) -> BaseGeometry:
    """Return the box that a sweep stays within."""
    low = sweep.path.min(axis=0) - sweep.radius
    high = sweep.path.max(axis=0) + sweep.radius
    box: BaseGeometry = shapely.box(low[0], low[1], high[0], high[1])
    return box
