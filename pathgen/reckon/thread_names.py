"""Threads from their designations as people write them."""

from __future__ import annotations

import re
from dataclasses import replace
from difflib import get_close_matches
from functools import cache

from pathgen import INCH
from pathgen.reckon.threads import (
    STANDARD_FAMILIES,
    Family,
    Thread,
    custom_thread,
    inch_size,
    standard_threads,
)

_FAMILY_WORDS: dict[str, Family] = {
    "unc": "UNC",
    "unf": "UNF",
    "bsw": "BSW",
    "whitworth": "BSW",
    "whit": "BSW",
    "bsf": "BSF",
    "ba": "BA",
    "bspp": "BSP",
    "bsp": "BSP",
    "g": "BSP",
}
_TAPER = re.compile(r"r[cp]? ?\d.*|.*(?:bspt|npt).*", re.IGNORECASE)
_WORDS = "|".join(sorted(_FAMILY_WORDS, key=len, reverse=True))
_SIZE = r"(?P<mark>no\.? ?|# ?)?(?P<size>\d+[ -]\d+/\d+|\d+/\d+|\d+)(?: ?(?:in\.?|inch|\"))?"
_TPI = r"(?:(?: ?[-x] ?| )(?P<tpi>\d+(?:\.\d+)?)(?: ?tpi)?)?"
_NAMED = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"{_SIZE}{_TPI}[ -]?(?P<family>{_WORDS})(?: parallel)?",
        rf"(?P<family>{_WORDS})[ -]?{_SIZE}{_TPI}",
    )
)
_NO_FAMILY = re.compile(_SIZE + _TPI, re.IGNORECASE)
_METRIC = re.compile(
    r"m ?(?P<major>\d+(?:\.\d+)?)"
    r"(?: ?x ?(?:ph ?(?P<lead>\d*\.?\d+) ?p ?)?(?P<pitch>\d*\.?\d+))?(?: ?mm)?",
    re.IGNORECASE,
)
_CUSTOM = re.compile(
    r"(?P<major>\d*\.?\d+) ?(?P<unit>mm|in) ?x ?(?P<pitch>\d*\.?\d+) ?(?P<kind>mm|tpi),? "
    r"(?P<angle>\d*\.?\d+) ?deg(?:rees?)?",
    re.IGNORECASE,
)
LEFT_HAND = " LH"  # what the designation of a left-hand thread ends with
_LEFT_HAND = re.compile(r"[ -](?:lh|left[ -]hand)$", re.IGNORECASE)


def thread(designation: str) -> Thread:
    """Return the thread of a designation as people write it.

    Understood, in capitals or not: "M6", "M10x1.25", "M16xPh3P1.5" (two starts), "1/4-20 UNC",
    "#6-32 UNC", "1/2 BSF", "1/2 Whitworth", "2BA", "G1/2", "1/2 BSP", "12 mm x 26 tpi 55 deg";
    "LH" after any of them. A whole number before UNC or UNF is a size in inches where there is
    one, else a number size. Without its series a thread is refused: 1/4-20 is two threads.

    Raises:
        ValueError: no such thread, or more than one; names the nearest.

    >>> thread("1/2 BSF").major, thread("1/2 BSP").major
    (12.7, 20.955)
    >>> thread("m10 x 1.25").designation, thread("8-32 UNC").designation
    ('M10x1.25', '#8-32 UNC')
    >>> thread("M13")
    Traceback (most recent call last):
    ValueError: 'M13' is no thread of the metric series; nearest: M12, M14
    """
    text = " ".join(designation.replace("\N{MULTIPLICATION SIGN}", "x").split())
    plain = _LEFT_HAND.sub("", text)
    return with_hand(_without_hand(designation, plain), left=plain != text)


def with_hand(thread: Thread, *, left: bool) -> Thread:
    """Return the thread of a hand that is otherwise the same.

    >>> with_hand(thread("M6 LH"), left=False) == thread("M6")
    True
    """
    if thread.left_hand == left:
        return thread
    right = thread.designation.removesuffix(LEFT_HAND)
    return replace(thread, left_hand=left, designation=f"{right}{LEFT_HAND}" if left else right)


def _without_hand(designation: str, text: str) -> Thread:
    if match := _METRIC.fullmatch(text):
        return _metric(designation, match)
    for pattern in _NAMED:
        if match := pattern.fullmatch(text):
            return _named(designation, match)
    if match := _CUSTOM.fullmatch(text):
        return _custom(match)
    if (match := _NO_FAMILY.fullmatch(text)) and not text.isdigit():
        return _refuse_without_family(designation, match)
    if _TAPER.fullmatch(text):
        raise ValueError(
            f"{designation!r} is a taper pipe thread, which is not reckoned here; "
            "the parallel one is written 'G 1/2'"
        )
    known = _by_name()
    near = get_close_matches(text.upper(), known, n=3, cutoff=0.6)
    names = near or ["M6", "M10x1.25", "1/4-20 UNC", "1/2 BSF", "2BA", "G 1/2"]
    raise ValueError(f"{designation!r} is no thread known here; nearest: {', '.join(names)}")


@cache
def _by_name() -> tuple[str, ...]:
    return tuple(t.designation for f in STANDARD_FAMILIES for t in standard_threads(f))


# ---------------------------------------------------------------- metric


