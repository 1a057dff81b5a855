"""How far a round feature lies off the axis of what it is to be concentric to, in the metal."""

from __future__ import annotations

import math

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import NOISE
from pathgen.check.measured.finished_holes import FinishedHoles
from pathgen.job.areas import Outside
from pathgen.job.concentric import Axle, axle_of, wanted_of
from pathgen.job.job import Area
from pathgen.job.read_concentric import Concentric
from pathgen.job.sizes import Size

AROUND = 2.0  # mm beyond its own edge that a round feature is looked for
FAR = math.inf


def off_axis(context: Context, finished: FinishedHoles) -> FinishedSize | None:
    """Return how far a bore lies off its other's axis; None where that is not asked."""
    (hole,) = finished.each[:1]
    wanted = wanted_of(finished.holes)
    at = None if hole.bore is None else hole.bore.at
    return None if wanted is None else _off(context, finished.holes.name, wanted, at)


def area_off_axis(context: Context, area: Area) -> FinishedSize | None:
    """Return how far a round pocket or boss lies off its other's axis; None if not asked."""
    wanted = wanted_of(area)
    if wanted is None:
        return None
    own = axle_of(context.job, context.setup, area.name)
    return _off(context, area.name, wanted, _centre(context, own))


def _off(
    context: Context, name: str, wanted: Concentric, at: tuple[float, float] | None
) -> FinishedSize:
    """Return how far a place lies off the axis that it is to lie on.

    What cannot be found in the metal lies infinitely far off.
    """
    axle = axle_of(context.job, context.setup, wanted.to)
    centre = _centre(context, axle)
    away = FAR if centre is None or at is None else math.dist(centre, at)
    return FinishedSize(
        feature=name,
        quantity="off the axis",
        wanted=_limits(wanted),
        least=away,
        most=away,
        uncertainty=_doubt(context, axle, wanted.to),
        ok=away <= wanted.within + NOISE,
    )


def _limits(wanted: Concentric) -> Size:
    basis = f"concentric to {wanted.to}"
    return Size(nominal=0.0, low=0.0, high=wanted.within, basis=basis)


def _centre(context: Context, axle: Axle) -> tuple[float, float] | None:
    """Return where the other feature really lies: cut here by the end, or before, as it came."""
    metal = context.metal if axle.here else context.metal.as_of(0)
    layer = axle.sunk.layers_in(context.setup.frame)[0]
    low, high = layer.span(2)
    level = (low + high) / 2
    spot = shapely.Point(axle.at)
    if isinstance(axle.sunk.feature, Outside):
        standing = metal.metal_in(metal.plan, level)
        return _about(spot, [shapely.Polygon(p.exterior) for p in shapely.get_parts(standing)])
    window = layer.region.envelope.buffer(AROUND).intersection(metal.plan)
    cleared = window.difference(metal.metal_in(window, level))
    return _about(spot, list(shapely.get_parts(cleared)))


def _about(spot: shapely.Point, parts: list[BaseGeometry]) -> tuple[float, float] | None:
    """Return the middle of the part that lies about a spot, None where none does."""
    part = next((each for each in parts if each.covers(spot)), None)
    return None if part is None else (part.centroid.x, part.centroid.y)


def _doubt(context: Context, axle: Axle, to: str) -> float:
    """Return what is open of the distance between the two axes, mm.

    Of two that are cut from one zero only their settings; else the zeros of both, but for a zero
    that is picked up from the other feature itself, which has only its own.
    """
    run, setup = context.run.doubt, context.setup
    earlier = next((each for each in context.job.setups if each.name == axle.sunk.setup), None)
    doubts = []
    for axis, datum in enumerate((setup.datum_x, setup.datum_y)):
        doubt = 2 * (run.setting[axis] + run.wander[axis])
        if not axle.here:
            doubt += run.zero[axis]
            if earlier is not None and (datum.picked is None or datum.picked.feature != to):
                before = (earlier.datum_x, earlier.datum_y)[axis]
                doubt += before.uncertainty
        doubts.append(doubt)
    return math.hypot(*doubts)
