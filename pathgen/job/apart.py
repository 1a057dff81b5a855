"""Features that run into one another or out of the blank, which no planner or check can judge."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple, assert_never

from pathgen.input.getters import Table
from pathgen.job.areas import Facing, Free, Outside, Pocket, Rectangular, Round, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.job import Area, Feature, Point
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

FAR = 1e4  # mm: an outside goes on beyond the blank


class Stretch(NamedTuple):
    """All within a radius of a box, or of a line, along the axes; or of a slanting line; mm."""

    x0: float
    y0: float
    x1: float
    y1: float
    radius: float
    slanting: bool = False  # the line from (x0, y0) to (x1, y1), and no box

    def gap(self, other: Stretch) -> float:
        """Return the distance between two, mm; below 0 where they overlap."""
        if self.slanting or other.slanting:
            return float(self.line.distance(other.line)) - self.radius - other.radius
        across = max(self.x0 - other.x1, other.x0 - self.x1, 0.0)
        away = max(self.y0 - other.y1, other.y0 - self.y1, 0.0)
        return math.hypot(across, away) - self.radius - other.radius

    @property
    def line(self) -> BaseGeometry:
        """Return what all of it lies within the radius of."""
        import shapely  # noqa: PLC0415 - heavy; only jobs with slots at an angle need it

        if self.slanting or self.x0 == self.x1 or self.y0 == self.y1:
            return shapely.LineString([(self.x0, self.y0), (self.x1, self.y1)])
        return shapely.box(self.x0, self.y0, self.x1, self.y1)


def guard_apart(table: Table, features: list[Feature]) -> None:
    """Record holes and areas that run into another feature of the same setup."""
    facing = next((each for each in features if isinstance(each, Facing)), None)
    if facing is not None and len(features) > 1:
        table.wrong(
            "feature",
            f"{facing.name!r} takes off the face that the other features are measured from",
            "face it in a setup of its own, before",
        )
        return
    sphere = next((each for each in features if isinstance(each, Sphere)), None)
    if sphere is not None and len(features) > 1:
        table.wrong(
            "feature",
            f"the {sphere.form} {sphere.name!r} beside other features",
            "give it a setup of its own: it is cut, and proved, by itself",
        )
        return
    for one, other in combinations([f for f in features if not isinstance(f, Chamfer)], 2):
        if _touch(one, other):
            table.wrong(
                "feature",
                f"{one.name!r} and {other.name!r} run into one another",
                "move one of them, or cut it in a setup of its own",
            )


def _touch(one: Feature, other: Feature) -> bool:
    """Tell whether two features run into one another, where they are not both slots."""
    if _in_floor(one, other) or _in_floor(other, one):
        return False
    if isinstance(one, Area) or isinstance(other, Area):
        return _areas_touch(one, other)
    if not any(isinstance(each, Holes | Sphere) for each in (one, other)):
        return False
    return min(a.gap(b) for a in stretches(one) for b in stretches(other)) <= 0


def _in_floor(one: Feature, other: Feature) -> bool:
    """Tell whether a feature is holes that begin in the floor of another."""
    return isinstance(one, Holes) and one.floor is not None and one.floor.of == other.name


def _areas_touch(one: Feature, other: Feature) -> bool:
    """Tell whether what two features take away at most meets, one of them an area."""
    return bool(footprint(one).intersects(footprint(other)))


def footprint(feature: Feature) -> BaseGeometry:
    """Return what a feature takes away at its largest, seen from above."""
    import shapely  # noqa: PLC0415 - heavy; only jobs with areas need it

    match feature:
        case Pocket():
            grow = most_off(feature)
            return shapely.Polygon(feature.contour.points(0.001)).buffer(grow)
        case Outside():
            part = shapely.Polygon(feature.contour.points(0.001))
            x0, y0, x1, y1 = part.bounds
            world = shapely.box(x0 - FAR, y0 - FAR, x1 + FAR, y1 + FAR)
            return world.difference(part.buffer(-feature.departure.high))
        case Step() | Facing():
            return shapely.union_all([shapely.box(*strip) for strip in feature.strips])
        case Slot() | TSlot() | Holes() | Sphere():
            lines = [
                shapely.LineString([(s.x0, s.y0), (s.x1, s.y1)]).buffer(s.radius)
                for s in stretches(feature)
            ]
            return shapely.union_all(lines)
        case Chamfer():
            return shapely.Polygon()  # it takes up no more than the edge of what it is of
        case _:
            assert_never(feature)


def most_off(pocket: Pocket) -> float:
    """Return how far a pocket's walls may lie beyond its nominal contour, mm."""
    match pocket.shape:
        case Round(diameter=diameter):
            return (diameter.high - diameter.nominal) / 2
        case Rectangular(length=length, width=width):
            return max(each.high - each.nominal for each in (length, width)) / 2
        case Free(departure=departure):
            return departure.high
        case _:
            assert_never(pocket.shape)


def crowding(feature: Feature, others: list[Feature], low: Point, high: Point) -> str:
    """Return what a feature runs into at its largest, or nothing; as its reader would refuse it.

    Args:
        feature: as its mates have it.
        others: the other features of its setup.
        low: the blank's low corner in the setup's frame, mm.
        high: its high corner.
    """
    for other in others:
        if _touch(feature, other):
            return f"run into {other.name!r}"
    if not isinstance(feature, Holes):
        return ""
    x0, y0, x1, y1 = feature.box
    if x0 <= low[0] or y0 <= low[1] or x1 >= high[0] or y1 >= high[1]:
        return "run out of the blank"
    if any(a.gap(b) <= 0 for a, b in combinations(stretches(feature), 2)):
        return "run into one another"
    mouths = [each.diameter.low for each in (feature.countersink, *feature.counterbores) if each]
    return "be as wide as its mouth" if any(low <= feature.bore.high for low in mouths) else ""


def stretches(feature: Feature) -> list[Stretch]:
    """Return what a feature takes up at its largest."""
    match feature:
        case Holes():
            half = feature.mouth / 2
            return [Stretch(*place.at, *place.at, half) for place in feature.places]
        case Slot():
            half = feature.width.high / 2
            ends = (
                feature.low_end + (0.0 if feature.open_low else half),
                feature.high_end - (0.0 if feature.open_high else half),
            )
            (x0, y0), (x1, y1) = (feature.point(end, feature.centre_line) for end in ends)
            return [Stretch(x0, y0, x1, y1, half, slanting=feature.turned is not None)]
        case TSlot():
            return stretches(feature.head)
        case Pocket() | Outside() | Step() | Facing():
            return [Stretch(*strip, 0.0) for strip in feature.strips]
        case Sphere():
            return [Stretch(*feature.at, *feature.at, feature.chord.high / 2)]
        case Chamfer():
            return []
        case _:
            assert_never(feature)
