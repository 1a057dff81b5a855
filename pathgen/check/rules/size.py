"""Whether a slot's finished sizes hold: what is too large, where, and by which line or step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.doubts import Doubts, still_axis
from pathgen.check.measured.finished import NOISE, Finished
from pathgen.check.metal.legs import Floats, Ints
from pathgen.check.metal.sweeps import SAME
from pathgen.check.rules.locks import Push, may_be_pushed
from pathgen.check.wanted.outline import nominal_place, widest
from pathgen.check.wanted.own_axes import along_across
from pathgen.job.slot import Slot

Frame: TypeAlias = tuple[Floats, Floats, Floats]  # of legs: along and across (n, 2), radius (n,)


def size_findings(context: Context, finished: Finished, over: Ints) -> Iterator[Finding]:
    """Yield the findings of the finished sizes of one slot."""
    for size in finished.sizes:
        if size.ok:
            yield from of_good(context, size, _push(context, finished, size))
        elif size.quantity in ("middle", "centre line"):
            yield _misplaced(context, finished, size, over)
        elif size.quantity != "depth" and size.most > size.wanted.high + NOISE:
            yield from _too_large(context, finished, size, over)


def of_good(context: Context, size: FinishedSize, push: Push | None) -> Iterator[Finding]:
    """Yield what the machine may make of a size that the moves leave good.

    Args:
        context: what every rule is given.
        size: the good one.
        push: of the slide that stands still in the cuts that make it; None for none.
    """
    found = [] if push is None else list(may_be_pushed(context, size, push))
    yield from found or _caution(context, size)


def _push(context: Context, finished: Finished, size: FinishedSize) -> Push | None:
    """Return how the slide that stands still may be pushed in the cuts that make a slot's size.

    A width that one setting makes comes out no less than the cutter is wide.
    """
    axis = still_axis(finished.slot, size.quantity, context.setup.set_over)
    if axis is None:
        return None
    only_wider = size.quantity == "width" and Doubts(context, finished).settings <= 1
    return Push(axis=axis, less=0.0 if only_wider else size.wander, more=size.wander)


def _caution(context: Context, size: FinishedSize) -> Iterator[Finding]:
    """Yield a caution where the machine may take a good size out of its limits."""
    least, most = size.least - size.uncertainty, size.most + size.uncertainty
    outside = max(size.wanted.low - least, most - size.wanted.high)
    if size.uncertainty > 0 and outside > NOISE:
        yield context.finding_by(
            "measure",
            f"{size.quantity} of {size.feature!r} comes out at {_range(size)} mm, and the machine "
            f"leaves {size.uncertainty:.3f} mm open each way: it may leave its limits, "
            f"{size.wanted.low:.3f} to {size.wanted.high:.3f} mm",
            None,
            "measure before finishing",
            amount=outside,
            severity="caution",
        )


def _range(size: FinishedSize) -> str:
    """Return a finished size in words."""
    if size.most - size.least < NOISE:
        return f"{size.least:.3f}"
    return f"{size.least:.3f} to {size.most:.3f}"


# ---------------------------------------------------------------- cut too far


def _frame(context: Context, slot: Slot, over: Ints) -> Frame:
    """Return both ends of the legs along and across, (n, 2) each, and their radius at the top."""
    starts = along_across(slot, context.legs.start[over])
    ends = along_across(slot, context.legs.end[over])
    along = np.column_stack([starts[:, 0], ends[:, 0]])
    across = np.column_stack([starts[:, 1], ends[:, 1]])
    return along, across, top_radius(context, over)


def top_radius(context: Context, over: Ints) -> Floats:
    """Return the radius that the cutter of each leg has at the blank's top, mm."""
    return context.legs.radius_at(over, context.box[1][2])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edge:
    """A wall or an end of a slot at its size's upper limit."""

    code: str  # "wall" or "end"
    side: float  # -1 or +1: on which side of the middle
    at: float  # across or along, mm


def _too_large(
    context: Context, finished: Finished, size: FinishedSize, over: Ints
) -> Iterator[Finding]:
    """Yield each leg that takes a wall or an end beyond the upper limit of its size."""
    frame = _frame(context, finished.slot, over)
    found = False
    for edge in _edges(finished, size.quantity):
        if edge.code == "wall":
            reach = _reach_across(frame, finished.straight, edge)
        else:
            reach = _reach_along(frame, finished.slot, edge)
        for row in np.flatnonzero(reach > NOISE).tolist():
            found = True
            yield _cut_too_far(
                context, finished.slot, edge, (frame, row, int(over[row])), reach[row]
            )
    if not found:  # by what an earlier setup had cut
        yield context.finding_by(
            "wall" if size.quantity == "width" else "end",
            f"{size.quantity} of {finished.slot.name!r} is {_range(size)} mm, "
            f"{size.most - size.wanted.high:.3f} mm over its upper limit",
            None,
            "look at all the cuts of this slot",
            amount=size.most - size.wanted.high,
        )


def _edges(finished: Finished, quantity: str) -> list[_Edge]:
    """Return the walls or the closed ends of a slot where its size's upper limit puts them.

    A wall may lie as far from the other one, as that was cut, as the limit allows; but the other
    counts no further out than the limit would have it about the wanted middle.
    """
    slot, largest = finished.slot, widest(finished.slot, nominal_place(finished.slot))
    if quantity == "width":
        code, cut, high, is_open = "wall", finished.across.cut, slot.width.high, (False, False)
        nominal = (largest.across - largest.half_width, largest.across + largest.half_width)
    else:
        code, cut, high = "end", finished.along.cut, slot.length.high
        is_open = (slot.open_low, slot.open_high)
        nominal = (largest.first - largest.half_width, largest.last + largest.half_width)
    low = slot.low_end if is_open[0] else max(cut[0], nominal[0])
    far = slot.high_end if is_open[1] else min(cut[1], nominal[1])
    edges = (_Edge(code=code, side=-1.0, at=far - high), _Edge(code=code, side=1.0, at=low + high))
    return [edge for edge, opened in zip(edges, is_open, strict=True) if not opened]


