"""The finished sizes inside turned work."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.measured import EDGE, NEAR, RIM, Measured, ToolKind
from pathgen.check.turning.metal import extent_along, pieces
from pathgen.job.sizes import Size
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.inside import AxialHole, Bored, Inside, Recess, size_at
from pathgen.job.turning.rooms import as_judged
from pathgen.job.turning.turned import Parted, TurnedSetup

BEYOND = 0.4  # mm beyond a bore's largest radius in which its wall is looked for
NEAR_WALL = (0.03, 0.01)  # mm off the wall of a drilled hole, where its depth is judged


def sizes_inside(feature: Inside, setup: TurnedSetup, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the sizes of what is inside."""
    match feature:
        case AxialHole():
            yield from _of_hole(feature, setup, measured)
        case Bored():
            yield from _of_bored(feature, setup, measured)
        case Recess():
            yield from _of_recess(feature, setup, measured)
        case _:
            assert_never(feature)


def _part_ends(setup: TurnedSetup) -> float:
    """Return the z behind which there is no part, mm."""
    lengths = [each.length.low for each in setup.features if isinstance(each, Parted)]
    return -lengths[0] if lengths else -math.inf


def _gaps(setup: TurnedSetup) -> list[tuple[float, float]]:
    """Return where recesses and tapers lie, from z to z, mm: a bore is not judged there."""
    gaps = []
    for each in setup.features:
        if isinstance(each, Recess):
            gaps.append((-each.end - EDGE, -each.start.low + EDGE))
        elif isinstance(each, BoredTaper):
            gaps.append((-each.runs_out - EDGE, EDGE))
    return gaps


def _across(
    measured: Measured, z: tuple[float, float], size: Size, gaps: list[tuple[float, float]]
) -> tuple[float, float]:
    """Return the least and the most that a hole is across over a stretch but for gaps, mm."""
    limit = size.high / 2 + BEYOND
    strip: BaseGeometry = box(z[0], 0.0, z[1], limit)
    for low, high in gaps:
        strip = strip.difference(box(low, -1.0, high, limit + 1))
    metal, hollow = strip.intersection(measured.part), strip.difference(measured.part)
    if metal.is_empty or hollow.is_empty:
        return math.nan, math.nan
    return 2 * metal.bounds[1], 2 * hollow.bounds[3]


def _diameter(
    name: str, size: Size, found: tuple[float, float], measured: Measured, kind: ToolKind
) -> FinishedSize:
    """Return a diameter; that of a drill or reamer hangs on no setting."""
    on_axis = kind in ("drill", "reamer")
    doubt = 0.0 if on_axis else 2 * measured.open(kind, "x")
    return finished_size(name, "diameter", size, found, doubt)


def _of_hole(hole: AxialHole, setup: TurnedSetup, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the diameter of a drilled or reamed hole, and how deep it is at its full diameter.

    The depth is judged a hair off the wall, where the drill's point begins.
    """
    kind: ToolKind = "reamer" if hole.finish == "reamed" else "drill"
    end = _part_ends(setup) if hole.depth is None else -hole.depth.low
    found = _across(measured, (end + EDGE, -EDGE), hole.diameter, _gaps(setup))
    yield _diameter(hole.name, hole.diameter, found, measured, kind)
    if hole.depth is not None:
        radius, z = found[0] / 2, -hole.depth.middle
        beside = (z - NEAR, min(z + NEAR, z / 2))
        window = (radius - NEAR_WALL[0], radius - NEAR_WALL[1])
        deep = extent_along(measured.part, window, beside)
        doubt = measured.open(kind, "z")
        yield finished_size(hole.name, "depth", hole.depth, (-deep[0], -deep[1]), doubt)


def _of_bored(bored: Bored, setup: TurnedSetup, measured: Measured) -> Iterator[FinishedSize]:
    """Yield each diameter of a bore, and where its shoulder or its floor is."""
    right = 0.0
    for index, step in enumerate(bored.steps):
        name = (
            bored.name
            if len(bored.steps) == 1
            else as_judged(bored.name, f"diameter {index + 1}")[0]
        )
        end = _part_ends(setup) if step.to is None else -step.to.low + bored.corner
        found = _across(measured, (end + EDGE, right - EDGE), step.diameter, _gaps(setup))
        yield _diameter(name, step.diameter, found, measured, "boring")
        if step.to is None:
            continue
        outer = step.diameter.low / 2 - bored.corner - EDGE
        last = index + 1 == len(bored.steps)
        inner = outer - RIM if last else bored.steps[index + 1].diameter.high / 2 + RIM
        z = -step.to.middle
        beside = (z - NEAR, min(z + NEAR, (z + right) / 2))
        shoulder = extent_along(measured.part, (inner, outer), beside)
        doubt = measured.open("boring", "z")
        yield finished_size(name, "depth", step.to, (-shoulder[0], -shoulder[1]), doubt)
        right = -step.to.high


def _of_recess(recess: Recess, setup: TurnedSetup, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the diameter of a recess, where it begins, and how wide it is."""
    left, right = -(recess.start.middle + recess.width.middle), -recess.start.middle
    inset = recess.corner + RIM
    found = _across(measured, (left + inset, right - inset), recess.diameter, [])
    yield _diameter(recess.name, recess.diameter, found, measured, "recessing")
    holes = [each for each in setup.features if isinstance(each, AxialHole | Bored)]
    bores = [size_at(hole, recess.start.low) for hole in holes]
    bore = max(size.high for size in bores if size is not None)
    inner, outer = bore / 2 + RIM, recess.diameter.low / 2 - recess.corner - EDGE
    if inner >= outer:
        inner = (bore / 2 + outer) / 2
    window = box(left - NEAR, inner, min(right + NEAR, right / 2), outer)
    middle = box((left + right) / 2 - EDGE, inner, (left + right) / 2 + EDGE, outer)
    own = [each for each in pieces(window.difference(measured.part)) if each.intersects(middle)]
    z = (own[0].bounds[0], own[0].bounds[2]) if own else (math.nan, math.nan)
    doubt = measured.open("recessing", "z")
    yield finished_size(recess.name, "length", recess.start, (-z[1], -z[1]), doubt)
    width = z[1] - z[0]
    doubt = measured.between("recessing", "z")
    yield finished_size(recess.name, "width", recess.width, (width, width), doubt)
