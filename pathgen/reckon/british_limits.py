"""Tolerances of British threads, in mm: Whitworth form, British Association, parallel pipe.

The formulas are from memory, but for what a tolerance says otherwise; tests hold what they give to
printed limits.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen import INCH
from pathgen.reckon.threads import Thread, half_up

ALLOWED_UP_TO = 0.75  # in: larger Whitworth bolts of the medium class have no allowance
ALLOWED_AS = 0.25  # in: smaller ones have that of this size
BA_CLOSEST = 10  # the smallest BA size whose normal class is carried
TO_INCH = 4  # decimals of an inch to which Whitworth tolerances are rounded


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltRoom:
    """How far a bolt is below its basic form, and its tolerances; mm."""

    name: str  # of the class
    allowance: float
    major: float
    pitch: float


def whitworth_effective(size: float, pitch: float) -> float:
    """Return the tolerance of a Whitworth pitch diameter, medium class, in inches.

    Source: BS 84 (formula from memory): 0.002 cube root of D + 0.003 root of L + 0.005 root of p,
    the length of engagement L taken as one diameter.

    >>> round(whitworth_effective(0.5, 1 / 12), 4)
    0.0052
    """
    return 0.002 * math.cbrt(size) + 0.003 * math.sqrt(size) + 0.005 * math.sqrt(pitch)


def whitworth_bolt(thread: Thread) -> BoltRoom:
    """Return the room of a BSW or BSF bolt, medium class.

    Source: BS 84 (from memory): major T + 0.01 root of p; the allowance, 0.3 T, up to 3/4 in alone.
    """
    size, pitch = thread.major / INCH, thread.pitch / INCH
    exact = whitworth_effective(size, pitch)
    allowed = 0.0
    if size <= ALLOWED_UP_TO:
        # below 1/4 in the allowance is that of 1/4 in of the series, as coarse as it is
        allowed = 0.3 * (exact if size >= ALLOWED_AS else _of_quarter(thread))
    inches = (allowed, exact + 0.01 * math.sqrt(pitch), exact)
    allowance, major, of_pitch = (half_up(each, TO_INCH) * INCH for each in inches)
    return BoltRoom(name="BS 84 medium", allowance=allowance, major=major, pitch=of_pitch)


def _of_quarter(thread: Thread) -> float:
    """Return the tolerance of the quarter inch of a series: 20 threads an inch, or 26; inches."""
    return whitworth_effective(ALLOWED_AS, 1 / (20 if thread.family == "BSW" else 26))


def whitworth_nut(thread: Thread) -> float:
    """Return the tolerance of the pitch diameter of a BSW or BSF nut, medium class, mm."""
    exact = whitworth_effective(thread.major / INCH, thread.pitch / INCH)
    return half_up(exact, TO_INCH) * INCH


def whitworth_core(thread: Thread) -> float:
    """Return the tolerance of the minor diameter of a BSW or BSF nut, mm.

    Source: BS 84 (from memory): 0.2 p, and 0.004 in from 26 threads an inch on, 0.005 in at 24 and
    22, 0.007 in at 20 and coarser.

    >>> from pathgen.reckon.thread_names import thread
    >>> round(whitworth_core(thread("1/4 BSW")) / 25.4, 4)
    0.017
    """
    per_inch = round(thread.threads_an_inch)
    on = 0.004 if per_inch >= 26 else 0.005 if per_inch >= 22 else 0.007
    return half_up(0.2 * thread.pitch / INCH + on, TO_INCH) * INCH


def association_bolt(thread: Thread) -> BoltRoom:
    """Return the room of a BA bolt, normal class.

    Source: BS 93 (from memory): major 0.20 p, pitch 0.10 p + 0.025 mm, 0.025 mm below the basic
    form; for 0 to 10 BA.

    Raises:
        ValueError: it is smaller than 10BA, whose tolerances are others.
    """
    if int(thread.size) > BA_CLOSEST:
        raise ValueError(f"limits of {thread.designation}, smaller than 10BA, are not known here")
    pitch = thread.pitch
    return BoltRoom(
        name="BS 93 normal", allowance=0.025, major=0.2 * pitch, pitch=0.1 * pitch + 0.025
    )


def association_nut(thread: Thread) -> float:
    """Return the tolerance of the pitch diameter of a BA nut, mm.

    Source: BS 93 (from memory): 0.12 p + 0.03 mm.
    """
    return 0.12 * thread.pitch + 0.03


# Pitch diameter of both, and major diameter of class A, mm, by threads an inch: ISO 228-1 (memory).
_PIPE = {28: (0.107, 0.214), 19: (0.125, 0.250), 14: (0.142, 0.284), 11: (0.180, 0.360)}
_PIPE_UP_TO = 60.0  # mm: G 2; from there on another tolerance of the pitch diameter


def pipe_tolerances(thread: Thread) -> tuple[float, float]:
    """Return the tolerances of pitch and major diameter of a parallel pipe thread, class A, mm.

    Raises:
        ValueError: it is larger than G 2, which is not carried.
    """
    found = _PIPE.get(round(thread.threads_an_inch))
    if found is None or thread.major > _PIPE_UP_TO:
        raise ValueError(f"limits of {thread.designation} are not known here")
    return found


def pipe_bolt(thread: Thread) -> BoltRoom:
    """Return the room of a parallel pipe thread outside, class A."""
    of_pitch, of_major = pipe_tolerances(thread)
    return BoltRoom(name="ISO 228-1 A", allowance=0.0, major=of_major, pitch=of_pitch)
