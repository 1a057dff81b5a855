"""What the check says: findings with their place, finished sizes, and the report of both."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from pathgen.check.metal.left import Left
from pathgen.job.holes import Place as HolePlace
from pathgen.job.mates import Mate
from pathgen.job.sizes import Size
from pathgen.job.thread_mates import ThreadMate

Severity: TypeAlias = Literal["finding", "caution"]
Place: TypeAlias = Literal["line", "step", "job"]
Quantity: TypeAlias = Literal[
    "width",
    "length",
    "depth",
    "middle",
    "centre line",
    "diameter",
    "x",
    "y",
    "countersink",
    "counterbore",
    "counterbore depth",
    "counterbore 2",  # of several on one axis, counted from the widest
    "counterbore 2 depth",
    "counterbore 3",
    "counterbore 3 depth",
    "off the axis",  # of what a bore is to be concentric to
    "walls",  # how far they lie off their contour, into the metal above 0
    "islands",
    "to file",  # what handles leave in steps on walls off the axes
    "off its line",  # of a taper's flank that is cut along it
    "taper over its length",  # how much its diameter grows
    "left",  # what stands between two steps, or between one and the other edge
    "thickness",
    "spot-face",
    "spot-face depth",
    "head width",  # of a T-slot
    "head height",
    "radius",
    "chord",
    "departure",  # of the surface of a dish or dome from the wanted sphere
    "pip",  # how high what is left in its middle stands
    "chamfer",  # its width along the upper face
    "pitch diameter",
    "minor diameter",  # of a screw-cut thread outside, at the root that the tool leaves
    "major diameter",  # of one inside
]
At: TypeAlias = tuple[float, float, float]

LISTED = 8  # so many findings of one code are listed; the last tells how many more there are


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that is wrong, or that the person should know; lengths in mm.

    >>> print(Finding(code="wall", what="wall cut 0.05 mm too far", place=57, file="bar.ngc",
    ...     at=(60.0, 20.1, -4.0), remedy="bring it in"))
    bar.ngc:57: wall cut 0.05 mm too far at x 60.0 y 20.1 z -4.0; bring it in
    """

    code: str
    what: str
    place: int | None = None  # the line or the step
    where: Place = "line"
    amount: float | None = None
    at: At | None = None
    remedy: str = ""
    file: str = ""
    severity: Severity = "finding"
    more: int = 0  # such places besides, that a list leaves out

    def __str__(self) -> str:
        place = "" if self.place is None else f":{self.place}"
        head = f"{self.file}{place}: " if self.file or place else ""
        caution = "caution: " if self.severity == "caution" else ""
        remedy = f"; {self.remedy}" if self.remedy else ""
        more = f" (and {self.more} more such places)" if self.more else ""
        return f"{head}{caution}{self.what}{more}{_at(self.at)}{remedy}"


def _at(at: At | None) -> str:
    """Return a place in words, leaving out what is not known of it."""
    if at is None:
        return ""
    known = [f"{a} {v + 0.0:.1f}" for a, v in zip("xyz", at, strict=True) if not math.isnan(v)]
    return f" at {' '.join(known)}" if known else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedSize:
    """A size as the moves leave it: least and most over the feature; mm.

    ``uncertainty`` is what the machine leaves open, half width; ``least`` and ``most`` are without.
    ``wander`` is the share of it that a slide without a lock has.
    """

    feature: str
    quantity: Quantity
    wanted: Size
    least: float
    most: float
    uncertainty: float
    ok: bool
    wander: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedPlay:
    """The play of a mate as the moves leave it: least and most; mm.

    ``uncertainty`` is that of the size with the room, half width; ``least`` and ``most`` are
    without.
    """

    mate: Mate
    least: float
    most: float
    uncertainty: float
    ok: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstPair:
    """The two holes of a thread's mate that may be furthest off one another; lengths in mm."""

    tapped: HolePlace
    cleared: HolePlace
    off: float  # as found, the part screwed on shifted and turned as is best
    doubt: float  # what the places of both leave open besides
    room: float  # to every side, round the screw in the narrowest hole

    @property
    def meets(self) -> bool:
        """Return whether the screw goes in, come what may."""
        return self.room > 0 and self.off + self.doubt <= self.room


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedThread:
    """A mate by a thread as the moves leave it; lengths in mm, least and most.

    ``engagement`` is in shares of a full thread, on the form's first basis. ``clearance`` is round
    a screw of full diameter, on the diameter. None: it cannot be told, or is not there to be.
    """

    mate: ThreadMate
    engagement: tuple[float, float] | None
    clearance: tuple[float, float] | None
    worst: WorstPair | None
    ok: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What a run makes: findings, finished sizes, the metal left, and how exact that is."""

    findings: tuple[Finding, ...]
    sizes: tuple[FinishedSize, ...]
    left: Left
    model_error: float  # how far a finished size may be from the true one, mm
    minutes: float = 0.0  # of cutting, and of rapids where their rate is known
    case: str = ""  # which case of a sheet was followed
    plays: tuple[FinishedPlay, ...] = ()  # of the mates, over all cases of a sheet
    threads: tuple[FinishedThread, ...] = ()  # of the mates by a thread, likewise

    @property
    def ok(self) -> bool:
        """Return whether nothing was found; cautions do not count."""
        return self.found == 0

    @property
    def found(self) -> int:
        """Return how many findings there are in all; cautions do not count."""
        return sum(finding.severity == "finding" for finding in self.findings)


def gathered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings in the order of their places, each once.

    Of several with the same code and place the worst stays.
    """
    worst: dict[tuple[object, ...], Finding] = {}
    for finding in findings:
        key = (finding.code, finding.place, finding.severity) + (
            (finding.what,) if finding.place is None else ()
        )
        if key not in worst or _amount(finding) > _amount(worst[key]):
            worst[key] = finding
    return tuple(sorted(worst.values(), key=_order))


