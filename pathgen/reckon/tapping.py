"""The hole for a thread: engagement, the drills on either side, and clearance holes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, assert_never

from pathgen import INCH
from pathgen.reckon.drill_series import Drill, drill_series, neighbours_among
from pathgen.reckon.tables import table
from pathgen.reckon.thread_forms import Basis, BasisName
from pathgen.reckon.threads import Thread, as_printed, half_up

ORDINARY_ENGAGEMENT = 0.75  # of the chart basis; common practice
HoleClass = Literal["close", "medium", "free"]
NOISE = 1e-9  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class TappingDrill:
    """A drill for a tapping hole and the share of a full thread it leaves, by every basis."""

    drill: Drill
    basis: Basis
    engagement: float
    by_basis: tuple[tuple[Basis, float], ...]
    caution: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TappingChoice:
    """The hole for a wanted engagement, mm, and the drills below and above it."""

    hole: float
    basis: Basis
    below: TappingDrill | None
    above: TappingDrill | None


# ---------------------------------------------------------------- engagement


def tapping_hole(
    thread: Thread, engagement: float = ORDINARY_ENGAGEMENT, basis: BasisName | None = None
) -> float:
    """Return the hole, in mm, that leaves the wanted share of a full thread.

    Args:
        thread: the thread to tap.
        engagement: above 0, at most 1.
        basis: what counts as full. A 60 degree thread has three: "chart" (0.6495 p, which tapping
            charts count by; taken where none is named), "bolt" (0.6134 p) and "overlap"
            (0.5413 p); Whitworth, BA and other forms have "full" only.

    Raises:
        ValueError: the engagement is out of range, or the form has no such basis.

    Source: hole = major - 2 x engagement x depth; the bases as in `thread_forms`.

    >>> from pathgen.reckon.thread_names import thread
    >>> round(tapping_hole(thread("M6"), 0.77), 2)
    5.0
    """
    if not 0 < engagement <= 1:
        raise ValueError(f"engagement {engagement:g}: give a share above 0, at most 1")
    return thread.major - 2 * engagement * thread.form.basis(basis).depth * thread.pitch


def engagement(thread: Thread, hole: float, basis: BasisName | None = None) -> float:
    """Return the share of a full thread that a hole leaves; above 1 where it is under the core.

    Args:
        thread: the thread to tap.
        hole: its diameter, mm, below the major diameter.
        basis: as for `tapping_hole`.

    Raises:
        ValueError: the hole is not between nothing and the major diameter.

    >>> from pathgen.reckon.thread_names import thread
    >>> round(engagement(thread("1/2 BSF"), 10.7), 3)
    0.984
    """
    if not 0 < hole < thread.major:
        raise ValueError(
            f"hole {hole:g} mm for {thread.designation}: give one above 0 and below its major "
            f"diameter, {thread.major:.4g} mm"
        )
    return (thread.major - hole) / (2 * thread.form.basis(basis).depth * thread.pitch)


def tapping_drills(
    thread: Thread,
    wanted: float = ORDINARY_ENGAGEMENT,
    basis: BasisName | None = None,
    drills: Sequence[Drill] | None = None,
) -> TappingChoice:
    """Return the tapping hole and the drills on either side, with what each of them gives.

    Args:
        thread: the thread to tap.
        wanted: share of a full thread, above 0, at most 1.
        basis: what counts as full, as for `tapping_hole`.
        drills: those held; the metric series where none are named.

    Raises:
        ValueError: as `tapping_hole`.

    >>> from pathgen.reckon.thread_names import thread
    >>> choice = tapping_drills(thread("1/2 BSF"), 0.75)
    >>> round(choice.hole, 3), choice.below.drill.name, choice.above.drill.name
    (11.175, '11.1 mm drill', '11.2 mm drill')
    >>> f"{choice.below.engagement:.1%}", f"{choice.above.engagement:.1%}", choice.basis.words
    ('78.7%', '73.8%', 'of 0.6403 p, the full depth')
    """
    hole = tapping_hole(thread, wanted, basis)
    held = sorted(drill_series("metric") if drills is None else drills, key=lambda d: d.diameter)
    below, above = neighbours_among(hole, held)
    if above and above.diameter >= thread.major:
        above = None
    return TappingChoice(
        hole=hole,
        basis=thread.form.basis(basis),
        below=tapping_drill(thread, below, basis) if below else None,
        above=tapping_drill(thread, above, basis) if above else None,
    )


def tapping_drill(thread: Thread, drill: Drill, basis: BasisName | None = None) -> TappingDrill:
    """Return what a drill gives as the tapping drill of a thread, with a caution where due.

    Raises:
        ValueError: the drill is not below the major diameter.
    """
    return TappingDrill(
        drill=drill,
        basis=thread.form.basis(basis),
        engagement=engagement(thread, drill.diameter, basis),
        by_basis=tuple(
            (each, engagement(thread, drill.diameter, each.name)) for each in thread.form.bases
        ),
        caution=_caution(thread, drill),
    )


def _caution(thread: Thread, drill: Drill) -> str | None:
    if drill.diameter < thread.minor_internal - NOISE:
        return (
            f"{drill.name} is under the core of {thread.designation}, "
            f"{thread.minor_internal:.3f} mm: the tap would cut with its roots and break"
        )
    largest = largest_minor(thread)
    if largest is not None and drill.diameter > largest + NOISE:
        return (
            f"{drill.name} is over the largest minor diameter that the standard lets "
            f"{thread.designation} have, {largest:.3f} mm"
        )
    return None


def largest_minor(thread: Thread) -> float | None:
    """Return the largest minor diameter of the nut by the standard, mm; None where not carried.

    Carried for metric threads from 0.35 mm pitch (6H), UNC and UNF (2B), BA and BSP; not for
    Whitworth threads, BSW and BSF.

    Source: ISO 965-1, tolerance grade 6; ASME B1.1, class 2B (formula from memory); BS 93:2008,
        annex B (0.375 p); ISO 228-1.

    >>> from pathgen.reckon.thread_names import thread
    >>> round(largest_minor(thread("M6")), 3)
    5.153
    """
    tolerances = table("threads")["minor_tolerance"]
    match thread.family:
        case "metric-coarse" | "metric-fine":
            widths, key = tolerances["metric"]["widths"], thread.pitch
        case "BSP":
            widths, key = tolerances["BSP"]["widths"], thread.threads_an_inch
        case "BA":
            return thread.minor_internal + float(tolerances["BA"]["per_pitch"]) * thread.pitch
        case "UNC" | "UNF":
            return _largest_unified_minor(thread)
        case "BSW" | "BSF" | "custom":
            return None
        case _:  # pragma: no cover
            assert_never(thread.family)
    for figure, width in widths:
        if math.isclose(figure, key):
            return thread.minor_internal + float(width)
    return None


def _largest_unified_minor(thread: Thread) -> float:
    """Return the largest minor diameter of a 2B nut, mm.

    Least diameter and tolerance are each rounded to a tenth of a thousandth of an inch first, as
    the standard's tables do. Below 1/4 in the tolerance goes by diameter too, up to 0.394 p.
    """
    pitch, major = thread.pitch / INCH, thread.major / INCH
    if major < 0.25:
        small = 0.05 * pitch ** (2 / 3) + 0.03 * pitch / major - 0.002
        tolerance = min(small, 0.394 * pitch)
    else:
        tolerance = 0.25 * pitch - 0.4 * pitch**2
    return (as_printed(thread).minor_internal + half_up(tolerance, 4)) * INCH


# ---------------------------------------------------------------- clearance


def clearance_hole(thread: Thread, hole_class: HoleClass = "medium") -> tuple[float, str]:
    """Return the clearance hole for a screw, mm, and where the figure comes from.

    Args:
        thread: of the screw.
        hole_class: "close", "medium" or "free".

    Returns:
        (diameter, source): that of ISO 273 for a metric size it lists; for any other thread its
        major diameter and the room that ISO 273 gives the listed size next below.

    Raises:
        ValueError: no such class, or the thread is outside the table.

    >>> from pathgen.reckon.thread_names import thread
    >>> clearance_hole(thread("M6"), "close")[0], round(clearance_hole(thread("2BA"))[0], 2)
    (6.4, 5.2)
    """
    classes = ("close", "medium", "free")
    if hole_class not in classes:
        raise ValueError(f"{hole_class!r} is no clearance hole; they are {', '.join(classes)}")
    rows = table("threads")["clearance"]["holes"]
    if not rows[0][0] <= thread.major <= rows[-1][0]:
        raise ValueError(
            f"{thread.designation} is {thread.major:.4g} mm; clearance holes are known from "
            f"{rows[0][0]} to {rows[-1][0]} mm"
        )
    size, *holes = next(row for row in reversed(rows) if row[0] <= thread.major + NOISE)
    hole = float(holes[classes.index(hole_class)])
    if thread.family in {"metric-coarse", "metric-fine"} and math.isclose(size, thread.major):
        return hole, "ISO 273 (memory)"
    return thread.major + hole - size, f"room as ISO 273 gives M{size:g}; common practice"
