"""Chain drilling a pocket: round it where it goes through, in a grid to just above a floor.

Of one that goes through a row of holes stands inside the walls, at equal pitch round the contour,
so that the middle drops out and the mill only has the webs to cut. Of a blind one holes stand in
rows all over it, and the mill cuts what is left between them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.job.areas import Pocket
from pathgen.plan.areas.region import Wanted
from pathgen.plan.areas.rings import moved_in
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.holes.drilling import (
    Sink,
    Target,
    refuse_beneath,
    spot_across,
    spotted,
    spotting_drill,
    sunk,
    through_bottom,
)
from pathgen.plan.holes.order import in_order
from pathgen.reckon.chains import default_web
from pathgen.shop.cutters import Cutter

WANDER = 0.5  # mm between a hole of the chain and the wall, for the drill's wander; common
# practice: 0.4 to 0.8 mm for milling, 1 mm if the drill is long; no source
LARGEST = 10.0  # mm: a larger drill is not chosen unless the job names it
PILOT_FROM = 8.0  # mm: larger drills get a pilot (common practice, no source)
PILOT_SHARE = 0.4  # of the drill: a little over its web (common practice, no source)
ABOVE_FLOOR = 0.3  # mm that a drill's point stays above a floor (common practice, no source)
LEAST_FULL = 0.3  # of its diameter that a drill goes in at full width, or it is not worth while
LEAST_HOLES = 4  # fewer round a pocket are no chain
CLOSED = 1e-6  # mm


def chain_places(line: shapely.LinearRing, diameter: float, least_web: float) -> list[Target]:
    """Return where the holes of a chain round a closed line go, at equal pitch; mm.

    Equal along the line; where the line bends, two holes come nearer than that, so the pitch is
    widened until no web is thinner than wanted. The last hole meets the first at the same web.

    Args:
        line: that the centres lie on.
        diameter: of the drill.
        least_web: between two holes, at least.
    """
    count = int(line.length / (diameter + least_web))
    while count >= LEAST_HOLES:
        points = [line.interpolate(line.length * row / count) for row in range(count)]
        places = [(float(point.x), float(point.y)) for point in points]
        gaps = [math.dist(places[row - 1], places[row]) for row in range(count)]
        if min(gaps) - diameter >= least_web - CLOSED:
            return [Target(x=x, y=y) for x, y in places]
        count -= 1
    return []


def chain_operations(pocket: Pocket, bench: Bench, wanted: Wanted) -> Iterator[Operation]:
    """Yield the spotting and drilling of a pocket: round it, or in a grid where it is blind.

    Raises:
        Refusal: no drill fits, or there is no air beneath.
    """
    if pocket.depth is not None:
        yield from _grid_operations(pocket, bench, wanted)
        return
    where = pocket.where.at("ways.way")
    drill = _drill(pocket, bench)
    line = moved_in(wanted.region, drill.radius + WANDER)
    web = _web(pocket, drill)
    rings = [part.exterior for part in shapely.get_parts(line) if not part.is_empty]
    targets = [each for ring in rings for each in chain_places(ring, drill.diameter, web)]
    if not targets or len(rings) != 1:
        raise Refusal(
            where,
            f"the pocket has no room for a chain of {drill.name} holes",
            "name a smaller drill, or leave out way",
        )
    how = _Drilling(
        bottom=partial(through_bottom, bench), row=f"{len(targets)} holes round the pocket"
    )
    yield from _drilled(bench, drill, targets, how)


def _web(pocket: Pocket, drill: Cutter) -> float:
    """Return the least metal between two holes, mm."""
    web = pocket.ways.least_web
    return default_web(drill.diameter) if web is None else web


def grid_places(region: BaseGeometry, pitch: float) -> list[Target]:
    """Return where the holes of a grid in a region go, row by row; mm.

    Args:
        region: in which the centres lie.
        pitch: from one hole to the next, and from row to row.
    """
    if region.is_empty:
        return []
    x0, y0, x1, y1 = region.bounds
    columns, rows = (_spread(low, high, pitch) for low, high in ((x0, x1), (y0, y1)))
    spots = [(x, y) for y in rows for x in columns]
    inside = shapely.intersects_xy(region.buffer(CLOSED), *zip(*spots, strict=True))
    return [Target(x=x, y=y) for (x, y), within in zip(spots, inside, strict=True) if within]


def _spread(low: float, high: float, pitch: float) -> list[float]:
    """Return places at a pitch at least, from end to end; the middle where there is no room."""
    count = int((high - low) / pitch + CLOSED)
    if count == 0:
        return [(low + high) / 2]
    return [low + (high - low) * row / count for row in range(count + 1)]


def _grid_operations(pocket: Pocket, bench: Bench, wanted: Wanted) -> Iterator[Operation]:
    """Yield the drilling of a blind pocket, the drill's point to just above the floor.

    Raises:
        Refusal: no drill fits.
    """
    bottom = wanted.floor + ABOVE_FLOOR

    def places(drill: Cutter) -> list[Target]:
        region = moved_in(wanted.region, drill.radius + WANDER)
        return grid_places(region, drill.diameter + _web(pocket, drill))

    def suits(drill: Cutter) -> bool:
        full = -bottom - drill.point_length  # how far its whole diameter goes in
        enough = full >= LEAST_FULL * drill.diameter and len(places(drill)) >= LEAST_HOLES
        return enough and drill.flute_length >= -bottom

    where = pocket.where.at("ways.way")
    drill = (
        bench.named(pocket.ways.drill, ("drill",), pocket.where.at("ways.drill"))
        if pocket.ways.drill is not None
        else bench.largest(("drill",), LARGEST, suits)
    )
    if drill is None or not suits(drill):
        raise Refusal(
            where,
            f"no {LEAST_HOLES} holes go {bench.say(-bottom)} deep within the walls, the drill's "
            "point counted, with enough of them drilled to the full diameter",
            "name a smaller drill, or leave out way: a mill clears it",
        )
    targets = places(drill)
    row = f"{len(targets)} holes in rows, the point {bench.say(ABOVE_FLOOR)} above the floor"
    yield from _drilled(bench, drill, targets, _Drilling(bottom=lambda _: bottom, row=row))


def _drill(pocket: Pocket, bench: Bench) -> Cutter:
    """Return the drill of the chain: that which the job names, or the largest that gets through.

    Raises:
        Refusal: there is none, or its point comes down on what lies beneath.
    """
    where = pocket.where.at("ways.drill")

    def reaches(drill: Cutter) -> bool:
        return drill.flute_length >= -through_bottom(bench, drill)

    if pocket.ways.drill is not None:
        drill = bench.named(pocket.ways.drill, ("drill",), where)
    else:
        found = bench.largest(("drill",), LARGEST, reaches)
        if found is None:
            raise Refusal(where, "no drill of the crib gets through the blank", "add a longer one")
        drill = found
    if not reaches(drill):
        raise Refusal(
            where,
            f"{drill.name} has flutes of {bench.say(drill.flute_length)}, and the hole is "
            f"{bench.say(-through_bottom(bench, drill))} deep",
            "name a longer one",
        )
    refuse_beneath(
        bench,
        {f"the point of the {drill.name}": through_bottom(bench, drill)},
        "hold the blank with {} or more under the pocket, or name a smaller drill",
    )
    return drill


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drilling:
    """How deep drills go, and what is drilled in words."""

    bottom: Callable[[Cutter], float]  # z of the point
    row: str


def _drilled(
    bench: Bench, drill: Cutter, targets: list[Target], how: _Drilling
) -> Iterator[Operation]:
    """Yield spots, pilots and holes, in the order of the way."""
    ways = {(target.x, target.y): target for target in targets}
    order = in_order(tuple(ways), bench) if bench.machine.manual else tuple(ways)
    placed = tuple(ways[place] for place in order)
    pilot = None
    if drill.diameter >= PILOT_FROM:
        pilot = bench.largest(
            ("drill",),
            PILOT_SHARE * drill.diameter,
            lambda each: each.flute_length >= -how.bottom(each),
        )
    spot = spotting_drill(bench)
    if spot is not None:
        across = spot_across(spot, pilot or drill, drill)
        yield spotted(bench, spot, placed, across, how.bottom(drill))
    rows = ((pilot, "pilot", f"pilots for {how.row}"), (drill, "chain drill", how.row))
    for cutter, purpose, why in rows:
        if cutter is not None:
            yield sunk(
                bench,
                Sink(
                    purpose="pilot" if purpose == "pilot" else "chain drill",
                    trade="drilling",
                    cutter=cutter,
                    targets=placed,
                    bottom=how.bottom(cutter),
                    why=why,
                ),
            )
