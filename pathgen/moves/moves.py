"""The moves of a cutter: a closed union of light values, in the setup's frame.

Axes of the frame: x to the right, y away from the person, z up; the origin is where the setup's
datums meet. A position is that of the cutter's axis (x, y) and of its lowest point (z): the flat
end of an end mill, the point of a drill. Lengths in mm, feeds in mm/min.

Moves are named tuples and not dataclasses, since a program of 200,000 lines makes as many of them.
Two moves of different classes can compare equal as tuples only if they have as many fields; no two
classes here have.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, NamedTuple, TypeAlias

Axis: TypeAlias = Literal["x", "y", "z"]
AXES: tuple[Axis, Axis, Axis] = ("x", "y", "z")

SLIVER = 1e-9  # of a peck: less is no peck more

# What a position is for, which decides how a handle comes to it:
#   size  the position makes a size, or places a cut: it is reached from the slide's chosen side;
#   stop  the end of a feed whose place matters: against the chosen side it is corrected by the
#         slack;
#   air   nothing depends on it.
Makes: TypeAlias = Literal["size", "stop", "air"]


class Term(NamedTuple):
    """One term of the sum that gives a coordinate, with its sign in the value; mm."""

    label: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """How a coordinate follows what was measured: base + factor x (found - expected).

    The base is the coordinate that the move itself carries. A found value outside ``Measure``'s
    acceptable range is never put into the rule.
    """

    axis: Axis
    measure: str  # the name of the Measure action, met earlier in the setup
    factor: float


@dataclass(frozen=True, slots=True, kw_only=True)
class How:
    """What a move carries besides where it goes; empty by default."""

    makes: Makes = "air"
    sums: tuple[tuple[Axis, tuple[Term, ...]], ...] = ()  # where a coordinate comes from
    rules: tuple[Rule, ...] = ()
    what: str = ""  # what happens here, in a few words of the trade: "left end", "hole 3 of 9"
    to_stop: bool = False  # a stop on the bed ends it, set where the slide stood there before

    def sum_of(self, axis: Axis) -> tuple[Term, ...]:
        """Return the terms of the sum for one axis, empty when none was given."""
        return next((terms for name, terms in self.sums if name == axis), ())

    def rule_of(self, axis: Axis) -> Rule | None:
        """Return the rule for one axis, if it follows a measurement."""
        return next((rule for rule in self.rules if rule.axis == axis), None)


class Rapid(NamedTuple):
    """Go in the air, fast or by winding; planners split these: up, across, down."""

    x: float
    y: float
    z: float
    how: How | None = None


class Feed(NamedTuple):
    """Go straight while cutting, at a feed in mm/min."""

    x: float
    y: float
    z: float
    feed: float
    how: How | None = None


class Arc(NamedTuple):
    """Go along an arc about a centre in the x-y plane, z moving in proportion (a helix).

    ``turns`` counts the whole turns before the last, part or whole, one: 0 for an arc of at most a
    turn. An end equal to the start, with ``turns`` 0, is one whole turn.
    """

    x: float
    y: float
    z: float
    centre_x: float
    centre_y: float
    clockwise: bool
    feed: float
    turns: int = 0
    how: How | None = None


class TurnedArc(NamedTuple):
    """Go along an arc in the plane of a lathe's axis, about a centre, cutting; y stays as it is.

    ``outwards`` says that it is gone along from the axis outwards while z falls, which is
    anticlockwise with z drawn to the right and x upwards.
    """

    x: float
    z: float
    centre_x: float
    centre_z: float
    outwards: bool
    feed: float
    how: How | None = None


class Drill(NamedTuple):
    """Drill (spot, ream, tap) a hole: come down at (x, y) and go back up to ``clear``.

    The cutter is already at ``clear`` or above, over the hole. ``peck`` is the depth of one peck, 0
    for none. ``feed_out`` goes back up at the feed, as a reamer wants. With a ``lead`` it taps: the
    slide goes that far a turn, in step with the spindle, which turns back at the bottom and drives
    the tap out.
    """

    x: float
    y: float
    bottom: float
    clear: float
    feed: float
    peck: float = 0.0
    dwell_s: float = 0.0
    feed_out: bool = False
    back_to: float = float("nan")  # where it is left afterwards; nan: at ``clear``
    lead: float = 0.0  # mm a turn, 0 where it does not tap
    how: How | None = None

    @property
    def pecks(self) -> int:
        """Return in how many pecks the hole is drilled; the last may be a shorter one."""
        if self.peck <= 0:
            return 1
        return max(1, math.ceil((self.clear - self.bottom) / self.peck - SLIVER))

    @property
    def left_at(self) -> float:
        """Return the z at which the cutter is left after the hole."""
        return self.clear if self.back_to != self.back_to else self.back_to


class TurnWork(NamedTuple):
    """Turn the work about its own axis, from one angle to another, the slides standing still.

    Seen from above the face the angles rise anticlockwise. ``cuts`` says that it is turned under a
    running cutter.
    """

    by: str  # what turns it: "the tilting chuck, by its crank"
    start_deg: float
    end_deg: float
    rate: float  # degrees a minute
    cuts: bool = True
    how: How | None = None


# What draws the carriage along a thread, and what becomes of the half-nuts:
#   dial      closed for this cut at a mark of the thread dial, opened at its end;
#   closed    they stay closed: the spindle stands until the cut starts it, and is stopped after;
#   reversed  so too, the spindle turning backwards: back to the start, the tool drawn out;
#   control   a control keeps step with the spindle.
Nuts: TypeAlias = Literal["dial", "closed", "reversed", "control"]
STARTS: tuple[Nuts, ...] = ("closed", "reversed")  # the spindle, and stop it at their end


class ThreadCut(NamedTuple):
    """Go along a thread in step with the spindle, ``lead`` mm a turn.

    At the end the tool is drawn out at once, by the move that follows. ``every`` says at every how
    many marks of the thread dial, from the ``first`` on, the half-nuts may be closed; 0 where no
    dial is looked at. ``rpm`` is what the spindle turns at, or is started at where the half-nuts
    stay closed.
    """

    x: float
    y: float
    z: float
    lead: float
    nuts: Nuts
    every: int = 0
    rpm: float = 0.0
    how: How | None = None
    first: int = 1  # the first mark of the thread dial, numbered from 1, that the nuts close at


Move: TypeAlias = Rapid | Feed | Arc | TurnedArc | Drill | TurnWork | ThreadCut

NAN = float("nan")


def end_of(move: Move) -> tuple[float, float, float]:
    """Return (x, y, z) where a move leaves the cutter, mm; nan where it leaves it as it was."""
    if isinstance(move, TurnWork):
        return NAN, NAN, NAN
    if isinstance(move, TurnedArc):
        return move.x, NAN, move.z
    if isinstance(move, Drill):
        return move.x, move.y, move.left_at
    return move.x, move.y, move.z
