"""Grooves outside and undercuts as the check sees them: what they take off, and their sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.fillets import fillet
from pathgen.check.turning.measured import EDGE, RIM, Measured
from pathgen.check.turning.metal import extent_out, pieces
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.turned import TurnedSetup
from pathgen.shop.turning_tools import BLADES, GROOVING, TurningTool

OVER = 1.0  # mm over its diameter that a groove is looked at: there is nothing but air
FAR = 1000.0  # mm: beyond all that stands out
BLADE = 0.01  # mm that measuring a blade leaves open of its width: common practice, no source
SIDEWAYS = 0.35  # mm that a blade may cut going along; common practice, no source

Found = tuple[str, str, str, float]  # code, what, remedy, amount


def grooves_of(setup: TurnedSetup) -> list[Groove]:
    """Return the grooves outside of a setup."""
    return [each for each in setup.features if isinstance(each, Groove)]


def groove_may_take(setup: TurnedSetup) -> BaseGeometry:
    """Return what grooves may take off: every size at its most."""
    parts = []
    for each in grooves_of(setup):
        left, right = each.span
        parts.append(box(left, each.diameter.low / 2, right, each.land.high / 2 + OVER))
    return shapely.union_all(parts)


def groove_takes(setup: TurnedSetup) -> BaseGeometry:
    """Return what has to be gone in grooves: every size at its least, corners that may stay."""
    parts = []
    for each in grooves_of(setup):
        floor = each.diameter.high / 2
        left, right = -each.left.low, -each.right.high
        if left >= right:
            continue
        corners = [
            fillet(z, floor, each.corner, along=along, out=1)
            for z, along in ((left, 1), (right, -1))
        ]
        whole = box(left, floor, right, FAR)
        parts.append(whole.difference(shapely.union_all(corners)))
    return shapely.union_all(parts)


def whole_stretches(setup: TurnedSetup, left: float, right: float) -> Iterator[tuple[float, float]]:
    """Yield the stretches between two z in which no groove lies, from the right; mm."""
    for groove in sorted(grooves_of(setup), key=lambda each: each.right.low):
        low, high = groove.span
        if high > left and low < right:
            if right - EDGE > high + EDGE:
                yield high + EDGE, right
            right = low - EDGE
    if right > left:
        yield left, right


def groove_sizes(groove: Groove, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the diameter of a groove's floor, where its right wall is, and its width."""
    left, right = -groove.left.middle, -groove.right.middle
    middle = (left + right) / 2
    inset = min(groove.corner + RIM, (right - left) / 4)
    radii = extent_out(measured.part, (left + inset, right - inset))
    floor = 2 * radii[0], 2 * radii[1]
    doubt = 2 * _open(measured, "x")
    yield finished_size(groove.name, "diameter", groove.diameter, floor, doubt)
    z = _walls(groove, measured, middle)
    doubt = _open(measured, "z")
    if not groove.foot:
        yield finished_size(groove.name, "length", groove.right, (-z[1], -z[1]), doubt)
    width = z[1] - z[0]
    between = max(measured.between(kind, "z") for kind in GROOVING)
    doubt = between + BLADE
    if groove.foot:  # one wall is the shoulder, cut by another tool that was touched by itself
        doubt += _open(measured, "z") - between / 2
    yield finished_size(groove.name, "width", groove.width, (width, width), doubt)


def blade_findings(
    tool: TurningTool,
    way: tuple[tuple[float, float], tuple[float, float]],
    removed: Sequence[Polygon],
) -> Iterator[Found]:
    """Yield that a blade cuts deep going sideways, which breaks it.

    Args:
        tool: what cuts.
        way: from which place to which it goes, x and z, mm.
        removed: what it took.
    """
    (x, z), (to_x, to_z) = way
    if tool.kind not in BLADES or abs(to_z - z) <= abs(to_x - x):
        return
    deep = max(each.bounds[3] - each.bounds[1] for each in removed)
    if deep > SIDEWAYS:
        yield (
            "sideways",
            f"a blade cuts {deep:.2f} mm deep going along, where it only cleans a floor",
            "plunge it, cut beside cut",
            deep,
        )


def _walls(groove: Groove, measured: Measured, middle: float) -> tuple[float, float]:
    """Return the z of both walls, between the floor's corners and the diameter's rim."""
    inner = groove.diameter.high / 2 + groove.corner + EDGE
    outer = groove.land.low / 2 - RIM
    if inner >= outer:
        inner = outer = (groove.diameter.middle + groove.land.middle) / 4
        inner, outer = inner - EDGE / 2, outer + EDGE / 2
    left, right = groove.span
    window = box(left - OVER, inner, min(right + OVER, 0.0), outer)
    at = box(middle - EDGE, inner, middle + EDGE, outer)
    own = [each for each in pieces(window.difference(measured.part)) if each.intersects(at)]
    return (own[0].bounds[0], own[0].bounds[2]) if own else (math.nan, math.nan)


def _open(measured: Measured, axis: str) -> float:
    """Return what is open of a place that a blade was taken to, of the worse where there are two.

    Which blade cuts a groove is the plan's choice.
    """
    return max(measured.open(kind, axis) for kind in GROOVING)
