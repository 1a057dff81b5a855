"""A straight slot with round ends, along an axis, through or blind, closed or open at an end."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.where import Where
from pathgen.job.sizes import Size

HolesWanted: TypeAlias = Literal["all", "ends and middle", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotWays:
    """What the job says of how the slot is to be cut; None where the planner chooses."""

    holes: HolesWanted | None = None
    drill: str | None = None
    pilot: str | None = None  # a drill's name, or "none"
    least_web: float | None = None
    allowance: float | None = None  # left for finishing on each side, mm
    rough: str | None = None  # a cutter's name, or "none"
    finish: str | None = None
    depth_of_cut: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A straight slot sunk from the top face; lengths in mm, positions in the setup's frame.

    ``low_end`` and ``high_end`` are the outermost places of the slot along its axis: the tip of a
    round end, or the blank's face where the slot is open.
    """

    name: str
    along: Literal["x", "y"]
    low_end: float
    high_end: float
    open_low: bool
    open_high: bool
    centre_line: float
    width: Size
    length: Size
    middle: Size  # the middle of the length, along the axis
    across: Size  # the centre line, across the axis
    depth: Size | None  # None: through
    ways: SlotWays
    where: Where = field(compare=False, repr=False)

    @property
    def through(self) -> bool:
        """Return whether the slot goes through the blank."""
        return self.depth is None

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return the slot's box seen from above: least x and y, greatest x and y; mm."""
        half = self.width.high / 2
        low = self.point(self.low_end, self.centre_line - half)
        high = self.point(self.high_end, self.centre_line + half)
        return *low, *high

    def point(self, along: float, across: float) -> tuple[float, float]:
        """Return (x, y) of a place given along and across the slot, mm."""
        return (along, across) if self.along == "x" else (across, along)
