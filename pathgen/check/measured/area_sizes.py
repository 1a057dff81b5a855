"""The finished sizes of areas: across, depth, place, and how far free walls lie off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.measured.area_metal import AROUND, Measuring, box_along, furthest, near_parts
from pathgen.check.measured.filed import size_to_file, to_file
from pathgen.check.measured.finished import NOISE, finished_size
from pathgen.check.measured.finished_areas import FinishedArea
from pathgen.check.wanted.areas import bridged, grown_by, mill_radius, region_of
from pathgen.job.areas import Edge, Facing, Free, Outside, Pocket, Rectangular, Round, Step
from pathgen.job.job import Area
from pathgen.job.on_table import turned_radius
from pathgen.job.reading.datums import SWUNG_UNCERTAINTY
from pathgen.job.sizes import Size


def area_sizes(measuring: Measuring, finished: FinishedArea) -> Iterator[FinishedSize]:
    """Yield the sizes that an area has, with what slides without locks leave open of them."""
    doubt = measuring.context.run.doubt
    for size in _sizes(measuring, finished):
        axes = still_axes(finished.area, size)
        wander = max((doubt.wander[axis] for axis in axes), default=0.0)
        yield replace(size, uncertainty=size.uncertainty + wander, wander=wander)


def still_axes(area: Area, size: FinishedSize) -> tuple[int, ...]:
    """Return the axes (0, 1, 2) whose slides stand still, one or another, in the cuts of a size."""
    match size.quantity:
        case "depth" | "thickness":
            return (2,)
        case "length" | "x":
            return (0,)
        case "y":
            return (1,)
        case "width" | "left" | "middle":
            along_y = isinstance(area, Step) and bool({"left", "right"} & set(area.edges))
            return (0,) if along_y else (1,)
        case _:
            return (0, 1)


def _sizes(measuring: Measuring, finished: FinishedArea) -> Iterator[FinishedSize]:
    """Yield the sizes that an area has."""
    area, doubt = finished.area, measuring.context.run.doubt
    yield from size_to_file(measuring, finished)
    match area:
        case Pocket():
            yield from _of_pocket(measuring, finished, area)
        case Outside():
            outside = grown_by(region_of(area.contour), AROUND)
            judged = outside.difference(bridged(measuring.context, area))
            judged = judged.difference(_near_corners(finished))
            found = _ring_departure(measuring, finished, area, judged)
            off = max(doubt.zero[0] + doubt.setting[0], doubt.zero[1] + doubt.setting[1])
            yield finished_size(area.name, "walls", area.departure, found, off)
        case Step():
            yield from _of_step(measuring, finished, area)
        case Facing():
            under = measuring.context.box[0][2]
            found = (finished.floor[0] - under, finished.floor[1] - under)
            yield finished_size(
                area.name, "thickness", area.thickness, found, measuring.context.depth_doubt
            )
            return
    if area.depth is not None:
        top = measuring.context.box[1][2]
        depths = (top - finished.floor[1], top - finished.floor[0])
        yield finished_size(area.name, "depth", area.depth, depths, measuring.context.depth_doubt)


def _near_corners(finished: FinishedArea) -> BaseGeometry:
    """Return where no cutter reached, and as far about it as the walls' limits go."""
    area = finished.area
    room = 0.0
    if isinstance(area, Outside):
        room = area.departure.high - area.departure.low
    elif isinstance(area, Pocket) and isinstance(area.shape, Free):
        room = area.shape.departure.high - area.shape.departure.low
    return finished.corners_left.buffer(room + 2 * NOISE)


def _ring_departure(
    measuring: Measuring, finished: FinishedArea, area: Outside, judged: BaseGeometry
) -> tuple[float, float]:
    """Return the least and the most departure of a part's outside: only a ring need be clear."""
    part = region_of(area.contour)
    ring = grown_by(part, RING_JUDGED).difference(part).intersection(judged)
    ring = ring.intersection(measuring.ground).difference(to_file(measuring.context, area))
    standing = measuring.metal(finished.walls_to, ring)
    least = -furthest(standing, part.boundary)
    # What is cut within the part, a hole or a pocket in it, is none of its outside.
    cut = near_parts(measuring.cleared(measuring.top, judged & measuring.ground), measuring.nominal)
    return least, furthest(cut.intersection(part), part.boundary)


CORNER_SPARE = 1.0  # mm beyond a corner's arc from where a wall counts as straight
RING_JUDGED = 0.4  # mm round a part within which metal left is taken for its wall


def _of_pocket(
    measuring: Measuring, finished: FinishedArea, pocket: Pocket
) -> Iterator[FinishedSize]:
    """Yield a pocket's sizes across, its place, and its islands' walls."""
    doubt = measuring.context.run.doubt
    level = finished.walls_to
    filed = to_file(measuring.context, pocket)
    match pocket.shape:
        case Round(diameter=diameter):
            if filed.is_empty:  # else a file makes it
                yield from _of_round(measuring, pocket, diameter, level)
        case Rectangular() as shape:
            yield from _of_rectangle(measuring, pocket, shape, level)
        case _:
            nominal = region_of(pocket.contour)
            judged = grown_by(nominal, AROUND).difference(measuring.islands)
            judged = judged.difference(_near_corners(finished))
            judged = judged.difference(finished.loose.buffer(NOISE))
            found = measuring.departure(nominal, level, judged, filed)
            off = max(doubt.zero[0] + doubt.setting[0], doubt.zero[1] + doubt.setting[1])
            yield finished_size(pocket.name, "walls", pocket.shape.departure, found, off)
    if pocket.island_departure is not None:
        room = measuring.islands
        found = measuring.departure(measuring.nominal, level, room, filed)
        off = max(doubt.zero[0] + doubt.setting[0], doubt.zero[1] + doubt.setting[1])
        yield finished_size(pocket.name, "islands", pocket.island_departure, found, off)


