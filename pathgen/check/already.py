"""What the blank has already, cleared from the start."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

import numpy as np

from pathgen.check.left import Left, kept
from pathgen.check.legs import Floats
from pathgen.check.sweeps import Sweep
from pathgen.job.gone import Sunk, there_already
from pathgen.job.holes import Holes
from pathgen.job.job import Job
from pathgen.job.slot import Slot

BEYOND = 1.0  # mm that what goes through, or is open at a face, reaches out of it


def whole(job: Job) -> Left:
    """Return the metal of the blank as it comes: without what is there already.

    Features are taken as they were measured, at nominal size; a blind hole ends level where its
    full diameter does, so a drill's point below it counts as metal.
    """
    return Left(
        cuts=tuple(
            kept(sweep, tip, sunk.frame)
            for sunk in there_already(job)
            for sweep, tip in _sweeps(sunk)
        )
    )


def _sweeps(sunk: Sunk) -> Iterator[tuple[Sweep, float]]:
    """Yield sweeps that clear a feature, each with its tip, in the frame it is described in."""
    bottom, top = sunk.box.low[2], sunk.box.high[2]
    feature = sunk.feature
    match feature:
        case Slot():
            tip = bottom - BEYOND if feature.depth is None else top - feature.depth.nominal
            yield _flat(np.array(_ends(feature)), feature.width.nominal / 2), tip
        case Holes():
            for place in feature.places:
                for sweep, depth in _bores(feature, np.array([place.at])):
                    yield sweep, bottom - BEYOND if depth is None else top - depth
        case _:
            assert_never(feature)


def _ends(slot: Slot) -> list[tuple[float, float]]:
    """Return the two places of the axis between which a cutter of the width makes a slot."""
    half = slot.width.nominal / 2
    low = slot.low_end + (-half - BEYOND if slot.open_low else half)
    high = slot.high_end + (half + BEYOND if slot.open_high else -half)
    return [slot.point(low, slot.centre_line), slot.point(high, slot.centre_line)]


def _bores(holes: Holes, at: Floats) -> Iterator[tuple[Sweep, float | None]]:
    """Yield the bore of a hole and its mouths, each with its depth; None for what goes through."""
    yield _flat(at, holes.bore.nominal / 2), None if holes.depth is None else holes.depth.nominal
    if holes.counterbore is not None:
        mouth = holes.counterbore
        yield _flat(at, mouth.diameter.nominal / 2), mouth.depth.nominal
    if holes.countersink is not None:
        slope = math.tan(math.radians(holes.countersink.angle_deg / 2))
        radius = holes.countersink.diameter.nominal / 2
        yield Sweep(at, np.zeros(1), radius, slope), radius / slope


def _flat(path: Floats, radius: float) -> Sweep:
    return Sweep(path, np.zeros(len(path)), radius, math.inf)
