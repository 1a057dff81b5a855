"""What the blank has already, cleared from the start."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.areas import region_of
from pathgen.check.hollow import Hollow
from pathgen.check.left import Left, kept
from pathgen.check.legs import Floats
from pathgen.check.sweeps import Sweep
from pathgen.job.areas import Edge, Facing, Outside, Pocket, Step, Strip
from pathgen.job.frame import Box
from pathgen.job.gone import Sunk, there_already
from pathgen.job.holes import Holes
from pathgen.job.job import Job
from pathgen.job.slot import Slot
from pathgen.job.t_slot import TSlot
from pathgen.shop.cutters import Undercut

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
        case TSlot():
            yield from _of_t_slot(feature, top)
        case Holes():
            for place in feature.places:
                for sweep, depth in _bores(feature, np.array([place.at])):
                    yield sweep, bottom - BEYOND if depth is None else top - depth
        case Pocket() | Outside() | Step():
            tip = bottom - BEYOND if feature.depth is None else top - feature.depth.nominal
            yield Hollow(_region(feature, sunk.box)), tip
        case Facing():
            raise TypeError("a blank is measured as it is, its faces too")
        case _:
            assert_never(feature)


def _region(area: Pocket | Outside | Step, box: Box) -> BaseGeometry:
    """Return what is gone of an area at its nominal sizes, in plan."""
    match area:
        case Pocket():
            islands = [region_of(island) for island in area.islands]
            return region_of(area.contour).difference(shapely.union_all(islands))
        case Outside():
            return _plan(box).difference(region_of(area.contour))
        case Step():
            less = area.width.high - area.width.nominal  # the strips are as wide as they may be
            strips = zip(area.edges, area.strips, strict=True)
            return shapely.union_all([_narrower(edge, strip, less) for edge, strip in strips])
        case _:
            assert_never(area)


def _narrower(edge: Edge, strip: Strip, less: float) -> BaseGeometry:
    """Return a strip along an edge, less wide from within by so much, mm."""
    x0, y0, x1, y1 = strip
    x0, x1 = x0 + less * (edge == "right"), x1 - less * (edge == "left")
    y0, y1 = y0 + less * (edge == "back"), y1 - less * (edge == "front")
    narrow: BaseGeometry = shapely.box(x0, y0, x1, y1)
    return narrow


def _plan(box: Box) -> BaseGeometry:
    low, high = box
    plan: BaseGeometry = shapely.box(low[0], low[1], high[0], high[1]).buffer(BEYOND)
    return plan


def _ends(slot: Slot) -> list[tuple[float, float]]:
    """Return the two places of the axis between which a cutter of the width makes a slot."""
    half = slot.width.nominal / 2
    low = slot.low_end + (-half - BEYOND if slot.open_low else half)
    high = slot.high_end + (half + BEYOND if slot.open_high else -half)
    return [slot.point(low, slot.centre_line), slot.point(high, slot.centre_line)]


def _of_t_slot(t_slot: TSlot, top: float) -> Iterator[tuple[Sweep, float]]:
    """Yield the slot and, under the metal over it, the head."""
    neck, tip = t_slot.neck, top - t_slot.depth.nominal
    ends, half = np.array(_ends(neck)), neck.width.nominal / 2
    yield _flat(ends, half), tip
    head = Undercut(t_slot.head_height.nominal, neck.width.nominal)
    radius = t_slot.head_width.nominal / 2
    yield Sweep(ends, np.zeros(2), radius, math.inf, undercut=head), tip


def _bores(holes: Holes, at: Floats) -> Iterator[tuple[Sweep, float | None]]:
    """Yield the bore of a hole and its mouths, each with its depth; None for what goes through."""
    yield _flat(at, holes.bore.nominal / 2), None if holes.depth is None else holes.depth.nominal
    for mouth in holes.counterbores:
        yield _flat(at, mouth.diameter.nominal / 2), mouth.depth.nominal
    if holes.countersink is not None:
        slope = math.tan(math.radians(holes.countersink.angle_deg / 2))
        radius = holes.countersink.diameter.nominal / 2
        yield Sweep(at, np.zeros(1), radius, slope), radius / slope


def _flat(path: Floats, radius: float) -> Sweep:
    return Sweep(path, np.zeros(len(path)), radius, math.inf)
