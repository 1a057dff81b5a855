"""Limits of outside threads: metric 6g, Unified 2A, Whitworth, BA and pipe of the usual class."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from pathgen import INCH
from pathgen.reckon.british_limits import (
    BoltRoom,
    association_bolt,
    pipe_bolt,
    whitworth_bolt,
)
from pathgen.reckon.threads import Thread

MICRON = 0.001
# R40 of ISO 3, by which tolerances are rounded.
_R40 = (
    *(1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36),
    *(2.5, 2.65, 2.8, 3.0, 3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0),
    *(6.3, 6.7, 7.1, 7.5, 8.0, 8.5, 9.0, 9.5, 10.0),
)
# Position g of ISO 965-1, micrometres by pitch in mm (from memory; 15 + 11 p within 1).
_POSITION_G = dict(
    (
        *((0.35, 19), (0.4, 19), (0.45, 20), (0.5, 20), (0.6, 21), (0.7, 22), (0.75, 22)),
        *((0.8, 24), (1.0, 26), (1.25, 28), (1.5, 32), (1.75, 34), (2.0, 38), (2.5, 42)),
        *((3.0, 48), (3.5, 53), (4.0, 60)),
    )
)
# Steps of diameters of ISO 965-1, mm: a tolerance is that of the geometric mean of its step.
_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0)


# Where the table of ISO 965-1 has another tolerance of pitch diameters than its formula, grade 6,
# micrometres (from memory): by pitch and the lower end of the step of diameters.
_PRINTED_OTHERWISE = {(0.5, 2.8): 75.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltLimits:
    """Limits of an outside thread; mm."""

    name: str  # of the class
    major: tuple[float, float]
    pitch: tuple[float, float]
    minor_most: float  # what a nut's gauge of full form goes over


def bolt_limits(thread: Thread) -> BoltLimits:
    """Return the limits of an outside thread of the usual class.

    Source: ISO 965-1, 6g (grade 6, position g, length of engagement normal); ASME B1.1, 2A; BS 84,
    medium; BS 93, normal; ISO 228-1, A. The formulas are from memory; the figures that they give
    are held to printed ones by tests.

    Raises:
        ValueError: the series, or its pitch, is not known here.

    >>> from pathgen.reckon.thread_names import thread
    >>> [round(each, 3) for each in bolt_limits(thread("M10")).pitch]
    [8.862, 8.994]
    """
    match thread.family:
        case "metric-coarse" | "metric-fine":
            return _metric(thread)
        case "UNC" | "UNF":
            return _unified(thread)
        case "BSW" | "BSF":
            return _made(thread, whitworth_bolt(thread))
        case "BA":
            return _made(thread, association_bolt(thread))
        case "BSP":
            return _made(thread, pipe_bolt(thread))
        case "custom":
            raise ValueError(f"limits of {thread.designation} are not known here")


def _made(thread: Thread, room: BoltRoom) -> BoltLimits:
    major, pitch = thread.major - room.allowance, thread.pitch_diameter - room.allowance
    return BoltLimits(
        name=room.name,
        major=(major - room.major, major),
        pitch=(pitch - room.pitch, pitch),
        minor_most=thread.minor_internal - room.allowance,
    )


def _metric(thread: Thread) -> BoltLimits:
    """Return the limits of 6g."""
    pitch = thread.pitch
    of_pitch = pitch_tolerance_6(thread)
    of_major = _r40(180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)) * MICRON
    return _made(
        thread,
        BoltRoom(name="6g", allowance=_POSITION_G[pitch] * MICRON, major=of_major, pitch=of_pitch),
    )


def pitch_tolerance_6(thread: Thread) -> float:
    """Return the tolerance of the pitch diameter of a metric bolt of grade 6, mm.

    Raises:
        ValueError: its pitch, or its diameter, is not carried.
    """
    pitch = thread.pitch
    steps = [(a, b) for a, b in pairwise(_STEPS) if a < thread.major <= b]
    if pitch not in _POSITION_G or not steps:
        raise ValueError(f"limits of grade 6 of {thread.designation} are not known here")
    mean = math.sqrt(steps[0][0] * steps[0][1])
    formula = _r40(90 * pitch**0.4 * mean**0.1)
    return _PRINTED_OTHERWISE.get((pitch, steps[0][0]), formula) * MICRON


def pitch_tolerance_of_2(thread: Thread) -> float:
    """Return the tolerance of the pitch diameter of a Unified bolt of class 2A, unrounded, mm.

    One diameter is engaged.
    """
    size, pitch = thread.major / INCH, thread.pitch / INCH
    exact = 0.0015 * (math.cbrt(size) + math.sqrt(size)) + 0.015 * math.cbrt(pitch) ** 2
    return exact * INCH


def _unified(thread: Thread) -> BoltLimits:
    """Return the limits of 2A; the standard rounds to 0.0001 in."""
    exact, pitch = pitch_tolerance_of_2(thread) / INCH, thread.pitch / INCH
    off, of_pitch, of_major = (
        round(each, 4) * INCH for each in (0.3 * exact, exact, 0.06 * pitch ** (2 / 3))
    )
    return _made(thread, BoltRoom(name="2A", allowance=off, major=of_major, pitch=of_pitch))


def r40_steps(tolerance: float, steps: int) -> float:
    """Return the number of the series R40 some steps above one of it; both in mm.

    >>> r40_steps(0.132, 5)
    0.18
    """
    value = _r40(tolerance / MICRON)
    scale = 10.0 ** math.floor(math.log10(value))
    series = [*_R40[:-1], *(each * 10 for each in _R40[:-1])]
    return round(series[_R40.index(round(value / scale, 6)) + steps] * scale * MICRON, 9)


def _r40(value: float) -> float:
    """Return the nearest number of the series R40.

    >>> _r40(283.5), _r40(156.6)
    (280.0, 160.0)
    """
    scale = 10.0 ** math.floor(math.log10(value))
    return round(min(_R40, key=lambda each: abs(each - value / scale)) * scale, 6)
