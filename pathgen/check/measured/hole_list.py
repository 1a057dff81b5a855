"""The finished sizes of holes, as they are listed: one of a sort for all, the places each."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.measured.finished import finished_size, holds
from pathgen.check.measured.finished_holes import FinishedHole, FinishedHoles, Round, near_words
from pathgen.check.measured.hole_legs import cuts_of
from pathgen.check.metal.sweeps import SAME
from pathgen.job.holes import Counterbore, Holes

AT_WALL = 0.01  # mm: what comes this near to the wall made it
# What the sizes of counterbores are called, the widest first.
QUANTITIES: tuple[tuple[Quantity, Quantity], ...] = (
    ("counterbore", "counterbore depth"),
    ("counterbore 2", "counterbore 2 depth"),
    ("counterbore 3", "counterbore 3 depth"),
)
AXES: tuple[tuple[int, Quantity], ...] = ((0, "x"), (1, "y"))


def sizes_of(context: Context, finished: FinishedHoles) -> tuple[FinishedSize, ...]:
    """Return the finished sizes of holes."""
    return (*_shared(context, finished), *_places(context, finished))


def _shared(context: Context, finished: FinishedHoles) -> Iterator[FinishedSize]:
    """Yield the sizes that all holes of the feature share, least and most over them."""
    holes, each = finished.holes, finished.each
    depth = context.depth_doubt
    bores = [_span(hole.bore) for hole in each]
    # What a drill or a reamer cuts over its size goes one way, and is told by a caution of its own.
    open_ = _width_doubt(context, finished, [hole.bore for hole in each])
    yield finished_size(holes.name, "diameter", holes.bore, _over_all(bores), open_)
    if holes.own_depth is not None:
        low, high = _begins(context, holes)
        depths = [(hole.depth - high, hole.depth - low) for hole in each]
        open_ = depth if holes.floor is None else 2 * depth  # the floor has its own
        yield finished_size(holes.name, "depth", holes.own_depth, _over_all(depths), open_)
    if holes.countersink is not None:
        wider = 2 * math.tan(math.radians(holes.countersink.angle_deg / 2)) * depth
        mouths = [_span(hole.countersink) for hole in each]
        yield finished_size(
            holes.name, "countersink", holes.countersink.diameter, _over_all(mouths), wider
        )
    for row, wanted in enumerate(holes.counterbores):
        yield from _counterbore(context, finished, (row, wanted))


def _begins(context: Context, holes: Holes) -> tuple[float, float]:
    """Return how far below the top face holes begin: the least and the most, mm.

    In the floor of a pocket that is where it is as cut.
    """
    from pathgen.check.measured.areas import measure_area  # noqa: PLC0415 - only holes in floors

    of = "" if holes.floor is None else holes.floor.of
    pocket = next((each for each in context.setup.areas if each.name == of), None)
    if pocket is None:
        return 0.0, 0.0
    lowest, highest = measure_area(context, pocket).floor
    return context.box[1][2] - highest, context.box[1][2] - lowest


def _counterbore(
    context: Context, finished: FinishedHoles, which: tuple[int, Counterbore]
) -> Iterator[FinishedSize]:
    """Yield the width and the depth of one counterbore of all the holes."""
    row, wanted = which
    name, quantities = finished.holes.name, QUANTITIES[row]
    if wanted.spotface:
        quantities = ("spot-face", "spot-face depth")
    found = [hole.counterbores[row] for hole in finished.each]
    mouths = [_span(circle) for circle, _ in found]
    depths = [(depth, depth) for _, depth in found]
    open_ = _width_doubt(context, finished, [circle for circle, _ in found])
    yield finished_size(name, quantities[0], wanted.diameter, _over_all(mouths), open_)
    yield finished_size(name, quantities[1], wanted.depth, _over_all(depths), context.depth_doubt)


def _span(found: Round | None) -> tuple[float, float]:
    return (0.0, 0.0) if found is None else (found.least, found.most)


def _width_doubt(context: Context, finished: FinishedHoles, found: list[Round | None]) -> float:
    """Return what is open of a width: two settings of a mill led round it, or a head's setting.

    What cuts its own width and goes straight down leaves nothing open.
    """
    doubts = [0.0]
    for hole, circle in zip(finished.each, found, strict=True):
        if circle is not None:
            doubts.append(_doubt_of(context, hole, circle))
    return max(doubts)


def _doubt_of(context: Context, hole: FinishedHole, circle: Round) -> float:
    legs = context.legs
    cuts = cuts_of(context)
    ends = np.hypot(*(legs.end[cuts, :2] - hole.centre).T)
    reach = ends + legs.radius[cuts]
    at_wall = cuts[np.abs(2 * reach - circle.most) < 2 * AT_WALL]
    doubts = [0.0]
    for leg in at_wall.tolist():
        tool = context.tool(leg)
        if tool is not None and tool.setting is not None:
            doubts.append(tool.setting.uncertainty)
        elif np.abs(legs.end[leg, :2] - legs.start[leg, :2]).max() > SAME:
            doubts.append(2 * max(context.run.doubt.setting[:2]))
    return max(doubts)


def _places(context: Context, finished: FinishedHoles) -> Iterator[FinishedSize]:
    """Yield where each hole lies that is there."""
    doubt = context.run.doubt
    for hole in finished.each:
        if hole.bore is None:
            continue
        name = f"{finished.holes.name}, {near_words(hole.place)}"
        for axis, quantity in AXES:
            found, wanted = round(hole.bore.at[axis], 9) + 0.0, (hole.place.x, hole.place.y)[axis]
            yield FinishedSize(
                feature=name,
                quantity=quantity,
                wanted=wanted,
                least=found,
                most=found,
                uncertainty=doubt.zero[axis] + doubt.setting[axis] + doubt.wander[axis],
                wander=doubt.wander[axis],
                ok=holds(wanted, found, found),
            )


def _over_all(found: list[tuple[float, float]]) -> tuple[float, float]:
    """Return the least and the most over all holes, mm."""
    return min(low for low, _ in found), max(high for _, high in found)
