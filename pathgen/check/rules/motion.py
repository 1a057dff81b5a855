"""Speeds, feeds, and whether the spindle turns; what the machine can do."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.legs import DRILL, FEED, RAPID, Floats, Ints, Mask
from pathgen.check.metal.strokes import touching
from pathgen.check.metal.sweeps import SAME
from pathgen.check.wanted.own_axes import into
from pathgen.job.slot import Turned
from pathgen.moves.actions import Coolant, Spindle

AXES = "xyz"
FEED_ROUNDING = 0.5  # a feed beyond the most by less is on it, mm/min


def motion_findings(context: Context) -> Iterator[Finding]:
    """Yield what is wrong with speeds, feeds and known places."""
    yield from _spindle(context)
    yield from _feeds(context)
    yield from _fluid(context)
    yield from _unknown(context)


def _spindle(context: Context) -> Iterator[Finding]:
    """Yield speeds that the spindle lacks, and cuts while it must turn and does not."""
    spindle = context.machine.spindle
    for _, item, number in context.actions:
        if isinstance(item, Spindle):
            rpm = item.rpm
            if rpm != 0 and not spindle.has(rpm):
                yield context.finding_by(
                    "speed",
                    f"the spindle has no {rpm:g} rev/min: {_speeds(context)}",
                    number,
                    "choose a speed that it has",
                )
    yield from _standing(context)


def _speeds(context: Context) -> str:
    """Return the spindle's speeds in words."""
    spindle = context.machine.spindle
    if spindle.speeds:
        return ", ".join(f"{speed:g}" for speed in spindle.speeds)
    return f"{spindle.lowest:g} to {spindle.highest:g}"


def _standing(context: Context) -> Iterator[Finding]:
    """Yield the first feed into the blank of each stretch for which no speed was set.

    A boring head that is not set yet goes into a hole so, to be touched: what it meets there is
    found by what its bar meets.
    """
    legs = context.legs
    unset = [tool.head is not None and tool.setting is None for tool in legs.tools]
    cutting = touching(legs, *context.box) & (legs.kind != RAPID)
    cutting &= ~np.array([*unset, False])[legs.tool]
    wrong = cutting & ~(legs.rpm > 0)
    for leg in _firsts(context, wrong, cutting):
        stopped = legs.rpm[leg] == 0
        yield context.finding(
            "spindle" if stopped else "speed",
            "feed into metal with the spindle stopped"
            if stopped
            else "feed into metal before a speed was set",
            leg,
            "start the spindle first",
        )


def _firsts(context: Context, wrong: Mask, among: Mask) -> list[int]:
    """Return the first of each row of legs that are wrong alike among the chosen ones."""
    chosen = np.flatnonzero(among)
    marks = np.where(wrong[chosen], context.legs.rpm[chosen], 1.0)
    marks = np.where(np.isnan(marks), -1.0, marks)
    starts = np.flatnonzero(np.diff(marks, prepend=1.0))
    return [int(chosen[start]) for start in starts if wrong[chosen[start]]]


def _feeds(context: Context) -> Iterator[Finding]:
    """Yield feeds that were not set, or are more than the machine can go."""
    legs, control = context.legs, context.machine.control
    fed = legs.kind != RAPID
    for leg in np.flatnonzero(fed & ~(legs.feed > 0)).tolist():
        yield context.finding("feed unset", "a cut without a feed", leg, "set a feed above 0")
    if control is None:
        return
    for leg in np.flatnonzero(fed & (legs.feed > control.feed_most + FEED_ROUNDING)).tolist():
        yield context.finding(
            "feed",
            f"feed {legs.feed[leg]:.0f} mm/min is above the machine's most, "
            f"{control.feed_most:.0f} mm/min",
            leg,
            "feed more slowly",
            float(legs.feed[leg] - control.feed_most),
        )


def _fluid(context: Context) -> Iterator[Finding]:
    """Yield cutting fluid that a word turns on and the control has not got."""
    control = context.machine.control
    if control is None:
        return
    for _, item, number in context.actions:
        if not isinstance(item, Coolant) or item.by_hand or item.kind == "off":
            continue
        if item.kind not in control.coolant:
            there = " or ".join(control.coolant) or "none"
            yield context.finding_by(
                "coolant",
                f"{item.kind} is turned on by a word, and the machine's file declares {there}",
                number,
                "declare it under coolant in the machine's file, or turn it on by hand",
            )


def _unknown(context: Context) -> Iterator[Finding]:
    """Yield cuts from or to a place that is not known, and ways across at an unknown height."""
    legs = context.legs
    lost = np.isnan(legs.end).any(axis=1) | np.isnan(legs.start).any(axis=1)
    for leg in np.flatnonzero(lost & ((legs.kind == FEED) | (legs.kind == DRILL))).tolist():
        unknown = np.isnan(legs.end[leg]) | np.isnan(legs.start[leg])
        axes = " and ".join(axis for axis, lacking in zip(AXES, unknown, strict=True) if lacking)
        yield context.finding(
            "unknown place", f"a cut while {axes} is not known", leg, "go to a known place first"
        )
    across = (legs.kind == RAPID) & np.isnan(legs.end[:, 2])
    way = "a rapid" if context.run.where == "line" else "a wind"
    for leg in np.flatnonzero(across)[:1].tolist():
        yield context.finding(
            "unknown place", f"{way} across while the height is not known", leg, "lift first"
        )


# ---------------------------------------------------------------- travel


def travel_findings(context: Context) -> Iterator[Finding]:
    """Yield an axis whose places span more than the machine's travel.

    Depth is looked at cutter by cutter, since how far the cutters stick out is not known.
    """
    legs = context.legs
    everything = np.zeros(len(legs), dtype=np.int64)
    for axis, group in ((0, everything), (1, everything), (2, legs.tool)):
        for number in np.unique(group):
            yield from _span(context, axis, np.flatnonzero(group == number))


def _of_slide(context: Context, axis: int) -> Floats:
    """Return where the legs end on the slide of an axis: that of the frame, or set over to it."""
    set_over = context.setup.set_over
    if set_over is None or axis == 2:
        return context.legs.end[:, axis]
    return into(Turned(0.0, 0.0, set_over.angle_deg), context.legs.end[:, :2])[:, axis]


def _span(context: Context, axis: int, rows: Ints) -> Iterator[Finding]:
    """Yield the finding of the places of some legs on one axis."""
    places = _of_slide(context, axis)[rows]
    if np.isnan(places).all():
        return
    span = float(np.nanmax(places) - np.nanmin(places))
    travel = context.machine.travel[axis]
    if math.isnan(span) or span <= travel + SAME:
        return
    least, most = int(np.nanargmin(places)), int(np.nanargmax(places))
    leg = int(rows[max(least, most)])  # where the span becomes too much
    yield context.finding(
        "travel",
        f"{AXES[axis]} goes over {span:.1f} mm, the machine's travel is {travel:.1f} mm",
        leg,
        "clamp the work otherwise, or take a larger machine",
        span - travel,
    )
