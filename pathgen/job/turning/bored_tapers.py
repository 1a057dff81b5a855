"""A bore that widens to its mouth by a taper; lengths in mm.

Its line begins at the middle of the limits of the bore's first diameter, so far from the right face
as the taper is long, and widens from there to the mouth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pathgen.input.where import Where


@dataclass(frozen=True, slots=True, kw_only=True)
class BoredTaper:
    """A taper from the first diameter of a bore to its mouth in the right face."""

    name: str
    of: str  # the bore
    foot: float  # half of the bore's diameter: its small end, away from the mouth
    along: float
    rise: float
    beside: float  # how far from its line it may lie, to both sides
    angle_within_deg: float  # how far its half angle may be off
    where: Where = field(compare=False, repr=False)

    @property
    def face(self) -> float:
        """Return the z of its mouth."""
        return 0.0

    @property
    def out(self) -> float:
        """Return its radius at the mouth, its large end, mm."""
        return self.foot + self.rise

    @property
    def angle_deg(self) -> float:
        """Return the angle between its side and the axis, degrees."""
        return math.degrees(math.atan2(self.rise, self.along))

    @property
    def runs_out(self) -> float:
        """Return how far from the face it may run out into the bore, beside its line, mm."""
        return self.along + self.beside / math.sin(math.radians(self.angle_deg))

    def widened(self, depth: float) -> float:
        """Return its radius at a depth from the right face, mm; 0 behind it."""
        if depth >= self.along:
            return 0.0
        return self.foot + self.rise * (1 - max(depth, 0.0) / self.along)
