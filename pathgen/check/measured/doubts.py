"""What a machine leaves open of the sizes of a slot."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Quantity
from pathgen.check.measured.finished import Finished
from pathgen.check.wanted.own_axes import along_across, shares
from pathgen.job.set_over import SetOver, against_slides
from pathgen.job.slot import Slot

NEAR_WALL = 0.05  # settings whose cut comes this near to the wall make the wall, mm


def still_axis(slot: Slot, quantity: Quantity, set_over: SetOver | None = None) -> int | None:
    """Return the axis (0, 1, 2) whose slide stands still in the cuts that make a size.

    None where the slide that moves makes it: the cut does not push that one out of its place.
    """
    if quantity in ("width", "centre line"):
        if set_over is not None:
            return 1 if set_over.along(slot) == "x" else 0
        if slot.turned is not None:
            return None
        return 1 if slot.along == "x" else 0
    return 2 if quantity == "depth" else None


@dataclass(frozen=True, slots=True)
class Doubts:
    """What the machine leaves open of each size, half widths, mm."""

    context: Context
    finished: Finished

    @property
    def _along(self) -> int:
        return 0 if self.finished.slot.along == "x" else 1

    def _of(self, figures: Sequence[float], axis: int) -> float:
        """Return what the figures of the slides make of one of the slot's axes."""
        turned = against_slides(self.finished.slot, self.context.setup.set_over)
        return shares(turned, (figures[0], figures[1]), axis)

    def _swung(self, axis: int) -> float:
        """Return what the doubt of the angle of work set over makes of a place on a slot's axis.

        The work turns about the zero: the middle goes along by how far that lies beside the slot,
        the centre line across by how far the farther end lies along it.
        """
        set_over, slot = self.context.setup.set_over, self.finished.slot
        if set_over is None:
            return 0.0
        along, across = slot.own(0.0, 0.0)
        farthest = abs(across) if axis == self._along else abs(along) + slot.length.nominal / 2
        return math.radians(set_over.uncertainty_deg) * farthest

    @property
    def width(self) -> float:
        """Return 0 where one setting of the cross position made both walls, else two settings."""
        return (
            0.0
            if self.settings <= 1
            else 2 * self._of(self.context.run.doubt.setting, 1 - self._along)
        )

    @property
    def settings(self) -> int:
        """Return how many cross positions made the walls."""
        legs, finished = self.context.legs, self.finished
        first, last = finished.straight
        s, a = along_across(finished.slot, np.concatenate([legs.start, legs.end])).T
        radius, low = np.tile(legs.radius, 2), np.tile(legs.low, 2)
        near = (low < self.context.box[1][2]) & (s > first - 2 * radius) & (s < last + 2 * radius)
        walls = np.abs(a + radius - finished.across.cut[1]) < NEAR_WALL
        walls |= np.abs(a - radius - finished.across.cut[0]) < NEAR_WALL
        return len(np.unique(a[near & walls].round(6)))

    @property
    def length(self) -> float:
        """Return two settings, or a datum and a setting from a face, and a corrected stop's."""
        doubt, slot, axis = self.context.run.doubt, self.finished.slot, self._along
        setting, stop = self._of(doubt.setting, axis), self._of(doubt.stop, axis)
        first = self._of(doubt.zero, axis) if slot.open_low or slot.open_high else setting
        return first + setting + stop

    @property
    def depth(self) -> float:
        """Return the doubt of the depth's zero and of one setting."""
        return self.context.depth_doubt

    @property
    def middle(self) -> float:
        """Return the doubt of the datum, of a setting, and half of a corrected stop's."""
        doubt, axis = self.context.run.doubt, self._along
        zero, setting = self._of(doubt.zero, axis), self._of(doubt.setting, axis)
        return zero + setting + self._of(doubt.stop, axis) / 2 + self._swung(axis)

    @property
    def centre_line(self) -> float:
        """Return the doubt of the datum and of a setting across."""
        doubt, across = self.context.run.doubt, 1 - self._along
        zero, setting = self._of(doubt.zero, across), self._of(doubt.setting, across)
        return zero + setting + self._swung(across)
