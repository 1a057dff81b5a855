"""Straight strips by which the inside of an area is cleared one handle at a time.

All are cut the same way, the metal still to be cut on their left: against the cutter's turn. The
cutter goes back along the strip it has just cut and across to the next without being lifted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

Spot: TypeAlias = tuple[float, float]
SAME = 1e-6  # mm
COVERS = 1e-4  # mm that a way across may lie beyond where the centre may be, by rounding
SHORTEST = 0.01  # mm: a shorter strip is none
OUT = 2.0  # steps that a strip may begin farther out than the one before
INSET = 0.2  # mm that the way back stops short of where a strip began: slack varies


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightCut:
    """One straight of the cutter's centre: how it is come to from the strip before, and cut; mm.

    ``across`` is where the cutter leaves the strip before and where it comes into this one; None
    where it is lifted over.
    """

    start: Spot
    end: Spot
    across: tuple[Spot, Spot] | None


def strips_in(
    region: BaseGeometry, free: BaseGeometry, step: float, along: Literal["x", "y"]
) -> tuple[StraightCut, ...]:
    """Return the strips by which a region of the cutter's centre is gone over.

    Args:
        region: that has to be gone over.
        free: where the centre may be.
        step: from one strip to the next at most, mm.
        along: the axis that they are cut along.
    """
    turned = [region, free]
    if along == "y":  # so that what lies on the left of a strip lies at plus, as along x
        turned = [affinity.affine_transform(each, (0, 1, -1, 0, 0, 0)) for each in turned]
    free = turned[1].buffer(COVERS, join_style="mitre")
    found = _chained(_rows(turned[0], step), free, OUT * step)
    if along == "x":
        return tuple(found)
    return tuple(_back(each) for each in found)


def _back(strip: StraightCut) -> StraightCut:
    """Return a strip along x as it lies along y."""
    across = strip.across and (_turned(strip.across[0]), _turned(strip.across[1]))
    return StraightCut(start=_turned(strip.start), end=_turned(strip.end), across=across)


def _turned(place: Spot) -> Spot:
    return -place[1], place[0]


Row: TypeAlias = tuple[float, float, float]  # where it lies across, from where to where along


def _rows(region: BaseGeometry, step: float) -> list[list[Row]]:
    """Return the pieces of each row, row by row; mm."""
    rows = []
    for part in shapely.get_parts(region):
        if part.is_empty:
            continue
        x0, low, x1, high = part.bounds
        count = max(1, -int(-(high - low - SAME) // step)) if high - low > SAME else 0
        for row in range(count + 1):
            at = low + (high - low) * row / count if count else low
            line = shapely.LineString([(x0 - 1, at), (x1 + 1, at)])
            pieces = [
                piece.bounds
                for piece in shapely.get_parts(part.intersection(line))
                if piece.length > SHORTEST
            ]
            rows.append([(at, piece[0], piece[2]) for piece in sorted(pieces)])
    return rows


def _chained(rows: list[list[Row]], free: BaseGeometry, out: float) -> Iterator[StraightCut]:
    """Yield strips, one after the other across where that can be done without lifting.

    A strip that begins farther out than the one before, by more than so much, is lifted over to:
    the way out to its start would be cut with the turn.
    """
    left = [list(row) for row in rows]
    while any(left):
        row = next(number for number, each in enumerate(left) if each)
        at = left[row].pop(0)
        yield StraightCut(start=(at[1], at[0]), end=(at[2], at[0]), across=None)
        while row + 1 < len(left):
            row += 1
            nexts = [(way, each) for each in left[row] if (way := _way(at, each, free)) is not None]
            if not nexts:
                break
            way, after = max(nexts, key=lambda each: _overlap(at, each[1]))
            if any(_overlap(other, after) > 0 for other in left[row - 1]):
                break  # it runs on over what is still to be cut before it
            if way[1][0] - after[1] > out:
                break
            left[row].remove(after)
            start = way[1] if way[1][0] - after[1] < 2 * INSET else (after[1], after[0])
            yield StraightCut(start=start, end=(after[2], after[0]), across=way)
            at = (after[0], start[0], after[2])


def _overlap(one: Row, other: Row) -> float:
    return min(one[2], other[2]) - max(one[1], other[1])


def _way(one: Row, other: Row, free: BaseGeometry) -> tuple[Spot, Spot] | None:
    """Return the way across from a row to the next, where both begin; None for none."""
    at = max(one[1], other[1]) + INSET
    if at > min(one[2], other[2]) - SAME:
        return None
    way = ((at, one[0]), (at, other[0]))
    return way if free.covers(shapely.LineString(way)) else None
