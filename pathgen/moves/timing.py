"""How long a plan takes, roughly: cutting by its feeds, the rest by guesses that say so."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import assert_never

from pathgen.moves.actions import (
    Action,
    ChangeWheels,
    Clamp,
    Coolant,
    Dwell,
    FitCutter,
    FitTouching,
    HalfNuts,
    Lock,
    Measure,
    Note,
    Pause,
    SetAngle,
    SetDiameter,
    SetHeight,
    SetStop,
    SetSweep,
    Spindle,
    SwingSlide,
    Unlock,
    WorkBy,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import (
    Arc,
    Drill,
    Feed,
    Move,
    Rapid,
    ThreadCut,
    TurnedArc,
    TurnWork,
    end_of,
)
from pathgen.moves.plan import Item

CHANGE_MIN = 3.0  # minutes to change a cutter, the slides in hand, or the wheels (a guess)
ZERO_MIN = 2.0  # to touch and set a zero (a guess)
MEASURE_MIN = 2.0  # to stop, clean and measure, or to set a height by a rule (a guess)
SET_MIN = 1.0  # to set a boring head (a guess)
TILT_MIN = 5.0  # to set an angle or the point of a fly cutter, and measure it (a guess)
PAUSE_MIN = 2.0  # to do what a stop is for (a guess)
HANDLE_S = 6.0  # seconds that a handle move takes beside its winding: reading, locking (a guess)

XYZ = tuple[float, float, float]
NOWHERE: XYZ = (math.nan, math.nan, math.nan)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How fast a machine goes; mm/min, and mm/s2."""

    rapid: float  # in the air: a control's rate, or winding
    feed: Callable[[XYZ, XYZ, float], float] = lambda _start, _end, wanted: wanted
    acceleration: float = 0.0  # of a control, from rest and to rest again; 0: not known


def minutes(items: Iterable[Item], pace: Pace) -> float:
    """Return the time, in minutes, that items take; unknown starts count for nothing.

    Args:
        items: of the passes, in order.
        pace: how fast the machine goes.
    """
    total = 0.0
    at = NOWHERE
    for item in items:
        if isinstance(item, Rapid | Feed | Arc | TurnedArc | Drill | TurnWork | ThreadCut):
            total += _move_minutes(at, item, pace)
            at = _known(end_of(item), at)
        else:
            total += _action_minutes(item)
    return total


def _action_minutes(action: Action) -> float:  # noqa: C901 - a case a kind
    """Return the time of an action, minutes: nothing for what is done before, or is a moment."""
    match action:
        case FitCutter() | FitTouching() | WorkBy() | ChangeWheels():
            taken = CHANGE_MIN
        case Zero() | SetStop():
            taken = ZERO_MIN
        case Measure() | SetHeight() | ZeroByMeasure():
            taken = MEASURE_MIN
        case SetAngle() | SetSweep() | SwingSlide():
            taken = TILT_MIN
        case SetDiameter():
            taken = SET_MIN
        case Pause():
            taken = PAUSE_MIN
        case Dwell():
            taken = action.seconds / 60
        case Clamp() | Spindle() | Coolant() | Lock() | Unlock() | Note() | HalfNuts():
            taken = 0.0
        case _:
            assert_never(action)
    return taken


def _known(end: XYZ, start: XYZ) -> XYZ:
    """Return where a move ends; an axis that it leaves alone stays where it was."""
    x, y, z = (b if math.isnan(a) else a for a, b in zip(end, start, strict=True))
    return x, y, z


def _move_minutes(at: XYZ, move: Move, pace: Pace) -> float:
    """Return the time of one move, minutes."""
    match move:
        case Drill():
            return _hole_minutes(at, move, pace)
        case Arc():
            return _way_minutes(_arc_length(at, move), move.feed, pace)
        case TurnedArc():
            return _way_minutes(_turned_arc_length(at, move), move.feed, pace)
        case Feed() | ThreadCut():
            wanted = move.feed if isinstance(move, Feed) else move.lead * move.rpm
            feed = pace.feed(at, end_of(move), wanted)
            return _way_minutes(_straight(at, end_of(move)), feed, pace)
        case TurnWork():
            return abs(move.end_deg - move.start_deg) / move.rate
        case Rapid():
            return _way_minutes(_straight(at, end_of(move)), pace.rapid, pace)
        case _:
            assert_never(move)


def _way_minutes(length: float, rate: float, pace: Pace) -> float:
    """Return the time of a way from rest to rest, minutes.

    With an acceleration a the rate v is reached after v/a; a way shorter than v^2/a never comes to
    it and takes 2 sqrt(length / a). A control that rounds corners is quicker.

    >>> round(_way_minutes(100.0, 600.0, Pace(rapid=1.0, acceleration=50.0)) * 60, 3)  # s
    10.2
    >>> round(_way_minutes(0.5, 600.0, Pace(rapid=1.0, acceleration=50.0)) * 60, 3)
    0.2
    """
    if not pace.acceleration:
        return length / rate
    speed = rate / 60
    if length < speed**2 / pace.acceleration:
        return 2 * math.sqrt(length / pace.acceleration) / 60
    return (length / speed + speed / pace.acceleration) / 60


def _hole_minutes(at: XYZ, hole: Drill, pace: Pace) -> float:
    """Return the time of a hole, minutes: the way to it, the pecks, the way up.

    After each peck but the last the drill comes up to where it began, and goes down again.
    """
    over = (hole.x, hole.y, hole.clear)
    depth = hole.clear - hole.bottom
    drawn_up = sum(2 * hole.peck * peck for peck in range(1, hole.pecks))
    up = depth / (hole.feed if hole.feed_out else pace.rapid)
    beyond = abs(hole.left_at - hole.clear)
    in_the_air = _straight(at, over) + drawn_up + beyond
    return in_the_air / pace.rapid + depth / hole.feed + hole.dwell_s / 60 + up


def _straight(start: XYZ, end: XYZ) -> float:
    """Return the length of a straight move, mm; an axis not known yet counts for nothing."""
    known = [(a, b) for a, b in zip(start, end, strict=True) if not math.isnan(a + b)]
    return math.sqrt(sum((b - a) ** 2 for a, b in known))


def _turned_arc_length(start: XYZ, arc: TurnedArc) -> float:
    """Return the length of an arc in the plane of a lathe's axis, mm: always under half a turn."""
    if math.isnan(start[0] + start[2]):
        return 0.0
    radius = math.hypot(arc.x - arc.centre_x, arc.z - arc.centre_z)
    half_chord = math.hypot(arc.x - start[0], arc.z - start[2]) / 2
    return 2 * radius * math.asin(min(1.0, half_chord / radius))


def _arc_length(start: XYZ, arc: Arc) -> float:
    """Return the length of an arc in its plane, mm."""
    radius = math.hypot(arc.x - arc.centre_x, arc.y - arc.centre_y)
    whole = 2 * math.pi * arc.turns
    if math.isnan(start[0] + start[1]):
        return radius * whole
    begin = math.atan2(start[1] - arc.centre_y, start[0] - arc.centre_x)
    end = math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x)
    sweep = (begin - end if arc.clockwise else end - begin) % (2 * math.pi)
    return radius * ((sweep or 2 * math.pi) + whole)
