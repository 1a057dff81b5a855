"""Threads that are taken for one another, by their names or by their sizes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pathgen.reckon.guards import above_zero, not_below_zero
from pathgen.reckon.threads import STANDARD_FAMILIES, Family, Thread, standard_threads

INCH_FAMILIES: tuple[Family, ...] = ("UNC", "UNF", "BSW", "BSF", "BSP")

# How near two threads must be for a nut of one to start on the other: major diameters within both,
# pitches within the third. Wide enough for 2BA and M5, 1/2 BSW and 1/2 UNC; a judgement.
STARTS_WITHIN = 0.36  # mm
STARTS_WITHIN_SHARE = 0.065
PITCH_WITHIN_SHARE = 0.085
ALLOWED_DRIFT = 0.05  # mm: what flank clearance takes up (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lookalike:
    """Two threads taken for one another; `alike` says what in them is alike."""

    first: Thread
    second: Thread
    alike: Literal["name", "size"]
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PitchMatch:
    """How two pitches run together; `drift` is how far they part over the length, mm."""

    drift: float
    exact: bool
    matches: bool


def describe(thread: Thread) -> str:
    """Return a thread in one line: designation, major and minor diameter, pitch and angle.

    >>> from pathgen.reckon.thread_names import thread
    >>> describe(thread("1/2 BSF"))
    '1/2 BSF: major 12.7 mm, core 10.667 mm, pitch 1.5875 mm (16 an inch), 55 degrees'
    """
    core, tpi = round(thread.minor_internal, 3), round(thread.threads_an_inch, 2)
    return (
        f"{thread.designation}: major {round(thread.major, 3):g} mm, core {core:g} mm, pitch "
        f"{round(thread.pitch, 4):g} mm ({tpi:g} an inch), {thread.form.angle_deg:g} degrees"
    )


def lookalikes(thread: Thread) -> tuple[Lookalike, ...]:
    """Return the standard threads that this one is taken for, most easily confused first.

    By name: the same size in another inch series, where the diameter differs (1/2 BSF and 1/2
    BSP) or one letter does (1/2 BSF and 1/2 BSW). By size: a nut of one starts on the other, but
    form or pitch differ (0BA and M6).

    >>> from pathgen.reckon.thread_names import thread
    >>> [(pair.second.designation, pair.alike) for pair in lookalikes(thread("2BA"))]
    [('3/16 BSF', 'size'), ('#10-32 UNF', 'size'), ('M4.5', 'size'), ('M5', 'size')]
    """
    others = [other for family in STANDARD_FAMILIES for other in standard_threads(family)]
    by_name = [other for other in others if _names_alike(thread, other)]
    by_size = [other for other in others if _sizes_alike(thread, other)]
    by_name.sort(key=lambda other: -abs(other.major - thread.major))
    by_size.sort(key=lambda other: abs(other.major - thread.major))
    return (
        *(_by_name(thread, other) for other in by_name),
        *(_by_size(thread, other) for other in by_size),
    )


def _names_alike(thread: Thread, other: Thread) -> bool:
    if thread.family not in INCH_FAMILIES or other.family not in INCH_FAMILIES:
        return False
    if thread.size != other.size or thread.family == other.family:
        return False
    diameters_apart = abs(thread.major - other.major) > STARTS_WITHIN
    return diameters_apart or thread.family[:2] == other.family[:2]


def _sizes_alike(thread: Thread, other: Thread) -> bool:
    apart = abs(thread.major - other.major)
    pitch_apart = abs(thread.pitch - other.pitch)
    same = apart < 1e-6 and pitch_apart < 1e-6 and thread.form == other.form
    return (
        not same
        and apart <= STARTS_WITHIN
        and apart <= STARTS_WITHIN_SHARE * max(thread.major, other.major)
        and pitch_apart <= PITCH_WITHIN_SHARE * max(thread.pitch, other.pitch)
    )


def _by_name(first: Thread, second: Thread) -> Lookalike:
    apart = abs(first.major - second.major)
    differ = f"diameters are {apart:.2f} mm apart" if apart > STARTS_WITHIN else "pitches differ"
    caution = (
        f"the names are alike but the {differ}: {describe(first)}; {describe(second)}. "
        "Read the series again before drilling"
    )
    return Lookalike(first=first, second=second, alike="name", caution=caution)


def _by_size(first: Thread, second: Thread) -> Lookalike:
    differ = []
    if first.form != second.form:
        differ.append("form")
    if abs(first.pitch - second.pitch) > 1e-6:
        differ.append("pitch")
    what = " and ".join(differ or ["diameter"])
    caution = (
        f"they start on each other but differ in {what}: {describe(first)}; {describe(second)}. "
        "Prove the thread with a gauge, not with a nut"
    )
    return Lookalike(first=first, second=second, alike="size", caution=caution)


def pitch_match(
    first_pitch: float, second_pitch: float, length: float, allowed: float = ALLOWED_DRIFT
) -> PitchMatch:
    """Return whether two pitches run together over a length, and how far they part on it.

    A nut of one pitch goes on a bolt of the other until the difference has used up the clearance
    of the flanks: 26 an inch passes for 1 mm on a short length, and binds on a long one.

    Args:
        first_pitch: mm; the length is counted in this one.
        second_pitch: mm.
        length: over which they run together, mm.
        allowed: what they may part by, mm; 0.05 where not said (common practice, no source).

    Raises:
        ValueError: a figure is out of range.

    >>> pitch_match(1.0, 25.4 / 26, 2.0).matches, pitch_match(1.0, 25.4 / 26, 6.0).matches
    (True, False)
    >>> pitch_match(1.27, 25.4 / 20, 500.0).exact
    True
    """
    above_zero(first_pitch=first_pitch, second_pitch=second_pitch)
    not_below_zero(length=length, allowed=allowed)
    difference = abs(first_pitch - second_pitch)
    exact = difference < 1e-9
    drift = 0.0 if exact else difference * length / first_pitch
    return PitchMatch(drift=drift, exact=exact, matches=drift <= allowed)
