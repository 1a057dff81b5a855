"""A flat piece on the faceplate: its end rounded or hollowed to a segment of a large circle.

The piece lies with its thickness along the axis, its middle line across it. A piece with a rounded
end lies over the axis; one that is hollowed lies beyond it, its end turned to it. Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Literal

from pathgen.input.where import Where
from pathgen.job.sizes import Size
from pathgen.reckon.arcs import depth_of_arc

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
        """Return how far from the axis the corners of an end are, the end so far from it, mm.

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

    @property
    def inner(self) -> float:
        """Return how near to the axis they reach: as far in from their middle as out, mm."""
        return max(2 * self.at - self.out, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FaceplateHold:
    """How a piece is clamped on the faceplate, an equal piece opposite; lengths in mm.

    What goes round with the plate is told by how far from the axis it reaches.
    """

    end_at: float  # from the axis to the sawn end, along the middle of the piece
    packing: float  # thickness of what lies between the plate and the work
    packing_to: float  # towards the cut: out from the axis, or in where it hollows
    clamps_to: float
    clamps_high: float  # above the face of the work, studs and nuts too
    dummy: float  # length of the piece of the same bar that lies opposite, its end as far out
    counter: Counterweights | None
    hollow: bool  # the cut goes round at the near ends of the pieces, which lie beyond it
    stick_out: float  # the thickness of the work: all of it stands in front of its packing
    lines: tuple[str, ...]
    centre: Literal[""] = ""
    steady: None = None

    @property
    def called(self) -> str:
        """Return what holds it, in a word or two."""
        return "faceplate"

    @property
    def side(self) -> str:
        """Return which way from the cut the tool is clear of both pieces."""
        return "in" if self.hollow else "out"

    def furthest(self, flat: Flat) -> float:
        """Return how far from the axis the outermost corner on the plate is, mm."""
        long = max(flat.length, self.dummy) if self.hollow else 0.0
        return flat.furthest(self.end_at + long)

    @property
    def inner(self) -> float:
        """Return how near to the axis the pieces lie as they come, mm: a rounded one over it."""
        return self.end_at if self.hollow else 0.0

    def beside_cut(self, to: float, out: float) -> tuple[float, float]:
        """Return how near to the axis and how far out something lies beside the cut, mm.

        Args:
            to: how far it reaches towards the cut.
            out: how far out anything on the plate reaches.
        """
        return (to, out) if self.hollow else (0.0, to)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """The end of a flat piece turned to a radius about the axis, all through its thickness; mm."""

    name: str
    radius: Size
    thickness: float  # of the piece
    width: float  # of the piece, which is the chord
    hollow: bool  # the end is bored to the radius, not turned round to it
    where: Where = field(compare=False, repr=False)

    @property
    def across(self) -> Size:
        """Return what is measured across the work and the piece opposite, mm."""
        size = self.radius
        return replace(size, nominal=2 * size.nominal, low=2 * size.low, high=2 * size.high)

    @property
    def beyond(self) -> int:
        """Return on which side of the radius the metal to be cut lies: 1 outside, -1 inside."""
        return -1 if self.hollow else 1

    @property
    def tool_kind(self) -> Literal["turning", "boring"]:
        """Return what kind of tool cuts it."""
        return "boring" if self.hollow else "turning"

    @property
    def depth(self) -> Size:
        """Return how deep a hollow is under the straight edge laid over it, mm: by its radius.

        The larger the radius, the shallower it is over the same chord.
        """
        size = self.radius
        nominal, low, high = (
            depth_of_arc(radius, self.width) for radius in (size.nominal, size.high, size.low)
        )
        return replace(size, nominal=nominal, low=low, high=high, basis="by its radius")

    @property
    def end(self) -> float:
        """Return the z to which the tool goes: past the back of the work, mm."""
        return -self.thickness - RUN_OUT
