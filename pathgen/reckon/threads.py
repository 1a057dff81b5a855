"""Screw threads of the standard series, and threads of any angle and pitch."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Literal, assert_never

from pathgen import INCH
from pathgen.reckon.exact import millimetres
from pathgen.reckon.guards import above_zero
from pathgen.reckon.tables import table
from pathgen.reckon.thread_forms import BA_47, ISO_60, WHITWORTH_55, Form, plain_form

Family = Literal["metric-coarse", "metric-fine", "UNC", "UNF", "BSW", "BSF", "BA", "BSP", "custom"]
Names = tuple[str, Family, str]  # designation, family, size
STANDARD_FAMILIES: tuple[Family, ...] = (
    "metric-coarse",
    "metric-fine",
    "UNC",
    "UNF",
    "BSW",
    "BSF",
    "BA",
    "BSP",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A screw thread; lengths in mm.

    The diameters are those of the formula, unrounded, but for BA and BSP, whose standards round
    the depth first; `as_printed` gives them as the standard prints them. The minor diameter of
    a 60 degree bolt is that of the rounded root, 17/24 H a side.
    """

    designation: str
    family: Family
    size: str  # the size alone, as in the designation: "M6", "#6", "1/2", "2"
    form: Form
    major: float
    pitch: float
    pitch_diameter: float
    minor_internal: float
    minor_external: float
    starts: int = 1
    left_hand: bool = False

    @property
    def lead(self) -> float:
        """How far a turn goes, mm."""
        return self.pitch * self.starts

    @property
    def threads_an_inch(self) -> float:
        """Threads in 25.4 mm."""
        return INCH / self.pitch

    @property
    def depth_external(self) -> float:
        """Depth of the bolt's thread a side, mm: major to minor diameter."""
        return (self.major - self.minor_external) / 2

    @property
    def depth_internal(self) -> float:
        """Depth of the nut's thread a side, mm: minor to major diameter."""
        return (self.major - self.minor_internal) / 2

    @property
    def root_radius(self) -> float:
        """Radius at the root of the bolt, mm."""
        return self.form.root_radius * self.pitch


# ---------------------------------------------------------------- the series


@cache
def standard_threads(family: Family) -> tuple[Thread, ...]:
    """Return every thread of a standard series, smallest first.

    Source: as named in `data/threads.toml`: ISO 261, ASME B1.1, BS 84, BS 93, ISO 228-1.

    >>> [thread.designation for thread in standard_threads("BSF")[:3]]
    ['3/16 BSF', '7/32 BSF', '1/4 BSF']
    """
    match family:
        case "metric-coarse" | "metric-fine":
            made = _metric(family)
        case "UNC" | "UNF":
            made = _inch(family, ISO_60)
        case "BSW" | "BSF":
            made = _inch(family, WHITWORTH_55)
        case "BA":
            made = _ba()
        case "BSP":
            made = _pipe()
        case "custom":
            raise ValueError("'custom' is no series; its threads are made by custom_thread")
        case _:  # pragma: no cover
            assert_never(family)
    return tuple(sorted(made, key=lambda thread: (thread.major, -thread.pitch)))


def _thread(
    names: Names, form: Form, major: float, pitch: float, depth: float | None = None
) -> Thread:
    """Return a thread as deep as its form has it, or everywhere of one depth on a side, mm."""
    designation, family, size = names
    return Thread(
        designation=designation,
        family=family,
        size=size,
        form=form,
        major=major,
        pitch=pitch,
        pitch_diameter=major - (form.pitch_depth * pitch if depth is None else depth),
        minor_internal=major - 2 * (form.depth_internal * pitch if depth is None else depth),
        minor_external=major - 2 * (form.depth_external * pitch if depth is None else depth),
    )


def _metric(family: Literal["metric-coarse", "metric-fine"]) -> Iterator[Thread]:
    for major, *pitches in table("threads")["metric"][family.removeprefix("metric-")]["pitches"]:
        for pitch in pitches:
            fine = f"x{pitch:g}" if family == "metric-fine" else ""
            names: Names = (f"M{major:g}{fine}", family, f"M{major:g}")
            yield _thread(names, ISO_60, float(major), float(pitch))


def _inch(family: Family, form: Form) -> Iterator[Thread]:
    for size, tpi in table("threads")["inch"][family]["sizes"]:
        major, pitch = millimetres(inch_size(size)), INCH / tpi
        named_tpi = f"-{tpi:g}" if family in {"UNC", "UNF"} else ""
        yield _thread((f"{size}{named_tpi} {family}", family, size), form, major, pitch)


def _ba() -> Iterator[Thread]:
    """Yield BA threads: the depth is rounded to 0.005 mm before it is taken off."""
    series = table("threads")["BA"]
    for number in range(series["first"], series["last"] + 1):
        exact = 0.9**number
        pitch, major = _two_figures(exact), _two_figures(6 * exact**1.2)
        depth = half_up(BA_47.depth_external * pitch / 5, 3) * 5
        yield _thread((f"{number}BA", "BA", str(number)), BA_47, major, pitch, depth)


