"""Whether the part is what was wanted: metal taken outside the limits, and metal left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.findings import At, Finding
from pathgen.check.finished import NOISE, Finished, place_of_cut, place_of_metal
from pathgen.check.legs import RAPID, Floats, Ints
from pathgen.check.outline import Outline, deepest, narrowest, nominal_place, widest
from pathgen.check.rules_metal import distance_to_legs
from pathgen.check.rules_size import size_findings, top_radius, unexplained
from pathgen.check.sweeps import SAME, Sweep, going_up, touching

EXACT = 200  # so many legs outside are looked at exactly; the rest would only lengthen the list


def form_findings(context: Context, slots: Sequence[Finished]) -> Iterator[Finding]:
    """Yield what is wrong with the finished part."""
    over = np.flatnonzero(touching(context.legs, *context.box) & ~going_up(context.legs))
    of_slots = [
        [*size_findings(context, finished, over), *_metal_left(context, finished)]
        for finished in slots
    ]
    every = [finding for row in of_slots for finding in row]
    named = {f.place for f in every if f.place is not None and f.code in ("wall", "end")}
    outside = list(_outside(context, slots, over, named))
    yield from every
    yield from outside
    for finished, row in zip(slots, of_slots, strict=True):
        yield from unexplained(context, finished, {f.code for f in (*row, *outside)})


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
