"""What the moves meet on their way, in the order of time: rapids, plunges, depths of cut."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import At, Finding
from pathgen.check.places import leg_at, place_in
from pathgen.check.rules_boring import cut_findings
from pathgen.check.rules_climb import climb_findings
from pathgen.check.rules_pace import Paces
from pathgen.check.rules_plunge import STEEP_DEG, plunge_findings, slope_deg
from pathgen.check.rules_undercut import undercut_findings
from pathgen.check.sweeps import SAME, Stroke, Sweep, grown, is_rapid
from pathgen.check.tools import Tool
from pathgen.shop.cutters import CutterKind

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
        if not context.metal.swept_before(place, stroke.low):
            yield from climb_findings(context, stroke)
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
    diameter = 2 * stroke.sweep.radius
    allowed = context.limits.full_depth(diameter) + context.limits.rounding
    level = stroke.low + allowed
    if level >= context.box[1][2] - SAME or context.metal.swept_before(place, level):
        return
    outline = stroke.sweep.outline(allowed, 0.0)
    if context.metal.metal_over(outline, level).is_empty or _is_shaving(context, stroke, allowed):
        return
    worst = max(_sections(context, stroke, allowed), default=None)
    if worst is None or worst[0] <= diameter * allowed:
        return
    section, depth, leg, at = worst
    yield context.finding_at(
        "depth of cut",
        f"cut {depth:.3f} mm deep and {section / depth:.2f} mm wide, where {allowed:.2f} mm is "
        f"allowed at the full width of {diameter:.2f} mm",
        (leg, at),
        "take the depth in more passes, or less width",
        depth,
    )


def _is_shaving(context: Context, stroke: Stroke, allowed: float) -> bool:
    """Return whether what a level stroke meets is so thin all along that its section is allowed.

    Nowhere thicker than half of what may be cut at the full height, so that a cut on both sides
    of the cutter is within it too.
    """
    if (stroke.sweep.rise != 0).any():
        return False
    metal = context.metal.metal_over(stroke.sweep.outline(allowed, 0.0), stroke.low)
    height = context.box[1][2] - stroke.low
    most = 2 * stroke.sweep.radius * allowed / height
    return bool(metal.buffer(-most / 4, quad_segs=2).is_empty)


def _sections(
    context: Context, stroke: Stroke, allowed: float
) -> Iterator[tuple[float, float, int, At]]:
    """Yield (section in mm2, depth, leg, place) for each piece of a stroke that is cut too deep.

    Pieces are about as long as the cutter is wide, so that a heavy place does not hide in a long
    path. What earlier pieces of the same stroke have cleared is no metal any more. The section is
    summed over the heights between which the metal is the same, width times height each.
    """
    radius = stroke.sweep.radius
    pieces = [_Piece.of(context, first, last, radius) for first, last in _pieces(context, stroke)]
    tree = shapely.STRtree([piece.outline for piece in pieces])
    for index, piece in enumerate(pieces):
        earlier = [pieces[other] for other in tree.query(piece.outline) if other < index]
        over = piece.z + allowed
        metal = _uncut(context.metal.metal_over(piece.outline, over), earlier, over)
        if metal.area < THIN * piece.length:
            continue
        section = depth = 0.0
        for low, high in pairwise(context.metal.levels_near(piece.outline, piece.z)):
            met = _uncut(context.metal.metal_between(piece.outline, low, high), earlier, low)
            here = _width_of_cut(met, piece.length, 2 * radius)
            section += here * (high - low)
            depth += (high - low) if here > THIN else 0.0
        if depth:
            yield section, depth, piece.last, place_in(metal, piece.z)


def _uncut(metal: BaseGeometry, earlier: list[_Piece], level: float) -> BaseGeometry:
    """Return the metal that a piece of a stroke cuts from a level on: not what earlier ones cut."""
    if metal.is_empty:
        return metal
    cleared = [other.outline for other in earlier if other.z <= level + SAME]
    return metal.difference(shapely.union_all(cleared))


def _width_of_cut(metal: BaseGeometry, length: float, diameter: float) -> float:
    """Return how wide a cut is on a piece of the way, mm.

    That is the area over the way. But a thin cut round the inside of a bend is longer at the
    cutter's edge than at its centre; there the thickness of the metal itself tells, taken as that
    of the rectangle of equal area and edge.
    """
    over_the_way = metal.area / max(length, SAME)
    thickness = sum(_thickness(part) for part in shapely.get_parts(metal))
    if thickness < SLENDER * diameter:
        return min(over_the_way, thickness)
    return min(over_the_way, diameter)


def _thickness(part: BaseGeometry) -> float:
    """Return the shorter side of the rectangle that has a part's area and edge, mm."""
    half_edge = part.length / 2
    square = half_edge**2 - 4 * part.area
    if square <= 0:  # rounder than any rectangle
        return math.sqrt(part.area)
    return (half_edge - math.sqrt(square)) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Piece:
    """A piece of a stroke: what it clears, how long it is, how high it lies; mm."""

    outline: BaseGeometry
    length: float
    z: float
    last: int  # its last leg

    @classmethod
    def of(cls, context: Context, first: int, last: int, radius: float) -> _Piece:
        """Return the piece of the legs from the first to before the last."""
        legs = context.legs
        xyz = np.concatenate([legs.start[first : first + 1], legs.end[first:last]])
        sweep = Sweep(xyz[:, :2], np.zeros(len(xyz)), radius, math.inf)
        return cls(
            outline=grown(sweep.line, radius),
            length=float(np.hypot(*np.diff(xyz[:, :2], axis=0).T).sum()),
            z=float(xyz[:, 2].mean()),
            last=last - 1,
        )


def _pieces(context: Context, stroke: Stroke) -> Iterator[tuple[int, int]]:
    """Yield runs of legs (first, one past the last) at least as long as the cutter is wide."""
    ends = context.legs.end[stroke.first : stroke.last, :2]
    starts = context.legs.start[stroke.first : stroke.last, :2]
    lengths = np.hypot(*(ends - starts).T).tolist()
    first, so_far = stroke.first, 0.0
    for leg, length in enumerate(lengths, stroke.first):
        so_far += length
        if so_far >= 2 * stroke.sweep.radius:
            yield first, leg + 1
            first, so_far = leg + 1, 0.0
    if first < stroke.last:
        yield first, stroke.last