def listed(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings as they are told: of more than `LISTED` of one code the worst alone.

    The last of these says how many there are besides.
    """
    by_code: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        by_code.setdefault((finding.code, finding.severity), []).append(finding)
    kept = [finding for row in by_code.values() for finding in _shortened(row)]
    return tuple(sorted(kept, key=_order))


def _amount(finding: Finding) -> float:
    return finding.amount if finding.amount is not None else 0.0


def _order(finding: Finding) -> tuple[bool, int, str]:
    """Put what belongs to no line first, then go by line; at one line by code."""
    place = finding.place
    return place is not None, place if place is not None else 0, finding.code


def _shortened(row: list[Finding]) -> list[Finding]:
    """Return the worst of a row of findings of one code; the last tells of the others."""
    if len(row) <= LISTED:
        return row
    kept = sorted(sorted(row, key=lambda each: (-_amount(each), _order(each)))[:LISTED], key=_order)
    return [*kept[:-1], replace(kept[-1], more=len(row) - LISTED)]


def merge_reports(reports: Sequence[Report]) -> Report:
    """Return one report for the cases of a sheet: all findings, sizes over all the cases.

    A finding that several cases share stays once, with its worst amount; one that not all of them
    share names the case. The metal left is that of the first case, the one without any play.

    Raises:
        ValueError: no report at all was given.
    """
    if not reports:
        raise ValueError("no reports to put together; give that of one case at least")
    shared: dict[tuple[object, ...], list[tuple[Finding, str]]] = {}
    for report in reports:
        for finding in report.findings:
            shared_by = finding.what if finding.place is None and finding.amount is None else ""
            key = (finding.code, finding.place, finding.severity, finding.remedy, shared_by)
            shared.setdefault(key, []).append((finding, report.case))
    return Report(
        findings=tuple(sorted((_worst(row, len(reports)) for row in shared.values()), key=_order)),
        sizes=_merged_sizes(reports),
        left=reports[0].left,
        model_error=max(report.model_error for report in reports),
        minutes=max(report.minutes for report in reports),
        case="" if len(reports) > 1 else reports[0].case,
    )


def _worst(row: list[tuple[Finding, str]], cases: int) -> Finding:
    """Return the worst of one finding's occurrences, naming its case where not all have it."""
    finding, case = max(row, key=lambda pair: _amount(pair[0]))
    if not case or len({name for _, name in row}) >= cases:
        return finding
    return replace(finding, what=f"{finding.what} (case: {case})")


def _merged_sizes(reports: Sequence[Report]) -> tuple[FinishedSize, ...]:
    """Return every finished size with its least and most over all the reports."""
    merged: dict[tuple[str, str], FinishedSize] = {}
    for size in (size for report in reports for size in report.sizes):
        known = merged.setdefault((size.feature, size.quantity), size)
        merged[size.feature, size.quantity] = replace(
            known,
            least=min(known.least, size.least),
            most=max(known.most, size.most),
            uncertainty=max(known.uncertainty, size.uncertainty),
            wander=max(known.wander, size.wander),
            ok=known.ok and size.ok,
        )
    return tuple(merged.values())
