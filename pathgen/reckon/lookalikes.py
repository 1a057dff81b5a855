"""Threads that are taken for one another, by their names or by their sizes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from pathgen.reckon.thread_names import with_hand
from pathgen.reckon.threads import STANDARD_FAMILIES, Family, Thread, standard_threads

INCH_FAMILIES: tuple[Family, ...] = ("UNC", "UNF", "BSW", "BSF", "BSP")

# How near two threads must be for a nut of one to start on the other: major diameters within both,
# pitches within the third. Wide enough for 2BA and M5, 1/2 BSW and 1/2 UNC; a judgement.
STARTS_WITHIN = 0.36  # mm
STARTS_WITHIN_SHARE = 0.065
PITCH_WITHIN_SHARE = 0.085


@dataclass(frozen=True, slots=True, kw_only=True)
class Lookalike:
    """Two threads taken for one another; `alike` says what in them is alike, or alone is not."""

    first: Thread
    second: Thread
    alike: Literal["name", "size", "hand", "starts"]  # of the last two only that differs
    caution: str


def describe(thread: Thread) -> str:
    """Return a thread in one line: designation, major and minor diameter, pitch and angle.

    >>> from pathgen.reckon.thread_names import thread
    >>> describe(thread("1/2 BSF"))
    '1/2 BSF: major 12.7 mm, core 10.667 mm, pitch 1.5875 mm (16 an inch), 55 degrees'
    """
    core, tpi = round(thread.minor_internal, 3), round(thread.threads_an_inch, 2)
    many = f", {thread.starts} starts, lead {thread.lead:g} mm" if thread.starts > 1 else ""
    hand = ", left-hand" if thread.left_hand else ""
    return (
        f"{thread.designation}: major {round(thread.major, 3):g} mm, core {core:g} mm, pitch "
        f"{round(thread.pitch, 4):g} mm ({tpi:g} an inch), {thread.form.angle_deg:g} degrees"
        f"{many}{hand}"
    )


def lookalikes(thread: Thread) -> tuple[Lookalike, ...]:
    """Return the standard threads that this one is taken for, most easily confused first.

    First the thread that differs in nothing but its hand, or in its number of starts. Then, of its
    own hand, by name: the same size in another inch series, where the diameter differs (1/2 BSF and
    1/2 BSP) or one letter does (1/2 BSF and 1/2 BSW). Then by size: a nut of one starts on the
    other, but form or pitch differ (0BA and M6); a thread of several starts takes no such nut.

    >>> from pathgen.reckon.thread_names import thread
    >>> [(pair.second.designation, pair.alike) for pair in lookalikes(thread("2BA"))]
    [('3/16 BSF', 'size'), ('#10-32 UNF', 'size'), ('M4.5', 'size'), ('M5', 'size')]
    >>> [(pair.second.designation, pair.alike) for pair in lookalikes(thread("0BA LH"))][:2]
    [('0BA', 'hand'), ('M6 LH', 'size')]
    """
    others = [
        with_hand(other, left=thread.left_hand)
        for family in STANDARD_FAMILIES
        for other in standard_threads(family)
    ]
    by_name = [other for other in others if _names_alike(thread, other)]
    by_size = [other for other in others if _sizes_alike(thread, other)]
    by_name.sort(key=lambda other: -abs(other.major - thread.major))
    by_size.sort(key=lambda other: abs(other.major - thread.major))
    return (
        *_twins(thread, others),
        *(_by_name(thread, other) for other in by_name),
        *(_by_size(thread, other) for other in by_size),
    )


def _twins(thread: Thread, others: list[Thread]) -> Iterator[Lookalike]:
    """Yield what differs in hand alone from a left-hand thread, in starts alone from several."""
    if thread.left_hand:
        other = with_hand(thread, left=False)
        caution = (
            f"alike to the eye, of the other hand: {describe(thread)}; {describe(other)}. Neither "
            "starts on the other: see which way the thread climbs before anything is forced"
        )
        yield Lookalike(first=thread, second=other, alike="hand", caution=caution)
    if thread.starts > 1:
        plain = replace(thread, starts=1, designation=f"{thread.designation} with one start only")
        other = next((each for each in others if _are_one(plain, each)), plain)
        caution = (
            f"a pitch gauge tells them not apart, but the starts differ: {describe(thread)}; "
            f"{describe(other)}. Neither goes on the other: count the threads that begin at the "
            "end, or see how far a turn goes"
        )
        yield Lookalike(first=thread, second=other, alike="starts", caution=caution)


def _are_one(thread: Thread, other: Thread) -> bool:
    """Return whether two threads are one in diameter, pitch and form."""
    apart, pitch_apart = abs(thread.major - other.major), abs(thread.pitch - other.pitch)
    return apart < 1e-6 and pitch_apart < 1e-6 and thread.form == other.form


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
    return (
        thread.starts == other.starts
        and not _are_one(thread, other)
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


def told_apart(first: Thread, second: Thread) -> str | None:
    """Return how two threads differ, both side by side; None where they are one and the same.

    >>> from pathgen.reckon.thread_names import thread
    >>> told_apart(thread("M6"), thread("M6x1")) is None
    True
    >>> print(told_apart(thread("M6"), thread("M8")))
    M6: major 6 mm, core 4.917 mm, pitch 1 mm (25.4 an inch), 60 degrees; M8: major 8 mm, core \
6.647 mm, pitch 1.25 mm (20.32 an inch), 60 degrees
    """
    hand = (first.left_hand, first.starts) == (second.left_hand, second.starts)
    if hand and _are_one(first, second):
        return None
    for one, other in ((first, second), (second, first)):
        for pair in lookalikes(one):
            if pair.second.designation == other.designation:
                return pair.caution
    return f"{describe(first)}; {describe(second)}"
