"""In which order holes are made: the shortest way, or by hand the one that reverses least."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from pathgen.job.holes import Holes
from pathgen.job.job import Feature
from pathgen.moves.moves import Axis
from pathgen.plan.bench import Bench
from pathgen.reckon.holes import Position

SAME = 1e-6  # two coordinates that differ by less are one, mm
SHORTER = 1e-9  # a way is shorter only by more, mm
MOST_WEIGHED = 8  # places of which all orders are weighed; each more doubles the work


def floors_last(features: Sequence[Feature]) -> tuple[Feature, ...]:
    """Return features in the order of making them: holes before the pocket whose floor they are in.

    So drills start on the whole face, and the mill takes away what they throw up on the way. All
    heights go on being counted from the zero on the top face.
    """
    holes = [each for each in features if isinstance(each, Holes) and each.floor is not None]
    ordered: list[Feature] = []
    for feature in features:
        own = [each for each in holes if each.floor is not None and each.floor.of == feature.name]
        ordered += [each for each in (*own, feature) if each not in ordered]
    return tuple(ordered)


def in_order(places: Sequence[Position], bench: Bench) -> tuple[Position, ...]:
    """Return places in the order of making them."""
    if bench.machine.manual:
        return by_hand(places, {"x": bench.side("x"), "y": bench.side("y")})
    return shortest(places)


def by_hand(places: Sequence[Position], sides: dict[Axis, int]) -> tuple[Position, ...]:
    """Return places in the order in which the handles go back least often.

    Each handle goes on the way that it comes to a reading by; where it goes back it has to go past
    and come up again, which is a line more. They go in rows, which are the easiest to follow; of
    few places every order is weighed, and one that goes back less often is taken before rows.

    >>> by_hand([(10.0, 0.0), (0.0, 5.0), (10.0, 5.0), (0.0, 0.0)], {"x": 1, "y": -1})
    ((0.0, 5.0), (10.0, 5.0), (0.0, 0.0), (10.0, 0.0))
    """
    signs = (sides["x"], sides["y"])
    rows = _in_rows(places, signs)
    if len(rows) > MOST_WEIGHED:
        return rows
    found = _least_going_back(rows, signs)
    return found if goings_back(found, signs) < goings_back(rows, signs) else rows


def goings_back(way: Sequence[Position], signs: tuple[int, int]) -> int:
    """Return how often a handle goes back on a way, against its chosen side (+1 or -1)."""
    return sum(_legs_back(a, b, signs) for a, b in pairwise(way))


def _legs_back(here: Position, there: Position, signs: tuple[int, int]) -> int:
    """Return how many handles go back from one place to another: none, one or both."""
    steps = (signs[axis] * (there[axis] - here[axis]) for axis in (0, 1))
    return sum(step < -SAME for step in steps)


def _in_rows(places: Sequence[Position], signs: tuple[int, int]) -> tuple[Position, ...]:
    """Return places in rows along the axis on which fewer rows are needed."""
    rows = {axis: len({round(place[axis] / SAME) for place in places}) for axis in (0, 1)}
    across = 1 if rows[1] <= rows[0] else 0  # the axis that changes from row to row
    along = 1 - across

    def key(place: Position) -> tuple[int, float]:
        return round(signs[across] * place[across] / SAME), signs[along] * place[along]

    return tuple(sorted(places, key=key))


def _least_going_back(places: tuple[Position, ...], signs: tuple[int, int]) -> tuple[Position, ...]:
    """Return the order with the fewest goings back, then the least winding: all are weighed.

    Of the ways through the same places that end at the same one only the best is carried on.
    """
    numbers = range(len(places))
    best: dict[tuple[int, int], tuple[int, float, tuple[int, ...]]] = {
        (1 << number, number): (0, 0.0, (number,)) for number in numbers
    }
    for _ in numbers[1:]:
        longer: dict[tuple[int, int], tuple[int, float, tuple[int, ...]]] = {}
        for (seen, last), (back, wound, way) in best.items():
            for number in numbers:
                if seen & 1 << number:
                    continue
                here, there = places[last], places[number]
                turned = abs(there[0] - here[0]) + abs(there[1] - here[1])
                found = (back + _legs_back(here, there, signs), wound + turned, (*way, number))
                key = (seen | 1 << number, number)
                longer[key] = min(longer.get(key, found), found)
        best = longer
    return tuple(places[number] for number in min(best.values())[2])


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
