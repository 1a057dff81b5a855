"""Grooves turned outside: within one diameter of a profile, or at the foot of its shoulder; mm."""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.where import Where
from pathgen.job.sizes import Size


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """A groove with a straight floor and square walls, sunk into one diameter of a profile.

    Its walls are counted from the right face. At the ``foot`` of a shoulder the left wall is that
    shoulder itself, and goes on above the groove.
    """

    name: str
    of: str  # the profile
    step: int  # which of its diameters, from 1 at the right
    land: Size  # that diameter
    diameter: Size  # of the floor
    right: Size  # from the right face to the right wall
    left: Size  # and to the left one
    width: Size
    corner: float  # the largest radius that may stay at the floor
    foot: bool
    where: Where = field(compare=False, repr=False)

    @property
    def depth(self) -> float:
        """Return how deep it is under its diameter, both at the middle of their limits, mm."""
        return (self.land.middle - self.diameter.middle) / 2

    @property
    def span(self) -> tuple[float, float]:
        """Return from which z to which it lies at its widest, mm."""
        return -self.left.high, -self.right.low
