"""Slides without locks: what a cut may push them by while they stand still."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.check.context import Context
from pathgen.check.findings import Finding, FinishedSize, Severity
from pathgen.check.measured.finished import NOISE
from pathgen.moves.moves import AXES


@dataclass(frozen=True, slots=True, kw_only=True)
class Push:
    """How a cut may push the slide that stands still while it makes a size; mm."""

    axis: int  # of the slide: 0, 1, 2 for x, y, z
    less: float  # by so much less the size may come out
    more: float
    severity: Severity = "finding"  # a caution where a cut hardly pushes that way


def may_be_pushed(context: Context, size: FinishedSize, push: Push) -> Iterator[Finding]:
    """Yield that a good size may leave its limits by the slack of a slide without a lock."""
    least, most = size.least - push.less, size.most + push.more
    outside = max(size.wanted.low - least, most - size.wanted.high)
    if max(push.less, push.more) <= 0 or outside <= NOISE:
        return
    slide = context.machine.slide(AXES[push.axis])
    yield context.finding_by(
        "no lock",
        f"the {slide.name} has no lock, and a cut may push it by its slack, {size.wander:.3f} mm: "
        f"{size.quantity} of {size.feature!r} may come out at {least:.3f} to {most:.3f} mm, wanted "
        f"{size.wanted.low:.3f} to {size.wanted.high:.3f} mm",
        None,
        f"give the {slide.name} a way to be held, as by nipping its gib, and tell the machine file "
        "lock = true",
        amount=outside,
        severity=push.severity,
    )
