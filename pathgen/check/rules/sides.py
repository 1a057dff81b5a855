"""Which way walls are cut: against the cutter's turn, unless the job asks for the other way.

A cutter turns clockwise, seen from above, so metal on the right of its way is cut with its turn: it
climbs, and pulls the work in by the slack of a screw. A cut as wide as the cutter has metal on both
sides and is neither.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.engaged import LEFT, Before, Stand, engaged, stand, widths_of_cut
from pathgen.check.findings import Finding
from pathgen.check.metal.legs import Ints, Mask
from pathgen.check.metal.strokes import Stroke
from pathgen.check.rules.headings import is_for, pass_at
from pathgen.check.wanted.outline import largest_region
from pathgen.job.areas import Outside, Pocket, Step
from pathgen.job.job import Area, Feature
from pathgen.job.slot import Slot

BOTH = 0.5  # of the width cut on the right: with as much on the left it is as good as full width
SHALLOW = 0.2  # mm: what is no higher does not pull the work in
FINISH_SHARE = 0.5  # of the diameter: what a finish may cut at most (common practice, no source)
# Of what a stroke cuts: where rings about islands meet, less than this of one may have its metal on
# the wrong side, whichever way it goes.
PART = 0.2
SHORT = 1.0  # of the diameter: a shorter way is a corner, or the end of a way on to a wall


def side_findings(context: Context, stroke: Stroke) -> Iterator[Finding]:
    """Yield what is wrong with how wide a stroke cuts, and on which side."""
    level = max(stroke.low, context.box[0][2]) + SHALLOW
    metal = context.metal.metal_over(stroke.sweep.outline(context.box[1][2] - stroke.low), level)
    if metal.is_empty:
        return
    places = stand(context, stroke, np.arange(stroke.first, stroke.last))
    cut = engaged(places, metal, Before(context, stroke), level)
    yield from _climbs(context, stroke, places, cut)
    purpose, feature = pass_at(context, int(context.legs.number[stroke.first]))
    if purpose == "finish" and _is_roughed(context, feature):
        yield from _unroughed(context, stroke, places, cut)


def _is_roughed(context: Context, feature: Feature | None) -> bool:
    """Return whether walls of a feature are roughed before: a slot's only if a heading says so."""
    if isinstance(feature, Slot):
        rough = ("rough", "semi-finish")
        return any(
            each.purpose in rough and is_for(each, feature.name) for each in context.run.headings
        )
    return isinstance(feature, Pocket | Outside | Step)


def _climbs(context: Context, stroke: Stroke, places: Stand, cut: Mask) -> Iterator[Finding]:
    """Yield that a stroke cuts with the cutter's turn where the job does not ask for it."""
    right, left = widths_of_cut(places, cut)
    one_sided = (left < BOTH * right) & ~cut[:, 0, LEFT]
    climbs = (right > 0) & one_sided & ~_asked_for(context, places)
    rows = _longest(places, climbs)
    length = float(places.length[rows].sum())
    in_metal = float(places.length[right + left > 0].sum())
    if length <= max(SHORT * 2 * stroke.sweep.radius, PART * in_metal):
        return
    worst = int(rows[np.argmax(right[rows])])
    x, y = places.at[worst].tolist()
    yield context.finding_at(
        "climb",
        f"a cut {right[worst]:.2f} mm wide goes with the cutter's turn for {length:.1f} mm: it "
        "pulls the work in",
        (int(places.leg[worst]), (x, y, stroke.low)),
        "go the other way along it, so that the metal is on the left",
        float(right[worst]),
    )


def _unroughed(context: Context, stroke: Stroke, places: Stand, cut: Mask) -> Iterator[Finding]:
    """Yield that a finish cuts what the roughing should have left to it little of."""
    right, left = widths_of_cut(places, cut)
    width = places.averaged(right + left)
    most = FINISH_SHARE * 2 * stroke.sweep.radius
    worst = int(np.argmax(width)) if len(width) else 0
    if not len(width) or width[worst] <= most:
        return
    x, y = places.at[worst].tolist()
    yield context.finding_at(
        "order",
        f"a finish cuts {width[worst]:.2f} mm wide with a cutter of {2 * places.radius:.2f} mm: "
        "it was not roughed here",
        (int(places.leg[worst]), (x, y, stroke.low)),
        "rough first, and leave an allowance to the finish",
        float(width[worst] - most),
    )


def _longest(places: Stand, chosen: Mask) -> Ints:
    """Return the rows of the longest way on which all places are chosen; none where none is."""
    rows = np.flatnonzero(chosen)
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    return max(runs, key=lambda run: float(places.length[run].sum()))


def _asked_for(context: Context, places: Stand) -> Mask:
    """Return at which places the feature that is cut asks to be cut with the cutter's turn."""
    if context.machine.manual:
        return np.zeros(len(places.leg), dtype=np.bool_)
    features = context.setup.features
    asks = np.array([_asks(feature) for feature in features])
    if asks.all() or not asks.any():
        return np.full(len(places.leg), asks.all())
    points = shapely.points(places.at)
    away = [shapely.distance(largest_region(feature), points) for feature in features]
    asked: Mask = asks[np.argmin(away, axis=0)]
    return asked


def _asks(feature: Feature) -> bool:
    """Return whether the job asks for a feature that the cutter climbs."""
    return isinstance(feature, Area) and bool(feature.ways.climb)
