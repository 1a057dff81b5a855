"""A dish or dome by a ball-nose in level rings: where its centre goes, and what it leaves.

In the plane through the axis: `r` from it, `z` along it from the face. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from pathgen.reckon.guards import above_zero
from pathgen.reckon.rounds import cusp_in_hollow, cusp_on_round
from pathgen.reckon.spheres import Form, sign

__all__ = ["Ring", "crossing", "finishing_rings", "pitch_for_cusp", "touching"]

Place = tuple[float, float]
Ring = tuple[float, float]  # radius, and height, of the circle of the ball's centre
TRIALS = 60


def pitch_for_cusp(ball: float, radius: float, cusp: float, form: Form) -> float:
    """Return how far apart, along the surface, passes may be for a cusp; mm.

    Args:
        ball: radius of the ball, mm.
        radius: of the dish or dome, mm.
        cusp: the highest ridge, mm.
        form: which of the two.

    >>> round(pitch_for_cusp(5.0, 88.4, 0.005, "dish"), 3)
    0.46
    """
    above_zero(ball=ball, radius=radius, cusp=cusp)
    leaves = cusp_in_hollow if form == "dish" else cusp_on_round
    low, high = 1e-6, ball
    for _ in range(TRIALS):
        middle = (low + high) / 2
        if leaves(ball, middle, radius) < cusp:
            low = middle
        else:
            high = middle
    return low


def finishing_rings(
    radius: float, ball: float, form: Form, reach: tuple[float, float], pitch: float
) -> tuple[Ring, ...]:
    """Return the rings of the ball's centre, from the axis outwards, at equal angles.

    Args:
        radius: of the dish or dome, mm.
        ball: radius of the ball, mm.
        form: which of the two.
        reach: half the width of what is cut, and the height of its middle or top; mm.
        pitch: the most along the surface, mm.

    >>> rings = finishing_rings(20.0, 3.0, "dish", (12.0, -4.0), 1.0)
    >>> len(rings), rings[0]
    (14, (0.0, -1.0))
    """
    half, middle = reach
    above_zero(radius=radius, ball=ball, half=half, pitch=pitch)
    path = radius - sign(form) * ball
    centre = middle + sign(form) * radius
    widest = math.asin(min(half / radius, 1.0))
    count = max(1, math.ceil(radius * widest / pitch - 1e-9))
    angles = [widest * step / count for step in range(count + 1)]
    return tuple(
        (path * math.sin(angle), centre - sign(form) * path * math.cos(angle)) for angle in angles
    )


def crossing(one: Ring, other: Ring, ball: float) -> Place | None:
    """Return the lower of the places where the balls of two rings cross; None: they do not.

    >>> crossing((0.0, 0.0), (6.0, 0.0), 5.0)
    (3.0, -4.0)
    """
    (a, b), (c, d) = one, other
    apart = math.hypot(c - a, d - b)
    if not 0 < apart < 2 * ball:
        return None
    off = math.sqrt(ball**2 - (apart / 2) ** 2)
    across = ((d - b) / apart * off, -(c - a) / apart * off)
    places = [((a + c) / 2 + way * across[0], (b + d) / 2 + way * across[1]) for way in (1, -1)]
    return min(places, key=lambda place: place[1])


def touching(ring: Ring, ball: float, centre: float, form: Form) -> Place:
    """Return where the ball of a ring comes nearest to cutting into a sphere: along its radius.

    Args:
        ring: of the ball's centre.
        ball: its radius, mm.
        centre: height of the sphere's centre, on the axis; mm.
        form: a dish is touched away from that centre, a dome towards it.
    """
    a, b = ring
    away = math.hypot(a, b - centre)
    share = 1 + sign(form) * ball / away
    return a * share, centre + (b - centre) * share


def ridges(rings: Sequence[Ring], ball: float) -> tuple[Place, ...]:
    """Return where the balls of neighbouring rings cross: the ridges that are left."""
    found = (crossing(one, other, ball) for one, other in pairwise(rings))
    return tuple(place for place in found if place is not None)
