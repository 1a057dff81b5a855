"""A straight slot with round ends, along an axis or at an angle, through or blind."""

from __future__ import annotations

import math
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
class KeySeat:
    """What parallel key a slot takes, mm; its depth is from the flat that it is sunk from.

    In a shaft itself it is from the crown: the line along it that lies highest.
    """

    shaft: float  # the diameter that the key is for
    part: Literal["shaft", "hub"]  # whose depth it has
    width: float
    height: float
    across: float | None = None  # the shaft that it is cut into, as measured; None: a flat


@dataclass(frozen=True, slots=True)
class Turned:
    """A slot's own axes, turned about a place of the setup's frame; mm and degrees.

    >>> x, y = Turned(10.0, 5.0, 30.0).out_of(2.0, 0.0)
    >>> round(x, 3), round(y, 3)
    (11.732, 6.0)
    """

    x: float
    y: float
    angle_deg: float  # anticlockwise from x, seen from above

    @property
    def way(self) -> tuple[float, float]:
        """Return the cosine and the sine of the angle."""
        return math.cos(math.radians(self.angle_deg)), math.sin(math.radians(self.angle_deg))

    def out_of(self, along: float, across: float) -> tuple[float, float]:
        """Return (x, y) of a place given in these axes, mm."""
        cos, sin = self.way
        return self.x + along * cos - across * sin, self.y + along * sin + across * cos

    def into(self, x: float, y: float) -> tuple[float, float]:
        """Return a place in these axes, along and across, mm."""
        cos, sin = self.way
        dx, dy = x - self.x, y - self.y
        return dx * cos + dy * sin, dy * cos - dx * sin


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A straight slot sunk from the top face; lengths in mm, positions in the setup's frame.

    ``low_end`` and ``high_end`` are the outermost places of the slot along its axis: the tip of a
    round end, or the blank's face where the slot is open. A slot at an angle is closed, and has
    axes of its own, turned about its middle; its places are in these, along x.
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
    turned: Turned | None = None  # None: along an axis
    key: KeySeat | None = None  # None: for no key of the table

    @property
    def through(self) -> bool:
        """Return whether the slot goes through the blank."""
        return self.depth is None

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return the slot's box seen from above: least x and y, greatest x and y; mm."""
        half = self.width.high / 2
        if self.turned is not None:
            (x0, y0), (x1, y1) = self.centres
            half_x, half_y = half + abs(x1 - x0) / 2, half + abs(y1 - y0) / 2
            x, y = self.turned.x, self.turned.y
            return x - half_x, y - half_y, x + half_x, y + half_y
        low = self.point(self.low_end, self.centre_line - half)
        high = self.point(self.high_end, self.centre_line + half)
        return *low, *high

    @property
    def centres(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return (x, y) of both ends of the line that its round ends are about, mm."""
        half = self.width.nominal / 2
        low = self.low_end + (0.0 if self.open_low else half)
        high = self.high_end - (0.0 if self.open_high else half)
        return self.point(low, self.centre_line), self.point(high, self.centre_line)

    def point(self, along: float, across: float) -> tuple[float, float]:
        """Return (x, y) of a place given along and across the slot, mm."""
        if self.turned is not None:
            return self.turned.out_of(along, across)
        return (along, across) if self.along == "x" else (across, along)

    def own(self, x: float, y: float) -> tuple[float, float]:
        """Return a place of the setup's frame along and across the slot, mm."""
        if self.turned is not None:
            return self.turned.into(x, y)
        return (x, y) if self.along == "x" else (y, x)
