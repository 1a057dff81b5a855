"""Whether a hole is made in the order of the trade: what leads comes first, what finishes last."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished_holes import FinishedHole, FinishedHoles, near_words
from pathgen.check.measured.hole_legs import legs_in
from pathgen.check.metal.legs import Ints
from pathgen.check.metal.sweeps import SAME
from pathgen.shop.cutters import MILLS, Cutter

# What a drill must not come after: the cutter, what it has done, and what is to be done last.
SPOILT = (("reamer", "reamed", "ream"), ("boring head", "bored", "bore"))


def order_findings(context: Context, finished: FinishedHoles, cuts: Ints) -> Iterator[Finding]:
    """Yield each cut that comes too late in its hole, one a hole.

    Args:
        context: what every rule is given.
        finished: the holes as the moves leave them.
        cuts: the legs that may cut the blank.
    """
    for hole in finished.each:
        for leg, what, remedy in _late(context, finished, hole, cuts):
            yield context.finding(
                "order",
                f"{near_words(hole.place)} of {finished.holes.name!r}: {what}",
                leg,
                remedy,
            )
            break


def _late(
    context: Context, finished: FinishedHoles, hole: FinishedHole, cuts: Ints
) -> Iterator[tuple[int, str, str]]:
    """Yield (leg, what is wrong, remedy) for the cuts in one hole that come too late."""
    before: list[tuple[int, Cutter]] = []
    for leg in legs_in(context, cuts, hole, finished.holes.mouth / 2).tolist():
        tool = context.tool(leg)
        if tool is None or tool.cutter is None:
            continue
        wrong = _against(context, finished, (leg, tool.cutter), before)
        if wrong is not None:
            yield leg, *wrong
        before.append((leg, tool.cutter))


def _against(
    context: Context,
    finished: FinishedHoles,
    now: tuple[int, Cutter],
    before: list[tuple[int, Cutter]],
) -> tuple[str, str] | None:
    """Return what is wrong with a cut after those before it in a hole, and the remedy."""
    leg, cutter = now
    kinds = {each.kind for _, each in before}
    if cutter.kind == "spotting drill" and "drill" in kinds and not finished.holes.countersink:
        return "spotted after it was drilled: no drill was led", "spot first, then drill"
    if cutter.kind != "drill":
        return None
    for kind, done, last in SPOILT:
        if kind in kinds:
            return (
                f"drilled after it was {done}, which spoils the wall",
                f"drill first, {last} last",
            )
    if finished.holes.counterbore is not None and kinds & set(MILLS):
        return (
            f"drilled after its {finished.holes.counterbore.word} was cut: its spot is gone",
            f"drill first, then {finished.holes.counterbore.word}",
        )
    for earlier, drill in before:
        leads = context.legs.low[leg] > context.legs.low[earlier] - SAME
        if drill.kind == "drill" and drill.diameter > cutter.diameter + SAME and leads:
            return (
                f"the {cutter.name} follows the {drill.name} that it was to lead",
                "drill the smaller hole first",
            )
    return None
