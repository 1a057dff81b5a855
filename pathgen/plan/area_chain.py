"""Chain drilling a pocket that goes through: a row of holes inside its walls, so the middle drops.

Whatever its shape, each hole stands off the wall by the allowance, at equal pitch round the
contour; then the mill only has the webs to cut.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from pathgen.input.where import Refusal
from pathgen.job.areas import Pocket
from pathgen.plan.area_region import Wanted
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.drilling import (
    Sink,
    Target,
    refuse_beneath,
    spot_across,
    spotted,
    spotting_drill,
    sunk,
    through_bottom,
)
from pathgen.plan.hole_order import in_order
from pathgen.plan.rings import moved_in
from pathgen.reckon.chains import default_web
from pathgen.shop.cutters import Cutter

WANDER = 0.5  # mm between a hole of the chain and the wall, for the drill's wander; common
# practice: 0.4 to 0.8 mm for milling, 1 mm if the drill is long; no source
LARGEST = 10.0  # mm: a larger drill is not chosen unless the job names it
PILOT_FROM = 8.0  # mm: larger drills get a pilot (common practice, no source)
PILOT_SHARE = 0.4  # of the drill: a little over its web (common practice, no source)
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
    """Yield the spotting and drilling of the chain round a pocket.

    Raises:
        Refusal: the pocket is blind or has islands, no drill fits, or there is no air beneath.
    """
    where = pocket.where.at("ways.way")
    if pocket.depth is not None or pocket.islands:
        raise Refusal(
            where,
            "only a pocket that goes through, without islands, is chain-drilled",
            "leave out way: a blind pocket is cleared by a mill",
        )
    drill = _drill(pocket, bench)
    line = moved_in(wanted.region, drill.radius + WANDER)
    web = pocket.ways.least_web
    web = default_web(drill.diameter) if web is None else web
    rings = [part.exterior for part in shapely.get_parts(line) if not part.is_empty]
    targets = [each for ring in rings for each in chain_places(ring, drill.diameter, web)]
    if not targets or len(rings) != 1:
        raise Refusal(
            where,
            f"the pocket has no room for a chain of {drill.name} holes",
            "name a smaller drill, or leave out way",
        )
    yield from _drilled(bench, drill, targets)


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


def _drilled(bench: Bench, drill: Cutter, targets: list[Target]) -> Iterator[Operation]:
    """Yield spots, pilots and holes, in the order of the way."""
    ways = {(target.x, target.y): target for target in targets}
    order = in_order(tuple(ways), bench) if bench.machine.manual else tuple(ways)
    placed = tuple(ways[place] for place in order)
    pilot = None
    if drill.diameter >= PILOT_FROM:
        pilot = bench.largest(
            ("drill",),
            PILOT_SHARE * drill.diameter,
            lambda each: each.flute_length >= -through_bottom(bench, each),
        )
    spot = spotting_drill(bench)
    if spot is not None:
        across = spot_across(spot, pilot or drill, drill)
        yield spotted(bench, spot, placed, across, -math.inf)
    row = f"{len(placed)} holes round the pocket"
    rows = ((pilot, "pilot", f"pilots for {row}"), (drill, "chain drill", row))
    for cutter, purpose, why in rows:
        if cutter is not None:
            yield sunk(
                bench,
                Sink(
                    purpose="pilot" if purpose == "pilot" else "chain drill",
                    trade="drilling",
                    cutter=cutter,
                    targets=placed,
                    bottom=through_bottom(bench, cutter),
                    why=why,
                ),
            )
