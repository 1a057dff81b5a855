"""Whether a run belongs to this job, machine and crib; what reading it met."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.tools import MEASURED_ALIKE
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Arc, Drill, Feed
from pathgen.moves.plan import HeadCutter
from pathgen.shop.cutters import Cutter


def head_findings(context: Context, cutters: Sequence[Cutter]) -> Iterator[Finding]:
    """Yield what is wrong with the head of a run, and the troubles of reading it."""
    yield from _stale(context)
    for stated in context.run.head.cutters:
        yield from _cutter(context, stated, None, cutters)
    heads = {each.number: each for each in context.run.head.cutters}
    for _, item, number in context.actions:
        if isinstance(item, FitCutter):
            yield from _cutter(context, item, number, cutters)
            yield from _not_in_head(context, item, number, heads)
    yield from _unfitted(context)
    for trouble in context.run.troubles:
        yield context.finding_by(trouble.code, trouble.what, trouble.number, trouble.remedy)


def _stale(context: Context) -> Iterator[Finding]:
    """Yield a finding for each thing in the head that is not of this job."""
    head, job = context.run.head, context.job
    pairs = (
        ("an earlier state of the job", head.digest, job.digest),
        (f"setup {head.setup!r}, not {context.setup.name!r}", head.setup, context.setup.name),
        (
            f"machine {head.machine!r}, not {context.machine.name!r}",
            head.machine,
            context.machine.name,
        ),
    )
    for what, stated, wanted in pairs:
        if stated != wanted:
            yield context.finding_by(
                "stale", f"this was made for {what}", None, "make it anew from the job as it is now"
            )


def _cutter(
    context: Context, stated: HeadCutter | FitCutter, number: int | None, cutters: Sequence[Cutter]
) -> Iterator[Finding]:
    """Yield the finding of a cutter that the crib lacks or knows otherwise."""
    known = next((cutter for cutter in cutters if cutter.name == stated.name), None)
    if known is None:
        yield context.finding_by(
            "cutter",
            f"cutter {stated.name!r} is not in the crib",
            number,
            "add it to the crib, or make this anew with a cutter that is there",
        )
    elif abs(known.diameter - stated.diameter) > MEASURED_ALIKE:
        yield context.finding_by(
            "cutter",
            f"cutter {stated.name!r} is taken as {stated.diameter:.3f} mm, the crib has it "
            f"measured as {known.diameter:.3f} mm",
            number,
            "make this anew with the measured diameter",
            amount=abs(known.diameter - stated.diameter),
        )


def _not_in_head(
    context: Context, fit: FitCutter, number: int, heads: dict[int, HeadCutter]
) -> Iterator[Finding]:
    """Yield the finding of a cutter fitted under a number that the head gives to another."""
    stated = heads.get(fit.number)
    if stated is None or stated.name != fit.name:
        other = "no cutter" if stated is None else repr(stated.name)
        yield context.finding_by(
            "cutter",
            f"cutter {fit.number} is {fit.name!r} here, the head has {other} under this number",
            number,
            "state each cutter in the head as it is fitted",
        )


def _unfitted(context: Context) -> Iterator[Finding]:
    """Yield the finding of a cut made before any cutter was fitted."""
    for item, number in zip(context.run.items, context.run.numbers, strict=True):
        if isinstance(item, FitCutter):
            return
        if isinstance(item, Feed | Arc | Drill):
            yield context.finding_by(
                "cutter", "a cut before any cutter is fitted", number, "fit the cutter first"
            )
            return
