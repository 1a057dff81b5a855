"""A flat piece on the faceplate: its end turned to a segment of a large circle about the axis.

The piece lies with its thickness along the axis, its middle line across it; lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Literal

from pathgen.input.where import Where
from pathgen.job.sizes import Size

LAID = 0.5  # mm by which the end may lie off where the job has it, laid by a rule: no source
CLEANED = 0.5  # mm that the cut goes under the sawn end at least, so that all of it is cleaned
RUN_OUT = 1.5  # mm that the tool goes past the back of the work, over the gap that packing leaves


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """A piece of flat bar, as measured; lengths in mm."""

    length: float
    width: float
    thickness: float

    def furthest(self, end_at: float) -> float:
        """Return how far from the axis its corners are, the end so far from it, mm.

        >>> Flat(length=80.0, width=32.0, thickness=10.0).furthest(63.0)
        65.0
        """
        return math.hypot(end_at, self.width / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Counterweights:
    """Where weights are bolted on that balance what lies on the plate; lengths in mm."""

    at: float  # from the axis to their middle
    out: float  # as far from the axis as they reach, studs too
    high: float  # above the plate


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceplateHold:
    """How a piece is clamped on the faceplate, an equal piece opposite; lengths in mm.

    What goes round with the plate is told by how far from the axis it reaches.
    """

    end_at: float  # from the axis to the sawn end, along the middle of the piece
    packing: float  # thickness of what lies between the plate and the work
    packing_out: float
    clamps_out: float
    clamps_high: float  # above the face of the work, studs and nuts too
    dummy: float  # length of the piece of the same bar that lies opposite, its end as far out
    counter: Counterweights | None
    stick_out: float  # the thickness of the work: all of it stands in front of its packing
    lines: tuple[str, ...]
    centre: Literal[""] = ""
    steady: None = None

    @property
    def called(self) -> str:
        """Return what holds it, in a word or two."""
        return "faceplate"


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """The end of a flat piece turned to a radius about the axis, all through its thickness; mm."""

    name: str
    radius: Size
    thickness: float  # of the piece
    where: Where = field(compare=False, repr=False)

    @property
    def across(self) -> Size:
        """Return what is measured across the work and the piece opposite, mm."""
        size = self.radius
        return replace(size, nominal=2 * size.nominal, low=2 * size.low, high=2 * size.high)

    @property
    def end(self) -> float:
        """Return the z to which the tool goes: past the back of the work, mm."""
        return -self.thickness - RUN_OUT
