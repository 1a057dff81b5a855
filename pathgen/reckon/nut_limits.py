"""Limits of inside threads by their standards: metric 6H, Unified 2B, Whitworth, BA, pipe."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen import INCH
from pathgen.reckon.bolt_limits import pitch_tolerance_6, pitch_tolerance_of_2, r40_steps
from pathgen.reckon.british_limits import (
    association_nut,
    pipe_tolerances,
    whitworth_core,
    whitworth_nut,
)
from pathgen.reckon.tapping import largest_minor
from pathgen.reckon.threads import Thread, half_up

UP_FROM_BOLT = 5  # steps of R40: 1.32 times the bolt's tolerance, as ISO 965-1 prints it
NUT_TO_BOLT = 1.3  # ASME B1.1: 2B to 2A


@dataclass(frozen=True, slots=True, kw_only=True)
class NutLimits:
    """Limits of an inside thread; mm."""

    name: str  # of the class
    minor: tuple[float, float]
    pitch: tuple[float, float]
    major_least: float  # what a bolt of full form goes into


def nut_limits(thread: Thread) -> NutLimits:
    """Return the limits of an inside thread of the usual class.

    Source: ISO 965-1, 6H; ASME B1.1, 2B; BS 84, medium; BS 93; ISO 228-1. The formulas are from
    memory; the figures that they give are held to printed ones by tests.

    Raises:
        ValueError: the series, or its pitch, is not known here.

    >>> from pathgen.reckon.thread_names import thread
    >>> [round(each, 3) for each in nut_limits(thread("M10")).pitch]
    [9.026, 9.206]
    """
    name, tolerance = _tolerance(thread)
    largest = _largest_minor(thread)
    if largest is None:
        raise ValueError(f"limits {name} of {thread.designation} are not known here")
    return NutLimits(
        name=name,
        minor=(thread.minor_internal, largest),
        pitch=(thread.pitch_diameter, thread.pitch_diameter + tolerance),
        major_least=thread.major,
    )


def _tolerance(thread: Thread) -> tuple[str, float]:
    """Return the class, and the tolerance of the pitch diameter, mm."""
    match thread.family:
        case "metric-coarse" | "metric-fine":
            return "6H", r40_steps(pitch_tolerance_6(thread), UP_FROM_BOLT)
        case "UNC" | "UNF":
            return "2B", _rounded_twice(NUT_TO_BOLT * pitch_tolerance_of_2(thread))
        case "BSW" | "BSF":
            return "BS 84 medium", whitworth_nut(thread)
        case "BA":
            return "BS 93", association_nut(thread)
        case "BSP":
            return "ISO 228-1", pipe_tolerances(thread)[0]
        case "custom":
            raise ValueError(f"limits of {thread.designation} are not known here")


def _largest_minor(thread: Thread) -> float | None:
    """Return the largest minor diameter, mm; None where not carried.

    That of a Whitworth nut is no bound of its tapping drills: those in use leave a little less
    thread than its standard asks for, so that it is known here alone.
    """
    if thread.family in ("BSW", "BSF"):
        return thread.minor_internal + whitworth_core(thread)
    return largest_minor(thread)


def _rounded_twice(tolerance: float) -> float:
    """Return a Unified tolerance to six decimals of an inch and then to four, as printed; mm."""
    return half_up(half_up(tolerance / INCH, 6), 4) * INCH
