"""A chamfer as the moves leave it: how wide it is along the upper face."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import NOISE, finished_size
from pathgen.check.metal.legs import Floats
from pathgen.check.metal.sweeps import SAME
from pathgen.check.wanted.areas import AreaOutline, nominal_region, world
from pathgen.check.wanted.chamfered import chamfer_foot
from pathgen.check.wanted.outline import largest_region, nominal_place, outline_of
from pathgen.job.areas import Edge, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.job import Feature
from pathgen.job.slot import Slot
from pathgen.job.t_slot import TSlot

BESIDE = 1.0  # mm beyond the chamfer's width that the face is looked at
APART = 0.5  # mm between the places that it is looked at
CLEAR_OF_OTHERS = 0.05  # mm
OVER_FLOOR = 0.01  # mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FinishedChamfer:
    """A chamfer as the moves leave it; setup's frame, mm."""

    chamfer: Chamfer
    most: BaseGeometry  # where a pointed cutter may be, at the upper face
    floor: float  # z below which its end must not go
    sizes: tuple[FinishedSize, ...]


def measure_chamfer(context: Context, chamfer: Chamfer) -> FinishedChamfer:
    """Return a chamfer as the moves leave it."""
    of = _of(context, chamfer)
    found = _widths(context, chamfer, of)
    steep = math.tan(math.radians(chamfer.angle_deg))
    # What is open of its depth, and of both settings across, wall and chamfer, shows in the width.
    off = context.depth_doubt / steep + 2 * max(context.run.doubt.setting[:2])
    size = finished_size(chamfer.name, "chamfer", chamfer.width, found, off)
    return FinishedChamfer(
        chamfer=chamfer,
        most=_most(context, chamfer, of).buffer(NOISE),
        floor=_floor(context, of),
        sizes=(size,),
    )


def _of(context: Context, chamfer: Chamfer) -> Feature | None:
    """Return the feature whose edge it is; None for the blank's own."""
    return next((each for each in context.setup.features if each.name == chamfer.of), None)


def _floor(context: Context, of: Feature | None) -> float:
    """Return how deep the cutter's end may go, z."""
    depth = getattr(of, "depth", None)
    return -math.inf if depth is None else context.box.high[2] - depth.high


def _void(context: Context, chamfer: Chamfer, of: Feature | None) -> BaseGeometry:
    """Return what should be open beside the edge at nominal sizes, far beyond the blank too."""
    match of:
        case Slot() | TSlot():
            slot = of.neck if isinstance(of, TSlot) else of
            length = slot.high_end - slot.low_end
            return outline_of(slot, slot.width.nominal, length, nominal_place(slot)).region
        case Pocket() | Outside() | Step():
            return nominal_region(of, context)
        case _:
            return shapely.union_all([_beyond(context, edge) for edge in chamfer.edges])


def _open(context: Context, chamfer: Chamfer, of: Feature | None) -> BaseGeometry:
    """Return what is really open under the chamfer, of the feature whose edge it is."""
    nominal = _void(context, chamfer, of)
    if of is None:
        return nominal
    plan, reach = context.metal.plan, chamfer.width.high + BESIDE
    cleared = context.metal.cleared(_under(context, chamfer, of)).intersection(plan)
    parts = shapely.get_parts(cleared.intersection(nominal.buffer(reach)))
    return shapely.union_all(parts[shapely.intersects(parts, nominal.buffer(-CLEAR_OF_OTHERS))])


def _under(context: Context, chamfer: Chamfer, of: Feature) -> float:
    """Return a z so far under a chamfer that one cut too deep does not reach it, over a floor."""
    top = context.box.high[2]
    depth = getattr(of, "depth", None)
    wanted = top - 2 * chamfer.depth(chamfer.width.high)
    lowest = wanted if depth is None else top - depth.low + OVER_FLOOR
    if isinstance(of, TSlot):
        lowest = top - of.lip + OVER_FLOOR
    return min(max(wanted, lowest), chamfer_foot(chamfer, top))


def _most(context: Context, chamfer: Chamfer, of: Feature | None) -> BaseGeometry:
    """Return where a pointed cutter may be at the upper face, at most: from the walls that are."""
    wide = chamfer.width.high
    inside = _open(context, chamfer, of).buffer(wide, join_style="mitre")
    beyond = _void(context, chamfer, of).buffer(wide + BESIDE).difference(context.metal.plan)
    return inside.union(beyond)


def _beyond(context: Context, edge: Edge) -> BaseGeometry:
    """Return all that lies beyond one side of the blank."""
    x0, y0, x1, y1 = context.metal.plan.bounds
    far0, far1, far2, far3 = world(context).bounds
    boxes: dict[Edge, tuple[float, float, float, float]] = {
        "left": (far0, far1, x0, far3),
        "right": (x1, far1, far2, far3),
        "front": (far0, far1, far2, y0),
        "back": (far0, y1, far2, far3),
    }
    return shapely.box(*boxes[edge])


def _widths(context: Context, chamfer: Chamfer, of: Feature | None) -> tuple[float, float]:
    """Return the least and the most width along the face: from what is open under it to metal."""
    plan, reach = context.metal.plan, chamfer.width.high + BESIDE
    nominal = _void(context, chamfer, of)
    others = shapely.union_all(_of_others(context, chamfer, of))
    under = _open(context, chamfer, of)
    under = under if of is None else under.difference(others)
    beside = nominal.buffer(reach).difference(nominal.buffer(-reach))
    face = plan.difference(context.metal.cleared(context.box.high[2] - 2 * SAME))
    edge = face.boundary.intersection(beside)
    edge = edge.difference(plan.boundary.buffer(NOISE).union(others))
    if of is None:
        bare = face.boundary.intersection(nominal.buffer(NOISE))  # where nothing came off
        edge = edge.union(bare.difference(others))
    if edge.is_empty or under.is_empty:
        return (0.0, 0.0) if under.is_empty else (reach, reach)
    spots = shapely.points(shapely.get_coordinates(shapely.segmentize(edge, APART)))
    away: Floats = np.asarray(shapely.distance(under, spots))
    near = away[away < reach - CLEAR_OF_OTHERS]
    return (float(near.min()), float(near.max())) if len(near) else (reach, reach)


def _of_others(context: Context, chamfer: Chamfer, of: Feature | None) -> list[BaseGeometry]:
    """Return what else is cut of the face: other features, and chamfers that cross this one."""
    found = [
        largest_region(each).buffer(CLEAR_OF_OTHERS)
        for each in context.setup.features
        if each is not of and not isinstance(each, Chamfer)
    ]
    return [*found, *(region.buffer(BESIDE) for region in crossing(context, chamfer))]


def crossing(context: Context, chamfer: Chamfer) -> list[BaseGeometry]:
    """Return where the cutters of the setup's other chamfers may be, at most."""
    others = (each for each in context.setup.chamfers if each is not chamfer)
    return [_most(context, each, _of(context, each)) for each in others]


def outline_for(finished: FinishedChamfer) -> AreaOutline:
    """Return where a pointed cutter may be, as rules ask for it."""
    return AreaOutline(region=finished.most)
