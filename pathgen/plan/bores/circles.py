"""A step of a bore cut by a mill that is led round: helices to the allowance, then the wall."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.moves.moves import Feed, How, Move, Rapid
from pathgen.plan import cautions
from pathgen.plan.areas.region import ALLOWANCE
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.bores.steps import Step, measured
from pathgen.plan.cutting import cutting, side_depth, slot_depth
from pathgen.plan.heights import OVERCUT, just_above, reaches
from pathgen.plan.holes.circling import LEAST_CIRCLE, down_a_helix, once_round, rings
from pathgen.plan.holes.drilling import Target
from pathgen.plan.words import made_anew
from pathgen.shop.cutters import MILLS, Cutter

MILL_SHARE = 0.75  # of the bore: a wider mill has no room for its chips, and goes down too steeply

Site = tuple[Cutter, Target, Bench]


def mill_for(step: Step, bench: Bench) -> Cutter | None:
    """Return the largest mill that can be led round in a step, None where nothing can."""
    if not bench.machine.interpolates:
        return None
    most = min(MILL_SHARE * step.size.middle, step.size.middle - 2 * LEAST_CIRCLE - 2 * ALLOWANCE)
    return bench.largest(MILLS, most, lambda each: reaches(each, _floor(step, bench)))


def _floor(step: Step, bench: Bench) -> float:
    """Return the z that a mill goes down to, mm."""
    return bench.bottom - OVERCUT if step.floor is None else step.floor


def led_round(step: Step, start: float, site: Site) -> Iterator[Operation]:
    """Yield the roughing by helices, and the wall to size with a spring pass.

    Args:
        step: which diameter of a bore.
        start: the diameter of the hole there is, mm.
        site: the mill, where, and what there is.

    Raises:
        Refusal: there is no air beneath.
    """
    bench = site[2]
    if step.floor is None and bench.setup.hold.beneath < OVERCUT:
        raise Refusal(
            bench.setup.where.at("hold.beneath"),
            f"cutting through with {bench.say(bench.setup.hold.beneath)} of air beneath",
            f"hold the blank with {bench.say(OVERCUT)} of air under the bore at least",
        )
    yield _roughing(step, start, site)
    yield _finishing(step, site)


def _roughing(step: Step, start: float, site: Site) -> Operation:
    """Return the helices, ring after ring, to the allowance off the wall."""
    mill, target, bench = site
    figures = cutting(bench.machine, mill, bench.material, "end milling rough")
    rough = step.size.middle - 2 * ALLOWANCE
    width = (rough - start) / 2
    deep = slot_depth(bench.machine, mill, bench.material)
    top, floor = just_above(bench.machine, 0.0), _floor(step, bench)
    found = rings(mill, (start, rough), deep, -floor)
    moves: list[Move] = [
        Rapid(target.x, target.y, bench.clear, How(makes="size", what="over the bore")),
        Rapid(target.x, target.y, top),
    ]
    for ring in found:
        moves.extend(down_a_helix(target, ring, (top, floor), (mill, figures)))
    return Operation(
        purpose=step.purpose("rough"),
        cutter=mill,
        cutting=figures,
        why=f"down helices to {bench.say(rough)}, {bench.say(ALLOWANCE)} off the wall",
        moves=tuple(moves),
        depth_of_cut=max(ring.drop for ring in found),
        width_of_cut=width,
        notes=(cautions.CONVENTIONAL,),
    )


def _finishing(step: Step, site: Site) -> Operation:
    """Return the rings to size, and once more round each without a deeper cut."""
    mill, target, bench = site
    figures = cutting(bench.machine, mill, bench.material, "end milling finish")
    most = side_depth(bench.machine, mill, bench.material, ALLOWANCE)
    floor, offset = _floor(step, bench), step.size.middle / 2 - mill.radius
    depths = even_depths(0.0, floor, most)
    x, y = target.x, target.y
    moves: list[Move] = [
        Rapid(x, y, bench.clear, How(makes="size", what="over the bore")),
        Rapid(x, y, just_above(bench.machine, 0.0)),
    ]
    for z in depths:
        moves.append(Feed(x, y, z, figures.plunge, How(makes="size", what="down")))
        moves.extend(once_round(target, z, offset, (mill, figures)))
    for z in depths[::-1]:
        if z != floor:
            moves.append(Rapid(x, y, z))
        spring = once_round(target, z, offset, (mill, figures))
        moves.extend(_said(each, "once more, for the spring") for each in spring)
    moves.append(Rapid(x, y, bench.clear))
    expected = step.size.middle - 2 * ALLOWANCE
    quantity, _, name = step.name.partition(" of ")
    advice = made_anew(name, quantity)
    return Operation(
        purpose=step.purpose("finish"),
        cutter=mill,
        cutting=figures,
        why=f"the wall to {bench.say(step.size.middle)}, and once more without a deeper cut",
        moves=tuple(moves),
        before=(measured(step, 1, (expected, step.size.middle), "nothing", advice),),
        depth_of_cut=-depths[0],
        width_of_cut=ALLOWANCE,
        notes=(cautions.CONVENTIONAL,),
    )


def _said(move: Move, what: str) -> Move:
    return move._replace(how=How(makes="size", what=what))
