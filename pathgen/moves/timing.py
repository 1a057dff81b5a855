"""How long a plan takes, roughly: cutting by its feeds, the rest by guesses that say so."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import assert_never

from pathgen.moves.actions import (
    Action,
    Clamp,
    Coolant,
    Dwell,
    FitCutter,
    FitTouching,
    Lock,
    Measure,
    Note,
    Pause,
    SetDiameter,
    SetHeight,
    Spindle,
    Unlock,
    Zero,
)
from pathgen.moves.moves import Arc, Drill, Feed, Move, Rapid, end_of
from pathgen.moves.plan import Item

CHANGE_MIN = 3.0  # minutes to change a cutter (a guess)
ZERO_MIN = 2.0  # to touch and set a zero (a guess)
MEASURE_MIN = 2.0  # to stop, clean and measure, or to set a height by a rule (a guess)
SET_MIN = 1.0  # to set a boring head (a guess)
PAUSE_MIN = 2.0  # to do what a stop is for (a guess)
HANDLE_S = 6.0  # seconds that a handle move takes beside its winding: reading, locking (a guess)

XYZ = tuple[float, float, float]
NOWHERE: XYZ = (math.nan, math.nan, math.nan)


def minutes(items: Iterable[Item], rapid: float) -> float:
    """Return the time, in minutes, that items take; unknown starts count for nothing.

    Args:
        items: of the passes, in order.
        rapid: how fast the cutter goes in the air, mm/min: a control's rate, or winding.
    """
    total = 0.0
    at = NOWHERE
    for item in items:
        if isinstance(item, Rapid | Feed | Arc | Drill):
            total += _move_minutes(at, item, rapid)
            at = _known(end_of(item), at)
        else:
            total += _action_minutes(item)
    return total


def _action_minutes(action: Action) -> float:
    """Return the time of an action, minutes: nothing for what is done before, or is a moment."""
    match action:
        case FitCutter() | FitTouching():
            taken = CHANGE_MIN
        case Zero():
            taken = ZERO_MIN
        case Measure() | SetHeight():
            taken = MEASURE_MIN
        case SetDiameter():
            taken = SET_MIN
        case Pause():
            taken = PAUSE_MIN
        case Dwell():
            taken = action.seconds / 60
        case Clamp() | Spindle() | Coolant() | Lock() | Unlock() | Note():
            taken = 0.0
        case _:
            assert_never(action)
    return taken


def _known(end: XYZ, start: XYZ) -> XYZ:
    """Return where a move ends; an axis that it leaves alone stays where it was."""
    x, y, z = (b if math.isnan(a) else a for a, b in zip(end, start, strict=True))
    return x, y, z


def _move_minutes(at: XYZ, move: Move, rapid: float) -> float:
    """Return the time of one move, minutes."""
    match move:
        case Drill():
            return _hole_minutes(at, move, rapid)
        case Arc():
            return _arc_length(at, move) / move.feed
        case Feed():
            return _straight(at, end_of(move)) / move.feed
        case Rapid():
            return _straight(at, end_of(move)) / rapid
        case _:
            assert_never(move)


def _hole_minutes(at: XYZ, hole: Drill, rapid: float) -> float:
    """Return the time of a hole, minutes: the way to it, the pecks, the way up.

    After each peck but the last the drill comes up to where it began, and goes down again.
    """
    over = (hole.x, hole.y, hole.clear)
    depth = hole.clear - hole.bottom
    drawn_up = sum(2 * hole.peck * peck for peck in range(1, hole.pecks))
    up = depth / (hole.feed if hole.feed_out else rapid)
    beyond = abs(hole.left_at - hole.clear)
    in_the_air = _straight(at, over) + drawn_up + beyond
    return in_the_air / rapid + depth / hole.feed + hole.dwell_s / 60 + up


def _straight(start: XYZ, end: XYZ) -> float:
    """Return the length of a straight move, mm; an axis not known yet counts for nothing."""
    known = [(a, b) for a, b in zip(start, end, strict=True) if not math.isnan(a + b)]
    return math.sqrt(sum((b - a) ** 2 for a, b in known))


def _arc_length(start: XYZ, arc: Arc) -> float:
    """Return the length of an arc in its plane, mm."""
    radius = math.hypot(arc.x - arc.centre_x, arc.y - arc.centre_y)
    begin = math.atan2(start[1] - arc.centre_y, start[0] - arc.centre_x)
    end = math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x)
    sweep = (begin - end if arc.clockwise else end - begin) % (2 * math.pi)
    return radius * ((sweep or 2 * math.pi) + 2 * math.pi * arc.turns)
