"""Whether a T-slot is what was wanted: what its head cuts too far, and what it leaves."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.excess import excess
from pathgen.check.measured.finished import NOISE, place_of_cut
from pathgen.check.measured.t_slot import FinishedTSlot
from pathgen.check.metal.legs import Ints, Mask
from pathgen.check.rules.left import metal_left, near
from pathgen.check.rules.locks import Push
from pathgen.check.rules.size import of_good, size_findings
from pathgen.check.wanted.outline import Allowed, deepest, widest, widest_head


def t_slot_places(context: Context, finished: FinishedTSlot) -> list[Allowed]:
    """Return where cutters may cut for a T-slot: in its throat all, beside it a head alone."""
    t_slot, place = finished.t_slot, place_of_cut(finished.neck)
    floor = deepest(t_slot.neck, context.box.high[2])
    return [
        Allowed(name=t_slot.name, outline=widest(t_slot.neck, place), floor=floor),
        Allowed(name=t_slot.name, outline=widest_head(t_slot, place), floor=floor, undercut=True),
    ]


def t_slot_findings(context: Context, finished: FinishedTSlot, over: Ints) -> Iterator[Finding]:
    """Yield what is wrong with a T-slot.

    Args:
        context: what every rule is given.
        finished: it as the moves leave it.
        over: the legs that may cut the blank.
    """
    yield from size_findings(context, finished.neck, over)
    yield from metal_left(context, finished.neck)
    for size in finished.head_sizes:
        if size.ok:
            axis = 2 if size.quantity == "head height" else _across(finished)
            push = Push(axis=axis, less=0.0, more=size.wander)
            yield from of_good(context, size, push)
        elif size.least < size.wanted.low - NOISE:
            yield _left(context, finished, size.quantity, size.wanted.low - size.least)
    heads = over[context.legs.undercuts[over]]
    heads = heads[_in_throat(context, finished, heads)]
    yield from _too_wide(context, finished, heads)
    yield from _through_lip(context, finished, heads)


def _across(finished: FinishedTSlot) -> int:
    return 1 if finished.t_slot.neck.along == "x" else 0


def _in_throat(context: Context, finished: FinishedTSlot, rows: Ints) -> Mask:
    """Return which legs go along within the throat, by their axis."""
    legs = context.legs
    throat = widest(finished.t_slot.neck, place_of_cut(finished.neck))
    axis = np.zeros(len(rows))
    inside: Mask = throat.reach(legs.start[rows, :2], legs.end[rows, :2], axis) < 0
    return inside


def _too_wide(context: Context, finished: FinishedTSlot, heads: Ints) -> Iterator[Finding]:
    """Yield each leg that takes the head beyond its upper limit."""
    legs, t_slot = context.legs, finished.t_slot
    outline = widest_head(t_slot, place_of_cut(finished.neck))
    reach = outline.reach(legs.start[heads, :2], legs.end[heads, :2], legs.radius[heads])
    for row in np.flatnonzero(reach > NOISE).tolist():
        yield context.finding(
            "wall",
            f"head of {t_slot.name!r} cut {reach[row]:.3f} mm beyond its upper limit",
            int(heads[row]),
            "keep the cutter on the centre line, or take a smaller one",
            float(reach[row]),
        )


def _through_lip(context: Context, finished: FinishedTSlot, heads: Ints) -> Iterator[Finding]:
    """Yield each leg whose head cuts into the metal over the head of the T-slot."""
    legs, t_slot = context.legs, finished.t_slot
    roof = finished.neck.floor[0] + t_slot.head_height.high
    free = widest(t_slot.neck, place_of_cut(finished.neck)).region.buffer(NOISE)
    highest = np.fmax(legs.start[heads, 2], legs.end[heads, 2])
    for leg, tip in zip(heads.tolist(), highest.tolist(), strict=True):
        tool = context.tool(leg)
        assert tool is not None
        assert tool.undercut is not None
        amount = tip + tool.undercut.height - roof
        if amount <= NOISE or legs.low[leg] >= context.box.high[2]:
            continue
        found = excess(context, leg, float(legs.radius[leg]), free)
        if found is not None:
            yield context.finding_at(
                "lip",
                f"the head of {tool.fit.name!r} cuts {amount:.3f} mm too high in the metal that "
                f"is to stand over the head of {t_slot.name!r}",
                (leg, found[1]),
                "keep to the depth all along, and go out the way it came in: level, at an open end",
                amount,
            )


def _left(context: Context, finished: FinishedTSlot, quantity: str, short: float) -> Finding:
    """Return the finding of a head that is too small, or not cut at all."""
    t_slot = finished.t_slot
    what = f"{quantity} of {t_slot.name!r} is {short:.3f} mm under its lower limit"
    if finished.band is None:
        what = f"the head of {t_slot.name!r} is not cut all along"
    low, high = t_slot.head_ends
    x, y = t_slot.neck.point((low + high) / 2, t_slot.neck.centre_line)
    at = (x, y, finished.neck.floor[0])
    return context.finding_at(
        "metal left", what, near(context, at), "cut the head further here", short
    )
