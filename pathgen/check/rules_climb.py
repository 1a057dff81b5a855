"""Which way walls are cut: against the cutter's turn, unless the job asks for the other way.

A cutter turns clockwise, seen from above, so metal on the right of its way is cut with its turn: it
climbs, and pulls the work in by the slack of a screw. A cut as wide as the cutter has metal on both
sides and is neither.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.legs import Floats, Ints, Mask
from pathgen.check.outline import largest_region
from pathgen.check.sweeps import SAME, Stroke
from pathgen.job.job import Area, Feature

RUBBED = 0.02  # mm within its edge that a cutter is looked at first: thinner metal is only rubbed
SHARES = np.arange(0.95, 0.0, -0.1)  # of its radius, where it is looked at then
AHEAD = 0.005  # mm that a place lies before the edge of what the cutter has cleared so far
BOTH = 0.5  # of the width cut on the right: with as much on the left it is as good as full width
RIGHT, LEFT = 0, 1
SHORT = 0.5  # of the diameter: a shorter way is a corner, or the end of a way on to a wall


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Stand:
    """Places of a cutter's centre on its way, one a row: where, going which way, on which leg."""

    at: Floats  # (n, 2), mm
    ahead: Floats  # (n, 2), of length 1
    leg: Ints  # (n,)
    length: Floats  # (n,), of the way that each stands for, mm


def climb_findings(context: Context, stroke: Stroke) -> Iterator[Finding]:
    """Yield that a stroke cuts with the cutter's turn where the job does not ask for it."""
    floor = max(stroke.low, context.box[0][2])
    metal = context.metal.metal_in(stroke.sweep.outline(context.box[1][2] - stroke.low), floor)
    if metal.is_empty:
        return
    stand = _stand(context, stroke)
    cut = _engaged(context, stroke, stand, metal)
    right, left = _widths(stroke, cut)
    one_sided = (left < BOTH * right) & ~cut[:, 0, LEFT]
    climbs = (right > 0) & one_sided & ~_asked_for(context, stand)
    if stand.length[climbs].sum() <= SHORT * 2 * stroke.sweep.radius:
        return
    worst = int(np.argmax(np.where(climbs, right, 0.0)))
    x, y = stand.at[worst].tolist()
    yield context.finding_at(
        "climb",
        f"a cut {right[worst]:.2f} mm wide goes with the cutter's turn for "
        f"{stand.length[climbs].sum():.1f} mm: it pulls the work in",
        (int(stand.leg[worst]), (x, y, stroke.low)),
        "go the other way along it, so that the metal is on the left",
        float(right[worst]),
    )


def _stand(context: Context, stroke: Stroke) -> _Stand:
    """Return places along a stroke, no further apart than the cutter's radius."""
    rows = np.arange(stroke.first, stroke.last)
    start, end = context.legs.start[rows, :2], context.legs.end[rows, :2]
    along = end - start
    length = np.hypot(*along.T)
    rows, start, along, length = (each[length > SAME] for each in (rows, start, along, length))
    counts = np.ceil(length / stroke.sweep.radius).astype(np.int64)
    of_leg = np.repeat(np.arange(len(rows)), counts)
    number = np.arange(len(of_leg)) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (number + 0.5) / counts[of_leg]
    return _Stand(
        at=start[of_leg] + along[of_leg] * share[:, None],
        ahead=along[of_leg] / length[of_leg, None],
        leg=rows[of_leg],
        length=length[of_leg] / counts[of_leg],
    )


def _offsets(radius: float) -> Floats:
    """Return how far from the way a cutter is looked at, mm, from its edge inwards."""
    inner = [radius * share for share in SHARES if radius * share < radius - RUBBED]
    return np.array([max(radius - RUBBED, 0.0), *inner])


def _engaged(context: Context, stroke: Stroke, stand: _Stand, metal: BaseGeometry) -> Mask:
    """Return where metal lies before the cutter's edge: (places, offsets, right and left)."""
    radius = stroke.sweep.radius
    across = _offsets(radius)
    on = np.sqrt(radius**2 - across**2) + AHEAD
    sideways = np.stack([stand.ahead[:, 1], -stand.ahead[:, 0]], axis=1)  # to the right
    signs = np.array([1.0, -1.0])
    points = (
        stand.at[:, None, None, :]
        + stand.ahead[:, None, None, :] * on[None, :, None, None]
        + sideways[:, None, None, :] * (across[:, None] * signs[None, :])[None, :, :, None]
    )
    shapely.prepare(metal)
    cut: Mask = shapely.contains_xy(metal, points[..., 0], points[..., 1])
    if stroke.sweep.flat and cut.any():
        legs = np.broadcast_to(stand.leg[:, None, None], cut.shape)
        cut[cut] = ~_cut_before(context, stroke, points[cut], legs[cut])
    return cut


def _cut_before(context: Context, stroke: Stroke, points: Floats, legs: Ints) -> Mask:
    """Return which points earlier legs of the same level stroke have cleared."""
    rows = np.arange(stroke.first, stroke.last)
    pairs = np.stack([context.legs.start[rows, :2], context.legs.end[rows, :2]], axis=1)
    ways = [shapely.LineString(pair) for pair in pairs]
    found, way = shapely.STRtree(ways).query(
        shapely.points(points), predicate="dwithin", distance=stroke.sweep.radius
    )
    earlier = rows[way] < legs[found]
    cleared: Mask = np.zeros(len(points), dtype=np.bool_)
    cleared[found[earlier]] = True
    return cleared


def _widths(stroke: Stroke, cut: Mask) -> tuple[Floats, Floats]:
    """Return how wide the cut is on the right and on the left at each place, mm."""
    offsets = _offsets(stroke.sweep.radius)
    between = (offsets[1:] + offsets[:-1]) / 2
    widths = -np.diff([stroke.sweep.radius, *between, 0.0])
    right, left = ((cut[:, :, side] * widths[None, :]).sum(axis=1) for side in (RIGHT, LEFT))
    return right, left


def _asked_for(context: Context, stand: _Stand) -> Mask:
    """Return at which places the feature that is cut asks to be cut with the cutter's turn."""
    if context.machine.manual:
        return np.zeros(len(stand.leg), dtype=np.bool_)
    features = context.setup.features
    asks = np.array([_asks(feature) for feature in features])
    if asks.all() or not asks.any():
        return np.full(len(stand.leg), asks.all())
    points = shapely.points(stand.at)
    away = [shapely.distance(largest_region(feature), points) for feature in features]
    asked: Mask = asks[np.argmin(away, axis=0)]
    return asked


def _asks(feature: Feature) -> bool:
    """Return whether the job asks for a feature that the cutter climbs."""
    return isinstance(feature, Area) and bool(feature.ways.climb)
