"""Whether z is counted by the length of the very cutter that is fitted, where lengths are kept."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of

CODE = "tool length"


def length_findings(context: Context) -> Iterator[Finding]:
    """Yield moves to a height that is counted by no cutter's length, or by another one's.

    Each would go wrong by the cutter's whole length. A machine with handles has no such lengths; a
    control that keeps none must not be told to count by one.
    """
    control = context.machine.control
    if control is None:
        return
    if control.tool_length:
        yield from _wrong_lengths(context)
    else:
        yield from _lengths_that_are_not_kept(context)


def _lengths_that_are_not_kept(context: Context) -> Iterator[Finding]:
    for length in context.run.lengths:
        if length.cutter:
            yield context.finding_by(
                CODE,
                f"z is counted by a kept length, number {length.cutter}, and this machine keeps no "
                "lengths",
                length.number,
                "take it out: the depth zero is set for each cutter anew",
            )


def _wrong_lengths(context: Context) -> Iterator[Finding]:
    """Yield the first move to a known height of each stretch with a wrong length in force."""
    run = context.run
    fits = [(at, item, None) for at, item, _ in context.actions if isinstance(item, FitCutter)]
    takes = [(length.item, None, length.cutter) for length in run.lengths]
    changes = sorted([*fits, *takes], key=lambda each: each[0])  # no two of a kind at one place
    fitted: FitCutter | None = None
    in_force = 0
    for (first, fit, taken), (last, *_) in pairwise([*changes, (len(run.items), None, None)]):
        fitted = fitted if fit is None else fit
        in_force = in_force if taken is None else taken
        if fitted is None or in_force == fitted.number:
            continue
        place = _first_height(context, first, last)
        if place is not None:
            yield _wrong_length(context, fitted, in_force, place)


def _first_height(context: Context, first: int, last: int) -> int | None:
    """Return which of some items is the first move whose height is known."""
    items = context.run.items
    return next(
        (
            at
            for at in range(first, last)
            if isinstance(move := items[at], Rapid | Feed | Arc | Drill)
            and not math.isnan(end_of(move)[2])
        ),
        None,
    )


def _wrong_length(context: Context, fitted: FitCutter, in_force: int, place: int) -> Finding:
    by = f"the length of cutter {in_force}" if in_force else "no cutter's length"
    return context.finding_by(
        CODE,
        f"z is counted by {by} while cutter {fitted.number}, {fitted.name!r}, is fitted: its end "
        "is not where the program takes it to be",
        context.run.numbers[place],
        f"take up the length of cutter {fitted.number} before it goes to any height",
    )
