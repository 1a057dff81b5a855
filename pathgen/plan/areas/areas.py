"""Planning pockets and outsides: cutters, roughing ring by ring, walls to size."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import assert_never

import shapely

from pathgen.input.where import Refusal, Where
from pathgen.job.areas import AreaWays, Facing, Outside, Pocket, Step
from pathgen.job.job import Area
from pathgen.moves.moves import Move
from pathgen.plan import cautions
from pathgen.plan.areas.along import Clearing
from pathgen.plan.areas.chain import chain_operations
from pathgen.plan.areas.facing import plan_facing
from pathgen.plan.areas.inwards import clear_inwards, rings_inwards
from pathgen.plan.areas.measures import measures
from pathgen.plan.areas.mills import choose_mill, wanted_at
from pathgen.plan.areas.paths import clear
from pathgen.plan.areas.region import ALLOWANCE, Wanted, part_of
from pathgen.plan.areas.rings import moved_in
from pathgen.plan.areas.strips import plan_step
from pathgen.plan.areas.suited_rings import along_walls, covering_rings, groove_rings
from pathgen.plan.areas.walls import walls, widest_finish
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cut_way import climbs, drops_out, lifted_out, way_caution
from pathgen.plan.cutting import cutting, side_depth, slot_depth
from pathgen.plan.hands.rectangles import plan_area_by_hand
from pathgen.shop.cutters import Cutter

STEP_SHARE = 0.5  # of the diameter: how far one ring lies within the next


def plan_area(area: Area, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make an area on a bench.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    if area.ways.way == "chain drilled" and not isinstance(area, Pocket):
        raise Refusal(
            area.where.at("ways.way"), "only a pocket is chain-drilled", "leave way out here"
        )
    match area:
        case Step():
            return plan_step(area, bench)
        case Facing():
            return plan_facing(area, bench)
        case Pocket() | Outside():
            if not bench.machine.interpolates:
                return plan_area_by_hand(area, bench)
            return tuple(_by_rings(area, bench))
        case _:
            assert_never(area)


def _by_rings(area: Pocket | Outside, bench: Bench) -> Iterator[Operation]:
    """Yield the roughing ring by ring from within, and the walls to size."""
    cutter = choose_mill(area, bench)
    wanted = wanted_at(area, bench, cutter)
    allowance = area.ways.allowance or ALLOWANCE
    if isinstance(area, Pocket) and area.ways.way == "chain drilled":
        yield from chain_operations(area, bench, wanted)
    yield _roughing(area, bench, (cutter, wanted, allowance))
    yield _finishing(area, bench, (cutter, wanted, allowance))


def step_over(ways: AreaWays, cutter: Cutter, where: Where, say: Callable[[float], str]) -> float:
    """Return how far one ring lies within the next, mm.

    Raises:
        Refusal: the job asks for more than the cutter clears.
    """
    if ways.width_of_cut is None:
        return STEP_SHARE * cutter.diameter
    if ways.width_of_cut > 0.8 * cutter.diameter:
        raise Refusal(
            where.at("ways.width_of_cut"),
            f"{say(ways.width_of_cut)} with a cutter of {say(cutter.diameter)}",
            "give 0.8 of its diameter at most, so that no ridge is left",
        )
    return min(ways.width_of_cut, STEP_SHARE * cutter.diameter)


def _roughing(area: Pocket | Outside, bench: Bench, how: tuple[Cutter, Wanted, float]) -> Operation:
    """Return the clearing, ring by ring, depth by depth, to the allowance off the walls."""
    cutter, wanted, allowance = how
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    most = area.ways.depth_of_cut or slot_depth(bench.machine, cutter, bench.material)
    depths = even_depths(0.0, wanted.floor, most)
    step = step_over(area.ways, cutter, area.where, bench.say)
    groove = isinstance(area, Outside) and not area.cleared
    chained = drops_out(area)
    clearing = Clearing(
        cutter=cutter,
        figures=figures,
        machine=bench.machine,
        depths=depths,
        clear=bench.clear,
        climb=climbs(area.ways, bench),
        entry="ramp" if groove or chained else area.ways.entry,
        where=area.where,
        bridges=_bridges(area, bench),
        core=chained or groove,
    )
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=figures,
        why=_why_rough(area, bench, allowance, step),
        moves=tuple(_rough_way(area, bench, clearing, (wanted, allowance, step))),
        depth_of_cut=-depths[0],
        width_of_cut=step,
        notes=_notes(area),
    )


def _rough_way(
    area: Pocket | Outside, bench: Bench, clearing: Clearing, how: tuple[Wanted, float, float]
) -> Iterator[Move]:
    """Yield the moves of the roughing: by the rings that suit what is cleared."""
    (wanted, allowance, step), cutter = how, clearing.cutter
    centre = moved_in(wanted.region, cutter.radius + allowance)
    if isinstance(area, Outside) and area.cleared:
        (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
        stock = shapely.box(x0, y0, x1, y1)
        part = part_of(area)
        rings = rings_inwards(part, stock, (cutter, allowance, step), area.where)
        yield from clear_inwards(clearing, rings)
    elif isinstance(area, Outside):
        yield from clear(clearing, groove_rings(wanted.region, cutter.radius + allowance))
    elif drops_out(area):
        yield from clear(clearing, along_walls(centre))
    else:
        within = covering_rings(centre, step, cutter, area.where)
        yield from clear(replace(clearing, step=step), within)


def _why_rough(area: Pocket | Outside, bench: Bench, allowance: float, step: float) -> str:
    """Return in words how an area is roughed."""
    left = f"to {bench.say(allowance)} off the walls"
    if isinstance(area, Outside) and area.cleared:
        return f"ring by ring from the blank's edges inwards, each {bench.say(step)} nearer, {left}"
    if isinstance(area, Outside):
        return f"a groove round the part, full width, {left}"
    if drops_out(area):
        return f"through the webs of the chain, {left}; the middle is left to drop out"
    return (
        f"ring by ring from within, each {bench.say(step)} wider, {left}; the first ring is full "
        "width, and corners, where the cut widens, are gone into slowly"
    )


def _notes(area: Pocket | Outside) -> tuple[str, ...]:
    loose = isinstance(area, Outside) and area.depth is None and not area.bridges
    loose = loose or drops_out(area)
    return (way_caution(area.ways), *((cautions.COMES_LOOSE,) if loose else ()))


def _bridges(area: Pocket | Outside, bench: Bench) -> tuple[tuple[float, float, float, float], ...]:
    """Return the bridges: place, half width and the z of their top, mm."""
    if not isinstance(area, Outside):
        return ()
    bottom = bench.bottom if area.depth is None else -area.depth.middle
    return tuple((*bridge.at, bridge.width / 2, bottom + bridge.height) for bridge in area.bridges)


def _finishing(
    area: Pocket | Outside, bench: Bench, how: tuple[Cutter, Wanted, float]
) -> Operation:
    """Return the last cut along each wall, after a look at the size so far."""
    cutter, wanted, allowance = how
    figures = cutting(bench.machine, cutter, bench.material, "end milling finish")
    width = widest_finish(wanted.region, cutter.radius, allowance)
    most = side_depth(bench.machine, cutter, bench.material, width)
    depths = even_depths(0.0, wanted.floor, most)
    clearing = Clearing(
        cutter=cutter,
        figures=figures,
        machine=bench.machine,
        depths=depths,
        clear=bench.clear,
        climb=climbs(area.ways, bench),
        entry=None,
        where=area.where,
        bridges=_bridges(area, bench),
    )
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=figures,
        why=f"along the walls, {bench.say(allowance)} off each",
        moves=tuple(walls(clearing, moved_in(wanted.region, cutter.radius), _outer(area))),
        before=(*lifted_out(area), *measures(area, bench, allowance)),
        depth_of_cut=-depths[0],
        width_of_cut=allowance,
        notes=_notes(area),
    )


def _outer(area: Pocket | Outside) -> bool:
    """Return whether the outer edge of what is cleared is a wall too."""
    return isinstance(area, Pocket)
