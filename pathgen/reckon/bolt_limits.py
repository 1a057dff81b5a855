"""Limits of outside threads by their standards: metric 6g, and Unified 2A."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from pathgen import INCH
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


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltLimits:
    """Limits of an outside thread; mm."""

    name: str  # of the class
    major: tuple[float, float]
    pitch: tuple[float, float]
    minor_most: float  # what a nut's gauge of full form goes over


def bolt_limits(thread: Thread) -> BoltLimits:
    """Return the limits of an outside thread of the usual class.

    Source: ISO 965-1, 6g (grade 6, position g, length of engagement normal); ASME B1.1, 2A. The
    formulas are from memory; the figures that they give are held to printed ones by tests.

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
        case _:
            raise ValueError(f"limits of {thread.designation} are not known here")


def _made(thread: Thread, name: str, off: float, of_major: float, of_pitch: float) -> BoltLimits:
    major, pitch = thread.major - off, thread.pitch_diameter - off
    return BoltLimits(
        name=name,
        major=(major - of_major, major),
        pitch=(pitch - of_pitch, pitch),
        minor_most=thread.minor_internal - off,
    )


def _metric(thread: Thread) -> BoltLimits:
    """Return the limits of 6g."""
    pitch = thread.pitch
    steps = [(a, b) for a, b in pairwise(_STEPS) if a < thread.major <= b]
    if pitch not in _POSITION_G or not steps:
        raise ValueError(f"limits 6g of {thread.designation} are not known here")
    mean = math.sqrt(steps[0][0] * steps[0][1])
    return _made(
        thread,
        "6g",
        _POSITION_G[pitch] * MICRON,
        _r40(180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)) * MICRON,
        _r40(90 * pitch**0.4 * mean**0.1) * MICRON,
    )


def _unified(thread: Thread) -> BoltLimits:
    """Return the limits of 2A, one diameter engaged; the standard rounds to 0.0001 in."""
    size, pitch = thread.major / INCH, thread.pitch / INCH
    exact = 0.0015 * (size ** (1 / 3) + math.sqrt(size)) + 0.015 * pitch ** (2 / 3)
    off, of_pitch, of_major = (
        round(each, 4) * INCH for each in (0.3 * exact, exact, 0.06 * pitch ** (2 / 3))
    )
    return _made(thread, "2A", off, of_major, of_pitch)


def _r40(value: float) -> float:
    """Return the nearest number of the series R40.

    >>> _r40(283.5), _r40(156.6)
    (280.0, 160.0)
    """
    scale = 10.0 ** math.floor(math.log10(value))
    return round(min(_R40, key=lambda each: abs(each - value / scale)) * scale, 6)
