"""Clearing all round a part from the blank's edges inwards, so that the metal is ever on its side.

Each ring goes round the part at an equal distance, the outermost first. Where a ring runs out over
the blank's edge it is left out but for a little, so most ways down are in the air beside the blank.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal, Where
from pathgen.moves.moves import Feed, Move, Rapid
from pathgen.plan.areas.along import Clearing, Spot, along, start_of
from pathgen.plan.areas.paths import ramp_along
from pathgen.plan.areas.region import BEYOND
from pathgen.plan.areas.rings import beginning_at, moved_in
from pathgen.plan.areas.suited_rings import CLOSER, COVERED, COVERED_SHARE, OVERLAP, TRIES
from pathgen.shop.cutters import Cutter

LONGEST_LINK = 1.0  # of the diameter: further on it is lifted over


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rings:
    """The rings about a part, the outermost first, and the blank that they clear; mm."""

    rings: tuple[shapely.LinearRing, ...]
    within: tuple[bool, ...]  # ring by ring: in a hollow of the part, which lies round it
    stock: BaseGeometry
    reach: BaseGeometry  # where the cutter's centre may be


def rings_inwards(
    part: BaseGeometry, stock: BaseGeometry, how: tuple[Cutter, float, float], where: Where
) -> Rings:
    """Return rings about a part that clear all of the blank round it.

    Args:
        part: what stays.
        stock: the blank seen from above.
        how: the cutter, what is left on the walls, how far one ring lies within the next; mm.
        where: the feature, for a refusal.

    Raises:
        Refusal: some place stays uncovered however near the rings are laid.
    """
    cutter, allowance, step = how
    nearest = moved_in(part, -cutter.radius - allowance)
    # What no cutter reaches at the corners of the part is not theirs to cover.
    reach = cutter.radius - OVERLAP
    wanted = stock.difference(moved_in(nearest, reach * COVERED_SHARE))
    for _ in range(TRIES):
        rings, within = _laid(nearest, stock, step, cutter.radius)
        swept = shapely.union_all(shapely.buffer(list(rings), reach, quad_segs=16))
        if wanted.difference(swept).area < COVERED:
            outside = moved_in(stock, -cutter.radius - 2 * BEYOND).difference(nearest.buffer(-1e-5))
            return Rings(rings=rings, within=within, stock=stock, reach=outside)
        step *= CLOSER
    raise Refusal(
        where,
        f"{cutter.name} does not reach everywhere round the part",
        "name a smaller cutter, or leave out cleared",
    )


def _laid(
    nearest: BaseGeometry, stock: BaseGeometry, step: float, radius: float
) -> tuple[tuple[shapely.LinearRing, ...], tuple[bool, ...]]:
    """Return rings a step apart, the outermost first, and which of them lie in a hollow."""
    rows: list[tuple[shapely.LinearRing, bool]] = []
    grown, distance = nearest, 0.0
    while True:
        parts = shapely.get_parts(grown)
        here = [(ring, True) for part in parts for ring in part.interiors]
        here += [(part.exterior, False) for part in parts]
        rows = [*here, *rows]
        if moved_in(grown, -radius).covers(stock):
            break
        distance += step
        grown = moved_in(nearest, -distance)
    return tuple(ring for ring, _ in rows), tuple(within for _, within in rows)


def clear_inwards(clearing: Clearing, rings: Rings) -> Iterator[Move]:
    """Yield the clearing of each depth, from the blank's edges inwards to the part."""
    above = 0.0
    for number, z in enumerate(clearing.depths, start=1):
        walk = _Inwards(clearing, rings, (above, z), f"depth {number} of {len(clearing.depths)}")
        for ring, within in zip(rings.rings, rings.within, strict=True):
            yield from walk.ring(ring, anticlockwise=within == clearing.climb)
        yield from walk.up()
        above = z


@dataclass(slots=True)
class _Inwards:
    """One depth: where the mill stands on its way from ring to ring."""

    clearing: Clearing
    rings: Rings
    heights: tuple[float, float]  # z of what is cleared so far, and of this depth
    what: str
    at: Spot | None = None
    air: BaseGeometry = field(init=False)  # where the centre is when the cutter meets nothing

    def __post_init__(self) -> None:
        """Find the air beside the blank."""
        self.air = moved_in(self.rings.stock, -self.clearing.cutter.radius - BEYOND / 2)

    def ring(self, ring: shapely.LinearRing, *, anticlockwise: bool) -> Iterator[Move]:
        """Yield the way to a ring and once round it, or along those parts of it that cut."""
        near = moved_in(self.rings.stock, -self.clearing.cutter.radius - BEYOND)
        if near.covers(ring) or self.clearing.bridges:
            yield from self._whole(ring, anticlockwise=anticlockwise)
            return
        way = beginning_at(ring, self._off(ring), anticlockwise=anticlockwise)
        for piece in shapely.get_parts(shapely.LineString(way).intersection(near)):
            corners = [(float(x), float(y)) for x, y in piece.coords]
            if piece.intersects(self.rings.stock.buffer(self.clearing.cutter.radius)):
                yield from self._down_in_air(corners[0])
                yield from self._along(corners)

    def up(self) -> Iterator[Move]:
        """Yield the way up to the clear plane."""
        if self.at is not None:
            yield Rapid(*self.at, self.clearing.clear)
            self.at = None

    def _off(self, ring: shapely.LinearRing) -> Spot:
        """Return the corner of a ring that lies furthest from the blank."""
        corners = shapely.get_coordinates(ring)
        away = shapely.distance(shapely.points(corners), self.rings.stock)
        x, y = corners[int(np.argmax(away))].tolist()
        return x, y

    def _whole(self, ring: shapely.LinearRing, *, anticlockwise: bool) -> Iterator[Move]:
        start = self.at or start_of(ring, self.clearing)
        corners = beginning_at(ring, start, anticlockwise=anticlockwise)
        far = math.dist(start, corners[0])
        link = shapely.LineString([start, corners[0]])
        short = far <= LONGEST_LINK * self.clearing.cutter.diameter
        if self.at is not None and short and self.rings.reach.covers(link):
            if far > 0:
                how = self.clearing.how("to the ring")
                yield Feed(*corners[0], self.heights[1], self.clearing.figures.feed, how)
        elif not self.air.covers(shapely.Point(self._off(ring))):
            corners = beginning_at(ring, self._off(ring), anticlockwise=anticlockwise)
            yield from self._down_in_air(corners[0])
        else:
            yield from self.up()
            yield from ramp_along(self.clearing, corners, self.heights, self.what)
        yield from self._along(corners)

    def _down_in_air(self, spot: Spot) -> Iterator[Move]:
        """Yield the way to a place beside the blank, and down there."""
        yield from self.up()
        clearing, (_, z) = self.clearing, self.heights
        yield Rapid(*spot, clearing.clear, clearing.how(f"{self.what}: over the way down"))
        yield Rapid(*spot, clearing.just_above(z))
        how = clearing.how(f"{self.what}: down in the air")
        yield Feed(*spot, z, clearing.figures.plunge, how)

    def _along(self, corners: Sequence[Spot]) -> Iterator[Move]:
        yield from along(self.clearing, corners, self.heights[1], f"{self.what}: ring")
        self.at = corners[-1]
