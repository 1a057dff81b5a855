"""Spindle speeds and feeds: from surface speed to rev/min, and on to the pace of a handle.

Lengths in mm, speeds in rev/min, feeds in mm/min. The published figures for materials are in
`pathgen.reckon.cutting`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pathgen.reckon.guards import above_zero

__all__ = [
    "ChosenSpeed",
    "Side",
    "clamped_speed",
    "cutting_minutes",
    "drill_feed",
    "drilling_removal_rate",
    "handle_pace",
    "nearest_speed",
    "removal_rate",
    "run_in",
    "spindle_speed",
    "surface_speed",
    "table_feed",
    "turning_removal_rate",
]

Side = Literal["below", "above", "exact", "lowest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenSpeed:
    """A speed that the machine has, beside the one that was wished for.

    `side` tells where the speed lies from the wanted one: below or above it, exactly on it, or
    "lowest": even the slowest speed of the machine is faster than what was wanted, which the
    reader must be told.
    """

    rpm: float
    side: Side

    @property
    def too_fast(self) -> bool:
        """Return whether the machine cannot go as slowly as wanted."""
        return self.side == "lowest"


def spindle_speed(surface_speed_m_min: float, diameter: float) -> float:
    """Return the spindle speed, in rev/min, that gives a surface speed.

    Args:
        surface_speed_m_min: cutting speed, m/min.
        diameter: of the cutter in milling and drilling, the largest of the work in turning; mm.

    Source: rpm = 1000 v / (pi d), every handbook.

    >>> round(spindle_speed(30.0, 10.0), 1)
    954.9
    """
    above_zero(surface_speed=surface_speed_m_min, diameter=diameter)
    return 1000 * surface_speed_m_min / (math.pi * diameter)


def surface_speed(rpm: float, diameter: float) -> float:
    """Return the surface speed, in m/min, at a spindle speed.

    >>> round(surface_speed(700.0, 50.0))
    110
    """
    above_zero(rpm=rpm, diameter=diameter)
    return math.pi * diameter * rpm / 1000


def nearest_speed(wanted_rpm: float, speeds: Sequence[float], *, never_above: bool) -> ChosenSpeed:
    """Return the speed of a stepped machine that is nearest to the wanted one.

    Of two equally near the lower.

    Args:
        wanted_rpm: the reckoned speed, rev/min.
        speeds: those that the machine has, rev/min, in any order.
        never_above: for hard materials, where a speed above the wanted one costs the cutter: take
            the nearest that is not above. Where all are above, the lowest is given and says so.

    Source: "take the lower of the two" (lecture note on feed and speed steps) for hard materials,
    "take the nearest" (maker's manual) for the others.

    >>> nearest_speed(310.0, (275.0, 320.0), never_above=True)
    ChosenSpeed(rpm=275.0, side='below')
    >>> nearest_speed(310.0, (275.0, 320.0), never_above=False)
    ChosenSpeed(rpm=320.0, side='above')
    """
    if not speeds:
        raise ValueError("the machine has no speeds; give at least one")
    above_zero(wanted_rpm=wanted_rpm)
    for speed in speeds:
        above_zero(speed_of_the_machine=speed)
    lowest = min(speeds)
    if lowest > wanted_rpm:
        return ChosenSpeed(rpm=lowest, side="lowest")
    allowed = [s for s in speeds if s <= wanted_rpm] if never_above else speeds
    return _sided(min(allowed, key=lambda s: (abs(s - wanted_rpm), s)), wanted_rpm)


def clamped_speed(wanted: float, lowest: float, highest: float) -> ChosenSpeed:
    """Return the speed, in rev/min, of a machine that runs at any speed between two limits.

    >>> clamped_speed(4000.0, 100.0, 2500.0)
    ChosenSpeed(rpm=2500.0, side='below')
    >>> clamped_speed(60.0, 100.0, 2500.0)
    ChosenSpeed(rpm=100.0, side='lowest')
    """
    above_zero(wanted=wanted, lowest=lowest, highest=highest)
    if lowest > highest:
        raise ValueError(
            f"lowest speed {lowest:g} is above the highest {highest:g}; give the lower one first"
        )
    if lowest > wanted:
        return ChosenSpeed(rpm=lowest, side="lowest")
    return _sided(min(wanted, highest), wanted)


def _sided(rpm: float, wanted: float) -> ChosenSpeed:
    """Return a chosen speed that knows on which side of the wanted one it lies."""
    if rpm == wanted:
        return ChosenSpeed(rpm=rpm, side="exact")
    return ChosenSpeed(rpm=rpm, side="below" if rpm < wanted else "above")


# ---------------------------------------------------------------- feeds


def table_feed(rpm: float, teeth: int, feed_per_tooth: float) -> float:
    """Return the feed of a milling table, in mm/min.

    >>> round(table_feed(663.0, 2, 0.065), 2)
    86.19
    """
    above_zero(rpm=rpm, teeth=teeth, feed_per_tooth=feed_per_tooth)
    return rpm * teeth * feed_per_tooth


def drill_feed(rpm: float, feed_per_rev: float) -> float:
    """Return the feed of a drill, reamer or turning tool, in mm/min, from mm per rev.

    >>> round(drill_feed(800.0, 0.2), 6)
    160.0
    """
    above_zero(rpm=rpm, feed_per_rev=feed_per_rev)
    return rpm * feed_per_rev


def handle_pace(feed_mm_min: float, travel_per_turn: float) -> float:
    """Return how fast to turn a handle, in turns per minute.

    >>> handle_pace(60.0, 2.5)
    24.0
    """
    above_zero(feed=feed_mm_min, travel_per_turn=travel_per_turn)
    return feed_mm_min / travel_per_turn


def cutting_minutes(path: float, feed_mm_min: float) -> float:
    """Return the time, in minutes, that a path takes at a feed.

    >>> cutting_minutes(500.0, 800.0)
    0.625
    """
    above_zero(path=path, feed=feed_mm_min)
    return path / feed_mm_min


def run_in(diameter: float, depth: float) -> float:
    """Return how far, in mm, a cutter on its side travels before it cuts at full depth.

    The same holds for an upright cutter and the width of a cut along a side.

    Source: sqrt(a (D - a)), exact; some books print sqrt(a D).

    >>> round(run_in(50.0, 3.0), 2)
    11.87
    """
    above_zero(diameter=diameter, depth=depth)
    if depth >= diameter / 2:
        return diameter / 2
    return math.sqrt(depth * (diameter - depth))


def removal_rate(width: float, depth: float, feed_mm_min: float) -> float:
    """Return the metal removed in milling, in mm3/min.

    Args:
        width: of the cut, across the feed, mm.
        depth: of the cut, mm.
        feed_mm_min: table feed.

    >>> removal_rate(100.0, 3.0, 500.0)
    150000.0
    """
    above_zero(width=width, depth=depth, feed=feed_mm_min)
    return width * depth * feed_mm_min


def drilling_removal_rate(diameter: float, feed_mm_min: float, pilot: float = 0.0) -> float:
    """Return the metal removed by a drill, in mm3/min; with a pilot hole only the ring round it.

    >>> round(drilling_removal_rate(10.0, 160.0))
    12566
    """
    above_zero(diameter=diameter, feed=feed_mm_min)
    if not 0 <= pilot < diameter:
        raise ValueError(f"pilot {pilot:g} does not lie within 0 and the diameter {diameter:g}")
    return math.pi / 4 * (diameter**2 - pilot**2) * feed_mm_min


def turning_removal_rate(diameter: float, depth: float, feed_per_rev: float, rpm: float) -> float:
    """Return the metal removed in turning, in mm3/min, reckoned at the mean diameter.

    Args:
        diameter: before the cut, mm.
        depth: of the cut on the radius, mm.
        feed_per_rev: mm.
        rpm: spindle speed.

    >>> round(turning_removal_rate(12.5, 0.25, 0.5, 400.0))
    1924
    """
    above_zero(diameter=diameter, depth=depth, feed_per_rev=feed_per_rev, rpm=rpm)
    if depth > diameter / 2:
        raise ValueError(f"depth {depth:g} is over the radius {diameter / 2:g}; go no deeper")
    return math.pi * (diameter - depth) * depth * feed_per_rev * rpm
