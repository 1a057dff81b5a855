"""Where what was gone before a setup reaches: it is no part of what the setup is to make."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.metal.sweeps import SAME
from pathgen.job.gone import Layer, layers_before

SAME_HOLE = 0.05  # mm: two centres that are nearer are one hole, opened out
ALONGSIDE = 0.02  # mm above and below what is gone: there a hole is looked at


def gone_layers(context: Context) -> list[Layer]:
    """Return what is gone before the setup, as the job has it, in the setup's frame."""
    return layers_before(context.job, context.setup)


def beside(layers: list[Layer], within: BaseGeometry, low: float, high: float) -> BaseGeometry:
    """Return what is gone anywhere between two heights, but not what lies within a feature."""
    near = [layer for layer in layers if layer.span(2)[0] < high and layer.span(2)[1] > low]
    return shapely.union_all([layer.plan() for layer in near]).difference(within)


def gone_at(layers: list[Layer], level: float) -> BaseGeometry:
    """Return what is gone at a height."""
    there = [each for each in layers if each.span(2)[0] - SAME < level < each.span(2)[1] + SAME]
    return shapely.union_all([layer.plan() for layer in there])


def whole_levels(
    layers: list[Layer], hole: tuple[tuple[float, float], float], low: float, high: float
) -> list[float]:
    """Return heights between two, rising, at which nothing of a hole was gone before.

    Args:
        layers: what was gone.
        hole: its centre and its radius, mm.
        low: the lowest height to look at.
        high: the highest.
    """
    disc = shapely.Point(hole[0]).buffer(hole[1])
    spans = [
        layer.span(2)
        for layer in layers
        if not _opened_out(layer, disc) and layer.plan().intersects(disc)
    ]
    ends = [end for first, last in spans for end in (first - ALONGSIDE, last + ALONGSIDE)]
    tried = sorted({low, high, (low + high) / 2, *(end for end in ends if low < end < high)})
    return [z for z in tried if not any(first - SAME < z < last - SAME for first, last in spans)]


def _opened_out(layer: Layer, disc: BaseGeometry) -> bool:
    """Return whether a layer is a hole that is only opened out."""
    away = layer.region.centroid.distance(disc.centroid)
    return layer.axis == 2 and away < SAME_HOLE and disc.buffer(SAME_HOLE).covers(layer.region)
