"""Whether the body of a fly cutter, and what holds it, clear the work that it cuts a sphere into.

All that stands within the circle of the cutting point: round bodies about the spindle's axis, one
above the other. Places are asked for in the work's own terms: off its axis, and above its face.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, not_below_zero
from pathgen.reckon.sphere_profile import Generator
from pathgen.reckon.spheres import sign

__all__ = ["RoundBody", "body_clearance", "inside_room"]

ROUND = 48  # places round a body that are looked at
ALONG = 24  # and up its side


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundBody:
    """A cylinder about the spindle's axis, from a height above the point's circle up; mm."""

    diameter: float
    above: float  # of its lower end, over the plane of the circle of the point's lowest place
    length: float

    def __post_init__(self) -> None:
        """Guard what is no body."""
        above_zero(diameter=self.diameter, length=self.length)
        not_below_zero(above=self.above)


def inside_room(radius: float, tilt_deg: float) -> float:
    """Return how far a dome reaches up within the cutting circle, along the spindle; mm.

    So much has to stay free between the point and the body: a dome's cutter has its point on a
    leg, looking inwards.

    Source: geometry: R (1 - cos t).

    >>> round(inside_room(20.0, 30.0), 3)
    2.679
    """
    above_zero(radius=radius)
    return radius * (1 - math.cos(math.radians(tilt_deg)))


def body_clearance(generator: Generator, bodies: Sequence[RoundBody], work_radius: float) -> float:
    """Return the least way, in mm, between bodies and work; below zero where they meet.

    The work is round, with a flat face at height 0 and what has been cut of it gone down to the
    place where the circle stands. Beside it and above its face all is free.

    Args:
        generator: the circle as it stands.
        bodies: what turns within it.
        work_radius: of the work, from its axis to its farthest corner, mm.
    """
    above_zero(work_radius=work_radius)
    places = [place for body in bodies for place in _places(generator, body)]
    return min((_free(generator, place, work_radius) for place in places), default=math.inf)


def _places(generator: Generator, body: RoundBody) -> Iterator[tuple[float, float]]:
    """Yield places of a body's end and side as (r, z) in the work's terms."""
    tilt = math.radians(generator.tilt_deg)
    up = sign(generator.form)
    for level in range(ALONG + 1):
        height = body.above - generator.nose + body.length * level / ALONG
        reach = [body.diameter / 2] if level else [body.diameter / 2 * s / 4 for s in range(5)]
        for radius in reach:
            for step in range(ROUND):
                turn = 2 * math.pi * step / ROUND
                back = generator.circle - radius * math.cos(turn)
                along = generator.short + back * math.cos(tilt) - up * height * math.sin(tilt)
                beside = generator.miss + radius * math.sin(turn)
                z = generator.foot + up * back * math.sin(tilt) + height * math.cos(tilt)
                yield math.hypot(along, beside), z


def _free(generator: Generator, place: tuple[float, float], work_radius: float) -> float:
    """Return how far a place is from the work; below zero within it, mm."""
    r, z = place
    tilt = math.radians(generator.tilt_deg)
    up = sign(generator.form)
    sphere = generator.circle / math.sin(tilt)
    centre = generator.foot + up * sphere
    away = math.hypot(r, z - centre)
    if generator.form == "dish":
        hollow = sphere + generator.nose - away
        return max(hollow, z, r - work_radius)
    over = away - (sphere - generator.nose)
    return max(over, r - work_radius) if z < 0 else max(over, z, r - work_radius)
