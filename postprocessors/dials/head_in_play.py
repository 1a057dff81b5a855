"""A boring head as the hands find it: where its dial stands, and what it truly cuts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.moves.actions import SetDiameter
from postprocessors.dials import steps
from postprocessors.dials.record import Record
from postprocessors.dials.steps import Sheet

EXACT = 1e-6  # mm: figures that are worked out alike agree to this


@dataclass(slots=True)
class HeadInPlay:
    """A boring head whose tool has touched; mm in diameter."""

    standing: float  # by its dial, from the touch on
    stated: float  # the same where all is found as the sheet expects
    off: float = 0.0  # how much wider it truly cuts than its dial says


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """The measuring that comes next, and by how much the dial goes out till then."""

    out: float  # mm in diameter
    found: float


def ahead_of(sheet: Sheet, step: steps.SetHeadStep, found: dict[str, float]) -> Ahead | None:
    """Return what will be measured of what a setting cuts; None where nothing is.

    Args:
        sheet: the whole sheet.
        step: the setting.
        found: what is found at each measurement in the case that is followed.
    """
    out = 0.0
    for each in sheet.steps:
        if each.number <= step.number:
            continue
        if isinstance(each, steps.SetHeadStep):
            if each.touched or each.measure or step.measure:
                return None  # the next bore, or one corrected before
            out += each.out * each.count
        elif isinstance(each, steps.MeasureStep) and each.found_by == "setting":
            return Ahead(out=out, found=found.get(each.name, each.expected))
    return None


def turned_out(step: steps.SetHeadStep, found: float) -> int:
    """Return by how many judged parts the dial goes out, as it follows from what was found."""
    if not step.measure:
        return step.out
    return math.floor(step.base - (found - step.expected) / step.count + 0.5)


def compare_setting(record: Record, head: HeadInPlay, step: steps.SetHeadStep) -> None:
    """Record where a setting states another diameter than its dial comes to."""
    if abs(step.diameter - head.stated) > EXACT:
        record.trouble(
            "figure",
            f"the sheet has the {step.head} at {step.diameter:.3f} mm, its dial at"
            f" {head.stated:.3f} mm",
            "make the sheet anew",
        )
    at_expected = turned_out(step, step.expected)
    if at_expected != step.out:
        record.trouble(
            "figure",
            f"the {step.head} goes out {step.out} judged parts, by its rule {at_expected} with"
            f" {step.measure} as expected",
            "make the sheet anew",
        )


def compare_expected(record: Record, heads: list[HeadInPlay], step: steps.MeasureStep) -> None:
    """Record a bore that is expected otherwise than the head in the spindle was set to cut it."""
    for head in heads:
        if abs(head.stated - step.expected) > EXACT:
            record.trouble(
                "figure",
                f"{step.name} should be {step.expected:.3f} mm by what is written, the boring head"
                f" was set to {head.stated:.3f} mm",
                "make the sheet anew",
            )


def setting_of(step: steps.SetHeadStep, head: HeadInPlay, out: int) -> SetDiameter:
    """Return the setting that was made."""
    return SetDiameter(
        head=step.head,
        diameter=head.standing,
        per_division=step.per_division,
        judged=step.judged,
        uncertainty=step.uncertainty,
        turned=out * step.judged,
        touched=step.touched,
        follows=step.measure,
        expected=step.expected,
        off=head.off,
    )
