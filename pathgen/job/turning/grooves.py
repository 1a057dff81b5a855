"""Grooves turned outside: within one diameter of a profile, or at the foot of its shoulder; mm."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

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


def left_wall(start: Size, width: Size) -> Size:
    """Return where the left wall is, of a groove that is placed by its right one."""
    return Size(
        nominal=start.nominal + width.nominal,
        low=start.low + width.low,
        high=start.high + width.high,
        basis=width.basis,
    )


def right_wall(shoulder: Size, width: Size) -> Size:
    """Return where the right wall is, of a groove that ends at a shoulder."""
    return Size(
        nominal=shoulder.nominal - width.nominal,
        low=shoulder.low - width.high,
        high=shoulder.high - width.low,
        basis=width.basis,
    )


def with_width(groove: Groove, width: Size) -> Groove:
    """Return a groove of another width, with the wall that follows from it."""
    if groove.foot:
        return replace(groove, width=width, right=right_wall(groove.left, width))
    return replace(groove, width=width, left=left_wall(groove.right, width))
