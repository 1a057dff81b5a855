"""Whether finished areas are what was wanted: walls, floors, corners, bridges, loose pieces."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.area_sizes import still_axes
from pathgen.check.measured.excess import excess
from pathgen.check.measured.filed import filing_findings
from pathgen.check.measured.finished import NOISE
from pathgen.check.measured.finished_areas import FinishedArea
from pathgen.check.metal.legs import Ints
from pathgen.check.rules.concentric import off_axis_findings
from pathgen.check.rules.left import near
from pathgen.check.rules.locks import Push
from pathgen.check.rules.size import of_good, top_radius
from pathgen.check.wanted.areas import AreaOutline, bridge_zone, come_within, floors
from pathgen.check.wanted.outline import Allowed
from pathgen.job.areas import Outside

BRIDGE_SHARE = 0.75  # of its width that a bridge must keep at least; common practice, no source
SHOWN = 50  # legs beyond a wall that are looked at exactly


def area_places(context: Context, finished: FinishedArea) -> list[Allowed]:
    """Return where cutters may cut for an area: all of it to its floor, bridges to their top."""
    area = finished.area
    floor = floors(area, context)[0]
    region = finished.most.buffer(NOISE)
    if not isinstance(area, Outside) or not area.bridges:
        return [Allowed(name=area.name, outline=AreaOutline(region=region), floor=floor)]
    zones = [bridge_zone(area, each, BRIDGE_SHARE * each.width) for each in area.bridges]
    open_ground = region.difference(shapely.union_all(zones))
    bottom = context.box[0][2] if area.depth is None else floor
    tops = [bottom + bridge.height for bridge in area.bridges]
    return [
        Allowed(name=area.name, outline=AreaOutline(region=open_ground), floor=floor),
        Allowed(name=f"{area.name}, bridges", outline=AreaOutline(region=region), floor=max(tops)),
    ]


def area_findings(context: Context, finished: FinishedArea, over: Ints) -> Iterator[Finding]:
    """Yield what is wrong with an area, with the leg that did it.

    Args:
        context: what every rule is given.
        finished: the area as the moves leave it.
        over: the legs that may cut the blank.
    """
    yield from _beyond_walls(context, finished, over)
    yield from _metal_left(context, finished)
    yield from _corners(context, finished)
    yield from filing_findings(context, finished)
    yield from _loose(context, finished)
    for size in finished.sizes:
        if size.quantity == "to file":
            continue
        if size.quantity == "off the axis":
            yield from off_axis_findings(context, size)
            continue
        if size.ok:
            yield from of_good(context, size, _push(finished, size))
        elif size.quantity in ("x", "y"):
            amount = max(size.wanted.low - size.least, size.most - size.wanted.high)
            yield context.finding_by(
                "position",
                f"{size.quantity} of the middle of {size.feature!r} lies at {size.least:.3f} to "
                f"{size.most:.3f} mm, limits {size.wanted.low:.3f} to {size.wanted.high:.3f} mm",
                None,
                "look at the datum and at the cuts on this side",
                amount=amount,
            )


def _push(finished: FinishedArea, size: FinishedSize) -> Push:
    """Return how a slide without a lock may be pushed that stands still for a size."""
    axis = still_axes(finished.area, size)[0]
    return Push(axis=axis, less=size.wander, more=size.wander)


def _beyond_walls(context: Context, finished: FinishedArea, over: Ints) -> Iterator[Finding]:
    """Yield each leg of an area that cuts beyond where its walls may lie."""
    if not len(over) or finished.least.is_empty:
        return
    legs = context.legs
    starts, ends = legs.start[over, :2], legs.end[over, :2]
    starts = np.where(np.isnan(starts), ends, starts)
    radius = top_radius(context, over)
    ours = come_within(finished.least, starts, ends, radius - NOISE)
    free = finished.most.buffer(NOISE)
    outline = AreaOutline(region=free)
    rows = np.flatnonzero(ours)
    reach = outline.reach(legs.start[over[rows], :2], legs.end[over[rows], :2], radius[rows])
    worst = rows[np.argsort(-reach, kind="stable")][: int((reach > 0).sum())][:SHOWN]
    for row in np.sort(worst).tolist():
        found = excess(context, int(over[row]), float(radius[row]), free)
        if found is None:
            continue
        amount, at = found
        yield context.finding_at(
            "wall",
            f"wall of {finished.area.name!r} cut {amount:.3f} mm beyond its limit",
            (int(over[row]), at),
            f"bring this cut {amount:.3f} mm back from the wall",
            amount,
        )


def _metal_left(context: Context, finished: FinishedArea) -> Iterator[Finding]:
    """Yield the finding of metal that stands where it must be cleared: the worst place."""
    area = finished.area
    wanted = floors(area, context)[1]
    standing = finished.floor[1] - wanted
    if standing > NOISE:
        short = "is not through" if area.through else "is not deep enough"
        inner = finished.least.buffer(-2 * NOISE)
        metal = context.metal.metal_in(inner, finished.floor[1] - 2 * NOISE)
        point = (inner if metal.is_empty else metal).representative_point()
        yield context.finding_at(
            "metal left",
            f"{area.name!r} {short}: {standing:.3f} mm of metal left on its floor",
            near(context, (point.x, point.y, finished.floor[1])),
            "cut deeper here",
            standing,
        )
    metal = context.metal.metal_in(finished.least.buffer(-2 * NOISE), finished.walls_to)
    if metal.area < NOISE or finished.walls_to >= context.box[1][2] - NOISE:
        return
    piece = max(shapely.get_parts(metal), key=lambda part: float(part.area))
    free = context.metal.cleared(finished.walls_to)
    amount = float(shapely.distance(shapely.points(shapely.get_coordinates(piece)), free).max())
    point = piece.representative_point()
    yield context.finding_at(
        "metal left",
        f"{max(amount, NOISE):.3f} mm of metal left in {area.name!r}",
        near(context, (point.x, point.y, finished.walls_to)),
        "cut further here",
        max(amount, NOISE),
    )


def _corners(context: Context, finished: FinishedArea) -> Iterator[Finding]:
    """Yield a caution that tells of the corners that no cutter reached."""
    pieces = [each for each in shapely.get_parts(finished.corners_left) if each.area > NOISE]
    if not pieces:
        return
    edge = finished.most.boundary
    most = max(
        float(shapely.distance(shapely.points(shapely.get_coordinates(piece)), edge).max())
        for piece in pieces
    )
    worst = max(pieces, key=lambda each: float(each.area)).representative_point()
    count = f"{len(pieces)} corners keep" if len(pieces) > 1 else "a corner keeps"
    yield context.finding_by(
        "corners",
        f"{finished.area.name!r}: {count} the cutter's radius, up to {most:.2f} mm of metal",
        None,
        "file them to a line, or take a smaller cutter",
        amount=most,
        at=(worst.x, worst.y, math.nan),
        severity="caution",
    )


def _loose(context: Context, finished: FinishedArea) -> Iterator[Finding]:
    """Yield a caution for each piece that comes loose within a through area."""
    for piece in shapely.get_parts(finished.loose):
        if piece.is_empty:
            continue
        point = piece.representative_point()
        yield context.finding_by(
            "loose",
            f"a piece of {piece.area:.0f} mm2 within {finished.area.name!r} comes loose: it can "
            "jam the cutter and fly",
            None,
            "hold it from beneath or by a screw, clear of the cutter's way, before the last cut",
            amount=float(piece.area),
            at=(point.x, point.y, math.nan),
            severity="caution",
        )
