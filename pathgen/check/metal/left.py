"""The metal left: what earlier setups cleared, kept so that a setup of any lie can take it over."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.sweeps import Sweep
from pathgen.job.frame import Frame, Lie, Point, Way

CORNER: Point = (0.0, 0.0, 0.0)  # the blank's own, from which its axes count


class Seen(NamedTuple):
    """A cut as it is met in a setup: all over its sweep is cleared, from the tip on in its way.

    The sweep lies in the plane across that way: x and y for a cut from above or from below, the
    other level axis and z for one from a side.
    """

    way: Way  # in which it was open when it was cut
    sweep: Sweep
    tip: float  # along the way's axis, mm


class Cut(NamedTuple):
    """What one sweep cleared, seen as the blank lay when it was cut, from the blank's own corner.

    All that lies over the sweep is cleared, from its lowest tip up to beyond the blank; mm.
    """

    lie: Lie
    sweep: Sweep
    tip: float

    def seen_in(self, frame: Frame) -> Seen:
        """Return the cut as it is met in a frame."""
        if frame.lie == self.lie:
            origin = Frame(frame.lie, CORNER).into(frame.origin)
            shift = np.array([-origin[0], -origin[1]])
            return Seen(Way(2, 1), self.sweep.shifted(shift), self.tip - origin[2])
        own = Frame(self.lie, CORNER)
        corner, x, y, z = (
            np.array(frame.into(own.out_of(place)))
            for place in (CORNER, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
        )
        axis = int(np.abs(z - corner).argmax())
        way = Way(axis, 1 if z[axis] > corner[axis] else -1)
        across = [other for other in range(3) if other != axis]
        turn = np.array([(x - corner)[across], (y - corner)[across]]).round()
        sweep = self.sweep.turned(turn, corner[across])
        return Seen(way, sweep, float(corner[axis]) + way.sign * self.tip)


def kept(sweep: Sweep, tip: float, frame: Frame) -> Cut:
    """Return a sweep of a setup's frame as a cut to be kept, from the blank's own corner."""
    origin = Frame(frame.lie, CORNER).into(frame.origin)
    shift = np.array([origin[0], origin[1]])
    return Cut(frame.lie, sweep.shifted(shift), tip + origin[2])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Left:
    """The metal left in the blank after a run: a value to hand to the check of the next setup."""

    cuts: tuple[Cut, ...] = field(default=(), repr=False)
    turned: BaseGeometry | None = field(default=None, repr=False)  # of a lathe: the metal itself
