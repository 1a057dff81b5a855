"""Reaming a slot's round ends to its width: with which reamer, after which drill."""

from __future__ import annotations

from pathgen.job.slot import Slot
from pathgen.plan.bench import Bench
from pathgen.plan.drilling import through_bottom
from pathgen.plan.heights import reaches
from pathgen.shop.cutters import Cutter

REAM_LEAST, REAM_MOST = 0.1, 0.5  # mm in diameter left for reaming (common practice, no source)


def end_reamer(slot: Slot, bench: Bench) -> Cutter | None:
    """Return the reamer for round ends: through slots only, since it does not cut to a floor.

    It follows a drill, so there is none for a slot without holes.
    """
    if not slot.through or (slot.open_low and slot.open_high) or slot.ways.holes == "none":
        return None
    fitting = [
        cutter
        for cutter in bench.of_kind("reamer")
        if slot.width.low <= cutter.diameter <= slot.width.high
        and _goes_through(bench, cutter)
        and ream_drill(bench, cutter) is not None
    ]
    return min(fitting, key=lambda c: abs(c.diameter - slot.width.middle), default=None)


def ream_drill(bench: Bench, reamer: Cutter) -> Cutter | None:
    """Return the largest drill that leaves enough for a reamer, None when there is none."""
    most = reamer.diameter - REAM_LEAST
    drill = bench.largest(("drill",), most, lambda drill: _goes_through(bench, drill))
    return drill if drill and drill.diameter >= reamer.diameter - REAM_MOST else None


def _goes_through(bench: Bench, cutter: Cutter) -> bool:
    return reaches(cutter, through_bottom(bench, cutter))
