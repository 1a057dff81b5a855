"""Where what was gone before a setup reaches: it is no part of what the setup is to make."""

from __future__ import annotations

import math

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.sweeps import SAME, grown
from pathgen.job.gone import Prism, gone_before

SAME_HOLE = 0.05  # mm: two centres that are nearer are one hole, opened out
ALONGSIDE = 0.02  # mm above and below what is gone: there a hole is looked at


def prisms_before(context: Context) -> list[Prism]:
    """Return what is gone before the setup, as the job has it, in the setup's frame."""
    return [
        prism.seen_in(context.setup.frame)
        for gone in gone_before(context.job, context.setup)
        for prism in gone.prisms()
    ]


def region_of(prism: Prism) -> BaseGeometry:
    """Return what a prism takes up seen from above."""
    if prism.axis != 2:
        (x0, x1), (y0, y1) = prism.span(0), prism.span(1)
        aside: BaseGeometry = shapely.box(x0, y0, x1, y1)
        return aside
    core: BaseGeometry = shapely.box(*prism.core.low[:2], *prism.core.high[:2])
    if prism.radius < SAME:
        return core
    corners = [prism.core.low[:2], prism.core.high[:2]]
    return grown(shapely.LineString(corners) if core.area < SAME else core, prism.radius)


def beside(prisms: list[Prism], within: BaseGeometry, low: float, high: float) -> BaseGeometry:
    """Return what is gone anywhere between two heights, but not what lies within a feature."""
    near = [prism for prism in prisms if prism.span(2)[0] < high and prism.span(2)[1] > low]
    return shapely.union_all([region_of(prism) for prism in near]).difference(within)


def whole_levels(
    prisms: list[Prism], hole: tuple[tuple[float, float], float], low: float, high: float
) -> list[float]:
    """Return heights between two, rising, at which nothing of a hole was gone before.

    Args:
        prisms: what was gone.
        hole: its centre and its radius, mm.
        low: the lowest height to look at.
        high: the highest.
    """
    at, radius = hole
    disc = shapely.Point(at).buffer(radius)
    spans = [
        prism.span(2)
        for prism in prisms
        if not _within(prism, at, radius) and region_of(prism).intersects(disc)
    ]
    ends = [end for first, last in spans for end in (first - ALONGSIDE, last + ALONGSIDE)]
    tried = sorted({low, high, (low + high) / 2, *(end for end in ends if low < end < high)})
    return [z for z in tried if not any(first - SAME < z < last - SAME for first, last in spans)]


def _within(prism: Prism, at: tuple[float, float], radius: float) -> bool:
    """Return whether a prism is a hole that is only opened out."""
    away = math.dist(prism.core.low[:2], at)
    return prism.axis == 2 and away < SAME_HOLE and prism.radius < radius + SAME
