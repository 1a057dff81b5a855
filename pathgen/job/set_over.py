"""Work held set over by an angle, so that a slot at that angle lies along a slide."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from pathgen.job.sizes import Size
from pathgen.job.slot import Slot, Turned

Way: TypeAlias = Literal["sine bar", "protractor"]
Side: TypeAlias = Literal["front", "back"]

# What the gauge blocks and the bar's own centre distance leave open together, mm; common practice,
# no source.
BLOCKS_UNCERTAINTY = 0.005
RIGHT_DEG = 90.0
MOST_DEG = 45.0  # a steeper slot is laid along y
SAME_DEG = 1e-4  # angles nearer than this are one: 0.0002 mm over 100 mm


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOver:
    """How far the work is set over about the zero of x and y, by what, and how it is proved.

    ``angle_deg`` is that of the line of the work which comes to lie along the x slide: so far the
    work is turned clockwise, seen from above.
    """

    angle_deg: float
    by: Way
    against: Side  # the face of the work that the bar or the protractor is laid against
    over: float  # length that the indicator goes along in the proof, mm
    within: float  # reads alike so far over it, mm; of a sine bar
    within_deg: float  # of a protractor: how far off it may be
    bar: float  # between the rolls of the sine bar, mm

    @property
    def way(self) -> str:
        """Return which way the work is turned, seen from above."""
        return "clockwise" if self.angle_deg > 0 else "anticlockwise"

    @property
    def uncertainty_deg(self) -> float:
        """Return how far off the angle may be, half width, degrees.

        Of a sine bar: what the indicator leaves open over its way, and the blocks over the bar.
        """
        if self.by == "protractor":
            return self.within_deg
        blocks = BLOCKS_UNCERTAINTY / (self.bar * math.cos(math.radians(self.angle_deg)))
        return math.degrees(self.within / self.over + blocks)

    def along(self, slot: Slot) -> Literal["x", "y"] | None:
        """Return along which slide a slot comes to lie; None for neither."""
        if slot.turned is None:
            return None
        off = abs(slot.turned.angle_deg - self.angle_deg)
        if off < SAME_DEG:
            return "x"
        return "y" if abs(off - RIGHT_DEG) < SAME_DEG else None

    def as_lies(self, slot: Slot) -> Slot:
        """Return a slot in the axes of the slides, along which it lies."""
        along = self.along(slot)
        assert along is not None, "the reader lets no other slot through"
        assert slot.turned is not None
        x, y = Turned(0.0, 0.0, self.angle_deg).into(slot.turned.x, slot.turned.y)
        middle, across = (x, y) if along == "x" else (y, x)
        half = slot.length.nominal / 2
        return replace(
            slot,
            along=along,
            low_end=middle - half,
            high_end=middle + half,
            centre_line=across,
            middle=_about(slot.middle, middle),
            across=_about(slot.across, across),
            turned=None,
        )


def _about(size: Size, place: float) -> Size:
    """Return the limits of how far off a place may lie as those of the place."""
    return replace(size, nominal=place, low=place + size.low, high=place + size.high)


def against_slides(slot: Slot, set_over: SetOver | None) -> Turned | None:
    """Return a slot's axes as they lie to the slides; None where it is along an axis of both."""
    if slot.turned is None or set_over is None:
        return slot.turned
    return replace(slot.turned, angle_deg=slot.turned.angle_deg - set_over.angle_deg)
