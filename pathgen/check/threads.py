"""Mates by a thread as the moves leave them: engagement, clearance, and whether patterns meet."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pathgen.check.findings import Finding, FinishedSize, FinishedThread, Report, WorstPair
from pathgen.check.measured.finished_holes import near_words
from pathgen.job.holes import Holes, Place
from pathgen.job.mating.screwing import seen
from pathgen.job.thread_mates import HolesAt, ThreadMate
from pathgen.reckon.patterns import Point, laid
from pathgen.reckon.tapping import engagement


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lies:
    """Where a hole came to lie: the middle of where it was found, and how far off it may be."""

    place: Place
    at: Point
    doubt: float


def with_thread(tapped: Report, cleared: Report | None, mate: ThreadMate, file: str) -> Report:
    """Return the report of tapped holes with a mate by their thread, and with what is wrong in it.

    Args:
        tapped: of the setup in which the holes are tapped, over all cases of a sheet.
        cleared: of the setup in which the holes of the part screwed on are cut; None where it is
            not there to be judged: then of the thread alone is told.
        mate: both parts.
        file: what was checked, for the findings.
    """
    found = _finished(tapped, cleared, mate)
    findings = tuple(_findings(found, mate, file, judged=cleared is not None))
    return replace(
        tapped,
        threads=(*tapped.threads, replace(found, ok=not findings)),
        findings=(*findings, *tapped.findings),
    )


def _finished(tapped: Report, cleared: Report | None, mate: ThreadMate) -> FinishedThread:
    return FinishedThread(
        mate=mate,
        engagement=_engagement(tapped.sizes, mate),
        clearance=None if cleared is None else _clearance(cleared.sizes, mate),
        worst=None if cleared is None else _worst(tapped, cleared, mate),
        ok=True,
    )


def _diameter(sizes: Sequence[FinishedSize], holes: Holes) -> FinishedSize | None:
    """Return the finished diameter of holes, None where one of them is not there."""
    for size in sizes:
        if (size.feature, size.quantity) == (holes.name, "diameter") and size.least > 0:
            return size
    return None


def _engagement(sizes: Sequence[FinishedSize], mate: ThreadMate) -> tuple[float, float] | None:
    """Return the least and most share of a full thread, None where none can be told."""
    bore = _diameter(sizes, mate.tapped.holes)
    if bore is None or bore.most >= mate.thread.major:
        return None
    return engagement(mate.thread, bore.most), engagement(mate.thread, bore.least)


def _clearance(sizes: Sequence[FinishedSize], mate: ThreadMate) -> tuple[float, float] | None:
    """Return the least and most room round the screw, on the diameter, mm."""
    bore = None if mate.cleared is None else _diameter(sizes, mate.cleared.holes)
    if bore is None:
        return None
    out = bore.uncertainty
    return bore.least - out - mate.thread.major, bore.most + out - mate.thread.major


# ---------------------------------------------------------------- the pattern


def _worst(tapped: Report, cleared: Report, mate: ThreadMate) -> WorstPair | None:
    """Return the pair that is furthest off at the extremes, None where a hole is not there.

    The part screwed on may shift and turn as a whole; each hole of either part may lie anywhere
    within what was found of it and what its machine leaves open, all at once.
    """
    clearance = _clearance(cleared.sizes, mate)
    if mate.cleared is None or clearance is None:
        return None
    below, above = _lying(tapped.sizes, mate.tapped), _lying(cleared.sizes, mate.cleared)
    if below is None or above is None:
        return None
    over = seen([each.at for each in above], turned_over=mate.turned_over)
    way = laid([each.at for each in below], over)
    pairs = (
        WorstPair(
            tapped=one.place,
            cleared=above[other].place,
            off=off,
            doubt=one.doubt + above[other].doubt if len(below) > 1 else 0.0,
            room=clearance[0] / 2,
        )
        for one, other, off in zip(below, way.partners, way.apart, strict=True)
    )
    return max(pairs, key=lambda pair: pair.off + pair.doubt)


def _lying(sizes: Sequence[FinishedSize], part: HolesAt) -> list[_Lies] | None:
    """Return where each hole came to lie, None where one is not there."""
    by_name = {(size.feature, size.quantity): size for size in sizes}
    lying = []
    for place in part.holes.places:
        name = f"{part.holes.name}, {near_words(place)}"
        x, y = by_name.get((name, "x")), by_name.get((name, "y"))
        if x is None or y is None:
            return None
        at = (x.least + x.most) / 2, (y.least + y.most) / 2
        lying.append(_Lies(place=place, at=at, doubt=math.hypot(_half(x), _half(y))))
    return lying


def _half(size: FinishedSize) -> float:
    """Return how far to either side of its middle a place may be, mm."""
    return (size.most - size.least) / 2 + size.uncertainty


# ---------------------------------------------------------------- findings


def _findings(
    found: FinishedThread, mate: ThreadMate, file: str, *, judged: bool
) -> Iterator[Finding]:
    """Yield what is wrong with a mate by a thread, or cannot be told of it."""
    tapped = mate.tapped.holes
    if found.engagement is None:
        yield _finding(
            f"the thread of '{mate.name}' cannot be told: not every hole of '{tapped.name}' was "
            f"found, or it is wider than {mate.thread.designation}",
            "drill them all for the thread",
            file,
        )
    if mate.cleared is None or not judged:
        return
    if found.worst is None:
        yield _finding(
            f"whether '{mate.name}' goes together cannot be told: not every hole of "
            f"'{tapped.name}' and of '{mate.cleared.holes.name}' was found",
            "cut them first",
            file,
        )
    elif not found.worst.meets:
        yield _apart(found.worst, mate, mate.cleared, file)


def _apart(worst: WorstPair, mate: ThreadMate, cleared: HolesAt, file: str) -> Finding:
    need = mate.thread.major + 2 * (worst.off + worst.doubt)
    what = (
        f"'{mate.name}' may not go together: {near_words(worst.cleared)} of "
        f"'{cleared.holes.name}' ({cleared.job}) may lie {worst.off + worst.doubt:.3f} mm off "
        f"{near_words(worst.tapped)} of '{mate.tapped.holes.name}' ({mate.tapped.job}), and "
        f"{mate.thread.designation} has room for {worst.room:.3f} mm"
    )
    remedy = f"drill '{cleared.holes.name}' more than {need:.3f} mm, or place both more closely"
    beyond = round(worst.off + worst.doubt - worst.room, 6)
    return replace(_finding(what, remedy, file), amount=beyond)


def _finding(what: str, remedy: str, file: str) -> Finding:
    return Finding(code="mate", what=what, where="job", remedy=remedy, file=file)
