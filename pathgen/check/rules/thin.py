"""Walls too thin to stand: what is left between two cuts, or a cut and an edge of the blank."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.sweeps import SAME

LEVELS = 8  # so many heights at which cuts end are looked at, the deepest first
LONG = 1.5  # times as long as it is thin: less is the tip of a corner and no wall
BURR = 0.05  # mm: what is thinner is a burr, which comes off
TALL = 1.0  # times as tall as it is thin: less stands of itself


def thin_findings(context: Context) -> Iterator[Finding]:
    """Yield a caution for each wall of the finished work that is too thin.

    It is a finding where the job itself says how thin a wall may be. Beside a keyway in a shaft the
    metal falls off from its edge, and is as tall as it is half-way.
    """
    asked = context.limits.wall_asked
    least = "the least that the job allows" if asked else "the least that is sure to stand"
    under, top = context.box[0][2], context.box[1][2]
    tips = np.unique(np.maximum(context.metal.tips, under).round(6))
    told: BaseGeometry = shapely.Polygon()
    for level in tips[tips < top - SAME][:LEVELS].tolist():
        for wall in _thin(context, level):
            thin = _thickness(wall)
            point = wall.representative_point()
            tall = context.metal.highest(point) - level
            stands = tall < TALL * thin
            if thin < BURR or stands or wall.intersects(told):
                continue
            told = told.union(wall.buffer(context.limits.wall))
            yield context.finding_by(
                "thin",
                f"a wall about {thin:.2f} mm thick and {tall:.2f} mm tall is left standing, "
                f"where {context.limits.wall:.2f} mm is {least}",
                None,
                "move the cuts apart, or cut its last side lightly, with the wall held up by a "
                "packing",
                amount=context.limits.wall - thin,
                at=(point.x, point.y, level),
                severity="finding" if asked else "caution",
            )


def _thin(context: Context, level: float) -> Iterator[BaseGeometry]:
    """Yield the pieces of the metal at a height that are thinner than a wall may be."""
    half = context.limits.wall / 2 - NOISE
    metal = context.metal.metal_in(context.metal.plan, level)
    stout = metal.buffer(-half, join_style="mitre").buffer(half + NOISE, join_style="mitre")
    for piece in shapely.get_parts(metal.difference(stout)):
        if piece.area > NOISE and piece.length / 2 > (1 + LONG) * _thickness(piece):
            yield piece


def _thickness(piece: BaseGeometry) -> float:
    """Return the shorter side of the rectangle that has a piece's area and edge, mm."""
    half = piece.length / 2
    square = half**2 - 4 * piece.area
    if square <= 0:  # rounder than any rectangle
        return math.sqrt(piece.area)
    return float((half - math.sqrt(square)) / 2)
