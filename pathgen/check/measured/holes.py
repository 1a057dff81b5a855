"""Measuring holes on the metal that is left."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.measured.beside import beside, gone_layers, whole_levels
from pathgen.check.measured.concentric import off_axis
from pathgen.check.measured.finished import NOISE
from pathgen.check.measured.finished_holes import FinishedHole, FinishedHoles, Round
from pathgen.check.measured.hole_list import sizes_of
from pathgen.check.metal.legs import CHORD_ERROR
from pathgen.check.metal.sweeps import SAME, grown
from pathgen.check.wanted.outline import largest_region
from pathgen.job.holes import Countersink, Holes, Place
from pathgen.job.sizes import Size

BISECTIONS = 16  # of the thickness, to find how deep a full diameter goes
BELOW_MOUTH = 0.02  # mm below a mouth from where the bore is looked at
LEAST_REACH = 2.0  # mm that a hole may lie beside its place and still be taken for it, or more


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Levels:
    """The heights at which a hole is looked at, z; mm."""

    top: float  # just under the top face
    upper: float  # where the bore begins
    middle: float  # half-way, or as near to it as the bore is whole
    lower: float  # down to where the full diameter must be there, and has metal round it


class _Measuring:
    """The metal about the holes of one feature."""

    def __init__(self, context: Context, holes: Holes) -> None:
        self.context, self.holes = context, holes
        self.low, self.high = context.box[0][2], context.box[1][2]
        self.levels = self._levels()
        self.gone = gone_layers(context)
        self.own = largest_region(holes)
        others = [largest_region(slot) for slot in context.setup.slots]
        plan: BaseGeometry = context.metal.plan
        self.ground = plan.difference(shapely.union_all(others)) if others else plan
        self.places = np.array(
            [place.at for holes in context.setup.holes for place in holes.places]
        )

    def _levels(self) -> _Levels:
        holes = self.holes
        lower = self.low if holes.depth is None else self.high - holes.depth.low
        upper = bore_top(holes, self.high)
        return _Levels(
            top=self.high - 2 * SAME,
            upper=max(upper, lower),
            middle=(max(upper, lower) + lower) / 2,
            lower=lower,
        )

    def levels_at(self, place: Place) -> _Levels:
        """Return the heights at which to look at one hole: where nothing of it was gone before."""
        levels = self.levels
        if not self.gone:
            return levels
        hole = place.at, self.holes.bore.high / 2
        whole = whole_levels(self.gone, hole, levels.lower, levels.upper)
        if not whole:
            return levels
        return _Levels(
            top=levels.top,
            upper=whole[-1],
            middle=min(whole, key=lambda level: abs(level - levels.middle)),
            lower=whole[0],
        )

    def round_at(self, place: Place, level: float) -> Round | None:
        """Return what is cleared about a place just above a level; None when there is nothing."""
        reach = self.holes.mouth / 2 + max(LEAST_REACH, self.holes.mouth / 2)
        window = grown(shapely.Point(place.at), reach).intersection(self.ground)
        window = window.difference(beside(self.gone, self.own, level - SAME, level + SAME))
        cleared = window.difference(self.context.metal.metal_in(window, level))
        found = [part for part in shapely.get_parts(cleared) if part.area > NOISE]
        middle = shapely.Point(place.at)
        part = min(found, key=lambda each: float(each.centroid.distance(middle)), default=None)
        if part is None or not self._is_of(place, part.centroid):
            return None
        return _round(part)

    def _is_of(self, place: Place, centre: shapely.Point) -> bool:
        """Return whether what lies at a centre belongs to a place rather than to another."""
        at = np.array([centre.x, centre.y])
        away = math.dist((centre.x, centre.y), place.at)
        nearest = float(np.hypot(*(self.places - at).T).min())
        return away <= nearest + NOISE and away < self.holes.mouth / 2 + LEAST_REACH

    def depth_of(self, found: Round | None, wanted: Size) -> float:
        """Return how deep, below the top, a diameter goes all round, mm; 0 for none.

        Of one that is too wide the upper limit is looked for, so that it is told of once.
        """
        if found is None or found.least < 4 * NOISE:
            return 0.0
        across = min(found.least, wanted.high)
        circle = grown(shapely.Point(found.at), across / 2 - 2 * NOISE)
        if self._clear(circle, self.low):
            return self.high - self.low
        low, high = self.low, self.levels.top
        for _ in range(BISECTIONS):
            half_way = (low + high) / 2
            low, high = (low, half_way) if self._clear(circle, half_way) else (half_way, high)
        return self.high - high

    def _clear(self, circle: BaseGeometry, level: float) -> bool:
        return bool(self.context.metal.metal_over(circle, level).is_empty)

    def cone(self, place: Place, wanted: Countersink) -> Round | None:
        """Return a countersink at the top face, by what it measures there and half-way down.

        A cone of another angle measures otherwise half-way down, so its span becomes wider.
        """
        top = self.round_at(place, self.levels.top)
        height = (wanted.diameter.low - self.holes.bore.high) / 4 / _slope(wanted)
        below = self.round_at(place, self.high - height)
        if top is None or below is None:
            return top
        wider = 2 * height * _slope(wanted)
        return replace(
            top,
            least=min(top.least, below.least + wider),
            most=max(top.most, below.most + wider),
        )


def bore_top(holes: Holes, top: float) -> float:
    """Return the height at which a bore begins below its mouth, z; mm."""
    if holes.floor is not None:
        return top - holes.floor.depth.high - BELOW_MOUTH
    if holes.counterbores:
        return top - holes.counterbores[-1].depth.high - BELOW_MOUTH
    if holes.countersink is not None:
        wide = holes.countersink.diameter.high - holes.bore.low
        return top - wide / 2 / _slope(holes.countersink) - BELOW_MOUTH
    return top - 2 * SAME


def _slope(wanted: Countersink) -> float:
    """Return by how much a countersink's radius grows, mm for a mm of height."""
    return math.tan(math.radians(wanted.angle_deg / 2))


