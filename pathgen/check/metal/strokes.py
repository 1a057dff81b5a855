"""Strokes: stretches of a run that one sweep stands for, and what of a run is idle or near."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pathgen.check.metal.legs import DRILL, FEED, RAPID, Floats, Ints, Legs, Mask
from pathgen.check.metal.sweeps import GENTLE, SAME, Ball, Key, Sweep
from pathgen.shop.cutters import Undercut


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stroke:
    """Consecutive legs that clear one sweep, in the order of the run.

    All go below the blank's top, but for rapids that pass close above it.
    """

    sweep: Sweep
    low: float  # the lowest z of the tip, mm
    first: int  # of the legs, and one past the last
    last: int
    kind: int  # RAPID, FEED or DRILL
    down: bool  # straight down


def strokes_of(
    legs: Legs, low: tuple[float, ...], high: tuple[float, ...], near: float = 0.0
) -> list[Stroke]:
    """Return the strokes of a run that touch the blank between two corners, in order.

    Legs straight up clear nothing that the cutter has not cleared on its way down, so they are left
    out, but for those of cutters with a neck, whose head comes up through what is above it. Level
    legs that follow on one another make one stroke.

    Args:
        legs: of the run.
        low: corner of the blank, mm.
        high: the corner across from it, mm.
        near: rapids that pass above the blank by less are strokes too, mm.
    """
    above = high[2] + near
    legs = _from_above(legs, above)
    ends_low = legs.end[:, 2] < above - SAME  # from close above the work it may go up aslant
    over = (legs.kind == RAPID) & ends_low & touching(legs, low, (*high[:2], above))
    chosen = np.flatnonzero((touching(legs, low, high) | over) & ~idle(legs))
    if not len(chosen):
        return []
    group = _groups(legs, chosen)
    bounds = [*np.flatnonzero(np.diff(group, prepend=-1)).tolist(), len(chosen)]
    rows = ((int(chosen[a]), int(chosen[b - 1]) + 1) for a, b in pairwise(bounds))
    return list(_sharing(stroke_of(legs, *row) for row in rows))


def _from_above(legs: Legs, above: float) -> Legs:
    """Return legs whose rapids from a place that is not known come from straight above their end.

    So much at least is met of what lies in their way: where they end.
    """
    lost = ((legs.kind == RAPID) & np.isnan(legs.start).any(axis=1))[:, None]
    heights = np.maximum(legs.end[:, 2], above)
    starts = np.column_stack([legs.end[:, :2], heights])
    return replace(legs, start=np.where(lost, starts, legs.start))


def touching(legs: Legs, low: tuple[float, ...], high: tuple[float, ...]) -> Mask:
    """Return a mask of the legs whose cutter, if there is one, may meet a box between corners."""
    reach = legs.radius
    inside = (legs.low < high[2] - SAME) & (legs.tool >= 0)
    for axis in (0, 1):
        least = np.minimum(legs.start[:, axis], legs.end[:, axis]) - reach
        most = np.maximum(legs.start[:, axis], legs.end[:, axis]) + reach
        inside &= (least < high[axis] - SAME) & (most > low[axis] + SAME)
    mask: Mask = inside  # nan is never inside
    return mask


def going_up(legs: Legs) -> Mask:
    """Return a mask of the legs that go straight up or nowhere."""
    still = (np.abs(legs.end[:, :2] - legs.start[:, :2]) < SAME).all(axis=1)
    mask: Mask = still & (legs.end[:, 2] >= legs.start[:, 2] - SAME)
    return mask


def idle(legs: Legs) -> Mask:
    """Return a mask of the legs that clear nothing which the cutter has not cleared coming down."""
    mask: Mask = going_up(legs) & ~(legs.undercuts & _rising(legs))
    return mask


def _rising(legs: Legs) -> Mask:
    mask: Mask = legs.end[:, 2] > legs.start[:, 2] + SAME
    return mask


def _groups(legs: Legs, chosen: Ints) -> Ints:
    """Return for each chosen leg the number of the stroke that it belongs to."""
    start, end = legs.start[chosen], legs.end[chosen]
    level = np.abs(end[:, 2] - start[:, 2]) < SAME
    new = np.ones(len(chosen), dtype=np.bool_)
    same_item = legs.item[chosen][1:] == legs.item[chosen][:-1]
    on_level = level[1:] & level[:-1] & (np.abs(start[1:, 2] - end[:-1, 2]) < SAME)
    slanting = ~level[1:] & ~level[:-1] & (legs.kind[chosen][1:] == FEED)
    gentle = _slope(start, end) < GENTLE
    slanted_arc = slanting & (same_item | (gentle[1:] & gentle[:-1]))
    joined = (
        (np.diff(chosen) == 1)
        & (np.diff(legs.kind[chosen]) == 0)
        & (np.diff(legs.tool[chosen]) == 0)
        & (legs.kind[chosen][1:] != DRILL)
    )
    new[1:] = ~(joined & (on_level | slanted_arc))
    numbers: Ints = np.cumsum(new) - 1
    return numbers


def _slope(start: Floats, end: Floats) -> Floats:
    """Return how far legs go up or down for their way in plan; inf straight down."""
    along = np.hypot(*(end[:, :2] - start[:, :2]).T)
    with np.errstate(divide="ignore", invalid="ignore"):
        slope: Floats = np.abs(end[:, 2] - start[:, 2]) / along
    return slope


def stroke_of(legs: Legs, first: int, last: int) -> Stroke:
    """Return the stroke of the legs from the first to before the last."""
    xyz = np.concatenate([legs.start[first : first + 1], legs.end[first:last]])
    low = float(xyz[:, 2].min())
    path, rise = xyz[:, :2].round(9) + 0.0, (xyz[:, 2] - low).round(9)
    down = len(xyz) == 2 and float(np.abs(path[1] - path[0]).max()) < SAME
    if down:
        path, rise = path[1:], np.zeros(1)
    elif tuple(path[-1]) < tuple(path[0]):
        path, rise = path[::-1], rise[::-1]
    tool = legs.tools[int(legs.tool[first])] if legs.tool[first] >= 0 else None
    end = (math.inf, 0.0) if tool is None else (tool.spread, tool.tip_radius)
    head = None if tool is None else tool.undercut
    if head is not None and float(np.ptp(xyz[:, 2])) > SAME:
        # Straight up or down the head sweeps all of the way; aslant it is taken to leave nothing
        # over it, which is a finding by itself.
        height = head.height + float(np.ptp(xyz[:, 2]))
        head = Undercut(height, head.neck) if down else None
    radius = float(legs.radius[first])
    return Stroke(
        sweep=Ball(path, rise, radius)
        if tool is not None and tool.ball
        else Sweep(path, rise, radius, *end, head),
        low=low,
        first=first,
        last=last,
        kind=int(legs.kind[first]),
        down=down,
    )


def _sharing(strokes: Iterable[Stroke]) -> Iterator[Stroke]:
    """Yield strokes of which those over the same path share one sweep."""
    unique: dict[Key, Sweep] = {}
    for stroke in strokes:
        sweep = unique.setdefault(stroke.sweep.key, stroke.sweep)
        yield stroke if sweep is stroke.sweep else replace(stroke, sweep=sweep)


def is_rapid(stroke: Stroke) -> bool:
    """Return whether a stroke is a rapid, which must not cut."""
    return stroke.kind == RAPID
