"""How long a plan takes, roughly: cutting by its feeds, the rest by guesses that say so."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pathgen.moves.actions import FitCutter, Measure, Zero
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item

CHANGE_MIN = 3.0  # minutes to change a cutter (a guess)
ZERO_MIN = 2.0  # to touch and set a zero (a guess)
MEASURE_MIN = 2.0  # to stop, clean and measure (a guess)
HANDLE_S = 6.0  # seconds that a handle move takes beside its winding: reading, locking (a guess)


def minutes(items: Iterable[Item], rapid: float) -> float:
    """Return the time, in minutes, that items take; unknown starts count for nothing.

    Args:
        items: of the passes, in order.
        rapid: how fast the cutter goes in the air, mm/min: a control's rate, or winding.
    """
    total = 0.0
    at = (math.nan, math.nan, math.nan)
    for item in items:
        match item:
            case FitCutter():
                total += CHANGE_MIN
            case Zero():
                total += ZERO_MIN
            case Measure():
                total += MEASURE_MIN
            case Rapid() | Feed() | Arc() | Drill():
                total += _move_minutes(at, item, rapid)
                at = end_of(item)
            case _:
                pass
    return total


def _move_minutes(
    at: tuple[float, float, float], move: Rapid | Feed | Arc | Drill, rapid: float
) -> float:
    """Return the time of one move, minutes."""
    match move:
        case Drill():
            down = move.clear - move.bottom
            back = down / (move.feed if move.feed_out else rapid)
            return down / move.feed + back + move.dwell_s / 60
        case Arc():
            return _arc_length(at, move) / move.feed
        case Feed():
            return _straight(at, end_of(move)) / move.feed
        case Rapid():
            return _straight(at, end_of(move)) / rapid


def _straight(start: tuple[float, float, float], end: tuple[float, float, float]) -> float:
    """Return the length of a straight move, mm; an axis not known yet counts for nothing."""
    known = [(a, b) for a, b in zip(start, end, strict=True) if not math.isnan(a + b)]
    return math.sqrt(sum((b - a) ** 2 for a, b in known))


def _arc_length(start: tuple[float, float, float], arc: Arc) -> float:
    """Return the length of an arc in its plane, mm."""
    radius = math.hypot(arc.x - arc.centre_x, arc.y - arc.centre_y)
    begin = math.atan2(start[1] - arc.centre_y, start[0] - arc.centre_x)
    end = math.atan2(arc.y - arc.centre_y, arc.x - arc.centre_x)
    sweep = (begin - end if arc.clockwise else end - begin) % (2 * math.pi)
    return radius * ((sweep or 2 * math.pi) + 2 * math.pi * arc.turns)