def _round(part: BaseGeometry) -> Round:
    """Return the centre of a region with its least and greatest distance to the edge, doubled.

    The sides of a circle lie inside it by `CHORD_ERROR` at most, its corners on it.
    """
    centre = part.centroid
    edge = part.exterior if isinstance(part, shapely.Polygon) else part.boundary
    corners = shapely.points(shapely.get_coordinates(edge))
    most = 2 * float(shapely.distance(corners, centre).max())
    least = 2 * float(edge.distance(centre)) if part.contains(centre) else 0.0
    least = min(least + 2 * CHORD_ERROR, most) if least > 0 else 0.0
    return Round(x=centre.x, y=centre.y, least=least, most=most)


def measure_holes(context: Context, holes: Holes) -> FinishedHoles:
    """Return holes as the moves leave them."""
    measuring = _Measuring(context, holes)
    each = tuple(_hole(measuring, place) for place in holes.places)
    finished = FinishedHoles(holes=holes, each=each, sizes=())
    concentric = off_axis(context, finished)
    sizes = () if concentric is None else (concentric,)
    return replace(finished, sizes=(*sizes_of(context, finished), *sizes))


def _hole(measuring: _Measuring, place: Place) -> FinishedHole:
    """Return one hole as the moves leave it."""
    holes = measuring.holes
    bore = _bore(measuring, place)
    return FinishedHole(
        place=place,
        bore=bore,
        depth=measuring.depth_of(bore, holes.bore),
        countersink=None if holes.countersink is None else measuring.cone(place, holes.countersink),
        counterbores=tuple(_counterbores(measuring, place)),
    )


def _counterbores(measuring: _Measuring, place: Place) -> Iterator[tuple[Round | None, float]]:
    """Yield each counterbore with its depth: how wide it is just below the one above it."""
    level = measuring.levels.top
    for wanted in measuring.holes.counterbores:
        found = measuring.round_at(place, level)
        yield found, measuring.depth_of(found, wanted.diameter)
        level = measuring.high - wanted.depth.high - BELOW_MOUTH


def _bore(measuring: _Measuring, place: Place) -> Round | None:
    """Return the bore: where it lies and how narrow it is half-way down, and its widest.

    Only what is there counts for its least, or what there is above if it does not go so deep; that
    it is full down to where it should be, its depth tells.
    """
    levels = measuring.levels_at(place)
    above = measuring.round_at(place, levels.upper)
    found = measuring.round_at(place, levels.middle) or above
    if found is None or above is None:
        return found
    below = measuring.round_at(place, levels.lower) or found
    return replace(found, most=max(found.most, above.most, below.most))
