"""Whether the part is what was wanted: metal taken outside the limits, and metal left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.features import Judged, allowed, own_findings
from pathgen.check.findings import Finding
from pathgen.check.measured.excess import excess
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.legs import Floats, Ints
from pathgen.check.metal.strokes import idle, touching
from pathgen.check.rules.size import top_radius, unexplained
from pathgen.check.wanted.outline import Allowed
from pathgen.check.wanted.pointed import pointed

# Codes of findings that already tell of a cut outside.
NAMING = ("wall", "end", "oversize", "displaced", "lip", "chamfer")
EXACT = 200  # so many legs outside are looked at exactly; the rest would only lengthen the list


def form_findings(context: Context, judged: Sequence[Judged]) -> Iterator[Finding]:
    """Yield what is wrong with the finished part."""
    over = np.flatnonzero(touching(context.legs, *context.box) & ~idle(context.legs))
    of_features = [list(own_findings(context, each, over)) for each in judged]
    every = [finding for row in of_features for finding in row]
    named = {f.place for f in every if f.place is not None and f.code in NAMING}
    outside = list(_outside(context, judged, over, named))
    yield from every
    yield from outside
    for each, row in zip(judged, of_features, strict=True):
        found = {f.code for f in (*row, *outside) if f.severity == "finding"}
        yield from unexplained(context, each.sizes, found)


def _outside(
    context: Context, judged: Sequence[Judged], over: Ints, named: set[int]
) -> Iterator[Finding]:
    """Yield each leg that cuts where no feature is, or deeper than the feature there."""
    places = [place for each in judged for place in allowed(context, each)]
    floors = np.array([place.floor for place in places])
    beyond = _beyond(context, places, over)
    inside = beyond <= NOISE
    lowest = _lowest(context, places, over)
    deep_enough = lowest >= floors[None, :] - NOISE
    fine = (inside & deep_enough).any(axis=1)
    too_deep = inside.any(axis=1) & ~fine
    for row in np.flatnonzero(too_deep).tolist():
        leg = int(over[row])
        amount = float((floors - lowest[row])[inside[row]].min())
        name = places[int(np.flatnonzero(inside[row])[0])].name
        yield context.finding(
            "floor",
            f"floor of {name!r} cut {amount:.3f} mm beyond the depth's upper limit",
            leg,
            f"keep the tip {amount:.3f} mm higher",
            amount,
        )
    astray = np.flatnonzero(~fine & ~too_deep)
    astray = astray[~np.isin(context.legs.number[over[astray]], list(named))]
    yield from _astray(context, places, over[astray])


def _lowest(context: Context, places: Sequence[Allowed], over: Ints) -> Floats:
    """Return how low each leg's cutter counts in each place, (legs, places), z: tip or shoulder."""
    points = np.array([*(tool.point_length for tool in context.legs.tools), 0.0])
    point = points[context.legs.tool[over]][:, None]
    shoulder = np.array([place.shoulder for place in places])[None, :]
    lowest: Floats = context.legs.low[over][:, None] + np.where(shoulder, point, 0.0)
    return lowest


def _beyond(context: Context, places: Sequence[Allowed], over: Ints) -> Floats:
    """Return how far each leg's cutter reaches beyond each outline, (legs, places), mm."""
    starts, ends = context.legs.start[over, :2], context.legs.end[over, :2]
    radius = _widest(context, over)
    straight, flat = ~context.legs.undercuts[over], ~pointed(context, over)
    columns = [
        np.where(
            straight & place.undercut | flat & place.pointed,
            np.inf,
            place.outline.reach(starts, ends, radius),
        )
        for place in places
    ]
    return np.array(columns).reshape(len(places), len(over)).T


def _widest(context: Context, over: Ints) -> Floats:
    """Return the radius that the cutter of each leg has in the blank where it is widest, mm."""
    legs = context.legs
    radius: Floats = np.where(legs.undercuts[over], legs.radius[over], top_radius(context, over))
    return radius


def _astray(context: Context, places: Sequence[Allowed], chosen: Ints) -> Iterator[Finding]:
    """Yield the legs that cut the part outside its features, looked at exactly."""
    if not len(chosen):
        return
    free = shapely.union_all([place.outline.region.buffer(NOISE) for place in places])
    radii = _widest(context, chosen)
    for leg, radius in list(zip(chosen.tolist(), radii.tolist(), strict=True))[:EXACT]:
        found = excess(context, leg, radius, free)
        if found is None:
            continue
        amount, at = found
        yield context.finding_at(
            "outside",
            f"{amount:.3f} mm cut into the part outside its features",
            (leg, at),
            "keep the cutter within the outline, or clear above the work",
            amount,
        )
