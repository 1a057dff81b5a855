"""Which legs of a run are in a hole, and which of them made it."""

from __future__ import annotations

import numpy as np

from pathgen.check.context import Context
from pathgen.check.measured.finished_holes import FinishedHole, Round
from pathgen.check.metal.legs import RAPID, Ints
from pathgen.check.metal.strokes import going_up, touching
from pathgen.check.metal.sweeps import SAME
from pathgen.check.places import distance_to_legs


def cuts_of(context: Context) -> Ints:
    """Return the legs that may cut the blank: rapids and ways up left out."""
    legs = context.legs
    cuts: Ints = np.flatnonzero(
        touching(legs, *context.box) & ~going_up(legs) & (legs.kind != RAPID)
    )
    return cuts


def off_place(hole: FinishedHole, at: tuple[float, float]) -> float:
    """Return how far a place lies outside the limits of a hole's, mm; minus within them."""
    pairs = ((hole.place.x, at[0]), (hole.place.y, at[1]))
    return max(max(wanted.low - found, found - wanted.high) for wanted, found in pairs)


def legs_in(context: Context, cuts: Ints, hole: FinishedHole, within: float) -> Ints:
    """Return the cuts that end within a radius of a hole's axis, in the order of the run."""
    away = np.hypot(*(context.legs.end[cuts, :2] - hole.centre).T)
    inside: Ints = cuts[away < within]
    return inside


def widest_leg(context: Context, cuts: Ints, found: Round, level: float) -> int | None:
    """Return the last of the cuts that reach furthest out in a hole just above a level.

    None where an earlier setup made it.
    """
    legs = context.legs
    low = cuts[legs.low[cuts] < level + SAME]
    if not len(low):
        return None
    away = distance_to_legs(legs.start[low, :2], legs.end[low, :2], found.at)
    within = low[away < found.most / 2]
    if not len(within):
        return None
    radius = legs.radius_at(within, level)
    ends = np.hypot(*(legs.end[within, :2] - found.at).T)
    reach = np.nan_to_num(ends + radius).round(4)
    return int(within[np.flatnonzero(reach == reach.max())[-1]])
