"""Arcs on the way into a program: how far they sweep, their pieces, and their rounding."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product

from pathgen.moves.moves import Arc, Feed
from postprocessors.gcode.numbers import Grid

WHOLE = 1e-9  # mm between the ends of an arc that is a whole turn
CHORD_ERROR = 0.002  # mm between an arc and the chords written for it
SHORTEST = 3  # counts; rounding may turn a shorter arc round, so it becomes a line
MISMATCH = {"mm": 0.002, "in": 0.0002}  # by which the two radii of an arc may differ, program units
MARGIN = 0.9  # share of that which the writer uses
NEIGHBOURS = sorted(product((-2, -1, 0, 1, 2), repeat=2), key=lambda each: math.hypot(*each))
FURTHEST = 3.0  # counts by which a centre may be moved to please the check of radii
AWRY = 4.0  # counts along the arc by which rounding may change its sweep

Point = tuple[float, float, float]


def sweep_deg(arc: Arc, start: Point) -> float:
    """Return how far an arc turns in all, degrees, above 0.

    >>> sweep_deg(Arc(0, 10, 0, 0, 0, False, 100), (10, 0, 0))
    90.0
    >>> sweep_deg(Arc(10, 0, 0, 0, 0, True, 100, turns=1), (10, 0, 0))
    720.0
    """
    if math.hypot(arc.x - start[0], arc.y - start[1]) <= WHOLE:
        return 360.0 * (arc.turns + 1)
    before = math.atan2(start[1] - arc.centre_y, start[0] - arc.centre_x)
    after = math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x)
    turned = before - after if arc.clockwise else after - before
    return 360.0 * arc.turns + math.degrees(turned % math.tau)


def radii(arc: Arc, start: Point) -> tuple[float, float]:
    """Return the radius at the start and at the end, mm."""
    return (
        math.hypot(start[0] - arc.centre_x, start[1] - arc.centre_y),
        math.hypot(arc.x - arc.centre_x, arc.y - arc.centre_y),
    )


def points_along(arc: Arc, start: Point, shares: list[float]) -> Iterator[Point]:
    """Yield points along an arc at shares of its sweep; share 1 is its very end."""
    first, last = radii(arc, start)
    angle = math.atan2(start[1] - arc.centre_y, start[0] - arc.centre_x)
    sweep = math.radians(sweep_deg(arc, start)) * (-1 if arc.clockwise else 1)
    for share in shares:
        if share == 1:
            yield arc.x, arc.y, arc.z
            continue
        radius = first + share * (last - first)
        yield (
            arc.centre_x + radius * math.cos(angle + share * sweep),
            arc.centre_y + radius * math.sin(angle + share * sweep),
            start[2] + share * (arc.z - start[2]),
        )


def pieces(arc: Arc, start: Point, count: int) -> Iterator[Arc]:
    """Yield an arc of at most a turn as so many pieces of equal sweep."""
    for x, y, z in points_along(arc, start, [(k + 1) / count for k in range(count)]):
        yield arc._replace(x=x, y=y, z=z, turns=0)


def turns_of(arc: Arc, start: Point) -> Iterator[Arc]:
    """Yield an arc of many turns turn by turn; what is left over comes last."""
    total = sweep_deg(arc, start)
    for turn in range(arc.turns):
        z = start[2] + (arc.z - start[2]) * 360.0 * (turn + 1) / total
        yield arc._replace(x=start[0], y=start[1], z=z, turns=0)
    if total == 360.0 * (arc.turns + 1):  # the ends may differ by less than rounding can bear
        yield arc._replace(x=start[0], y=start[1], turns=0)
    else:
        yield arc._replace(turns=0)


def chords(arc: Arc, start: Point) -> Iterator[Feed]:
    """Yield an arc as straight feeds, none further than `CHORD_ERROR` from it."""
    radius = max(radii(arc, start))
    total = sweep_deg(arc, start)
    each = 2 * math.degrees(math.acos(max(0.0, 1 - CHORD_ERROR / radius)))
    count = max(math.ceil(total / each), math.ceil(total / 120))
    for x, y, z in points_along(arc, start, [(k + 1) / count for k in range(count)]):
        yield Feed(x, y, z, arc.feed, arc.how)


def is_short(arc: Arc, start: Point, grid: Grid) -> bool:
    """Return whether an arc is so short that rounding might turn it round."""
    length = math.radians(sweep_deg(arc, start)) * max(radii(arc, start))
    return length < SHORTEST * grid.count


def rounded_centre(arc: Arc, start: Point, grid: Grid) -> tuple[int, int] | None:
    """Return the centre in counts, seen from the rounded start; None when no rounding serves.

    Start, end and centre are each rounded, and the two radii must still agree to what a control
    allows. Where plain rounding fails, the centre is looked for about the line that is equally far
    from both ends.
    """
    begin = grid.counts(start[0]), grid.counts(start[1])
    end = grid.counts(arc.x), grid.counts(arc.y)
    wanted = arc.centre_x / grid.count, arc.centre_y / grid.count
    allowed = MARGIN * MISMATCH[grid.units] * 10**grid.decimals
    for centre in _centres(begin, end, wanted):
        offset = centre[0] - begin[0], centre[1] - begin[1]
        radius = math.hypot(*offset)
        mismatch = abs(radius - math.hypot(centre[0] - end[0], centre[1] - end[1]))
        if radius > 0 and mismatch <= allowed and _as_far(arc, start, (begin, end, centre)):
            return offset
    return None


def _centres(
    begin: tuple[int, int], end: tuple[int, int], wanted: tuple[float, float]
) -> Iterator[tuple[int, int]]:
    """Yield the rounded centre, then others near the line equally far from both ends, in counts."""
    yield round(wanted[0]), round(wanted[1])
    along = end[0] - begin[0], end[1] - begin[1]
    square = along[0] ** 2 + along[1] ** 2
    if square == 0:
        return
    middle = (begin[0] + end[0]) / 2, (begin[1] + end[1]) / 2
    off = ((wanted[0] - middle[0]) * along[0] + (wanted[1] - middle[1]) * along[1]) / square
    fair = wanted[0] - off * along[0], wanted[1] - off * along[1]
    for step in NEIGHBOURS:
        centre = round(fair[0]) + step[0], round(fair[1]) + step[1]
        if math.hypot(centre[0] - wanted[0], centre[1] - wanted[1]) <= FURTHEST:
            yield centre


def _as_far(
    arc: Arc, start: Point, counts: tuple[tuple[int, int], tuple[int, int], tuple[int, int]]
) -> bool:
    """Return whether the rounded arc sweeps as far as the wanted one."""
    begin, end, centre = counts
    found = Arc(end[0], end[1], 0, centre[0], centre[1], arc.clockwise, 0)
    difference = abs(
        sweep_deg(found, (begin[0], begin[1], 0)) - sweep_deg(arc._replace(turns=0), start)
    )
    radius = math.hypot(begin[0] - centre[0], begin[1] - centre[1])
    return math.radians(difference) * radius <= AWRY
