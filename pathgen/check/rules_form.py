"""Whether the part is what was wanted: metal taken outside the limits, and metal left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.findings import At, Finding, FinishedSize
from pathgen.check.legs import RAPID, Floats, Ints
from pathgen.check.outline import Outline, deepest, narrowest, nominal_place, widest
from pathgen.check.rules_metal import distance_to_legs
from pathgen.check.sizes import NOISE, Finished, place_of_cut, place_of_metal
from pathgen.check.sweeps import SAME, Sweep, going_up, touching
from pathgen.job.slot import Slot

Frame: TypeAlias = tuple[Floats, Floats, Floats]  # of legs: along and across (n, 2), radius (n,)
EXACT = 200  # so many legs outside are looked at exactly; the rest would only lengthen the list


def form_findings(context: Context, slots: Sequence[Finished]) -> Iterator[Finding]:
    """Yield what is wrong with the finished part."""
    over = np.flatnonzero(touching(context.legs, *context.box) & ~going_up(context.legs))
    named: set[int] = set()
    for finished in slots:
        for finding in _size_findings(context, finished, over):
            if finding.place is not None and finding.code in ("wall", "end"):
                named.add(finding.place)
            yield finding
        yield from _metal_left(context, finished)
    yield from _outside(context, slots, over, named)


def _size_findings(context: Context, finished: Finished, over: Ints) -> Iterator[Finding]:
    """Yield the findings of the finished sizes of one slot."""
    for size in finished.sizes:
        if size.ok:
            yield from _caution(context, size)
        elif size.quantity in ("middle", "centre line"):
            yield _misplaced(context, finished, size, over)
        elif size.quantity != "depth" and size.most > size.wanted.high + NOISE:
            yield from _too_large(context, finished, size, over)


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
    legs, axis = context.legs, 0 if slot.along == "x" else 1
    along = np.column_stack([legs.start[over, axis], legs.end[over, axis]])
    across = np.column_stack([legs.start[over, 1 - axis], legs.end[over, 1 - axis]])
    return along, across, top_radius(context, over)


def top_radius(context: Context, over: Ints) -> Floats:
    """Return the radius that the cutter of each leg has at the blank's top, mm."""
    legs = context.legs
    spread = np.array([*(tool.spread for tool in legs.tools), np.inf])[legs.tool[over]]
    height = np.maximum(context.box[1][2] - legs.low[over], SAME)
    radius: Floats = np.minimum(legs.radius[over], height * spread)
    return radius


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
    for edge in _edges(finished.slot, size):
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


def _edges(slot: Slot, size: FinishedSize) -> list[_Edge]:
    """Return the walls or the closed ends of a slot at the upper limit of a size."""
    nominal, half = nominal_place(slot), size.wanted.high / 2
    if size.quantity == "width":
        return [_Edge(code="wall", side=s, at=nominal.across + s * half) for s in (-1.0, 1.0)]
    outline = widest(slot, nominal)
    ends = []
    if not slot.open_low:
        ends.append(_Edge(code="end", side=-1.0, at=outline.first - outline.half_width))
    if not slot.open_high:
        ends.append(_Edge(code="end", side=1.0, at=outline.last + outline.half_width))
    return ends


def _reach_along(frame: Frame, slot: Slot, edge: _Edge) -> Floats:
    """Return how far each leg's cutter reaches beyond an end, mm."""
    along, across, radius = frame
    away = np.abs(across - slot.centre_line) >= slot.width.nominal
    places = np.where(away | np.isnan(along), -np.inf, edge.side * along)
    reach: Floats = places.max(axis=1) + radius - edge.side * edge.at
    return reach


