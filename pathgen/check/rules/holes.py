"""Drilled holes: the webs between them, metal all round the drill, its spot, breaking through."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.finished import NOISE
from pathgen.check.metal.strokes import Stroke, is_rapid
from pathgen.check.metal.sweeps import SAME
from pathgen.check.wanted.outline import nominal_place, widest
from pathgen.job.slot import Slot
from pathgen.moves.moves import Drill
from pathgen.reckon.tables import table

OFF_SPOT = 0.1  # mm that a drill may start off its spot; common practice, no source
MORE_AT_ONCE = 0.5  # diameters that a drill may go deeper at once than is planned; common practice
SAME_HOLE = 0.05  # two centres that are nearer are one hole, opened out, mm


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrilledHole:
    """A hole made by a twist drill: where, how wide, how deep, and by which leg; mm."""

    x: float
    y: float
    radius: float
    bottom: float
    point: float
    leg: int


def hole_findings(context: Context) -> Iterator[Finding]:
    """Yield what is wrong with the drilled holes of a run."""
    holes = drilled_holes(context)
    yield from _webs(context, holes)
    yield from _into_air(context, holes)
    yield from _not_through(context, holes)
    yield from _off_spot(context, holes)
    yield from _unspotted(context, holes)
    yield from _at_once(context, holes)


def drilled_holes(context: Context) -> list[DrilledHole]:
    """Return the holes that twist drills make, in the order of time."""
    return [hole for stroke in context.strokes for hole in _hole(context, stroke)]


def _hole(context: Context, stroke: Stroke) -> Iterator[DrilledHole]:
    """Yield the hole that a stroke drills, if it drills one."""
    tool = context.tool(stroke.first)
    if tool is None or not tool.drills or not stroke.down or is_rapid(stroke):
        return
    x, y = stroke.sweep.path[0].tolist()
    yield DrilledHole(
        x=x,
        y=y,
        radius=tool.radius,
        bottom=stroke.low,
        point=tool.point_length,
        leg=stroke.first,
    )


def _webs(context: Context, holes: list[DrilledHole]) -> Iterator[Finding]:
    """Yield each hole that leaves too thin a web to one drilled before, or breaks into it."""
    if len(holes) < 2:
        return
    centres = shapely.points([(hole.x, hole.y) for hole in holes])
    reach = 2 * max(hole.radius for hole in holes) + 2 * context.limits.web + 2.0
    pairs = shapely.STRtree(centres).query(centres, predicate="dwithin", distance=reach)
    worst: dict[int, tuple[float, DrilledHole]] = {}
    for second, first in pairs.T.tolist():
        if first >= second:
            continue
        one, other = holes[first], holes[second]
        away = float(np.hypot(one.x - other.x, one.y - other.y))
        web = away - one.radius - other.radius
        if away > SAME_HOLE and (second not in worst or web < worst[second][0]):
            worst[second] = (web, one)
    for second, (web, _) in sorted(worst.items()):
        yield from _web(context, holes[second], web)


def _web(context: Context, hole: DrilledHole, web: float) -> Iterator[Finding]:
    """Yield the finding of one web."""
    wanted = _least_web(context, hole)
    rounding = 2 * max(context.run.doubt.setting[:2]) + NOISE
    if web < -NOISE:
        yield context.finding(
            "overlap",
            f"the hole breaks {-web:.3f} mm into one drilled before: the drill wanders into it",
            hole.leg,
            "space the holes so that a web stands between them, or use a slot drill",
            -web,
        )
    elif web < wanted - rounding:
        yield context.finding(
            "web",
            f"a web of {web:.3f} mm to the hole before it, {wanted:.3f} mm is the least",
            hole.leg,
            "space the holes wider",
            wanted - web,
        )


def _least_web(context: Context, hole: DrilledHole) -> float:
    """Return the least web that the job asks for where the hole is, mm."""
    asked = [
        slot.ways.least_web
        for slot in context.setup.slots
        if slot.ways.least_web is not None and _is_in(slot, hole)
    ]
    return min(asked, default=context.limits.web)


def _is_in(slot: Slot, hole: DrilledHole) -> bool:
    """Return whether the middle of a hole lies in a slot."""
    outline = widest(slot, nominal_place(slot))
    return bool(outline.beyond(np.array([[hole.x, hole.y]]))[0] < 0)


def _into_air(context: Context, holes: list[DrilledHole]) -> Iterator[Finding]:
    """Yield each hole drilled partly beyond the blank's side, or into what was milled before."""
    rims = [shapely.Point(hole.x, hole.y).buffer(hole.radius - 2 * NOISE) for hole in holes]
    for hole, rim in zip(holes, rims, strict=True):
        inside = rim.intersection(context.metal.plan).area
        milled = _milled_before(context, hole, rim)
        if SAME < inside < rim.area - SAME or milled:
            where = "what was milled before" if milled else "the blank's side"
            yield context.finding(
                "half in air",
                f"the drill breaks out sideways into {where}",
                hole.leg,
                "drill before milling, and where there is metal all round the drill",
            )