def _pipe() -> Iterator[Thread]:
    """Yield parallel pipe threads: the depth is rounded to 0.001 mm before it is taken off."""
    for size, major, tpi in table("threads")["pipe"]["BSP"]["sizes"]:
        depth = half_up(WHITWORTH_55.depth_external * INCH / tpi, 3)
        yield _thread((f"G {size}", "BSP", size), WHITWORTH_55, major, INCH / tpi, depth)


# ---------------------------------------------------------------- any other thread


def custom_thread(
    major: float, pitch: float, angle_deg: float, *, depth: float | None = None, starts: int = 1
) -> Thread:
    """Return a thread of no standard series, unrounded.

    Args:
        major: major diameter, mm.
        pitch: from one thread to the next, mm; the lead is `starts` times as much.
        angle_deg: between the flanks.
        depth: a side, mm. Where it is not given, a thread of 60, 55 or 47.5 degrees takes that of
            the metric, Whitworth or BA form; any other angle has no depth of its own.
        starts: how many threads run side by side.

    Raises:
        ValueError: there can be no such thread, or its depth is not known.

    >>> custom_thread(12.7, 25.4 / 26, 55.0).designation
    '12.7 mm x 26 tpi 55 deg'
    """
    above_zero(major=major, pitch=pitch)
    if starts < 1:
        raise ValueError(f"a thread has at least one start, not {starts}")
    form = _standard_form(angle_deg) if depth is None else plain_form(angle_deg, depth / pitch)
    if 2 * form.depth_external * pitch >= major:
        raise ValueError(
            f"a thread {form.depth_external * pitch:.4g} mm deep leaves no core in {major:g} mm"
        )
    many = f" {starts} starts" if starts > 1 else ""
    designation = f"{major:.10g} mm x {_pitch_words(pitch)} {angle_deg:g} deg{many}"
    one_start = _thread((designation, "custom", f"{major:g} mm"), form, major, pitch)
    return replace(one_start, starts=starts)


def _pitch_words(pitch: float) -> str:
    in_mm, tpi = f"{pitch:g}", INCH / pitch
    plain_tpi = math.isclose(tpi, round(tpi, 1), rel_tol=1e-12)
    return f"{tpi:g} tpi" if float(in_mm) != pitch and plain_tpi else f"{pitch:.10g} mm"


def _standard_form(angle_deg: float) -> Form:
    for form in (ISO_60, WHITWORTH_55, BA_47):
        if math.isclose(form.angle_deg, angle_deg):
            return form
    raise ValueError(
        f"a thread of {angle_deg:g} degrees has no standard depth here; give its depth, or an "
        "angle of 60, 55 or 47.5 degrees"
    )


# ---------------------------------------------------------------- figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """The diameters of a thread as its standard prints them, in its unit."""

    unit: Literal["mm", "in"]
    major: float
    pitch_diameter: float
    minor_internal: float
    minor_external: float


def as_printed(thread: Thread) -> Printed:
    """Return the diameters rounded and in the unit of the thread's standard.

    Inch series go to four decimals of an inch, all others to three of a millimetre, halves up.

    >>> from pathgen.reckon.thread_names import thread
    >>> as_printed(thread("M6")).minor_internal, as_printed(thread("1/2 BSF")).minor_internal
    (4.917, 0.42)
    """
    inch = thread.family in {"UNC", "UNF", "BSW", "BSF"}
    unit, places = (INCH, 4) if inch else (1.0, 3)
    return Printed(
        unit="in" if inch else "mm",
        major=half_up(thread.major / unit, places),
        pitch_diameter=half_up(thread.pitch_diameter / unit, places),
        minor_internal=half_up(thread.minor_internal / unit, places),
        minor_external=half_up(thread.minor_external / unit, places),
    )


def inch_size(size: str) -> Fraction:
    """Return the inches of a size such as "1/4", "1 1/8" or the number size "#6".

    Source: ASME B1.1: number sizes are 0.060 + 0.013 n in.

    >>> inch_size("1 1/8"), float(inch_size("#6"))
    (Fraction(9, 8), 0.138)
    """
    if size.startswith("#"):
        return Fraction("0.060") + Fraction("0.013") * int(size[1:])
    return sum((Fraction(part) for part in size.split()), Fraction(0))


def half_up(value: float, places: int) -> float:
    """Return a value rounded to decimal places, halves up, as the standards round.

    >>> half_up(2.0005, 3)
    2.001
    """
    scale = 10.0**places
    return math.floor(value * scale + 0.5 + 1e-7) / scale


def _two_figures(value: float) -> float:
    return float(f"{value:.2g}")
