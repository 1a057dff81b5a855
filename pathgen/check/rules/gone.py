"""Drills that break out sideways into what was gone before the setup began."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.rules.holes import DrilledHole, drilled_holes
from pathgen.job.holes import Holes

LEAST = 0.01  # of the rim: less in the open air does not turn a drill aside


def gone_findings(context: Context) -> Iterator[Finding]:
    """Yield each hole whose drill comes partly into what is gone, where that is not meant.

    A drill that comes out of the metal with all of its rim at once, or follows a smaller hole with
    the same axis, is guided to the end.
    """
    told: set[str] = set()
    for hole in drilled_holes(context):
        level = _opening(context, hole)
        if level is None:
            continue
        meant = _meant(context, hole)
        if meant is None:
            yield context.finding_at(
                "half in air",
                "the drill breaks out sideways into what was cut before, or is there already",
                (hole.leg, (hole.x, hole.y, level)),
                "move the hole, or say in the job what it breaks into",
            )
        elif meant.name not in told:
            told.add(meant.name)
            yield context.finding_by(
                "half in air",
                f"{meant.name!r}: the drill breaks into {' and '.join(meant.breaks_into)} sideways",
                None,
                "ease off before it does, feed gently, and hold the work fast",
                severity="caution",
            )


def _opening(context: Context, hole: DrilledHole) -> float | None:
    """Return a height at which part of a hole's rim, but not all, was gone; None for no such."""
    rim = shapely.Point(hole.x, hole.y).buffer(hole.radius - 2 * NOISE)
    metal, low = context.metal, max(hole.bottom + hole.point, context.box.low[2])
    for level in metal.levels_before(rim, low):
        gone = rim.exterior.intersection(metal.gone_before(rim, level)).length
        if LEAST * rim.length < gone < (1 - LEAST) * rim.length:
            return level
    return None


def _meant(context: Context, hole: DrilledHole) -> Holes | None:
    """Return the holes that a drilled one is of, where the job says that they break into things."""
    for holes in context.setup.holes:
        near = min(math.dist((hole.x, hole.y), place.at) for place in holes.places)
        if holes.breaks_into and near < holes.bore.high / 2:
            return holes
    return None
