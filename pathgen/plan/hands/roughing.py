"""Clearing an area on handles: straight strips, then round along the walls, depth by depth."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from pathgen.input.where import Refusal
from pathgen.job.areas import Outside, Pocket
from pathgen.moves.moves import Feed, How, Move, Rapid
from pathgen.plan import cautions
from pathgen.plan.areas.region import BEYOND
from pathgen.plan.bench import Operation, even_depths
from pathgen.plan.cut_way import drops_out
from pathgen.plan.cutting import Cutting, cutting, slot_depth
from pathgen.plan.hands.runs import Run
from pathgen.plan.hands.strips import StraightCut, strips_in
from pathgen.plan.hands.walls import Spot
from pathgen.plan.hands.work import SLIGHT, Work, along_places, told
from pathgen.plan.heights import WORTH_A_MOVE, just_above

SMALLER = 0.97  # of the depth of a full slot: the cutter may cut smaller than was measured
BAND = 0.9  # of the radius: what the round along the walls clears on either side of it
STRIP_SHARE = 0.49  # of the diameter from one strip to the next
TRIES = 8  # so many times strips are laid closer
CLOSER = 0.8
FAR = 1e3  # mm
COVERED = 1e-3  # mm2 that may stay between strips


def roughing(work: Work) -> Operation:
    """Return the clearing: strip by strip, then round along the walls, depth by depth."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    full = SMALLER * slot_depth(bench.machine, cutter, bench.material)
    depths = _levels(work, work.area.ways.depth_of_cut or full)
    centre = work.ground.centre(cutter.radius, work.allowance, work.allowance)
    rings = [_joined(runs) for runs in work.rings(centre, work.left)]
    strips = _strips(work, centre, rings)
    moves: list[Move] = []
    for number, (above, z) in enumerate(pairwise((0.0, *depths)), start=1):
        walk = _Walk(work, figures, centre, (above, z), f"depth {number} of {len(depths)}")
        moves.extend(walk.strips(strips))
        for ring in rings:
            moves.extend(walk.round(ring))
        moves.extend(walk.up())
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=told(figures, moves),
        why=_why_rough(work, strips),
        moves=tuple(moves),
        depth_of_cut=max(above - z for above, z in pairwise((0.0, *depths))),
        width_of_cut=cutter.diameter / 2,
        notes=(
            cautions.full_width(bench.machine),
            cautions.CONVENTIONAL,
            *((cautions.COMES_LOOSE,) if _comes_loose(work.area) else ()),
        ),
    )


def _comes_loose(area: Pocket | Outside) -> bool:
    if isinstance(area, Pocket):
        return drops_out(area)
    return area.depth is None and not area.bridges


def _levels(work: Work, most: float) -> tuple[float, ...]:
    """Return the z of the passes; one of them at the top of each bridge, so that it is cut once."""
    floor = work.ground.floor
    stops = sorted({floor, *(each.top for each in work.bridges)}, reverse=True)
    return tuple(z for pair in pairwise((0.0, *stops)) for z in even_depths(*pair, most))


def _why_rough(work: Work, strips: Sequence[StraightCut]) -> str:
    """Return in words how an area is cleared."""
    left = work.bench.say(work.allowance)
    if work.filing is not None:
        left = f"{left} to {work.bench.say(work.left)}"
    if drops_out(work.area):
        how = "through the webs of the chain, along the walls"
    elif strips:
        how = f"{len(strips)} strips, all the same way, the first full width, then along the walls"
    else:
        how = "along the walls, full width"
    return f"{how}; {left} is left on them"


def _joined(runs: Sequence[Run]) -> list[Spot]:
    """Return the places of runs end to end, a closed way.

    Where it ends in steps, it begins and ends at the last corner of these and not at a wall: so the
    last cut comes head on to where the first began, with no metal left beside it.
    """
    places = [runs[0].places[0], *(place for run in runs for place in run.places[1:])]
    if runs[-1].filed and len(places) > 2:
        return [places[-2], *places[:-1]]
    return places


