"""The bar in the half plane as it loses metal, and what is cut of it, move by move."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely.affinity import scale, translate
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.left import Left
from pathgen.job.faceplate import FaceplateHold
from pathgen.job.held_on import HeldOn, KeepOut, keep_outs
from pathgen.job.turned import TurnedJob, TurnedSetup

OPEN = 0.02  # mm by which a tool may lie in metal in a rapid: it leaves what it has just cut
GRAIN = 1e-6  # mm: finer than that there is nothing
PART = 0.5  # mm behind a face, where there surely is metal


@dataclass(slots=True)
class Bar:
    """What is left of the bar so far, z along and x from the axis; mm."""

    metal: BaseGeometry
    held_by: tuple[tuple[KeepOut, BaseGeometry], ...]

    @classmethod
    def held(cls, comes: BaseGeometry, job: TurnedJob, setup: TurnedSetup, held: HeldOn) -> Bar:
        """Return the bar as it comes, held."""
        about = keep_outs(job, setup, held)
        return cls(metal=comes, held_by=tuple((each, Polygon(each.corners)) for each in about))

    def cut(self, sweep: BaseGeometry) -> tuple[Polygon, ...]:
        """Take what a tool sweeps out of the metal; return the pieces of it, if any."""
        removed = pieces(self.metal.intersection(sweep))
        if removed:
            self.metal = self.metal.difference(sweep)
        return removed

    def meets(self, sweep: BaseGeometry) -> float:
        """Return how deep a sweep lies in the metal at least, mm; 0 where it is clear of it."""
        return _depth(self.metal, sweep)

    def meets_holding(self, sweep: BaseGeometry) -> KeepOut | None:
        """Return what a sweep comes to of all that holds the work, None where it is clear."""
        met = (o for o, area in self.held_by if area.intersection(sweep).area > GRAIN)
        return next(met, None)

    @property
    def part(self) -> BaseGeometry:
        """Return the piece that the part is: that with the right end, when the bar is parted."""
        return max(pieces(self.metal), key=lambda piece: piece.bounds[2], default=Polygon())


def as_it_comes(
    job: TurnedJob, setup: TurnedSetup, left: Left | None, longer: float = 0.0
) -> BaseGeometry:
    """Return the metal that a setup begins with, in its frame: a bar, or a part carried over.

    Where its end is faced that may be longer than the setup before left it, its end to the right
    further out; mm.
    """
    right = setup.facing
    if setup.carried is None:
        inner = setup.hold.inner if isinstance(setup.hold, FaceplateHold) else 0.0
        return box(right - job.blank.length, inner, right, job.blank.diameter / 2)
    assert left is not None, "a part is carried over from the setup before"
    assert left.turned is not None, "which was a setup of turned work"
    about = left.turned
    if setup.carried.turned_round:
        about = scale(about, xfact=-1.0, yfact=1.0, origin=(0.0, 0.0))
    about = translate(about, xoff=right - about.bounds[2])
    if not setup.facing:
        return about
    more = box(right - PART, 0.0, right + longer, job.blank.diameter / 2)
    beyond = box(right + longer, 0.0, right + job.blank.length, job.blank.diameter)
    return about.union(more).difference(beyond)


def _depth(metal: BaseGeometry, sweep: BaseGeometry) -> float:
    """Return `OPEN` or more where a sweep lies deeper in metal than that; else 0."""
    inside = metal.intersection(sweep)
    if inside.area <= GRAIN or inside.buffer(-OPEN / 2).is_empty:
        return 0.0
    low_z, low_x, high_z, high_x = inside.bounds
    return max(OPEN, min(high_z - low_z, high_x - low_x))


def pieces(metal: BaseGeometry) -> tuple[Polygon, ...]:
    """Return the pieces of metal, without what has no area to speak of."""
    each_of = getattr(metal, "geoms", [metal])
    return tuple(each for each in each_of if isinstance(each, Polygon) and each.area > GRAIN)


def extent_out(part: BaseGeometry, z: tuple[float, float]) -> tuple[float, float]:
    """Return the least and the greatest x that the outside of a part has over a stretch, mm."""
    strip = box(z[0], 0.0, z[1], part.bounds[3] + 1.0)
    most = part.intersection(strip).bounds[3] if part.intersects(strip) else 0.0
    void = max(pieces(strip.difference(part)), key=lambda each: each.bounds[3], default=None)
    return (math.nan if void is None else void.bounds[1]), most


def extent_in(part: BaseGeometry, z: tuple[float, float]) -> tuple[float, float]:
    """Return the least and the greatest x that the inside of a hollow part has over a stretch, mm.

    Not a number where it is not hollow all along, or nothing is left of it.
    """
    strip = box(z[0], 0.0, z[1], part.bounds[3])
    metal = part.intersection(strip)
    void = min(pieces(strip.difference(part)), key=lambda each: each.bounds[1], default=None)
    if metal.is_empty or void is None:
        return math.nan, math.nan
    return metal.bounds[1], void.bounds[3]


def extent_along(
    part: BaseGeometry, x: tuple[float, float], z: tuple[float, float]
) -> tuple[float, float]:
    """Return where metal begins at the right within a window: nearest and furthest to the right."""
    window = box(z[0], x[0], z[1], x[1])
    metal = part.intersection(window)
    void = max(pieces(window.difference(part)), key=lambda each: each.bounds[2], default=None)
    if metal.is_empty or void is None:
        return math.nan, math.nan
    return void.bounds[0], metal.bounds[2]
