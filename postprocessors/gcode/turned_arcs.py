"""Arcs in the plane of a lathe's axis, as its control takes them.

Source: NISTIR 6556 (RS274/NGC version 3), 3.5.3 and 4.3.6.1: in G18 the first axis is Z and the
second X, and G3 turns from the first towards the second. The way to the centre, I along X and K
along Z, is that of a radius also where X words are diameters (a habit of lathe dialects, from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.moves.moves import Feed, TurnedArc
from postprocessors.gcode.arcs import CHORD_ERROR, MARGIN, MISMATCH
from postprocessors.gcode.numbers import Grid

Place = tuple[float, float]  # z, x


def centre_counts(arc: TurnedArc, start: Place, end: Place, grid: Grid) -> tuple[int, int] | None:
    """Return K and I in counts, from the start as it is written; None where no control takes it.

    Args:
        arc: as planned.
        start: as it is written, mm.
        end: as it is written, mm.
        grid: of the words.
    """
    offset = grid.counts(arc.centre_z - start[0]), grid.counts(arc.centre_x - start[1])
    centre = start[0] + offset[0] * grid.count, start[1] + offset[1] * grid.count
    apart = abs(math.dist(start, centre) - math.dist(end, centre))
    return offset if apart <= MARGIN * MISMATCH[grid.units] * grid.factor else None


def chords(arc: TurnedArc, start: Place) -> Iterator[Feed]:
    """Yield the arc as straight feeds, none further than `CHORD_ERROR` from it."""
    centre = arc.centre_z, arc.centre_x
    radius = math.dist(start, centre)
    begin = math.atan2(start[1] - centre[1], start[0] - centre[0])
    end = math.atan2(arc.x - centre[1], arc.z - centre[0])
    sweep = (end - begin if arc.outwards else begin - end) % math.tau
    each = 2 * math.acos(max(0.0, 1 - CHORD_ERROR / radius))
    count = max(1, math.ceil(sweep / each))
    for step in range(1, count):
        angle = begin + (sweep if arc.outwards else -sweep) * step / count
        z, x = centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)
        yield Feed(x, 0.0, z, arc.feed, arc.how)
    yield Feed(arc.x, 0.0, arc.z, arc.feed, arc.how)
