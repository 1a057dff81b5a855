"""The metal left: what earlier setups cleared, kept so that a setup of any lie can take it over."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from pathgen.check.sweeps import Sweep
from pathgen.job.frame import Frame, Lie, Point

CORNER: Point = (0.0, 0.0, 0.0)  # the blank's own, from which its axes count


class Cut(NamedTuple):
    """What one sweep cleared, seen as the blank lay when it was cut, from the blank's own corner.

    All that lies over the sweep is cleared, from its lowest tip up to beyond the blank; mm.
    """

    lie: Lie
    sweep: Sweep
    tip: float

    def seen_in(self, frame: Frame) -> tuple[Sweep, float]:
        """Return the sweep and its tip in a frame with the same face up, or the opposite one.

        From the opposite side the sweep is seen from beneath: it cleared what lies under it, from
        its tip downwards.
        """
        seen = Frame(frame.lie, CORNER)
        origin = seen.into(frame.origin)
        shift = np.array([-origin[0], -origin[1]])
        if frame.lie == self.lie:
            return self.sweep.shifted(shift), self.tip - origin[2]
        own = Frame(self.lie, CORNER)
        axes = [seen.into(own.out_of(unit)) for unit in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))]
        turn = np.array([axis[:2] for axis in axes])
        tip = seen.into(own.out_of((0.0, 0.0, self.tip)))[2]
        return self.sweep.turned(turn, shift), tip - origin[2]


def kept(sweep: Sweep, tip: float, frame: Frame) -> Cut:
    """Return a sweep of a setup's frame as a cut to be kept, from the blank's own corner."""
    origin = Frame(frame.lie, CORNER).into(frame.origin)
    shift = np.array([origin[0], origin[1]])
    return Cut(frame.lie, sweep.shifted(shift), tip + origin[2])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Left:
    """The metal left in the blank after a run: a value to hand to the check of the next setup."""

    cuts: tuple[Cut, ...] = field(default=(), repr=False)
