"""A dish or dome by a ball-nose or round-nose in level rings: where it goes, and what it leaves.

In the plane through the axis: `r` from it, `z` along it from the face. Lengths in mm.
"""

from __future__ import annotations

import math
from typing import NamedTuple, TypeAlias

from pathgen.reckon.guards import above_zero
from pathgen.reckon.rounds import cusp_in_hollow, cusp_on_round
from pathgen.reckon.spheres import Form, sign

__all__ = [
    "Ring",
    "RoundEnd",
    "crossing",
    "finishing_rings",
    "least_touch",
    "pitch_for_cusp",
    "spiral",
    "touching",
]

Place: TypeAlias = tuple[float, float]
Ring: TypeAlias = tuple[float, float]  # radius of the cutter's axis, height of its corner's centre
TRIALS = 60
COARSEST = math.radians(15)  # from place to place of a spiral


class RoundEnd(NamedTuple):
    """The lower end of a mill: the radius of its corner, and that of the flat within it; mm."""

    corner: float
    flat: float = 0.0  # 0: a ball

    def rise(self, off: float) -> float:
        """Return how high it is over its lowest place, so far off its axis; inf beyond it; mm.

        >>> RoundEnd(5.0, 1.0).rise(0.5), RoundEnd(5.0, 1.0).rise(5.0)
        (0.0, 2.0)
        """
        past = max(off - self.flat, 0.0)
        if past > self.corner:
            return math.inf
        return self.corner - math.sqrt(self.corner**2 - past**2)


def pitch_for_cusp(ball: float, radius: float, cusp: float, form: Form) -> float:
    """Return how far apart, along the surface, passes may be for a cusp; mm.

    Args:
        ball: radius of the ball, or of the corner; mm.
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


def least_touch(radius: float, end: RoundEnd, form: Form) -> float:
    """Return how near the axis of a dish or dome a cutter touches it, mm.

    Within that a flat leaves the middle of a dish level, as a hole through it may take away.

    >>> round(least_touch(88.4, RoundEnd(2.0, 4.0), "dish"), 3)
    4.093
    """
    if form == "dome":
        return 0.0
    return end.flat * radius / (radius - end.corner)


def finishing_rings(
    radius: float, end: RoundEnd, form: Form, reach: tuple[float, float], pitch: float
) -> tuple[Ring, ...]:
    """Return the rings of a cutter, from the axis outwards, at equal angles of the sphere.

    Args:
        radius: of the dish or dome, mm.
        end: of the cutter. A dish is touched by its corner outside its axis, a dome within it.
        form: which of the two.
        reach: half the width of what is cut, and the height of its middle or top; mm.
        pitch: the most along the surface, mm.

    >>> rings = finishing_rings(20.0, RoundEnd(3.0), "dish", (12.0, -4.0), 1.0)
    >>> len(rings), rings[0]
    (14, (0.0, -1.0))
    """
    above_zero(radius=radius, corner=end.corner, half=reach[0], pitch=pitch)
    least, widest = _angles(radius, end, form, reach[0])
    count = max(1, math.ceil(radius * (widest - least) / pitch - 1e-9))
    angles = [least + (widest - least) * step / count for step in range(count + 1)]
    return tuple(_ring_at(angle, (radius, end, form), reach[1]) for angle in angles)


def spiral(
    radius: float,
    end: RoundEnd,
    form: Form,
    reach: tuple[float, float],
    steps: tuple[float, float],
) -> tuple[tuple[float, float, float], ...]:
    """Return places along a spiral of a cutter, from the axis outwards: x, y and the height.

    The height is that of its corner's centre. It winds clockwise in a dish, anticlockwise on a
    dome, evenly by the angle of the sphere, and ends where it began to be counted: on the x axis.

    Args:
        radius: of the dish or dome, mm.
        end: of the cutter.
        form: which of the two.
        reach: half the width of what is cut, and the height of its middle or top; mm.
        steps: the most from turn to turn, along the surface, and the most that a straight from
            place to place lies off it, seen from above; mm.

    >>> places = spiral(20.0, RoundEnd(3.0), "dish", (12.0, -4.0), (1.0, 0.01))
    >>> places[0], [round(each, 6) + 0.0 for each in places[-1]]
    ((0.0, 0.0, -1.0), [10.2, 0.0, 2.4])
    """
    pitch, chord = steps
    above_zero(radius=radius, corner=end.corner, half=reach[0], pitch=pitch, chord=chord)
    least, widest = _angles(radius, end, form, reach[0])
    turns = max(1, math.ceil(radius * (widest - least) / pitch - 1e-9))
    whole = 2 * math.pi * turns
    places = []
    round_by = 0.0
    while True:
        angle = least + (widest - least) * round_by / whole
        off, height = _ring_at(angle, (radius, end, form), reach[1])
        turned = -sign(form) * round_by
        places.append((off * math.cos(turned), off * math.sin(turned) + 0.0, height))
        if round_by >= whole:
            return tuple(places)
        step = 2 * math.acos(1 - chord / off) if off > 2 * chord else COARSEST
        round_by = min(round_by + min(step, COARSEST), whole)


def _angles(radius: float, end: RoundEnd, form: Form, half: float) -> tuple[float, float]:
    """Return between which angles of the sphere a cutter touches it, radians."""
    least = math.asin(least_touch(radius, end, form) / radius)
    return least, math.asin(min(half / radius, 1.0))


def _ring_at(angle: float, cut: tuple[float, RoundEnd, Form], middle: float) -> Ring:
    """Return the ring of a cutter that touches a sphere at an angle, radians."""
    radius, end, form = cut
    path = radius - sign(form) * end.corner
    return (
        max(path * math.sin(angle) - sign(form) * end.flat, 0.0),
        middle + sign(form) * (radius - path * math.cos(angle)),
    )


def crossing(
    one: tuple[Ring, RoundEnd], other: tuple[Ring, RoundEnd], between: tuple[float, float]
) -> Place | None:
    """Return where what two rings leave crosses: the ridge; None where it does not.

    Args:
        one: a ring and the end of its cutter.
        other: its neighbour.
        between: how far off the axis each of them is the lower one; mm.

    >>> r, z = crossing(((0.0, 0.0), RoundEnd(5.0)), ((6.0, 0.0), RoundEnd(5.0)), (0.0, 6.0))
    >>> round(r, 9), round(z, 9)
    (3.0, -4.0)
    """
    low, high = between
    if not (_lower(one, low) <= _lower(other, low) and _lower(other, high) <= _lower(one, high)):
        return None
    for _ in range(TRIALS):
        middle = (low + high) / 2
        if _lower(one, middle) <= _lower(other, middle):
            low = middle
        else:
            high = middle
    height = _lower(one, low)
    return (low, height) if math.isfinite(height) else None


def _lower(cut: tuple[Ring, RoundEnd], off: float) -> float:
    """Return the height that a ring leaves so far off the axis of the work, mm."""
    (radius, height), end = cut
    return height - end.corner + end.rise(abs(off - radius))


def touching(ring: Ring, end: RoundEnd, centre: float, form: Form) -> Place:
    """Return where a ring's cutter comes nearest to cutting into a sphere: along its radius.

    Args:
        ring: of the cutter.
        end: of the cutter.
        centre: height of the sphere's centre, on the axis; mm.
        form: a dish is touched away from that centre, a dome towards it.
    """
    radius, b = ring
    a = max(radius + sign(form) * end.flat, 0.0)
    away = math.hypot(a, b - centre)
    share = 1 + sign(form) * end.corner / away
    return a * share, centre + (b - centre) * share
