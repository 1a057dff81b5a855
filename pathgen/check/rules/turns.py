"""Work turned on a rotary table: whole turns, no faster than a hand turns them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TypeAlias

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.job.job import JobSetup
from pathgen.moves.moves import TurnWork
from pathgen.moves.on_table import seen_from_the_work, whole_turn
from pathgen.moves.plan import Run

SAME_RATE = 1e-6
Turns: TypeAlias = tuple[tuple[int, TurnWork], ...]


def run_on_table(run: Run, setup: JobSetup) -> tuple[Run, Turns]:
    """Return a run as the work sees it, its turns as arcs, and these turns with their steps."""
    turns = tuple(
        (number, item)
        for item, number in zip(run.items, run.numbers, strict=True)
        if isinstance(item, TurnWork)
    )
    if setup.table is None or not turns:
        return run, turns
    return seen_from_the_work(run, setup.table.centre), turns


def turn_findings(context: Context, turns: Turns) -> Iterator[Finding]:
    """Yield turns of the work that this setup has no table for, that are not whole, or too fast."""
    for number, turn in turns:
        wrong, remedy = _wrong(context, turn)
        if wrong:
            yield context.finding_by("turn", f"the work is turned {wrong}", number, remedy)
    rotary = context.machine.rotary
    for (_, before), (number, after) in pairwise(turns):
        if rotary is not None and rotary.slack_min and _way(before) != _way(after):
            yield context.finding_by(
                "table slack",
                "the work is turned the other way than before, and the table's slack lies between",
                number,
                f"take out {rotary.slack_min:g} minutes of arc before the cutter is at the metal",
                severity="caution",
            )


def _wrong(context: Context, turn: TurnWork) -> tuple[str, str]:
    """Return what is wrong about a turn, and what would be right; or nothing."""
    rotary = context.machine.rotary
    if context.setup.table is None or rotary is None:
        return "where nothing turns it", "make this anew for this machine"
    if not whole_turn(turn):
        swept = abs(turn.end_deg - turn.start_deg)
        return (
            f"by {swept:g} degrees, after which it does not lie as it did",
            "turn it once round, whole",
        )
    if turn.cuts and turn.rate > rotary.most_rate * (1 + SAME_RATE):
        return (
            f"at {turn.rate:.0f} degrees a minute, where a hand does {rotary.most_rate:.0f}",
            "turn it slower",
        )
    return "", ""


def _way(turn: TurnWork) -> bool:
    return turn.end_deg > turn.start_deg
