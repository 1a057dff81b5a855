"""What the blank has already, cleared from the start."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import assert_never

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.hollow import Hollow
from pathgen.check.metal.left import Left, kept
from pathgen.check.metal.legs import Floats
from pathgen.check.metal.sweeps import Ball, Sweep
from pathgen.check.wanted.areas import region_of
from pathgen.job.areas import Edge, Facing, Outside, Pocket, Step, Strip
from pathgen.job.chamfer import Chamfer
from pathgen.job.frame import Box
from pathgen.job.gone import Sunk, there_already
from pathgen.job.holes import Holes
from pathgen.job.job import Job
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
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
    top, feature = sunk.box.high[2], sunk.feature
    match feature:
        case Slot():
            tip = _floor(feature.depth, sunk.box)
            yield _flat(np.array(_ends(feature)), feature.width.nominal / 2), tip
        case TSlot():
            yield from _of_t_slot(feature, top)
        case Holes():
            yield from _of_holes(feature, sunk.box)
        case Pocket() | Outside() | Step():
            yield Hollow(_region(feature, sunk.box)), _floor(feature.depth, sunk.box)
        case Sphere():
            yield from _dish(feature, top)
        case Facing() | Chamfer():
            raise TypeError("a blank is measured as it is, its faces and edges too")
        case _:
            assert_never(feature)


def _of_holes(holes: Holes, box: Box) -> Iterator[tuple[Sweep, float]]:
    """Yield the bores and mouths of holes, each down to its depth."""
    for place in holes.places:
        for sweep, depth in _bores(holes, np.array([place.at])):
            yield sweep, box.low[2] - BEYOND if depth is None else box.high[2] - depth


def _floor(depth: Size | None, box: Box) -> float:
    """Return the z down to which a feature goes, mm: beyond the blank where it goes through."""
    return box.low[2] - BEYOND if depth is None else box.high[2] - depth.nominal


def _dish(sphere: Sphere, top: float) -> Iterator[tuple[Sweep, float]]:
    """Yield the ball that a dish is part of; of a dome nothing, so its metal is all there."""
    if sphere.form == "dish":
        ball = Ball(np.array([sphere.at]), np.zeros(1), sphere.radius.nominal)
        yield ball, top - sphere.depth.nominal


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
