"""What cutter, shank and holder must not meet: jaws, clamps, what lies beneath, walls."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.legs import RAPID, Floats, Ints
from pathgen.check.metal.strokes import touching
from pathgen.check.metal.sweeps import SAME
from pathgen.job.job import Keepout

NO_CUTTER = -1  # the tool of a leg before the first cutter is fitted
SLOPES = 64  # a leg down a slope is looked at in so many pieces


def space_findings(context: Context) -> Iterator[Finding]:
    """Yield where the cutter or its shank meets what it must not."""
    low, high = context.box
    work = Keepout(name="work", low=low, high=high)
    for keepout in context.setup.hold.keepouts:
        yield from _keepout(context, keepout)
    yield from _holders(context, work)
    for keepout in (*context.setup.hold.keepouts, work):
        yield from _enters(context, keepout, NO_CUTTER, (_touching(context), 0.0, "touching tool"))
    yield from _beneath(context)
    yield from _flutes(context)


def _touching(context: Context) -> float:
    """Return the radius of what touches the faces before a cutter is fitted, the largest, mm."""
    datums = (context.setup.datum_x, context.setup.datum_y)
    return max((datum.tool_diameter or 0.0) / 2 for datum in datums)


def _keepout(context: Context, keepout: Keepout) -> Iterator[Finding]:
    """Yield the legs whose cutter, or the shank above it, enters a box."""
    for index, tool in enumerate(context.legs.tools):
        cutter = tool.cutter
        yield from _enters(context, keepout, index, (tool.radius, 0.0, "cutter"))
        if cutter is not None and cutter.shank / 2 > tool.radius:
            yield from _enters(context, keepout, index, (cutter.shank / 2, cutter.reach, "shank"))


def _holders(context: Context, work: Keepout) -> Iterator[Finding]:
    """Yield the legs on which what holds the cutter comes down on work, jaws or clamps.

    The work counts whole: a holder has no business below the top face, not even in a pocket.
    """
    for keepout in (*context.setup.hold.keepouts, work):
        for index, tool in enumerate(context.legs.tools):
            cutter = tool.cutter
            if cutter is not None and cutter.holder is not None:
                body = (cutter.holder.diameter / 2, cutter.stands_out, cutter.holder.name)
                yield from _enters(context, keepout, index, body)


def _enters(
    context: Context, keepout: Keepout, tool: int, body: tuple[float, float, str]
) -> Iterator[Finding]:
    """Yield the legs of one tool on which a cylinder of a radius, from a height up, enters a box.

    What is above a cutter reaches to the spindle, so a box is entered as soon as the cylinder's
    lower end is below the box's upper face.
    """
    radius, height, _ = body
    legs, low, high = context.legs, keepout.low, keepout.high
    top = high[2] + np.where(legs.kind == RAPID, context.clearance, 0.0)
    near = (legs.tool == tool) & (legs.low + height < top - SAME)
    for axis in (0, 1):
        least = np.fmin(legs.start[:, axis], legs.end[:, axis])
        most = np.fmax(legs.start[:, axis], legs.end[:, axis])
        # A place that is not known may be anywhere.
        near &= ~(least - radius >= high[axis] - SAME) & ~(most + radius <= low[axis] + SAME)
    box = shapely.box(low[0], low[1], high[0], high[1])
    for leg in np.flatnonzero(near).tolist():
        amount = _entry(context, leg, box, (radius, float(top[leg]) - height))
        if amount > SAME:
            yield _met(context, keepout, leg, (body, amount))


def _met(
    context: Context, keepout: Keepout, leg: int, met: tuple[tuple[float, float, str], float]
) -> Finding:
    """Return the finding of a leg that enters a box, or goes too close above it."""
    (_, height, name), amount = met
    top = keepout.high[2]
    gap = float(context.legs.low[leg]) + height - top
    what = f"{name} meets {keepout.name!r}, {amount:.2f} mm in"
    if gap > -SAME:
        what = (
            f"rapid with the {name} {gap:.2f} mm above {keepout.name!r}, where "
            f"{context.clearance:.2f} mm is the least"
        )
    return context.finding(
        "keepout",
        what,
        leg,
        f"lift above {top + context.clearance:.2f} mm, keep clear of it, or move it",
        amount,
    )


def _entry(context: Context, leg: int, box: shapely.Polygon, body: tuple[float, float]) -> float:
    """Return how far a leg goes into a box in plan while it is below a height; 0 if it does not."""
    radius, below = body
    places = _places(context, leg)
    if np.isnan(places[:, :2]).any():
        return float(below - np.nanmin(places[:, 2]))
    under = places[places[:, 2] < below - SAME]
    if not len(under):
        return 0.0
    path = _path(context, leg, under)
    return max(0.0, radius - float(path.distance(box)))


def _places(context: Context, leg: int) -> Floats:
    """Return places along a leg, (n, 3): its ends, and more of them down a slope.

    What is not known of the start is taken from the end.
    """
    end = context.legs.end[leg]
    start = np.where(np.isnan(context.legs.start[leg]), end, context.legs.start[leg])
    sloping = abs(end[2] - start[2]) > SAME and np.abs(end[:2] - start[:2]).max() > SAME
    shares = np.linspace(0.0, 1.0, SLOPES + 1 if sloping else 2)
    places: Floats = start + (end - start) * shares[:, None]
    return places


def _path(context: Context, leg: int, places: Floats) -> BaseGeometry:
    """Return the way in plan; all that a rapid may pass over where it need not go straight."""
    control = context.machine.control
    if context.legs.kind[leg] == RAPID and control is not None and not control.rapid_straight:
        low, high = places[:, :2].min(axis=0), places[:, :2].max(axis=0)
        if (high - low).min() > SAME:
            box: BaseGeometry = shapely.box(low[0], low[1], high[0], high[1])
            return box
    if np.abs(places[0, :2] - places[-1, :2]).max() < SAME:
        point: BaseGeometry = shapely.Point(places[0, :2])
        return point
    line: BaseGeometry = shapely.LineString(places[:, :2])
    return line


def _beneath(context: Context) -> Iterator[Finding]:
    """Yield the legs that reach deeper under the blank than there is air."""
    legs, (low, high) = context.legs, context.box
    floor = low[2] - context.setup.hold.beneath
    over = touching(legs, low, high) & (legs.low < floor - SAME)
    for leg in np.flatnonzero(over).tolist():
        amount = float(floor - legs.low[leg])
        yield context.finding(
            "beneath",
            f"the tip goes {amount:.3f} mm into what lies beneath the blank, where there is "
            f"{context.setup.hold.beneath:.2f} mm of air",
            leg,
            "put higher parallels under the blank, or go less deep",
            amount,
        )


def _flutes(context: Context) -> Iterator[Finding]:
    """Yield cuts deeper in the work than the cutter's flutes, and its neck, are long."""
    legs, (low, high) = context.legs, context.box
    lengths = [np.inf if t.cutter is None else t.cutter.reach for t in legs.tools]
    flutes = np.array([*lengths, np.inf])[legs.tool]
    cutting = touching(legs, low, high) & (high[2] - legs.low > flutes + SAME)
    for leg in _deepest_of_each(context, np.flatnonzero(cutting)):
        tool = context.tool(leg)
        deep = float(high[2] - legs.low[leg])
        has = "flutes of" if tool is None or tool.undercut is None else "head and neck of"
        goes = f"{tool.fit.name if tool else ''!r} goes {deep:.2f} mm deep with "
        if tool is not None and tool.head is not None:
            yield context.finding(
                "overhang",
                f"{goes}a bar that stands out {flutes[leg]:.2f} mm: the head runs on to the work",
                leg,
                "take a longer and thicker bar: 4 times its diameter is the most",
                deep - float(flutes[leg]),
            )
            continue
        has = "flutes of" if tool is None or tool.undercut is None else "head and neck of"
        yield context.finding(
            "shank",
            f"{goes}{has} {flutes[leg]:.2f} mm: its shank rubs and chips cannot leave",
            leg,
            "take a cutter with longer flutes",
            deep - float(flutes[leg]),
        )


def _deepest_of_each(context: Context, rows: Ints) -> list[int]:
    """Return of each tool's legs the first of the deepest."""
    legs = context.legs
    tools = np.unique(legs.tool[rows])
    return [
        int(min(rows[legs.tool[rows] == tool].tolist(), key=lambda leg: (legs.low[leg], leg)))
        for tool in tools
    ]
