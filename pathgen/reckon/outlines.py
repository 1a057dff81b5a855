"""Chains of holes round an outline: a round or a rectangular cut-out, or a part cut out of a plate.

Lengths in mm. The line of the holes stands off the finished outline by the drill's radius and the
allowance: to the inside of a cut-out, to the outside of a part.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Literal

from pathgen.reckon.chains import NOISE, chain_over, whole_spaces
from pathgen.reckon.guards import above_zero, not_below_zero
from pathgen.reckon.holes import Position, hole_circle, least_web

__all__ = ["Ring", "Side", "Stand", "ring_on_circle", "ring_on_rectangle"]

Side = Literal["inside", "outside"]
Walk = Callable[[float], Position]  # how far along a piece: the place
MOST_ROUND = 1000  # holes round an outline; more is a slip of the pen
QUARTERS = ((1, 0), (0, 1), (-1, 0), (0, -1))  # directions at whole quarter turns


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """How the holes of a ring stand: their diameter, the least web, off which side of the outline.

    `allowance` is what stays between the holes and the outline; all lengths in mm.
    """

    drill: float
    web: float
    allowance: float
    side: Side = "inside"

    @property
    def off(self) -> float:
        """Return how far the line of the holes lies outside the outline, mm; minus for inside."""
        off = self.drill / 2 + self.allowance
        return off if self.side == "outside" else -off

    def refuse_nonsense(self) -> None:
        """Refuse figures that no chain can have."""
        above_zero(drill=self.drill, pitch=self.drill + self.web)
        not_below_zero(allowance=self.allowance)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """Holes round an outline, counter-clockwise, and the least web between any two; mm."""

    places: tuple[Position, ...]
    web: float

    @property
    def holes(self) -> int:
        """Return how many holes there are."""
        return len(self.places)


def ring_on_circle(diameter: float, stand: Stand, centre: Position = (0.0, 0.0)) -> Ring:
    """Return the holes round a circle, as many as leave at least the wanted web.

    Args:
        diameter: of the finished circle, mm.
        stand: drill, web, allowance and side.
        centre: of the circle, from the datum, mm.

    Raises:
        ValueError: two holes do not go round; says which drill would.

    Source: chord = D sin(180 / N), so N = 180 / asin((d + web) / D) at most.

    >>> ring = ring_on_circle(60.0, Stand(drill=6.0, web=0.5, allowance=0.5))
    >>> ring.holes, round(ring.web, 3)
    (25, 0.643)
    """
    stand.refuse_nonsense()
    above_zero(diameter=diameter)
    line, pitch = diameter + 2 * stand.off, stand.drill + stand.web
    if line < pitch:
        raise ValueError(
            f"a {stand.drill:g} drill does not go round {diameter:g} with "
            f"{stand.allowance:g} left; drill and bore the hole, or take a smaller drill"
        )
    count = whole_spaces(math.pi / math.asin(pitch / line), MOST_ROUND)
    places = hole_circle(count, line, 0.0, centre)
    return Ring(places=places, web=least_web(places, stand.drill))


# ---------------------------------------------------------------- rectangles


def ring_on_rectangle(
    sides: tuple[float, float], corner: float, stand: Stand, start: Position = (0.0, 0.0)
) -> Ring:
    """Return the holes round a rectangle, as many as leave at least the wanted web.

    Where the line of the holes has sharp corners there is a hole in each, and the others stand
    evenly between; where it is rounded they stand evenly along it, from the middle of the right
    side on.

    Args:
        sides: finished length along x and width along y, mm.
        corner: finished radius of the corners, mm; 0 for sharp ones.
        stand: drill, web, allowance and side.
        start: the low left corner of the outline, from the datum, mm.

    Raises:
        ValueError: no such rectangle, or no room for two rows of holes in it.

    >>> ring = ring_on_rectangle((40.0, 30.0), 0.0, Stand(drill=6.0, web=0.5, allowance=0.5))
    >>> ring.holes, ring.places[:2], round(ring.web, 3)
    (16, ((3.5, 3.5), (10.1, 3.5)), 0.6)
    """
    stand.refuse_nonsense()
    above_zero(length=sides[0], width=sides[1])
    not_below_zero(corner=corner)
    if corner > min(sides) / 2:
        raise ValueError(
            f"corners of radius {corner:g} on sides of {sides[0]:g} and {sides[1]:g}; "
            f"give at most {min(sides) / 2:g}"
        )
    whole_spaces(2 * (sides[0] + sides[1]) / (stand.drill + stand.web), MOST_ROUND)
    half = (sides[0] / 2 + stand.off, sides[1] / 2 + stand.off)
    least = (stand.drill + stand.web) / 2
    if min(half) < least:
        raise ValueError(
            f"no room for two rows of {stand.drill:g} holes in {min(sides):g} with "
            f"{stand.allowance:g} left a side; lay one row along it, or take a smaller drill"
        )
    radius = max(corner + stand.off, 0.0)
    found = _sharp(half, stand) if radius < NOISE else _rounded(half, radius, stand)
    middle = (start[0] + sides[0] / 2, start[1] + sides[1] / 2)
    places = tuple((middle[0] + x, middle[1] + y) for x, y in found)
    return Ring(places=places, web=least_web(places, stand.drill))


def _sharp(half: tuple[float, float], stand: Stand) -> tuple[Position, ...]:
    """Return the holes on a line with sharp corners, about its centre."""
    across, up = (chain_over(-h, h, stand.drill, stand.web).places for h in half)
    x, y = half
    return (
        *((along, -y) for along in across[:-1]),
        *((x, along) for along in up[:-1]),
        *((along, y) for along in reversed(across[1:])),
        *((-x, along) for along in reversed(up[1:])),
    )


def _rounded(half: tuple[float, float], radius: float, stand: Stand) -> tuple[Position, ...]:
    """Return the holes on a line with rounded corners, about its centre.

    They are even along the line; round a corner they are nearer to one another, so there may have
    to be fewer than the line is long for.
    """
    around = 4 * (half[0] + half[1] - 2 * radius) + 2 * math.pi * radius
    count = math.floor(around / (stand.drill + stand.web) + NOISE)
    while True:
        first = around - (half[1] - radius)  # the middle of the right side
        alongs = ((first + around * hole / count) % around for hole in range(count))
        places = tuple(_on_track(along, half, radius) for along in alongs)
        if least_web(places, stand.drill) >= stand.web - NOISE:
            return places
        count -= 1


def _on_track(along: float, half: tuple[float, float], radius: float) -> Position:
    """Return the place so far along a rounded line, from where the right side ends on top."""
    for length, at in _pieces(half, radius):
        if along <= length:
            return at(along)
        along -= length
    return half[0], half[1] - radius


def _pieces(half: tuple[float, float], radius: float) -> Iterator[tuple[float, Walk]]:
    """Yield the pieces of a rounded line with their lengths: corner, side, corner, side, ..."""
    for quarter, (right, top) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        middle = (right * (half[0] - radius), top * (half[1] - radius))
        yield radius * math.pi / 2, partial(_on_corner, middle, radius, quarter)
        yield 2 * (half[quarter % 2] - radius), partial(_on_side, middle, radius, quarter)


def _on_corner(middle: Position, radius: float, quarter: int, along: float) -> Position:
    angle = quarter * math.pi / 2 + along / radius
    return middle[0] + radius * math.cos(angle), middle[1] + radius * math.sin(angle)


def _on_side(middle: Position, radius: float, quarter: int, along: float) -> Position:
    """Return a place on the side after a corner, which goes on a quarter turn from its start."""
    outward, onward = QUARTERS[(quarter + 1) % 4], QUARTERS[(quarter + 2) % 4]
    return (
        middle[0] + radius * outward[0] + along * onward[0],
        middle[1] + radius * outward[1] + along * onward[1],
    )
