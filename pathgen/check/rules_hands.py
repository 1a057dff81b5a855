"""Room for hands: how high the cutter stands while it is changed, at measuring, at the end."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.moves.actions import FitCutter, Measure
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of

ROUNDING = 0.05  # mm: a height as a program or a dial has it


def hand_findings(context: Context) -> Iterator[Finding]:
    """Yield stops for hands with the cutter lower than the machine file's `hand_room` asks.

    Where the height is not known nothing can be said.
    """
    run, wanted, at = context.run, _hand_height(context), math.nan
    for item, number in zip(run.items, run.numbers, strict=True):
        if isinstance(item, FitCutter | Measure) and at < wanted - ROUNDING:
            doing = "the work is measured" if isinstance(item, Measure) else "the cutter is changed"
            yield _too_low(context, doing, number, (at, wanted))
        if isinstance(item, FitCutter):
            at = math.nan
        elif isinstance(item, Rapid | Feed | Arc | Drill):
            at = end_of(item)[2]
    if at < wanted - ROUNDING:
        yield _too_low(context, "it ends", run.numbers[-1], (at, wanted))


def _too_low(context: Context, doing: str, number: int, heights: tuple[float, float]) -> Finding:
    at, wanted = heights
    return context.finding_by(
        "hands",
        f"{doing} with the cutter at z {at + 0.0:.1f}, where hands want it at {wanted:.1f} or "
        "higher",
        number,
        "go up first, clear of the work",
        amount=wanted - at,
    )


def _hand_height(context: Context) -> float:
    """Return the least z for hands: the machine's room for them above all that stands there, mm.

    At most half of the machine's travel, and by a handle in whole turns.
    """
    machine = context.machine
    tops = [keepout.high[2] for keepout in context.setup.hold.keepouts]
    room = min(machine.hand_room, machine.travel[2] / 2)
    if machine.manual:
        per_turn = machine.slide("z").per_turn
        room = room // per_turn * per_turn
    return max([context.box[1][2], *tops]) + room