def _milled_before(context: Context, hole: DrilledHole, rim: shapely.Polygon) -> bool:
    """Return whether a mill had cleared part, but not all, of a hole before it was drilled."""
    regions = []
    for stroke in context.strokes:
        if stroke.first >= hole.leg:
            break
        tool = context.tool(stroke.first)
        if tool is None or not tool.mills or stroke.low > hole.bottom + hole.point:
            continue
        outline = stroke.sweep.outline(hole.bottom + hole.point - stroke.low)
        if outline is not None and outline.intersects(rim):
            regions.append(outline)
    milled = shapely.union_all(regions).intersection(rim).area if regions else 0.0
    return bool(SAME < milled < rim.area - SAME)


def _not_through(context: Context, holes: list[DrilledHole]) -> Iterator[Finding]:
    """Yield each hole in a through slot whose full diameter does not come out underneath."""
    under = context.box[0][2]
    deepest: dict[tuple[float, float, float], DrilledHole] = {}
    for hole in holes:
        key = (round(hole.x, 3), round(hole.y, 3), round(hole.radius, 4))
        if key not in deepest or hole.bottom < deepest[key].bottom:
            deepest[key] = hole
    for hole in deepest.values():
        short = hole.bottom + hole.point - under
        if short > SAME and any(s.through and _is_in(s, hole) for s in context.setup.slots):
            yield context.finding(
                "not through",
                f"the hole's full diameter ends {short:.3f} mm above the underside: the point of "
                f"the drill takes {hole.point:.3f} mm",
                hole.leg,
                f"drill to z {under - hole.point:.3f} or a little below",
                short,
            )


def _off_spot(context: Context, holes: list[DrilledHole]) -> Iterator[Finding]:
    """Yield each drill that meets a spot, but not in its middle: it wanders."""
    spots = [stroke for stroke in context.strokes if _spots(context, stroke)]
    room = OFF_SPOT + 2 * max(context.run.doubt.setting[:2])
    for hole in holes:
        for spot in spots:
            x, y = spot.sweep.path[0].tolist()
            away = float(np.hypot(hole.x - x, hole.y - y))
            across = spot.sweep.radius_at(context.box[1][2] - spot.low)
            if spot.first < hole.leg and room < away < across + hole.radius:
                yield context.finding(
                    "spot",
                    f"the drill starts {away:.3f} mm off the middle of a spot",
                    hole.leg,
                    "spot where the drill is to start",
                    away,
                )


def _unspotted(context: Context, holes: list[DrilledHole]) -> Iterator[Finding]:
    """Yield a caution where drills start on a bare face, with nothing to lead them."""
    led = [stroke for stroke in context.strokes if stroke.down and not is_rapid(stroke)]
    bare: dict[tuple[float, float], DrilledHole] = {}
    for hole in holes:
        away = [
            float(np.hypot(*(stroke.sweep.path[0] - (hole.x, hole.y))))
            for stroke in led
            if stroke.first < hole.leg
        ]
        if min(away, default=np.inf) > hole.radius:
            bare.setdefault((round(hole.x, 3), round(hole.y, 3)), hole)
    if bare:
        first = next(iter(bare.values()))
        which = "a drill starts" if len(bare) == 1 else f"{len(bare)} drills start"
        yield context.finding_by(
            "spot",
            f"{which} on the bare face, with no spot to lead it: it may wander",
            int(context.legs.number[first.leg]),
            "spot each hole first",
            severity="caution",
        )


def _at_once(context: Context, holes: list[DrilledHole]) -> Iterator[Finding]:
    """Yield each drill that goes deeper at once than its flutes clear the chips."""
    rule, top = table("drilling")["pecks"], context.box[1][2]
    reached: dict[tuple[float, float, int], float] = {}  # by the drill at a place, z
    for hole in holes:
        place = (round(hole.x, 3), round(hole.y, 3), int(context.legs.tool[hole.leg]))
        start = min(float(context.legs.start[hole.leg, 2]), reached.get(place, top))
        reached[place] = min(start, hole.bottom)
        first = start > top - SAME
        depth, across = start - hole.bottom, 2 * hole.radius
        allowed = rule["free"] if first else rule["middle_step"]
        item = context.run.items[int(context.legs.item[hole.leg])]
        deep = depth > (allowed + MORE_AT_ONCE) * across
        if deep and isinstance(item, Drill) and 0 < item.peck < depth:
            depth, allowed = item.peck, rule["middle_step"]
        if depth > (allowed + MORE_AT_ONCE) * across:
            yield context.finding(
                "peck",
                f"the drill goes {depth:.2f} mm at once, {depth / across:.1f} times its diameter: "
                "chips jam in its flutes",
                hole.leg,
                f"draw it up every {rule['middle_step'] * across:.1f} mm to clear the chips",
                depth - allowed * across,
            )


def _spots(context: Context, stroke: Stroke) -> bool:
    """Return whether a stroke goes straight down with a spotting drill."""
    tool = context.tool(stroke.first)
    spotting = tool is not None and tool.cutter is not None and tool.cutter.kind == "spotting drill"
    return spotting and stroke.down
