"""What is gone of the blank before a setup begins: what is there already, and what was cut before.

Each feature is taken at its largest, as prisms: all within a radius of a level rectangle (as a rule
a line or a point), sunk from the upper face of the setup that it was described in.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import assert_never

from pathgen.job.apart import Stretch, stretches
from pathgen.job.frame import Box, Frame
from pathgen.job.holes import Holes
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.slot import Slot
from pathgen.reckon.drills import point_length

THIN = 1.0  # mm of metal under the upper face: less is not touched on


@dataclass(frozen=True, slots=True)
class Prism:
    """All within a radius of a core, square to an axis, from the core's low to its high end; mm."""

    axis: int
    core: Box
    radius: float

    def seen_in(self, frame: Frame) -> Prism:
        """Return a prism of the blank's axes as it lies in a frame."""
        wanted = next(i for i, way in enumerate(frame.lie.ways) if way.axis == self.axis)
        return Prism(wanted, frame.box_into(self.core), self.radius)

    def span(self, axis: int) -> tuple[float, float]:
        """Return where it begins and ends along an axis, mm."""
        wider = 0.0 if axis == self.axis else self.radius
        return self.core.low[axis] - wider, self.core.high[axis] + wider

    def meets(self, other: Prism) -> bool:
        """Tell whether two prisms share any place.

        >>> hole = Prism(2, Box((0.0, 0.0, -9.0), (0.0, 0.0, 0.0)), 2.0)
        >>> across = Prism(0, Box((0.0, 0.0, -5.0), (8.0, 0.0, -5.0)), 1.0)  # drilled along x
        >>> hole.meets(across)
        True
        """
        if self.axis == other.axis:
            low, high = self.span(self.axis)
            first, last = other.span(self.axis)
            return max(low, first) < min(high, last) and self._plan.gap(other._plan) < 0
        common = 3 - self.axis - other.axis
        one, two = self._within(other, common), other._within(self, common)
        return one is not None and two is not None and max(one[0], two[0]) < min(one[1], two[1])

    @property
    def _plan(self) -> Stretch:
        a, b = (axis for axis in range(3) if axis != self.axis)
        low, high = self.core
        return Stretch(low[a], low[b], high[a], high[b], self.radius)

    def _within(self, other: Prism, common: int) -> tuple[float, float] | None:
        """Return the span, along the axis that both have in plan, over which it is as far out."""
        axis = other.axis
        away = max(
            other.core.low[axis] - self.core.high[axis],
            self.core.low[axis] - other.core.high[axis],
            0.0,
        )
        if away >= self.radius and away > 0:
            return None
        half = math.sqrt(self.radius**2 - away**2)
        return self.core.low[common] - half, self.core.high[common] + half


@dataclass(frozen=True, slots=True, kw_only=True)
class Sunk:
    """A feature where it is: in which frame it is described, and sunk into which box."""

    feature: Feature
    frame: Frame
    box: Box  # in that frame
    setup: str  # in which it is cut; empty for what is there from the start

    def prisms(self) -> list[Prism]:
        """Return what it takes up at its largest, in the blank's axes."""
        bottom, top = self.box.low[2], self.box.high[2]
        found = []
        for stretch, depth in _sunk(self.feature):
            floor = bottom if depth is None else max(top - depth, bottom)
            core = Box((stretch.x0, stretch.y0, floor), (stretch.x1, stretch.y1, top))
            axis = self.frame.lie.ways[2].axis
            found.append(Prism(axis, self.frame.box_out_of(core), stretch.radius))
        return found


def there_already(job: Job) -> tuple[Sunk, ...]:
    """Return what is there from the start."""
    own = [
        Sunk(feature=each, frame=view.frame, box=view.frame.box_into(job.blank.box), setup="")
        for view in job.there
        for each in view.features
    ]
    of_setups = [
        Sunk(feature=each, frame=setup.frame, box=job.blank_box(setup), setup="")
        for setup in job.setups
        for each in setup.there
    ]
    return (*own, *of_setups)


def cut_in(job: Job, setup: JobSetup) -> tuple[Sunk, ...]:
    """Return what is cut in a setup."""
    box = job.blank_box(setup)
    return tuple(
        Sunk(feature=each, frame=setup.frame, box=box, setup=setup.name) for each in setup.features
    )


def gone_before(job: Job, setup: JobSetup) -> tuple[Sunk, ...]:
    """Return what is gone before a setup: all that is there already, all cut in those before."""
    gone = list(there_already(job))
    for earlier in job.setups:
        if earlier.name == setup.name:
            break
        gone.extend(cut_in(job, earlier))
    return tuple(gone)


def _sunk(feature: Feature) -> Iterator[tuple[Stretch, float | None]]:
    """Yield what a feature takes up seen from above, each with its depth; None: through."""
    match feature:
        case Slot():
            for stretch in stretches(feature):
                yield stretch, None if feature.depth is None else feature.depth.high
        case Holes():
            yield from _of_holes(feature)
        case _:
            assert_never(feature)


def _of_holes(holes: Holes) -> Iterator[tuple[Stretch, float | None]]:
    """Yield the bores, down to the drill's point, and their mouths."""
    depth = None
    if holes.depth is not None:
        depth = holes.depth.high + holes.lead + point_length(holes.bore.low)
    mouths = []
    if holes.counterbore is not None:
        mouths.append((holes.counterbore.diameter.high, holes.counterbore.depth.high))
    if holes.countersink is not None:
        across = holes.countersink.diameter.high
        mouths.append((across, point_length(across, holes.countersink.angle_deg)))
    for place in holes.places:
        yield Stretch(*place.at, *place.at, holes.bore.high / 2), depth
        for across, deep in mouths:
            yield Stretch(*place.at, *place.at, across / 2), deep


def openings(job: Job, setup: JobSetup) -> list[Stretch]:
    """Return where the upper face of a setup, or what lies close under it, is gone; mm."""
    top = job.blank_box(setup).high[2]
    seen = [
        prism.seen_in(setup.frame) for gone in gone_before(job, setup) for prism in gone.prisms()
    ]
    return [
        Stretch(*prism.core.low[:2], *prism.core.high[:2], prism.radius)
        if prism.axis == 2
        else Stretch(prism.span(0)[0], prism.span(1)[0], prism.span(0)[1], prism.span(1)[1], 0.0)
        for prism in seen
        if prism.span(2)[1] > top - THIN
    ]
