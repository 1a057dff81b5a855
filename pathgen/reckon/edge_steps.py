"""Curved and slanted edges of turned work in steps: where a tool stops for the fewest of them.

A place is that of a lathe tool: as far to the chuck as its leftmost bit, as near to the axis as its
nearest. Pairs are z along the axis, then x from it. Lengths in mm, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from pathgen.reckon.guards import above_zero

Place: TypeAlias = tuple[float, float]
HALVINGS = 48  # of a search: finer than any float of this size
MOST_STEPS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundEdge:
    """An arc that bulges to the right and outwards, from its foot on a face to a diameter."""

    centre: Place
    radius: float
    last_deg: float  # where it meets the diameter: 90 where it runs into it smoothly

    def at(self, share: float, off: float, nose: float) -> Place:
        """Return where a tool of a nose radius touches it at a share of its length, so far off."""
        angle, reach = math.radians(self.last_deg * share), self.radius + off + nose
        return (
            self.centre[0] + reach * math.cos(angle) - nose,
            self.centre[1] + reach * math.sin(angle) - nose,
        )

    def off(self, point: Place) -> float:
        """Return how far a point lies outside of it."""
        return math.dist(point, self.centre) - self.radius


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightEdge:
    """A straight from its foot on a face to a diameter."""

    foot: Place
    top: Place

    @property
    def _normal(self) -> Place:
        """Return the way that is square to it, out of the metal; its length is 1."""
        along = self.top[0] - self.foot[0], self.top[1] - self.foot[1]
        length = math.hypot(*along)
        return along[1] / length, -along[0] / length

    def at(self, share: float, off: float, nose: float) -> Place:
        """Return where a tool of a nose radius touches it at a share of its length, so far off."""
        z, x = (foot + share * (top - foot) for foot, top in zip(self.foot, self.top, strict=True))
        right, out = self._normal
        return z + (off + nose) * right - nose, x + (off + nose) * out - nose

    def off(self, point: Place) -> float:
        """Return how far a point lies outside of it."""
        right, out = self._normal
        return (point[0] - self.foot[0]) * right + (point[1] - self.foot[1]) * out


Edge: TypeAlias = RoundEdge | StraightEdge


@dataclass(frozen=True, slots=True, kw_only=True)
class StepsWanted:
    """What steps along an edge have to keep to."""

    face: float  # z of the face that the edge begins on
    out: float  # x of the diameter that it ends at
    nose: float  # radius of the tool's nose
    approach_deg: float  # between the axis and the leading edge, 90 or more
    off: float  # by which every step stays off the edge
    crest: float  # the highest that may stay between steps, from the edge itself
    deepest: float  # metal that one cut takes


def steps_along(edge: Edge, wanted: StepsWanted) -> tuple[Place, ...]:
    """Return where the tool stops for the fewest steps, from the face outwards.

    Each step is a cut along the axis, from the right to its z. Crests stand where the end of one
    step meets the tread of the next one out, whose nose may be round.

    Raises:
        ValueError: the crest asked for is not above what every step stays off.

    >>> ball = RoundEdge(centre=(-10.0, 0.0), radius=10.0, last_deg=90.0)
    >>> wanted = StepsWanted(face=0.0, out=10.0, nose=0.0, approach_deg=90.0, off=0.0, crest=1.0,
    ...     deepest=9.0)
    >>> [(round(z, 2), round(x, 2)) for z, x in steps_along(ball, wanted)]
    [(-1.11, 4.58), (-2.38, 6.48), (-3.92, 7.94), (-6.0, 9.17)]
    """
    above_zero(crest=wanted.crest, deepest=wanted.deepest)
    if wanted.crest <= wanted.off:
        raise ValueError(f"a crest of {wanted.crest:g} is not above {wanted.off:g}; give more")
    places: list[Place] = []
    share, last = 0.0, (wanted.face, -math.inf)

    def serves(each: float) -> bool:
        """Return whether a step at a share of the edge may follow the last one."""
        return _serves(edge, wanted, last, edge.at(each, wanted.off, wanted.nose))

    while _crest(edge, wanted, last, (-math.inf, wanted.out)) > wanted.crest or _thick(
        wanted, last, wanted.out
    ):
        share = _furthest(serves, share)
        last = edge.at(share, wanted.off, wanted.nose)
        if last[1] >= wanted.out or len(places) == MOST_STEPS or (places and last == places[-1]):
            break
        places.append(last)
    return tuple(places)


def _furthest(serves: Callable[[float], bool], low: float) -> float:
    """Return the largest share, above one, that serves."""
    high = 1.0
    if serves(high):
        return high
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if serves(middle) else (low, middle)
    return low


def _serves(edge: Edge, wanted: StepsWanted, last: Place, following: Place) -> bool:
    """Return whether one step may follow another: by the crest between them, and the metal."""
    return _crest(edge, wanted, last, following) <= wanted.crest and not _thick(
        wanted, last, following[1]
    )


def _thick(wanted: StepsWanted, last: Place, out: float) -> bool:
    """Return whether the ring between a step and an x is more than one cut takes."""
    inner = max(last[1], 0.0)
    return min(out - inner, wanted.face - last[0]) > wanted.deepest


def _crest(edge: Edge, wanted: StepsWanted, last: Place, following: Place) -> float:
    """Return the crest between two steps, off the edge: where their outlines cross."""
    left, tread = following
    nose = wanted.nose

    def end_of_last(x: float) -> float:
        """Return the z of the wall that the inner step left, at an x."""
        return last[0] + (_lag(wanted, x - last[1]) if last[1] > -math.inf else 0.0)

    low, high = 0.0, nose
    if left + nose > end_of_last(tread):  # the nose of the outer one is still rising there
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            rising = left + nose - math.sqrt(nose**2 - (nose - middle) ** 2)
            low, high = (middle, high) if rising > end_of_last(tread + middle) else (low, middle)
    x = tread + low
    return edge.off((end_of_last(x), x))


def _lag(wanted: StepsWanted, height: float) -> float:
    """Return how far the tool's left side lies to the right of its place, at a height above it."""
    nose, lean = wanted.nose, math.radians(wanted.approach_deg)
    round_to = nose * (1 + math.cos(lean))
    if height < round_to:
        return nose - math.sqrt(max(0.0, nose**2 - (nose - max(height, 0.0)) ** 2))
    return nose * (1 - math.sin(lean)) - (height - round_to) * math.cos(lean) / math.sin(lean)
