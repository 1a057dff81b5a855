"""Edges and ends of turned work that are crowned, rounded or chamfered; lengths in mm.

Each takes the right-hand edge off one diameter of a profile. The line that it is taken off to lies
at the middle of the limits of the diameter and of the face that it is the edge of.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias, assert_never

from pathgen.input.where import Where

LINE = 0.05  # mm beside its line that an edge may lie; common practice, no source
PROVED_OVER = 10.0  # mm that a taper is long at least, for its angle to be measured on it


@dataclass(frozen=True, slots=True, kw_only=True)
class Crown:
    """An end that bulges: part of a ball whose middle is on the axis."""

    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounded:
    """A quarter of a circle from a face to a diameter, running smoothly into both."""

    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bevel:
    """A straight from a face to a diameter: how long along the axis, and how high."""

    width: float
    rise: float


Shape: TypeAlias = Crown | Rounded | Bevel
Way: TypeAlias = Literal["steps", "compound", "set-over"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedEdge:
    """The edge of one diameter of a profile, and the shape that it is given."""

    name: str
    of: str  # the profile
    step: int  # which of its diameters, from 1 at the right
    out: float  # half of that diameter
    face: float  # z of the face that it begins on
    shape: Shape
    file_to_line: float | None  # left to file at most, cut by hand
    way: Way = "steps"  # on a lathe with handles; by a control it is cut along its line
    beside: float = LINE  # how far from its line it may lie, to both sides, where nothing is filed
    angle_within_deg: float = 0.0  # of a taper: how far its half angle may be off
    where: Where = field(compare=False, repr=False)

    @property
    def most_left(self) -> float:
        """Return how far metal may stand over the line, mm."""
        return self.beside if self.file_to_line is None else self.file_to_line

    @property
    def angle_deg(self) -> float:
        """Return the angle between the axis and a straight edge, degrees."""
        return math.degrees(math.atan2(self.out - self.foot, self.along))

    @property
    def foot(self) -> float:
        """Return how far from the axis the face ends, mm."""
        match self.shape:
            case Crown():
                return 0.0
            case Rounded(radius=rise) | Bevel(rise=rise):
                return self.out - rise
            case _:
                assert_never(self.shape)

    @property
    def along(self) -> float:
        """Return how far from its face it reaches along the axis, mm.

        Source: of a crown, the height of a segment whose chord is the diameter.
        """
        match self.shape:
            case Crown(radius=radius):
                return self.out**2 / (radius + math.sqrt(max(radius**2 - self.out**2, 0.0)))
            case Rounded(radius=along) | Bevel(width=along):
                return along
            case _:
                assert_never(self.shape)
