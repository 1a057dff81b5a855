"""In which order holes are made: the shortest way, or by hand the one that reverses least."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pathgen.moves.moves import Axis
from pathgen.plan.bench import Bench
from pathgen.reckon.holes import Position

SAME = 1e-6  # two coordinates that differ by less are one, mm
SHORTER = 1e-9  # a way is shorter only by more, mm


def in_order(places: Sequence[Position], bench: Bench) -> tuple[Position, ...]:
    """Return places in the order of making them."""
    if bench.machine.manual:
        return by_hand(places, {"x": bench.side("x"), "y": bench.side("y")})
    return shortest(places)


def by_hand(places: Sequence[Position], sides: dict[Axis, int]) -> tuple[Position, ...]:
    """Return places in rows, each gone along from the side that keeps the slack out.

    The rows lie along the axis on which fewer of them are needed, so that the handles go back
    least often; within a row, and from row to row, each handle goes on the way that it comes to a
    reading by.

    >>> by_hand([(10.0, 0.0), (0.0, 5.0), (10.0, 5.0), (0.0, 0.0)], {"x": 1, "y": -1})
    ((0.0, 5.0), (10.0, 5.0), (0.0, 0.0), (10.0, 0.0))
    """
    rows = {axis: len({round(place[axis] / SAME) for place in places}) for axis in (0, 1)}
    across = 1 if rows[1] <= rows[0] else 0  # the axis that changes from row to row
    along = 1 - across
    signs = (sides["x"], sides["y"])

    def key(place: Position) -> tuple[int, float]:
        return round(signs[across] * place[across] / SAME), signs[along] * place[along]

    return tuple(sorted(places, key=key))


def shortest(places: Sequence[Position]) -> tuple[Position, ...]:
    """Return places by a short way: always to the nearest, then crossings of the way undone.

    It begins at the place that lies lowest on the left.

    >>> shortest([(20.0, 0.0), (0.0, 0.0), (10.0, 0.0)])
    ((0.0, 0.0), (10.0, 0.0), (20.0, 0.0))
    """
    waiting = sorted(places, key=lambda place: (place[0] + place[1], place))
    way = waiting[:1]
    waiting = waiting[1:]
    while waiting:
        nearest = min(waiting, key=lambda place: (math.dist(place, way[-1]), place))
        waiting.remove(nearest)
        way.append(nearest)
    while _undo_crossing(way):
        pass
    return tuple(way)


def _undo_crossing(way: list[Position]) -> bool:
    """Turn a stretch of a way round in place if that makes it shorter; return whether it did.

    The last place may be reached from anywhere, so a stretch that ends there counts one leg only.
    """
    for first in range(len(way) - 2):
        for last in range(first + 2, len(way)):
            before = math.dist(way[first], way[first + 1])
            after = math.dist(way[first], way[last])
            if last + 1 < len(way):
                before += math.dist(way[last], way[last + 1])
                after += math.dist(way[first + 1], way[last + 1])
            if after < before - SHORTER:
                way[first + 1 : last + 1] = reversed(way[first + 1 : last + 1])
                return True
    return False
