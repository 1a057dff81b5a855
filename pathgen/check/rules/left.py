"""Metal that stands where a slot should be."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.findings import At, Finding
from pathgen.check.measured.finished import NOISE, Finished, place_of_metal
from pathgen.check.metal.legs import RAPID
from pathgen.check.metal.strokes import touching
from pathgen.check.metal.sweeps import SAME
from pathgen.check.places import distance_to_legs
from pathgen.check.wanted.outline import narrowest, nominal_place


def metal_left(context: Context, finished: Finished) -> Iterator[Finding]:
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
        near(context, (point.x, point.y, finished.walls_to)),
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
        near(context, (point.x, point.y, finished.floor[1])),
        "cut deeper here",
        standing,
    )


def near(context: Context, at: At) -> tuple[int | None, At]:
    """Return the feed that passes nearest to a place, the lowest where several do, with it."""
    legs = context.legs
    over = np.flatnonzero(touching(legs, *context.box) & (legs.kind != RAPID))
    if not len(over):
        return None, at
    away = distance_to_legs(legs.start[over, :2], legs.end[over, :2], at[:2])
    nearest = over[away <= np.nanmin(away) + NOISE]
    return int(nearest[int(np.argmin(legs.low[nearest]))]), at
