"""What is gone of the blank before a setup begins: what is there already, and what was cut before.

Each feature is taken at its largest, in layers: a plane region, sunk from the upper face of the
setup that it was described in. shapely is loaded only where there is anything to ask.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, assert_never

from pathgen.job.apart import footprint
from pathgen.job.areas import Facing, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.frame import Box, Frame, Point
from pathgen.job.holes import Holes
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot
from pathgen.reckon.drills import point_length

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

THIN = 1.0  # mm of metal under the upper face: less is not touched on
SAME = 1e-6  # two places that differ by less are one, mm
FAR = 1e4  # mm: beyond any blank
HALF = 0.5  # of a unit: a direction that is longer along an axis lies along it
QUARTER = 32  # sides of a quarter circle


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """A plane region across an axis, gone from one place of that axis to another; mm.

    The region lies in the other two axes, in their order.
    """

    axis: int
    region: BaseGeometry
    low: float
    high: float

    def moved(self, to: Callable[[Point], Point]) -> Layer:
        """Return the layer in other axes, square to these, from how a place is taken there."""
        import shapely.affinity  # noqa: PLC0415 - heavy

        units = ((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        zero, one, two, along = (to(_place(self.axis, *unit)) for unit in units)
        axis = next(i for i in range(3) if abs(along[i] - zero[i]) > HALF)
        across = [i for i in range(3) if i != axis]
        rows = [value for i in across for value in (one[i] - zero[i], two[i] - zero[i])]
        turned = shapely.affinity.affine_transform(
            self.region, [*map(round, rows), *(zero[i] for i in across)]
        )
        ends = (zero[axis] + (along[axis] - zero[axis]) * end for end in (self.low, self.high))
        low, high = sorted(ends)
        return Layer(axis, turned, low, high)

    def span(self, axis: int) -> tuple[float, float]:
        """Return where it begins and ends along an axis, mm."""
        if axis == self.axis:
            return self.low, self.high
        first = [i for i in range(3) if i != self.axis].index(axis)
        bounds = self.region.bounds
        return bounds[first], bounds[first + 2]

    def meets(self, other: Layer) -> bool:
        """Tell whether two layers share any room."""
        if any(not _overlap(self.span(axis), other.span(axis)) for axis in range(3)):
            return False
        if self.axis == other.axis:
            return bool(self.region.intersection(other.region).area > SAME)
        common = 3 - self.axis - other.axis
        own, theirs = list(self._over(other, common)), list(other._over(self, common))
        return any(_overlap(one, two) for one in own for two in theirs)

    def plan(self) -> BaseGeometry:
        """Return what it takes up seen along z, in x and y."""
        import shapely  # noqa: PLC0415

        if self.axis == 2:
            return self.region
        (x0, x1), (y0, y1) = self.span(0), self.span(1)
        aside: BaseGeometry = shapely.box(x0, y0, x1, y1)
        return aside

    def _over(self, other: Layer, common: int) -> Iterator[tuple[float, float]]:
        """Yield the stretches, along an axis that both have in plan, where it is as far out."""
        import shapely  # noqa: PLC0415

        first = [i for i in range(3) if i != self.axis].index(common)
        band = (
            shapely.box(-FAR, other.low, FAR, other.high)
            if first == 0
            else shapely.box(other.low, -FAR, other.high, FAR)
        )
        for part in shapely.get_parts(self.region.intersection(band)):
            if part.area > SAME:
                yield part.bounds[first], part.bounds[first + 2]


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return max(one[0], other[0]) < min(one[1], other[1]) - SAME


def _place(axis: int, first: float, second: float, along: float) -> Point:
    """Return a place by its two coordinates across an axis and the one along it."""
    values = [first, second]
    values.insert(axis, along)
    return values[0], values[1], values[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sunk:
    """A feature where it is: in which frame it is described, and sunk into which box."""

    feature: Feature
    frame: Frame
    box: Box  # in that frame
    setup: str  # in which it is cut; empty for what is there from the start

    def layers_in(self, frame: Frame) -> list[Layer]:
        """Return what it takes up at its largest, in another frame."""
        return [layer.moved(frame.into) for layer in self.layers()]

    def layers(self) -> list[Layer]:
        """Return what it takes up at its largest, in the blank's axes."""
        import shapely  # noqa: PLC0415

        (x0, y0, bottom), (x1, y1, top) = self.box
        plan = shapely.box(x0, y0, x1, y1)
        found = []
        for region, depth, over in _sunk(self.feature):
            floor = bottom if depth is None else max(top - depth, bottom)
            layer = Layer(2, region.intersection(plan), floor, top - over)
            found.append(layer.moved(self.frame.out_of))
        return [layer for layer in found if not layer.region.is_empty]


