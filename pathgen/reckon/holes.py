"""Holes on circles, in rows and in grids, as positions from a datum.

Lengths in mm, angles in degrees, counter-clockwise from +X; a position is an (x, y) pair. All
positions are worked from the datum, never from the last hole, so roundings do not add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from pathgen.reckon.guards import above_zero, finite

__all__ = [
    "Position",
    "circle_from_chord",
    "from_datum",
    "hole_chord",
    "hole_circle",
    "hole_circle_from_tangents",
    "hole_grid",
    "hole_row",
    "hole_row_between",
    "least_web",
    "straddling_start",
]

Position = tuple[float, float]


# ---------------------------------------------------------------- circles


def hole_circle(
    holes: int, diameter: float, start_deg: float = 0.0, centre: Position = (0.0, 0.0)
) -> tuple[Position, ...]:
    """Return the positions of holes spaced evenly round a circle, counter-clockwise.

    Args:
        holes: how many.
        diameter: of the circle through their centres, mm.
        start_deg: where the first hole lies, from +X.
        centre: of the circle, from the datum, mm.

    Source: x = R cos a, y = R sin a.

    >>> [(round(x, 2), round(y, 2)) for x, y in hole_circle(5, 100.0)][:2]
    [(50.0, 0.0), (15.45, 47.55)]
    """
    _count(holes, 1)
    above_zero(diameter=diameter)
    finite(start=start_deg, centre_x=centre[0], centre_y=centre[1])
    return tuple(
        _on_circle(diameter / 2, start_deg + 360 * i / holes, centre) for i in range(holes)
    )


def hole_circle_from_tangents(
    holes: int, diameter: float, start_deg: float = 0.0
) -> tuple[Position, ...]:
    """Return hole positions from the left and lower tangents of their circle: none is below zero.

    Positions that only count up suit a dial that only counts up.

    >>> [(round(x, 4), round(y, 4)) for x, y in hole_circle_from_tangents(6, 48.0, 30.0)][:2]
    [(44.7846, 36.0), (24.0, 48.0)]
    """
    return hole_circle(holes, diameter, start_deg, (diameter / 2, diameter / 2))


def straddling_start(holes: int) -> float:
    """Return the start, in degrees, at which the first and the last hole straddle +X.

    >>> straddling_start(12)
    15.0
    """
    _count(holes, 1)
    return 180 / holes


def hole_chord(holes: int, diameter: float, apart: int = 1) -> float:
    """Return the distance, in mm, from a hole of a circle to the next, or to one further on.

    For checking the circle over two pins.

    Source: chord = D sin(180 n / N).

    >>> round(hole_chord(7, 1.0), 4)
    0.4339
    """
    _count(holes, 2)
    above_zero(diameter=diameter)
    if not 0 < apart < holes:
        raise ValueError(f"{apart} holes apart is no pair of {holes}; give 1 to {holes - 1}")
    return diameter * math.sin(math.pi * apart / holes)


def circle_from_chord(holes: int, chord: float) -> float:
    """Return the diameter, in mm, of the circle whose neighbouring holes are a chord apart.

    >>> circle_from_chord(2, 30.0)
    30.0
    """
    above_zero(chord=chord)
    return chord / hole_chord(holes, 1.0)


def _on_circle(radius: float, angle_deg: float, centre: Position) -> Position:
    """Return a point of a circle; exact at quarter turns, where sine and cosine are not."""
    quarters, rest = divmod(angle_deg, 90.0)
    along, up = radius * math.cos(math.radians(rest)), radius * math.sin(math.radians(rest))
    x, y = ((along, up), (-up, along), (-along, -up), (up, -along))[int(quarters) % 4]
    return centre[0] + x, centre[1] + y


# ---------------------------------------------------------------- rows


def hole_row(
    holes: int, pitch: float, start: Position = (0.0, 0.0), angle_deg: float = 0.0
) -> tuple[Position, ...]:
    """Return the positions of holes a pitch apart on a straight line.

    Args:
        holes: how many.
        pitch: from centre to centre, mm.
        start: the first hole, from the datum, mm.
        angle_deg: of the line, from +X.

    >>> hole_row(3, 20.0, (10.0, 5.0), 90.0)
    ((10.0, 5.0), (10.0, 25.0), (10.0, 45.0))
    """
    _count(holes, 1)
    above_zero(pitch=pitch)
    finite(start_x=start[0], start_y=start[1], angle=angle_deg)
    return tuple(_on_circle(pitch * i, angle_deg, start) for i in range(holes))


def hole_row_between(first: Position, last: Position, holes: int) -> tuple[Position, ...]:
    """Return the positions of holes spaced evenly from a first to a last one.

    >>> hole_row_between((0.0, 0.0), (90.0, 0.0), 4)
    ((0.0, 0.0), (30.0, 0.0), (60.0, 0.0), (90.0, 0.0))
    """
    _count(holes, 2)
    finite(first_x=first[0], first_y=first[1], last_x=last[0], last_y=last[1])
    if first == last:
        raise ValueError("first and last hole are the same; give two places")
    return tuple(
        (
            (first[0] * (holes - 1 - i) + last[0] * i) / (holes - 1),
            (first[1] * (holes - 1 - i) + last[1] * i) / (holes - 1),
        )
        for i in range(holes)
    )


def hole_grid(
    columns: int, rows: int, pitch: Position, start: Position = (0.0, 0.0)
) -> tuple[Position, ...]:
    """Return the positions of a grid of holes, row by row, each row in the same direction.

    Going back to the start of each row lets every hole be come up to from the same side.

    >>> hole_grid(2, 2, (10.0, 5.0))
    ((0.0, 0.0), (10.0, 0.0), (0.0, 5.0), (10.0, 5.0))
    """
    _count(columns, 1)
    _count(rows, 1)
    above_zero(pitch_x=pitch[0], pitch_y=pitch[1])
    (x, y), (dx, dy) = start, pitch
    finite(start_x=x, start_y=y)
    return tuple((x + dx * i, y + dy * j) for j in range(rows) for i in range(columns))


def from_datum(
    positions: Iterable[Position], datum: Position, turned_deg: float = 0.0
) -> tuple[Position, ...]:
    """Return positions of one frame as read from a datum of another.

    Args:
        positions: in the part's own frame, mm.
        datum: where the part's own zero lies in the wanted frame, mm.
        turned_deg: how far the part is turned in that frame, counter-clockwise.

    >>> from_datum([(10.0, 0.0)], (50.0, 20.0), 90.0)
    ((50.0, 30.0),)
    """
    finite(datum_x=datum[0], datum_y=datum[1], turned=turned_deg)
    moved = []
    for x, y in positions:
        along = _on_circle(x, turned_deg, datum)
        moved.append(_on_circle(y, turned_deg + 90, along))
    return tuple(moved)


# ---------------------------------------------------------------- between holes


def least_web(positions: Iterable[Position], drill: float) -> float:
    """Return the least metal, in mm, left between any two holes; minus where they run together.

    >>> round(least_web(hole_circle(6, 40.0), 8.0), 6)
    12.0
    """
    above_zero(drill=drill)
    places = list(positions)
    _count(len(places), 2)
    pairs = ((a, b) for i, a in enumerate(places) for b in places[:i])
    return min(math.dist(a, b) for a, b in pairs) - drill


def _count(holes: int, least: int) -> None:
    """Refuse fewer holes than make sense."""
    if holes < least:
        raise ValueError(f"{holes} holes are too few; give at least {least}")
