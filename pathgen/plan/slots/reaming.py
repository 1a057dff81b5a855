"""Reaming a slot's round ends to its width: with which reamer, after which drill."""

from __future__ import annotations

from pathgen.job.slot import Slot
from pathgen.plan.bench import Bench
from pathgen.plan.heights import reaches
from pathgen.plan.holes.drill_choice import as_drills, speaks
from pathgen.plan.holes.drilling import through_bottom
from pathgen.reckon.drilling import last_drill
from pathgen.shop.cutters import Cutter


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
    """Return the drill that goes through and leaves what a reamer wants, None for none."""
    drills = [c for c in bench.of_kind("drill") if _goes_through(bench, c)]
    for held in ([c for c in drills if speaks(c, bench)], drills):
        try:
            last, _ = last_drill(reamer.nominal, as_drills(held), "ream")
        except ValueError:
            continue
        return next(c for c in held if c.name == last.name)
    return None


def _goes_through(bench: Bench, cutter: Cutter) -> bool:
    return reaches(cutter, through_bottom(bench, cutter))