class _Sunk(NamedTuple):
    """What is gone seen from above, down to a depth, and how much metal is left over it; mm."""

    region: BaseGeometry
    depth: float | None  # None: through
    over: float = 0.0


def _sunk(feature: Feature) -> Iterator[_Sunk]:
    """Yield what a feature takes up, in parts.

    What takes a whole face off is left out: the blank's box is the smaller for it. So is a chamfer:
    it takes but the edge of what is gone.
    """
    match feature:
        case Holes():
            yield from _of_holes(feature)
        case Slot() | Pocket() | Outside():
            yield _Sunk(footprint(feature), None if feature.depth is None else feature.depth.high)
        case TSlot():
            depth = feature.depth.high
            yield _Sunk(footprint(feature.neck), depth)
            yield _Sunk(footprint(feature), depth, feature.lip)
        case Step():
            if feature.depth is not None:
                yield _Sunk(footprint(feature), feature.depth.high)
        case Sphere():
            yield _Sunk(footprint(feature), feature.depth.high)
        case Facing() | Chamfer():
            return
        case _:
            assert_never(feature)


def _of_holes(holes: Holes) -> Iterator[_Sunk]:
    """Yield each hole's bore, down to the drill's point, and its mouth."""
    import shapely  # noqa: PLC0415

    depth = None
    if holes.depth is not None:
        depth = holes.depth.high + holes.below
    widths: list[tuple[float, float | None]] = [(holes.bore.high, depth)]
    widths.extend((each.diameter.high, each.depth.high) for each in holes.counterbores)
    if holes.countersink is not None:
        across = holes.countersink.diameter.high
        widths.append((across, point_length(across, holes.countersink.angle_deg)))
    for place in holes.places:
        for across, deep in widths:
            yield _Sunk(shapely.Point(place.at).buffer(across / 2, quad_segs=QUARTER), deep)


def described_there(setup: JobSetup) -> tuple[Sunk, ...]:
    """Return what a setup says is there already."""
    return tuple(
        Sunk(feature=each.feature, frame=each.frame, box=each.box, setup="") for each in setup.there
    )


def sunk_in(setup: JobSetup, box: Box) -> tuple[Sunk, ...]:
    """Return what is cut in a setup, of the blank's box as it comes to it, in its frame."""
    return tuple(
        Sunk(feature=each, frame=setup.frame, box=box, setup=setup.name) for each in setup.features
    )


def there_already(job: Job) -> tuple[Sunk, ...]:
    """Return what is there from the start."""
    return tuple(each for setup in job.setups for each in described_there(setup))


def cut_in(job: Job, setup: JobSetup) -> tuple[Sunk, ...]:
    """Return what is cut in a setup."""
    return sunk_in(setup, job.blank_box(setup))


def gone_before(job: Job, setup: JobSetup) -> tuple[Sunk, ...]:
    """Return what is gone before a setup: all that is there already, all cut in those before."""
    gone = list(there_already(job))
    for earlier in job.setups:
        if earlier.name == setup.name:
            break
        gone.extend(cut_in(job, earlier))
    return tuple(gone)


def layers_before(job: Job, setup: JobSetup) -> list[Layer]:
    """Return what is gone before a setup, in the setup's frame."""
    return [layer for gone in gone_before(job, setup) for layer in gone.layers_in(setup.frame)]


def openings(job: Job, setup: JobSetup) -> BaseGeometry | None:
    """Return where a setup's upper face, or what lies close under it, is gone; None: nowhere."""
    import shapely  # noqa: PLC0415

    top = job.blank_box(setup).high[2]
    found = [each.plan() for each in layers_before(job, setup) if each.span(2)[1] > top - THIN]
    return shapely.union_all(found) if found else None
