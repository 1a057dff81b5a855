"""What a tilted circle really leaves on turning work: the exact envelope, set up well or badly.

Seen in the plane through the work axis: `r` from that axis, `z` along it, up out of the metal. The
nose's centre runs along a curve there, and the surface lies one nose radius beside it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, finite, not_below_zero
from pathgen.reckon.spheres import Form, sign

__all__ = ["Departure", "Generator", "departure", "pip_height"]

SAMPLES = 360  # of the circle: a smooth curve, read to far below a micrometre
TRIALS = 60  # narrowings of the turn at which the circle comes nearest to the axis
LAID_IN = 40  # and of the height at which a sphere is laid in: to a millionth of what it may be
FLAT = 1e-12

Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Generator:
    """The circle of the nose's centre as it stands to the work axis; lengths in mm.

    Its foot is the point that should lie on the work axis: the lowest of the circle over a dish,
    the highest round a dome. ``short`` is how far the foot stops short of the axis in the plane of
    the tilt (below zero: past it), ``miss`` how far the two axes pass one another, square to it.
    """

    circle: float  # radius, r
    tilt_deg: float
    nose: float
    form: Form
    foot: float  # height z of the foot
    short: float = 0.0
    miss: float = 0.0

    def __post_init__(self) -> None:
        """Guard what makes no circle."""
        above_zero(circle=self.circle)
        not_below_zero(nose=self.nose)
        finite(foot=self.foot, short=self.short, miss=self.miss)

    def centre(self, turn: float) -> Place:
        """Return (r, z) of the nose's centre at an angle round the circle from its foot, radians.

        >>> r, z = Generator(circle=15, tilt_deg=30, nose=0, form="dish", foot=-2).centre(math.pi)
        >>> round(r, 6), round(z, 6)
        (25.980762, 13.0)
        """
        along, beside, height = self._at(turn)
        return math.hypot(along, beside), height

    def _at(self, turn: float) -> tuple[float, float, float]:
        """Return where the nose's centre is: in the plane of the tilt, beside it, and its height.

        Of the two halves of the circle the one that cuts deeper is gone along as `turn` grows.
        """
        back = 1 - math.cos(turn)
        tilt = math.radians(self.tilt_deg)
        along = self.short + self.circle * back * math.cos(tilt)
        beside = sign(self.form) * abs(self.miss) + self.circle * math.sin(turn)
        return along, beside, self.foot + sign(self.form) * self.circle * back * math.sin(tilt)

    def surface(self, turn: float) -> Place:
        """Return (r, z) of the surface that the nose leaves at that angle.

        The nose touches the surface square to the way of its centre; r is below zero where that
        lies across the work axis.
        """
        r, z = self.centre(turn)
        along, beside, _ = self._at(turn)
        tilt = math.radians(self.tilt_deg)
        rate_along, rate_beside = math.sin(turn) * math.cos(tilt), math.cos(turn)
        out = (along * rate_along + beside * rate_beside) / r if r > FLAT else 1.0
        up = sign(self.form) * math.sin(turn) * math.sin(tilt)
        length = math.hypot(out, up)
        if length < FLAT:
            return r, z - self.nose
        return r + self.nose * up / length, z - self.nose * out / length

    def profile(self, chord: float, samples: int = SAMPLES) -> tuple[Place, ...]:
        """Return places of the surface within a dish or dome so wide, from the axis outwards; mm.

        Where the nose's centre stays clear of the axis, what lies between is the pip.
        """
        near = self._nearest()
        turns = [near + (math.pi - near) * step / samples for step in range(samples + 1)]
        found = []
        for turn in turns:
            place = self.surface(turn)
            if place[0] > chord / 2:
                break
            if place[0] >= 0:
                found.append(place)
        return tuple(found)

    @property
    def pip_radius(self) -> float:
        """Return how near the nose's centre comes to the work axis: the radius of the pip, mm.

        >>> round(Generator(circle=15, tilt_deg=20, nose=0, form="dish", foot=0, short=0.1
        ... ).pip_radius, 9)
        0.1
        """
        return self.centre(self._nearest())[0]

    def _nearest(self) -> float:
        """Return the turn at which the nose's centre is nearest to the work axis, radians."""
        low, high = -math.pi / 4, math.pi / 4
        for _ in range(TRIALS):
            third = (high - low) / 3
            if self.centre(low + third)[0] < self.centre(high - third)[0]:
                high -= third
            else:
                low += third
        return (low + high) / 2


def pip_height(nose: float, pip_radius: float, depth: float) -> float:
    """Return how high a pip stands, in mm, between the rounds of the nose on either side.

    Args:
        nose: radius of the cutting point, mm.
        pip_radius: from the work axis to the nose's centre, mm.
        depth: of the cut, which a pip cannot be higher than, mm.

    >>> round(pip_height(0.4, 0.1, 6.8), 4), pip_height(0.0, 0.1, 6.8)
    (0.0127, 6.8)
    """
    not_below_zero(nose=nose, pip_radius=pip_radius, depth=depth)
    if pip_radius >= nose:
        return depth if pip_radius > 0 else 0.0
    return min(nose - math.sqrt(nose**2 - pip_radius**2), depth)


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """How far a surface lies off a sphere laid in where it fits best; mm."""

    worst: float
    centre: float  # height of that sphere's centre, z


def departure(places: Sequence[Place], radius: float, form: Form) -> Departure:
    """Return how far a surface lies off a sphere of a radius, at the height where it fits best.

    The sphere's centre stays on the work axis; only its height is free, as that of a seat is.

    Args:
        places: (r, z) of the surface, mm.
        radius: of the sphere, mm.
        form: a dish's sphere has its centre above, a dome's below.

    >>> flat = [(r / 10, 0.0) for r in range(11)]
    >>> round(departure(flat, 100.0, "dish").worst, 6)  # half of 1 / (2 x 100)
    0.0025
    """
    above_zero(radius=radius)
    heights = [_centre_over(place, radius, form) for place in places]
    low, high = min(heights), max(heights)
    for _ in range(LAID_IN):
        third = (high - low) / 3
        if _worst(places, radius, low + third) < _worst(places, radius, high - third):
            high -= third
        else:
            low += third
    centre = (low + high) / 2
    return Departure(worst=_worst(places, radius, centre), centre=centre)


def _centre_over(place: Place, radius: float, form: Form) -> float:
    """Return the height of the centre of a sphere that passes through a place, mm."""
    r, z = place
    if abs(r) > radius:
        raise ValueError(f"a place {r:g} from the axis is not on a sphere of radius {radius:g}")
    return z + sign(form) * math.sqrt(radius**2 - r**2)


def _worst(places: Iterable[Place], radius: float, centre: float) -> float:
    return max(abs(math.hypot(r, z - centre) - radius) for r, z in places)