def _reach_along(frame: Frame, slot: Slot, edge: _Edge) -> Floats:
    """Return how far each leg's cutter reaches beyond an end, mm; -inf beside the slot."""
    along, across, radius = frame
    off = np.where(np.isnan(along), -np.inf, edge.side * (along - edge.at))
    beside = np.abs(across - slot.centre_line).min(axis=1) >= slot.width.nominal / 2 + radius
    apart = off.min(axis=1) >= radius
    reach: Floats = np.where(beside | apart, -np.inf, off.max(axis=1) + radius)
    return reach


def _reach_across(frame: Frame, straight: tuple[float, float], edge: _Edge) -> Floats:
    """Return how far each leg's cutter reaches beyond a wall within the straight part, mm.

    It is looked at where the leg enters and leaves the straight part, and where its circle does; a
    leg that does not cut the slot at all has -inf.
    """
    along, across, radius = frame
    first, last = straight
    run = along[:, 1] - along[:, 0]
    still = np.abs(run) < SAME
    stops = np.column_stack(
        [first - radius, np.full_like(radius, first), np.full_like(radius, last), last + radius]
    )
    shares = np.clip((stops - along[:, :1]) / np.where(still, 1.0, run)[:, None], 0.0, 1.0)
    shares[still] = (0.0, 0.0, 1.0, 1.0)
    s = along[:, :1] + shares * run[:, None]
    away = np.maximum(np.maximum(first - s, s - last), 0.0)
    circle = np.sqrt(np.maximum(radius[:, None] ** 2 - away**2, 0.0))
    off = edge.side * (across[:, :1] + shares * (across[:, 1:] - across[:, :1]) - edge.at)
    reach = np.where((away > radius[:, None]) | np.isnan(off), -np.inf, off + circle)
    apart = edge.side * (across - edge.at) >= radius[:, None]
    best: Floats = np.where(apart.all(axis=1), -np.inf, reach.max(axis=1))
    return best


def _cut_too_far(
    context: Context, slot: Slot, edge: _Edge, leg: tuple[Frame, int, int], amount: float
) -> Finding:
    """Return the finding of one leg that goes beyond a wall or an end."""
    (along, across, _), row, number = leg
    place = edge.at + edge.side * amount
    x, y = _spot(slot, (along[row], across[row]), (edge, place))
    of = "width" if edge.code == "wall" else "length"
    return context.finding_at(
        edge.code,
        f"{edge.code} of {slot.name!r} cut {amount:.3f} mm beyond the {of}'s upper limit",
        (number, (x, y, float(context.legs.low[number]))),
        f"bring this cut {amount:.3f} mm nearer to the middle of the slot",
        float(amount),
    )


def _spot(slot: Slot, leg: tuple[Floats, Floats], edge: tuple[_Edge, float]) -> tuple[float, float]:
    """Return (x, y) of the place where a leg cuts furthest out."""
    (along, across), (which, place) = leg, edge
    if which.code == "end":
        return slot.point(place, float(across[int(np.argmax(which.side * along))]))
    if abs(across[1] - across[0]) < SAME:
        return slot.point(float(along.mean()), place)
    return slot.point(float(along[int(np.argmax(which.side * across))]), place)


def _misplaced(context: Context, finished: Finished, size: FinishedSize, over: Ints) -> Finding:
    """Return the finding of a slot that does not lie where it should."""
    slot = finished.slot
    low, high = size.wanted.low - size.least, size.most - size.wanted.high
    amount, side = (low, -1.0) if low > high else (high, 1.0)
    along, across, radius = _frame(context, slot, over)
    nominal = nominal_place(slot)
    inside = np.abs(across - nominal.across).min(axis=1) < slot.width.nominal
    away = along if size.quantity == "middle" else across
    reach = np.where(inside, (side * away).max(axis=1) + radius, -np.inf)
    leg = int(over[int(np.argmax(reach))]) if len(over) else None
    return context.finding(
        "position",
        f"{size.quantity} of {slot.name!r} lies at {_range(size)} mm, {amount:.3f} mm outside its "
        f"limits, {size.wanted.low:.3f} to {size.wanted.high:.3f} mm",
        leg,
        "look at the datum and at the cuts on this side",
        amount,
    )


def unexplained(
    context: Context, sizes: Iterable[FinishedSize], codes: set[str]
) -> Iterator[Finding]:
    """Yield each size outside its limits that no finding of the given codes tells of.

    Args:
        context: what every rule is given.
        sizes: those of one feature.
        codes: of what was found at it; cautions are none, as they leave a part proved.
    """
    told = {
        "width": {"wall", "metal left"},
        "length": {"end", "metal left"},
        "depth": {"floor", "metal left"},
        "left": {"wall", "metal left"},
        "walls": {"wall", "metal left"},
        "islands": {"wall", "metal left"},
        "middle": {"position"},
        "thickness": {"floor", "metal left"},
        "chamfer": {"chamfer", "metal left"},
        "head width": {"wall", "metal left"},
        "head height": {"lip", "metal left"},
    }
    for size in sizes:
        if not size.ok and not told.get(size.quantity, codes) & codes:
            yield context.finding_by(
                "size",
                f"{size.quantity} of {size.feature!r} is {_range(size)} mm, wanted "
                f"{size.wanted.low:.3f} to {size.wanted.high:.3f} mm",
                None,
                "look at all the cuts of this feature",
                amount=max(size.wanted.low - size.least, size.most - size.wanted.high),
            )