def _reach_across(frame: Frame, straight: tuple[float, float], edge: _Edge) -> Floats:
    """Return how far each leg's cutter reaches beyond a wall within the straight part, mm.

    It is looked at where the leg enters and leaves the straight part, and where its circle does.
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
    off = np.maximum(np.maximum(first - s, s - last), 0.0)
    circle = np.sqrt(np.maximum(radius[:, None] ** 2 - off**2, 0.0))
    reach = (
        edge.side * (across[:, :1] + shares * (across[:, 1:] - across[:, :1]) - edge.at) + circle
    )
    reach[(off > radius[:, None]) | np.isnan(reach)] = -np.inf
    best: Floats = reach.max(axis=1)
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


# ---------------------------------------------------------------- metal left


def _metal_left(context: Context, finished: Finished) -> Iterator[Finding]:
    """Yield the finding of the metal that stands where the slot should be, worst place."""
    slot, (low, high) = finished.slot, context.box
    wanted = low[2] if slot.depth is None else high[2] - slot.depth.low
    standing = finished.floor[1] - wanted
    if standing > NOISE:
        yield _left_on_floor(context, finished, standing)
        if finished.walls_to >= high[2] - 3 * SAME:
            return  # nothing was cut; walls and ends tell nothing more
    outline = narrowest(slot, place_of_metal(finished)).region.buffer(-2 * NOISE)
    metal = outline.intersection(context.metal.plan)
    metal = metal.difference(context.metal.cleared(finished.walls_to))
    if metal.area < NOISE**2:
        return
    piece = max(shapely.get_parts(metal), key=lambda part: float(part.area))
    cleared = context.metal.cleared(finished.walls_to)
    amount = float(shapely.distance(shapely.points(shapely.get_coordinates(piece)), cleared).max())
    short = [
        f"{s.quantity} {s.least:.3f} mm, least allowed {s.wanted.low:.3f} mm"
        for s in finished.sizes
        if s.quantity in ("width", "length") and s.least < s.wanted.low - NOISE
    ]
    why = f" ({'; '.join(short)})" if short else ""
    point = piece.representative_point()
    yield context.finding_at(
        "metal left",
        f"{max(amount, NOISE):.3f} mm of metal left on the outline of {slot.name!r}{why}",
        _near(context, (point.x, point.y, finished.walls_to)),
        "cut further here",
        max(amount, NOISE),
    )


def _left_on_floor(context: Context, finished: Finished, standing: float) -> Finding:
    """Return the finding of a floor that is too high, or of a slot that is not through."""
    slot = finished.slot
    region = narrowest(slot, nominal_place(slot)).region.intersection(context.metal.plan)
    metal = region.difference(context.metal.cleared(finished.floor[1] - 2 * NOISE))
    point = (region if metal.is_empty else metal).representative_point()
    short = "is not through" if slot.depth is None else "is not deep enough"
    return context.finding_at(
        "metal left",
        f"{slot.name!r} {short}: {standing:.3f} mm of metal left on its floor",
        _near(context, (point.x, point.y, finished.floor[1])),
        "cut deeper here",
        standing,
    )


def _near(context: Context, at: At) -> tuple[int | None, At]:
    """Return the feed that passes nearest to a place, the lowest where several do, with it."""
    legs = context.legs
    over = np.flatnonzero(touching(legs, *context.box) & (legs.kind != RAPID))
    if not len(over):
        return None, at
    away = distance_to_legs(legs.start[over, :2], legs.end[over, :2], at[:2])
    nearest = over[away <= np.nanmin(away) + NOISE]
    return int(nearest[int(np.argmin(legs.low[nearest]))]), at


# ---------------------------------------------------------------- outside


def _outside(
    context: Context, slots: Sequence[Finished], over: Ints, named: set[int]
) -> Iterator[Finding]:
    """Yield each leg that cuts where no feature is, or deeper than the feature there."""
    legs, top = context.legs, context.box[1][2]
    outlines = [widest(each.slot, place_of_cut(each)) for each in slots]
    floors = np.array([deepest(each.slot, top) for each in slots])
    beyond = _beyond(context, outlines, over)
    inside = beyond <= NOISE
    deep_enough = legs.low[over][:, None] >= floors[None, :] - NOISE
    fine = (inside & deep_enough).any(axis=1)
    too_deep = inside.any(axis=1) & ~fine
    for row in np.flatnonzero(too_deep).tolist():
        leg = int(over[row])
        amount = float(floors[inside[row]].min() - legs.low[leg])
        name = slots[int(np.flatnonzero(inside[row])[0])].slot.name
        yield context.finding(
            "floor",
            f"floor of {name!r} cut {amount:.3f} mm beyond the depth's upper limit",
            leg,
            f"keep the tip {amount:.3f} mm higher",
            amount,
        )
    astray = np.flatnonzero(~fine & ~too_deep)
    astray = astray[~np.isin(legs.number[over[astray]], list(named))]
    yield from _astray(context, outlines, over[astray])


def _beyond(context: Context, outlines: Sequence[Outline], over: Ints) -> Floats:
    """Return how far each leg's cutter reaches beyond each outline, (legs, outlines), mm."""
    starts, ends = context.legs.start[over, :2], context.legs.end[over, :2]
    radius = top_radius(context, over)
    columns = [
        np.fmax(outline.beyond(starts), outline.beyond(ends)) + radius for outline in outlines
    ]
    return np.array(columns).reshape(len(outlines), len(over)).T


def _astray(context: Context, outlines: Sequence[Outline], chosen: Ints) -> Iterator[Finding]:
    """Yield the legs that cut the part outside its features, looked at exactly."""
    if not len(chosen):
        return
    legs = context.legs
    allowed = shapely.union_all([outline.region.buffer(NOISE) for outline in outlines])
    radii = top_radius(context, chosen)
    for leg, radius in list(zip(chosen.tolist(), radii.tolist(), strict=True))[:EXACT]:
        ends = np.array([legs.start[leg, :2], legs.end[leg, :2]])
        ends = ends[~np.isnan(ends).any(axis=1)]
        sweep = Sweep(ends, np.zeros(len(ends)), max(radius, SAME), np.inf)
        outline = sweep.outline(0.0)
        if outline is None:
            continue
        excess = outline.intersection(context.metal.plan).difference(allowed)
        if excess.area < NOISE**2:
            continue
        corners = shapely.points(shapely.get_coordinates(excess))
        amount = float(shapely.distance(corners, allowed).max()) + NOISE
        point = excess.representative_point()
        yield context.finding_at(
            "outside",
            f"{amount:.3f} mm cut into the part outside its features",
            (leg, (point.x, point.y, float(legs.low[leg]))),
            "keep the cutter within the outline, or clear above the work",
            amount,
        )