def _strips(
    work: Work, centre: BaseGeometry, rings: Sequence[Sequence[Spot]]
) -> tuple[StraightCut, ...]:
    """Return the strips that clear what the rounds along the walls do not reach.

    Raises:
        Refusal: some place stays uncovered however near they are laid.
    """
    area, radius = work.area, work.cutter.radius
    if drops_out(area) or (isinstance(area, Outside) and not area.cleared):
        return ()
    (x0, y0, _), (x1, y1, _) = work.bench.job.blank_box(work.bench.setup)
    round_ways = [shapely.LineString(ring) for ring in rings]
    walls = [part.exterior for part in shapely.get_parts(centre) if work.ground.outer]
    walls += [ring for part in shapely.get_parts(centre) for ring in part.interiors]
    wanted = centre.intersection(shapely.box(x0, y0, x1, y1))
    across = min(work.area.ways.width_of_cut or work.cutter.diameter, 2 * STRIP_SHARE * radius)
    band = BAND * radius
    for _ in range(TRIES):
        within = centre.difference(shapely.union_all(shapely.buffer(walls, band)))
        along = _along(within)
        # From edge to edge, so that the first strip has no metal on its right.
        first, last = radius - across, radius - BEYOND
        box = (
            shapely.box(x0 - FAR, y0 - first, x1 + FAR, y1 - last)
            if along == "x"
            else shapely.box(x0 + last, y0 - FAR, x1 + first, y1 + FAR)
        )
        laid = within if work.ground.outer else within.intersection(box)
        strips = strips_in(laid, centre, across, along)
        lines = [*round_ways, *(shapely.LineString([each.start, each.end]) for each in strips)]
        swept = shapely.union_all(shapely.buffer(lines, radius - SLIGHT, quad_segs=16))
        if wanted.difference(swept).area < COVERED:
            return strips
        across, band = CLOSER * across, CLOSER * band
    raise Refusal(
        area.where,
        f"strips with {work.cutter.name} leave metal between the walls",
        "name another cutter, or take a converted mill",
    )


def _along(region: BaseGeometry) -> Literal["x", "y"]:
    """Return the axis along which fewer strips clear a region: its longer side."""
    if region.is_empty:
        return "x"
    x0, y0, x1, y1 = region.bounds
    return "x" if x1 - x0 >= y1 - y0 else "y"


@dataclass(slots=True)
class _Walk:
    """One depth: where the mill stands on its way from strip to strip and along the walls."""

    work: Work
    figures: Cutting
    centre: BaseGeometry
    heights: tuple[float, float]  # of what is cut already, and of this depth; z
    what: str
    at: Spot | None = None
    ways: list[shapely.LineString] = field(default_factory=list)  # cut at this depth

    def strips(self, strips: Sequence[StraightCut]) -> Iterator[Move]:
        """Yield the way along all strips."""
        for number, strip in enumerate(strips, start=1):
            words = f"{self.what}, strip {number} of {len(strips)}"
            if strip.across is None:
                yield from self.up()
                yield from self._down(strip.start, words)
            else:
                back, start = strip.across
                yield from self._back(back, f"{words}: back along the last")
                yield from self._feed(start, f"{words}: across")
                yield from self._feed(strip.start, f"{words}: out to its start")
            yield from self._feed(strip.end, words)

    def round(self, places: Sequence[Spot]) -> Iterator[Move]:
        """Yield the way round along a wall, from where the mill stands if that can be done."""
        words = f"{self.what}, along the walls"
        link = self._link(places[0])
        if link is None:
            yield from self.up()
            yield from self._down(places[0], words)
        for place in link or ():
            yield from self._feed(place, f"{words}: to them")
        yield from along_places(self.work, self.figures, places, self.heights[1], words)
        self.at = places[-1]
        self.ways.append(shapely.LineString(places))

    def _link(self, to: Spot) -> tuple[Spot, ...] | None:
        """Return by which places the mill gets to one without lifting; None if it cannot."""
        if self.at is None:
            return None
        free = self.centre.buffer(1e-4, join_style="mitre")
        for corner in ((to[0], self.at[1]), (self.at[0], to[1])):
            legs = math.dist(self.at, corner), math.dist(corner, to)
            if any(0 < leg < WORTH_A_MOVE for leg in legs):
                continue  # less than takes the slack out
            way = shapely.LineString([self.at, corner, to])
            if free.covers(way) and self._in_the_clear(way):
                return corner, to
        return None

    def _in_the_clear(self, way: shapely.LineString) -> bool:
        """Return whether all of a way but its end lies in what is cleared at this depth."""
        radius = self.work.cutter.radius
        first = substring(way, 0.0, max(way.length - radius, 0.0))
        cleared = shapely.union_all(shapely.buffer(self.ways, radius + SLIGHT))
        return bool(cleared.covers(first.buffer(radius)))

    def up(self) -> Iterator[Move]:
        """Yield the way up clear, if the mill is down."""
        if self.at is not None:
            yield Rapid(*self.at, self.work.bench.clear)
            self.at = None

    def _down(self, at: Spot, words: str) -> Iterator[Move]:
        above, z = self.heights
        bench = self.work.bench
        z = self.work.height_at(at, z)
        yield Rapid(*at, bench.clear, How(makes="size", what=f"{words}: over the start"))
        if above < 0:
            yield Rapid(*at, just_above(bench.machine, above))
        yield Feed(*at, z, self.figures.plunge, How(makes="size", what=f"{words}: down"))
        self.at = at

    def _feed(self, to: Spot, words: str) -> Iterator[Move]:
        if self.at != to:
            yield Feed(*to, self.heights[1], self.figures.feed, How(makes="stop", what=words))
            if self.at is not None:
                self.ways.append(shapely.LineString([self.at, to]))
            self.at = to

    def _back(self, to: Spot, words: str) -> Iterator[Move]:
        if self.at != to:
            yield Rapid(*to, self.heights[1], How(makes="stop", what=words))
            self.at = to
