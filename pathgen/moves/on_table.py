"""Turns of the work as arcs of the cutter about the table's axis, seen from the work."""

from __future__ import annotations

import math
from dataclasses import replace

from pathgen.moves.moves import Arc, Drill, Feed, Rapid, TurnWork, end_of
from pathgen.moves.plan import Item, Run

WHOLE_DEG = 360.0
LEAST_FEED = 1e-6  # mm/min, of a turn with the cutter on the axis itself


def seen_from_the_work(run: Run, centre: tuple[float, float]) -> Run:
    """Return a run with each turn of the work as the arc that the cutter goes along in it.

    Only whole turns leave the work as it lay before: others stay what they are.

    Args:
        run: as it was read back; the slides' places are those of the cutter.
        centre: of the table, x and y in the setup's frame; mm.
    """
    items: list[Item] = []
    at = (math.nan, math.nan, math.nan)
    for item in run.items:
        if isinstance(item, Rapid | Feed | Arc | Drill):
            at = end_of(item)
        turned = isinstance(item, TurnWork) and whole_turn(item)
        items.append(_as_arc(item, at, centre) if turned else item)  # type: ignore[arg-type]
    return replace(run, items=tuple(items))


def whole_turn(turn: TurnWork) -> bool:
    """Return whether the work lies after a turn as it did before."""
    return abs(abs(turn.end_deg - turn.start_deg) - WHOLE_DEG) < 1e-9


def _as_arc(turn: TurnWork, at: tuple[float, float, float], centre: tuple[float, float]) -> Arc:
    """Return a whole turn as an arc: the cutter goes the other way round than the work."""
    radius = math.dist(at[:2], centre)
    feed = max(LEAST_FEED, math.radians(turn.rate) * radius)
    return Arc(*at, *centre, clockwise=turn.end_deg > turn.start_deg, feed=feed, how=turn.how)