def _of_round(
    measuring: Measuring, pocket: Pocket, diameter: Size, level: float
) -> Iterator[FinishedSize]:
    doubt = measuring.context.run.doubt
    upper, lower = measuring.round(pocket, measuring.top), measuring.round(pocket, level)
    if upper is None or lower is None:
        yield finished_size(pocket.name, "diameter", diameter, (0.0, 0.0), 0.0)
        return
    setting = 2 * max(doubt.setting[:2])
    if turned_radius(measuring.context.setup, pocket) is not None:
        setting += 2 * SWUNG_UNCERTAINTY  # of the axis that the radius is set from
    yield finished_size(pocket.name, "diameter", diameter, (lower[2], upper[3]), setting)
    for axis, name, wanted in ((0, "x", pocket.x), (1, "y", pocket.y)):
        found = (lower[axis], upper[axis])
        off = doubt.zero[axis] + doubt.setting[axis]
        yield finished_size(pocket.name, _axis(name), wanted, found, off)


def _axis(name: str) -> Quantity:
    return "x" if name == "x" else "y"


def _of_rectangle(
    measuring: Measuring, pocket: Pocket, shape: Rectangular, level: float
) -> Iterator[FinishedSize]:
    doubt = measuring.context.run.doubt
    cutter = mill_radius(measuring.context, measuring.nominal, largest=True)
    straight = min(shape.length.low, shape.width.low) / 2 - NOISE
    corner = min(max(shape.corner, cutter) + CORNER_SPARE, straight)
    rows: tuple[tuple[int, Quantity, Size, Quantity, Size], ...] = (
        (0, "length", shape.length, "x", pocket.x),
        (1, "width", shape.width, "y", pocket.y),
    )
    for axis, quantity, wanted, name, place in rows:
        low, high, inner, outer = measuring.span(axis, level, corner)
        setting = doubt.setting[axis] + doubt.setting[axis] + doubt.stop[axis]
        found = (max(outer - inner, 0.0), high - low)
        yield finished_size(pocket.name, quantity, wanted, found, setting)
        middles = ((low + high) / 2, (inner + outer) / 2)
        off = doubt.zero[axis] + doubt.setting[axis] + doubt.stop[axis] / 2
        fits = wanted.low - NOISE <= found[0] and found[1] <= wanted.high + NOISE
        if fits:  # of one cut out of its limits each wall is told of by itself
            yield finished_size(pocket.name, name, place, middles, off)


def _of_step(measuring: Measuring, finished: FinishedArea, step: Step) -> Iterator[FinishedSize]:
    """Yield the width of each step, and what is left between two, or to the other edge."""
    doubt = measuring.context.run.doubt
    axis = 0 if set(step.edges) & {"left", "right"} else 1
    box = measuring.context.box
    faces = (box[0][axis], box[1][axis])
    walls = {}
    for edge in step.edges:
        walls[edge] = _wall(measuring, finished, edge)
    for edge, (cut, metal) in walls.items():
        face = faces[0] if edge in ("left", "front") else faces[1]
        found = (abs(metal - face), abs(cut - face))
        off = doubt.zero[axis] + doubt.setting[axis]
        yield finished_size(f"{step.name}, {edge}", "width", step.width, found, off)
    lows = walls.get("left") or walls.get("front") or (faces[0], faces[0])
    highs = walls.get("right") or walls.get("back") or (faces[1], faces[1])
    left = (highs[0] - lows[0], highs[1] - lows[1])
    wanted = step.left or _left_by_widths(step, faces[1] - faces[0])
    yield finished_size(step.name, "left", wanted, left, 2 * doubt.setting[axis])
    if step.middle is not None:
        # of the blank's faces, as the setup's zero has them
        middles = [(a + b - sum(faces)) / 2 for a, b in zip(lows, highs, strict=True)]
        off = doubt.zero[axis] + doubt.setting[axis]
        yield finished_size(step.name, "middle", step.middle, (middles[0], middles[1]), off)


def _left_by_widths(step: Step, across: float) -> Size:
    """Return what is to be left standing where the job gives what comes off; mm."""
    count, width = len(step.edges), step.width
    return replace(
        width,
        nominal=across - count * width.nominal,
        low=across - count * width.high,
        high=across - count * width.low,
    )


def _wall(measuring: Measuring, finished: FinishedArea, edge: Edge) -> tuple[float, float]:
    """Return the furthest cut and the nearest metal of a step's wall, from the part's frame, mm."""
    context = measuring.context
    axis = 0 if edge in ("left", "right") else 1
    at_low = edge in ("left", "front")
    (x0, y0, _), (x1, y1, _) = context.box
    low, high = (x0, x1) if axis == 0 else (y0, y1)
    middle = (low + high) / 2
    half = (low, middle) if at_low else (middle, high)
    across = (y0, y1) if axis == 0 else (x0, x1)
    strip = box_along(axis, half, across).intersection(measuring.ground)
    face = low if at_low else high
    cut = near_parts(measuring.cleared(measuring.top, strip), measuring.nominal)
    standing = measuring.metal(finished.walls_to, strip)
    outer = axis + 2 if at_low else axis
    inner = axis if at_low else axis + 2
    furthest = face if cut.is_empty else cut.bounds[outer]
    nearest = furthest if standing.is_empty else standing.bounds[inner]
    return furthest, nearest
