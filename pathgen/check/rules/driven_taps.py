"""Taps that the spindle drives: the right one, in step, deep enough, and never on to the bottom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.measured.finished_holes import FinishedHole, near_words
from pathgen.check.metal.tools import tool_of
from pathgen.job.holes import Holes
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Drill
from pathgen.shop.cutters import Cutter

IN_STEP = 1e-3  # of the lead: how far the feed may be off it by the rounding of a program


@dataclass(frozen=True, slots=True, kw_only=True)
class DrivenTap:
    """A hole tapped by the spindle: where, how deep, mm; how far a turn, with which cutter."""

    at: tuple[float, float]
    bottom: float
    lead: float
    cutter: Cutter | None
    item: int  # which of the run
    number: int  # its line or step


def driven_taps(context: Context) -> Iterator[DrivenTap]:
    """Yield each hole of a run that is tapped by the spindle."""
    cutter: Cutter | None = None
    known = [tool.cutter for tool in context.legs.tools if tool.cutter is not None]
    pairs = zip(context.run.items, context.run.numbers, strict=True)
    for index, (item, number) in enumerate(pairs):
        if isinstance(item, FitCutter):
            cutter = tool_of(item, context.run, known).cutter
        elif isinstance(item, Drill) and item.lead > 0:
            yield DrivenTap(
                at=(item.x, item.y),
                bottom=item.bottom,
                lead=item.lead,
                cutter=cutter,
                item=index,
                number=number,
            )


def driven_findings(
    context: Context, holes: Holes, hole: FinishedHole, tap: DrivenTap
) -> Iterator[Finding]:
    """Yield what is wrong with one hole that the spindle taps."""
    assert holes.tapping is not None
    name, thread = near_words(hole.place), holes.tapping.thread
    control = context.machine.control
    if control is None or control.tapping == "none":
        yield context.finding_by(
            "tap",
            f"the {name} is tapped in step with the spindle, which this machine does not keep",
            tap.number,
            "tap by hand, or declare by which word it taps",
        )
    cut = None if tap.cutter is None else tap.cutter.thread
    if tap.cutter is None or cut is None or cut.designation != thread.designation:
        fitted = "no tap" if tap.cutter is None else repr(tap.cutter.name)
        yield context.finding_by(
            "tap",
            f"the {name} wants {thread.designation}, and {fitted} is fitted",
            tap.number,
            f"fit the tap for {thread.designation}",
        )
        return
    if abs(tap.lead - thread.lead) > IN_STEP * thread.lead:
        yield context.finding_by(
            "tap",
            f"the {name} is fed {tap.lead:.4f} mm a turn, the lead of {thread.designation} is "
            f"{thread.lead:.4f} mm: the tap breaks",
            tap.number,
            f"feed {thread.lead:.4f} mm a turn",
            amount=abs(tap.lead - thread.lead),
        )
    yield from _depth(context, holes, hole, (tap, tap.cutter))


def _depth(
    context: Context, holes: Holes, hole: FinishedHole, driven: tuple[DrivenTap, Cutter]
) -> Iterator[Finding]:
    """Yield what is wrong with how deep a hole is tapped."""
    assert holes.tapping is not None
    tap, cutter = driven
    name, top = near_words(hole.place), context.box[1][2]
    deep = top - tap.bottom
    full = top - context.box[0][2] if holes.tapping.depth is None else holes.tapping.depth
    short = full + cutter.lead - deep
    if short > NOISE:
        yield context.finding_by(
            "tap",
            f"the full thread of the {name} of {holes.name!r} ends {short:.3f} mm too high; the "
            f"tap's lead takes {cutter.lead:.3f} mm",
            tap.number,
            f"tap to z {tap.bottom - short:.3f}",
            amount=short,
        )
    if holes.depth is not None and deep > hole.depth + NOISE:
        yield context.finding_by(
            "tap",
            f"the tap goes {deep - hole.depth:.3f} mm deeper than the {name} of {holes.name!r} is "
            "wide enough: it breaks on the bottom",
            tap.number,
            "tap less deep, or drill deeper",
            amount=deep - hole.depth,
        )
