"""A dish or dome finished along a true spiral by a round-ended mill, on a machine that goes so.

It winds from the axis outwards, evenly along the surface, and ends with a level ring, which makes
the rim. Its straights stay within a chord's height of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.moves.moves import Arc, Feed, How, Move, Rapid
from pathgen.plan.bench import Operation
from pathgen.plan.cutting import cutting
from pathgen.plan.heights import ABOVE_CHIPS
from pathgen.plan.spheres.ring_work import ALLOWANCE, Work

CHORD = 0.003  # mm that the spiral's straights lie off it, in plan, at most
SIZE = How(makes="size")
LEVEL = 1e-6  # mm off the axis: more is gone round


def finished_along_a_spiral(work: Work) -> Operation:
    """Return the finishing along one spiral, a cusp apart from turn to turn."""
    bench = work.bench
    figures = cutting(bench.machine, work.cutter, bench.material, "end milling finish")
    places = work.spiral(CHORD)
    x, y = work.sphere.at
    begins = (x + places[0][0], y + places[0][1])
    moves: list[Move] = [
        Rapid(*begins, bench.clear, How(what="over the begin of the spiral")),
        Rapid(*begins, min(bench.clear, places[0][2] + ABOVE_CHIPS + ALLOWANCE)),
        Feed(*begins, places[0][2], figures.feed, How(makes="size", what="down")),
    ]
    moves.extend(_ring(work, places[0], figures.feed, "once round where it begins"))
    winding = How(makes="size", what="along the spiral, outwards")
    for row, (dx, dy, z) in enumerate(places[1:]):
        moves.append(Feed(x + dx, y + dy, z, figures.feed, winding if row == 0 else SIZE))
    moves.extend(_ring(work, places[-1], figures.feed, "once round at the rim"))
    end = places[-1]
    moves.append(Rapid(x + end[0], y + end[1], bench.clear))
    return Operation(
        purpose="finish",
        cutter=work.cutter,
        cutting=figures,
        why=f"a spiral from the axis outwards, {bench.say(work.pitch)} from turn to turn for a "
        f"cusp of {bench.say(work.cusp)}, in {len(places) - 1} straights; z is that of the "
        "cutter's tip",
        moves=tuple(moves),
        width_of_cut=work.pitch,
    )


def _ring(work: Work, place: tuple[float, float, float], feed: float, label: str) -> Iterator[Move]:
    """Yield a level turn about the axis, if the place is off it: against the cutter's turn."""
    x, y = work.sphere.at
    dx, dy, z = place
    if math.hypot(dx, dy) > LEVEL:
        how = How(makes="size", what=label)
        yield Arc(x + dx, y + dy, z, x, y, clockwise=work.dish, feed=feed, how=how)
