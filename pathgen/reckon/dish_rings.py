"""A dish in the end of turned work by a tool with a round nose, ring by ring: where it stops.

The nose stays inside of the sphere, so that its middle lies on a smaller one about the same centre.
Places are those of a lathe tool: as far to the chuck as its leftmost bit, as near to the axis as
its nearest; pairs are z along the axis, 0 at the face, then x from it. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.arcs import depth_of_arc
from pathgen.reckon.guards import above_zero, not_below_zero

Place = tuple[float, float]
MOST_RINGS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class DishRings:
    """What rings in a dish have to keep to."""

    radius: float
    chord: float  # across, in the face
    nose: float  # radius of the tool's nose
    off: float  # by which every ring stays off the surface
    crest: float  # the highest that may stay between rings, from the surface itself
    widest: float  # ring that one plunge takes

    @property
    def rim(self) -> float:
        """Return the angle at the centre between axis and rim, in radians."""
        return math.asin(min(1.0, self.chord / 2 / self.radius))

    def at(self, angle: float) -> Place:
        """Return where the tool stands whose nose touches at an angle from the axis, in radians.

        Source: practice of stepping off a radius: radius less nose in a hollow (HMEM's table, and
        derived).
        """
        path = self.radius - self.nose - self.off
        centre = self.radius - depth_of_arc(self.radius, self.chord)
        return (
            centre - path * math.cos(angle) - self.nose,
            path * math.sin(angle) - self.nose,
        )


def rings_of(wanted: DishRings) -> tuple[Place, ...]:
    """Return where the tool stops for the fewest even rings, from the rim inwards to the axis.

    Two neighbours cross on the bisector; there the metal stands highest. With a path of radius p
    and a crossing at d from the centre, nose^2 = p^2 + d^2 - 2 p d cos(half the step).

    Raises:
        ValueError: no such rings, with what would do.

    >>> wanted = DishRings(radius=12.0, chord=20.0, nose=1.5, off=0.0, crest=0.05, widest=2.0)
    >>> places = rings_of(wanted)
    >>> len(places), [round(each, 3) for each in places[-1]]
    (16, [-5.367, -1.5])
    """
    above_zero(chord=wanted.chord, nose=wanted.nose, crest=wanted.crest, widest=wanted.widest)
    not_below_zero(off=wanted.off)
    path = wanted.radius - wanted.nose - wanted.off
    if path <= 0:
        raise ValueError(
            f"a nose of {wanted.nose:g} in a radius of {wanted.radius:g}; give a smaller nose"
        )
    if wanted.crest <= wanted.off:
        raise ValueError(f"a crest of {wanted.crest:g} is not above {wanted.off:g}; give more")
    step = min(_step(wanted, path), 2 * math.asin(min(1.0, wanted.widest / 2 / path)))
    count = max(1, math.ceil(wanted.rim / step - 1e-9))
    if count > MOST_RINGS:
        raise ValueError(f"{count} rings; give a higher crest, or a rounder nose")
    return tuple(wanted.at(wanted.rim * (count - each) / count) for each in range(count + 1))


def _step(wanted: DishRings, path: float) -> float:
    """Return the angle between two rings that leave the crest between them, in radians."""
    crossing = wanted.radius - wanted.crest
    cosine = (path**2 + crossing**2 - wanted.nose**2) / (2 * path * crossing)
    return 2 * math.acos(max(-1.0, min(1.0, cosine)))