def _metric(designation: str, match: re.Match[str]) -> Thread:
    major = float(match["major"])
    every = (*standard_threads("metric-coarse"), *standard_threads("metric-fine"))
    of_size = [thread for thread in every if thread.major == major]
    if not of_size:
        raise ValueError(
            f"{designation!r} is no thread of the metric series; "
            f"nearest: {_neighbours(major, every)}"
        )
    if match["pitch"] is None:
        coarse = [thread for thread in of_size if thread.family == "metric-coarse"]
        if not coarse:
            raise ValueError(f"{designation!r} has no coarse pitch; it has {_list(of_size)}")
        return coarse[0]
    pitch = float(match["pitch"])
    found = [thread for thread in of_size if thread.pitch == pitch]
    if not found:
        raise ValueError(f"{designation!r} is no standard pitch; nearest: {_list(of_size)}")
    return _with_starts(designation, found[0], match["lead"])


def _with_starts(designation: str, found: Thread, lead: str | None) -> Thread:
    if lead is None:
        return found
    starts = round(float(lead) / found.pitch)
    if starts < 1 or abs(starts * found.pitch - float(lead)) > 1e-9:
        raise ValueError(
            f"{designation!r}: the lead {lead} mm is no whole number of pitches of "
            f"{found.pitch:g} mm; two starts are a lead of {2 * found.pitch:g} mm"
        )
    name = f"{found.size}xPh{float(lead):g}P{found.pitch:g}"
    return replace(found, starts=starts, designation=name)


# ---------------------------------------------------------------- inch, BA, pipe


def _named(designation: str, match: re.Match[str]) -> Thread:
    family = _FAMILY_WORDS[match["family"].lower()]
    found = _of_size(family, match["mark"], match["size"])
    if match["tpi"] is not None:
        tpi = float(match["tpi"])
        wanted = [thread for thread in found if _has_tpi(thread, tpi)]
        if found and not wanted:
            others = _elsewhere(match["mark"], match["size"], tpi)
            also = f"; with {tpi:g} it is {others}" if others else ""
            raise ValueError(
                f"{designation!r}: {found[0].designation} has "
                f"{found[0].threads_an_inch:g} threads an inch{also}"
            )
        found = wanted
    if not found:
        raise ValueError(
            f"{designation!r} is no thread of the {family} series; "
            f"nearest: {_nearest(family, match['mark'], match['size'])}"
        )
    return found[0]


def _of_size(family: Family, mark: str | None, size: str) -> list[Thread]:
    """Return the threads that a size may name, the size in inches before the number size."""
    sizes = [size.replace("-", " ")] if family == "BA" or not mark else []
    if family != "BA" and size.isdigit():
        sizes.append(f"#{int(size)}")
    if family == "BA" and size.isdigit():
        sizes = [str(int(size))]
    return [t for wanted in sizes for t in standard_threads(family) if t.size == wanted]


def _has_tpi(thread: Thread, tpi: float) -> bool:
    return abs(thread.threads_an_inch - tpi) < 1e-6


def _elsewhere(mark: str | None, size: str, tpi: float | None) -> str:
    """Name the threads of this size, in any inch series, that have so many threads an inch."""
    families: tuple[Family, ...] = ("UNC", "UNF", "BSW", "BSF", "BSP")
    of_size = [thread for family in families for thread in _of_size(family, mark, size)]
    found = [thread for thread in of_size if tpi is None or _has_tpi(thread, tpi)]
    return " or ".join(thread.designation for thread in found)


def _refuse_without_family(designation: str, match: re.Match[str]) -> Thread:
    tpi = None if match["tpi"] is None else float(match["tpi"])
    names = _elsewhere(match["mark"], match["size"], tpi)
    meant = f"it may be {names}" if names else "write it as '1/4-20 UNC' or '1/2 BSF'"
    raise ValueError(f"{designation!r} does not say which series; {meant}")


def _nearest(family: Family, mark: str | None, size: str) -> str:
    if family == "BA":
        every = standard_threads("BA")
        number = float(inch_size(size.replace("-", " "))) if _dividable(size) else 0.0
        return min(every, key=lambda t: abs(int(t.size) - number)).designation
    if not _dividable(size):
        return standard_threads(family)[0].designation
    inches = inch_size(f"#{size}" if mark and size.isdigit() else size.replace("-", " "))
    if family != "BSP":
        return _neighbours(float(inches) * INCH, standard_threads(family))
    near = sorted(standard_threads("BSP"), key=lambda t: abs(inch_size(t.size) - inches))
    return _list(sorted(near[:2], key=lambda t: t.major))


def _dividable(size: str) -> bool:
    return not re.search(r"/0+$", size)


def _neighbours(major: float, threads: tuple[Thread, ...]) -> str:
    """Name the threads whose major diameters stand below and above."""
    below = [thread for thread in threads if thread.major < major]
    above = [thread for thread in threads if thread.major > major]
    near = [max(below, key=lambda t: t.major)] if below else []
    return _list([*near, min(above, key=lambda t: t.major)] if above else near)


def _list(threads: list[Thread]) -> str:
    return ", ".join(thread.designation for thread in threads)


def _custom(match: re.Match[str]) -> Thread:
    major = float(match["major"]) * (INCH if match["unit"].lower() == "in" else 1)
    pitch = float(match["pitch"])
    if match["kind"].lower() == "tpi":
        if pitch <= 0:
            raise ValueError(f"{match[0]!r}: give more than no threads an inch")
        pitch = INCH / pitch
    return custom_thread(major, pitch, float(match["angle"]))
