"""What the moves meet on their way, in the order of time: rapids, plunges, depths of cut."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.engaged import Before, stand
from pathgen.check.findings import At, Finding
from pathgen.check.metal.legs import Ints
from pathgen.check.metal.strokes import Stroke, is_rapid
from pathgen.check.metal.sweeps import SAME, Sweep, grown
from pathgen.check.metal.tools import Tool
from pathgen.check.places import leg_at, place_in
from pathgen.check.rules.boring import cut_findings
from pathgen.check.rules.pace import Paces
from pathgen.check.rules.plunge import STEEP_DEG, plunge_findings, slope_deg
from pathgen.check.rules.sides import SHALLOW, side_findings
from pathgen.check.rules.undercut import undercut_findings
from pathgen.shop.cutters import CutterKind

NARROW = 0.9  # of the diameter: a wider cut is taken for one of full width
# Times the section of a full slot that a narrow cut may have for a moment, as in a corner that the
# cutter's own radius makes (common practice, no source).
IN_CORNERS = 1.15
SLICES = 4  # of the allowed depth, at which a way down is looked at
THIN = 0.01  # mm: a narrower cut does not count for the depth that is told
ONLY_DOWN: tuple[CutterKind, ...] = ("reamer", "boring head")  # besides drills
SLENDER = 0.3  # of the diameter: metal thinner than this is taken for a shaving


def metal_findings(context: Context) -> Iterator[Finding]:
    """Yield what is wrong with the metal that each stroke meets, clearing it stroke by stroke."""
    paces = Paces(context)
    top = context.box[1][2] - SAME
    for place, stroke in enumerate(context.strokes):
        if stroke.low >= top:
            yield from _close_above(context, stroke)
            continue
        if is_rapid(stroke):
            yield from _rapid(context, stroke, place)
        else:
            yield from paces.findings(stroke)
            yield from _feed(context, stroke, place)
        context.metal.cut(place)


def _rapid(context: Context, stroke: Stroke, place: int) -> Iterator[Finding]:
    """Yield the finding of a rapid that meets metal."""
    metal = context.metal
    if metal.swept_before(place, stroke.low):
        return
    met, height = metal.met(stroke.sweep, stroke.low, context.limits.rub)
    if met.is_empty:
        return
    way = "through"
    if stroke.down:
        start, end = context.legs.start[stroke.first, 2], context.legs.end[stroke.first, 2]
        way = "up into" if end > start else "down into"
    yield context.finding_at(
        "rapid",
        f"rapid {way} metal {height:.3f} mm high",
        (leg_at(context, stroke, met), place_in(met, stroke.low)),
        "lift the cutter clear of the metal first, or feed",
        height,
    )


def _close_above(context: Context, stroke: Stroke) -> Iterator[Finding]:
    """Yield the finding of a rapid closer above metal that was not cut than the zero is known."""
    low, top = stroke.low - context.clearance, context.box[1][2]
    met, _ = context.metal.met(stroke.sweep, low, context.limits.rub)
    if met.is_empty:
        return
    gap = stroke.low - top
    yield context.finding_at(
        "rapid",
        f"rapid {gap:.2f} mm above the uncut work, where {context.clearance:.2f} mm is the least: "
        "burrs, and what the depth's zero leaves open",
        (leg_at(context, stroke, met), place_in(met, stroke.low)),
        "stay higher",
        context.clearance - gap,
    )


def _feed(context: Context, stroke: Stroke, place: int) -> Iterator[Finding]:
    """Yield what is wrong with a feed into metal."""
    tool = context.tool(stroke.first)
    if tool is None:
        return  # a finding of its own
    if tool.head is not None and stroke.down:
        yield from cut_findings(context, stroke, tool, tool.head)
        return
    yield from plunge_findings(context, stroke, tool)
    if slope_deg(stroke) >= STEEP_DEG:
        return
    if tool.undercut is not None:
        yield from undercut_findings(context, stroke, tool)
    elif tool.mills:
        yield from _too_deep(context, stroke, place)
        if not context.metal.swept_before(place, stroke.low + SHALLOW):
            yield from side_findings(context, stroke)
    elif tool.drills or (tool.cutter is not None and tool.cutter.kind in ONLY_DOWN):
        yield from _sideways(context, stroke, tool)


def _sideways(context: Context, stroke: Stroke, tool: Tool) -> Iterator[Finding]:
    """Yield the finding of a drill, reamer or boring head that is fed sideways through metal."""
    met, height = context.metal.met(stroke.sweep, stroke.low, context.limits.rub)
    if not met.is_empty:
        yield context.finding_at(
            "sideways",
            f"{tool.fit.name!r} is fed sideways through metal",
            (leg_at(context, stroke, met), place_in(met, stroke.low)),
            "cut sideways with an end mill only",
            height,
        )


# ---------------------------------------------------------------- depth of cut


def _too_deep(context: Context, stroke: Stroke, place: int) -> Iterator[Finding]:
    """Yield the finding of the worst cut of a stroke that takes more metal than allowed."""
    tool = context.tool(stroke.first)
    diameter = 2 * stroke.sweep.radius if tool is None else max(tool.diameter, tool.fit.diameter)
    allowed = context.limits.full_depth(diameter) + context.limits.rounding
    level = stroke.low + allowed
    if level >= context.box[1][2] - SAME or context.metal.swept_before(place, level):
        return
    outline = stroke.sweep.outline(allowed, 0.0)
    if context.metal.metal_over(outline, level).is_empty:
        return
    worst = max(_sections(context, stroke, allowed), default=None)
    if worst is None:
        return
    section, depth, leg, at = worst
    narrow = section < NARROW * diameter * depth
    if section <= diameter * allowed * (IN_CORNERS if narrow else 1.0):
        return
    yield context.finding_at(
        "depth of cut",
        f"cut {depth:.3f} mm deep and {section / depth:.2f} mm wide, where {allowed:.2f} mm is "
        f"allowed at the full width of {diameter:.2f} mm",
        (leg, at),
        "take the depth in more passes, or less width",
        depth,
    )


def _sections(
    context: Context, stroke: Stroke, allowed: float
) -> Iterator[tuple[float, float, int, At]]:
    """Yield (section in mm2, depth, leg, place) of the heaviest cut of each part of a stroke.

    What earlier legs of the same stroke have cleared is no metal any more. The section is summed
    over the heights between which the metal is the same, width times height each.
    """
    before = Before(context, stroke)
    for legs in _alike(context, stroke):
        rows = _suspect(context, stroke, (legs, before), allowed)
        if not len(rows):
            continue
        places = stand(context, stroke, rows)
        z = float(context.legs.end[rows, 2].mean())
        section, depth = np.zeros(len(places.leg)), np.zeros(len(places.leg))
        outline = _part(context, rows, stroke.sweep.radius)
        for low, high in _bands(context, stroke, outline, (z, allowed)):
            metal = context.metal.metal_between(outline, low, high)
            width = places.width_of_cut(metal, before, low)
            section += width * (high - low)
            depth += np.where(width > THIN, high - low, 0.0)
        worst = int(np.argmax(section))
        x, y = places.at[worst].tolist()
        yield float(section[worst]), float(depth[worst]), int(places.leg[worst]), (x, y, z)


def _suspect(context: Context, stroke: Stroke, way: tuple[Ints, Before], allowed: float) -> Ints:
    """Return the legs, from the first to the last, that may take more than allowed.

    As if all metal that they meet at their own height stood up to the top.
    """
    legs, before = way
    places = stand(context, stroke, legs)
    z = float(context.legs.end[legs, 2].mean())
    outline = _part(context, legs, stroke.sweep.radius)
    over = context.metal.metal_over(outline, z + allowed)
    if over.is_empty or not len(places.leg):
        return legs[:0]
    deep = places.width_of_cut(over, before, z + allowed) > 0
    width = places.width_of_cut(context.metal.metal_over(outline, z), before, z)
    most = 2 * stroke.sweep.radius * allowed / (context.box[1][2] - z)
    found = places.leg[deep & (width > most)]
    return legs[:0] if not len(found) else np.arange(found[0], found[-1] + 1)


def _bands(
    context: Context, stroke: Stroke, outline: BaseGeometry, at: tuple[float, float]
) -> Iterator[tuple[float, float]]:
    """Yield the heights, from one to the next, between which the metal over an outline is alike.

    A stroke that goes down cuts its own metal on the way: there it is looked at in thin slices.
    """
    z, allowed = at
    levels = context.metal.levels_near(outline, z)
    if not stroke.sweep.flat:
        top = levels[-1]
        levels = sorted({*levels, *np.arange(z, top, allowed / SLICES).tolist()})
    yield from pairwise(levels)


def _alike(context: Context, stroke: Stroke) -> Iterator[Ints]:
    """Yield the legs of a stroke: all together where it is level, else about a diameter a time."""
    rows = np.arange(stroke.first, stroke.last)
    if stroke.sweep.flat:
        yield rows
        return
    along = context.legs.end[rows, :2] - context.legs.start[rows, :2]
    so_far = np.hypot(*along.T).cumsum() // (2 * stroke.sweep.radius)
    yield from np.split(rows, np.flatnonzero(np.diff(so_far)) + 1)


def _part(context: Context, rows: Ints, radius: float) -> BaseGeometry:
    """Return what some consecutive legs clear, seen from above."""
    legs = context.legs
    path = np.concatenate([legs.start[rows[:1], :2], legs.end[rows, :2]])
    return grown(Sweep(path, np.zeros(len(path)), radius, math.inf).line, radius)
