"""Planning pockets on handles: square rings, a handle at a time, then each wall to size."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pathgen.input.where import Refusal
from pathgen.job.areas import Outside, Pocket, Rectangular
from pathgen.job.on_table import turned_radius
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Term
from pathgen.plan import cautions
from pathgen.plan.areas.chain import chain_operations
from pathgen.plan.areas.measures import BAND, measures
from pathgen.plan.areas.region import ALLOWANCE, floor_of, wanted_pocket
from pathgen.plan.areas.walls import widest_finish
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cut_way import climbs, drops_out, lifted_out
from pathgen.plan.cutting import Cutting, cutting, side_depth, slot_depth
from pathgen.plan.hands.in_steps import plan_in_steps
from pathgen.plan.hands.walls import Wall, off_its_corner, rules_about, wall_cut
from pathgen.plan.heights import just_above
from pathgen.plan.slots.paths import widening_offsets
from pathgen.plan.table.areas import plan_on_table
from pathgen.shop.cutters import MILLS, Cutter

STEP_SHARE = 0.5  # of the diameter: how far one ring lies within the next
LARGEST = 16.0  # mm
SMALLER = 0.97  # of the depth of a full slot: the cutter may cut smaller than was measured
Box = tuple[float, float, float, float]


def plan_area_by_hand(area: Pocket | Outside, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a pocket or an outside one handle at a time.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    if turned_radius(bench.setup, area) is not None:
        return plan_on_table(area, bench)
    if not isinstance(area, Pocket) or not isinstance(area.shape, Rectangular) or area.islands:
        return plan_in_steps(area, bench)
    floor = floor_of(area.depth, bench)
    cutter = _mill(area, area.shape, bench, floor)
    allowance = area.ways.allowance or ALLOWANCE
    box = _middle_box(area, area.shape)
    climbs(area.ways, bench)  # refused by hand
    inner = _grown(box, -cutter.radius - allowance)
    chained = area.ways.way == "chain drilled"
    chain = chain_operations(area, bench, wanted_pocket(area, bench)) if chained else ()
    rings = [inner] if drops_out(area) else _rings(inner, _step(area, cutter))
    return (
        *chain,
        _roughing(area, bench, (cutter, floor), rings),
        _finishing(area, bench, (cutter, floor, allowance), box),
    )


def _step(pocket: Pocket, cutter: Cutter) -> float:
    """Return how far one ring lies within the next, mm."""
    return min(pocket.ways.width_of_cut or cutter.diameter, STEP_SHARE * cutter.diameter)


def _mill(pocket: Pocket, shape: Rectangular, bench: Bench, floor: float) -> Cutter:
    """Return the mill that makes the corners by its own radius and can go down.

    Raises:
        Refusal: there is none.
    """
    low, high = shape.corner_low, shape.corner_high
    if pocket.corners == "left":
        high = min(shape.length.low, shape.width.low) / 2 - 1.0

    def suits(cutter: Cutter) -> bool:
        return (
            low - 1e-9 <= cutter.radius <= high + 1e-9
            and cutter.cuts_at_centre
            and cutter.flute_length >= -floor
            and 2 * cutter.radius < min(shape.length.low, shape.width.low)
        )

    named = pocket.ways.finish or pocket.ways.rough
    if named is not None:
        cutter = bench.named(named, MILLS, pocket.where.at("ways"))
        if not suits(cutter):
            raise Refusal(
                pocket.where.at("ways"),
                f"{cutter.name} does not do: it must cut at its centre, reach {bench.say(-floor)} "
                f"deep, and leave corners of {bench.say(low)} to {bench.say(high)} radius",
                "name another, or none",
            )
        return cutter
    found = bench.largest(MILLS, LARGEST, suits)
    if found is None:
        raise Refusal(
            pocket.where.at("corner_radius"),
            f"no slot drill of the crib reaches {bench.say(-floor)} deep and leaves corners of "
            f"{bench.say(low)} to {bench.say(high)} radius",
            'give a corner_radius that a slot drill has, or say corners = "left" and file them',
        )
    return found


def _middle_box(pocket: Pocket, shape: Rectangular) -> Box:
    """Return the pocket at the middle of its limits, mm."""
    x, y = pocket.x.middle, pocket.y.middle
    half = shape.length.middle / 2, shape.width.middle / 2
    return x - half[0], y - half[1], x + half[0], y + half[1]


def _grown(box: Box, by: float) -> Box:
    """Return a box grown on all sides, its sides drawn together in the middle at least."""
    x0, y0, x1, y1 = box
    x0, x1 = (x0 - by, x1 + by) if x1 - x0 > -2 * by else ((x0 + x1) / 2,) * 2
    y0, y1 = (y0 - by, y1 + by) if y1 - y0 > -2 * by else ((y0 + y1) / 2,) * 2
    return x0, y0, x1, y1


def _rings(box: Box, step: float) -> list[Box]:
    """Return boxes from the innermost, a line or a point, to the outermost; mm."""
    depth = min(box[2] - box[0], box[3] - box[1]) / 2
    offsets = (0.0, *widening_offsets(0.0, depth, step)) if depth > 1e-9 else (0.0,)
    return [_grown(box, -each) for each in offsets][::-1]


def _roughing(
    pocket: Pocket, bench: Bench, tool: tuple[Cutter, float], rings: list[Box]
) -> Operation:
    """Return the clearing: down in the middle, then ring by ring outwards, a handle at a time."""
    cutter, floor = tool
    chained = drops_out(pocket)
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    most = pocket.ways.depth_of_cut or (SMALLER * slot_depth(bench.machine, cutter, bench.material))
    depths = even_depths(0.0, floor, most)
    moves: list[Move] = []
    above = 0.0
    for number, z in enumerate(depths, start=1):
        what = f"depth {number} of {len(depths)}"
        moves.extend(_one_depth(rings, (above, z), figures, (bench, what)))
        above = z
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=figures,
        why="down at the start, then round, against the cutter's turn: "
        + ("through the webs of the chain" if chained else "ring by ring outwards")
        + "; the first round is full width",
        moves=tuple(moves),
        depth_of_cut=-depths[0],
        width_of_cut=_step(pocket, cutter),
        notes=(
            cautions.full_width(bench.machine),
            cautions.CONVENTIONAL,
            *((cautions.COMES_LOOSE,) if chained else ()),
        ),
    )


def _one_depth(
    rings: list[Box], heights: tuple[float, float], figures: Cutting, words: tuple[Bench, str]
) -> Iterator[Move]:
    """Yield one depth: down at the start of the innermost ring, then each ring clockwise."""
    above, z = heights
    bench, what = words
    x0, y0 = rings[0][:2]
    yield Rapid(x0, y0, bench.clear, How(makes="size", what=f"{what}: over the start"))
    if above < 0:
        yield Rapid(x0, y0, just_above(bench.machine, above))
    yield Feed(x0, y0, z, figures.plunge, How(makes="size", what=f"{what}: down"))
    at = (x0, y0)
    for number, ring in enumerate(rings, start=1):
        name = f"{what}, ring {number} of {len(rings)}"
        for place in _round(at, ring):
            how = How(makes="stop", what=name)
            yield Feed(*place, z, figures.feed, how)
            at = place
    yield Rapid(*at, bench.clear)


def _round(at: tuple[float, float], ring: Box) -> Iterator[tuple[float, float]]:
    """Yield the places of a ring clockwise, come to from within along one axis, and back to it.

    Clockwise, the wall lies on the left: against the cutter's turn.
    """
    x0, y0, x1, y1 = ring
    start = (x0, at[1])
    places = [start, (x0, y1), (x1, y1), (x1, y0), (x0, y0), start]
    before = at
    for place in places:
        if abs(place[0] - before[0]) + abs(place[1] - before[1]) > 1e-9:
            yield place
            before = place


def _finishing(
    pocket: Pocket, bench: Bench, tool: tuple[Cutter, float, float], box: Box
) -> Operation:
    """Return the last cut down each wall, after a measure step."""
    cutter, floor, allowance = tool
    figures = cutting(bench.machine, cutter, bench.material, "end milling finish")
    width = widest_finish(wanted_pocket(pocket, bench).region, cutter.radius, allowance + BAND / 2)
    most = side_depth(bench.machine, cutter, bench.material, width)
    depths = even_depths(0.0, floor, most)
    before = measures(pocket, bench, allowance)
    moves: list[Move] = []
    for wall in ("left wall", "back wall", "right wall", "front wall"):
        found = _wall(wall, box, cutter, before[0].name)
        for above, z in pairwise((0.0, *depths)):
            moves.extend(wall_cut(found, (above, z), figures, bench))
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=figures,
        why=f"each wall to size, {bench.say(allowance)} off each",
        moves=tuple(moves),
        before=(*lifted_out(pocket), *before),
        depth_of_cut=-depths[0],
        width_of_cut=allowance,
        notes=(cautions.CONVENTIONAL,),
    )


def _wall(name: str, box: Box, cutter: Cutter, measure: str) -> Wall:
    """Return one wall, cut against the cutter's turn."""
    x0, y0, x1, y1 = _grown(box, -cutter.radius)
    start, end = {
        "left wall": ((x0, y0), (x0, y1)),
        "back wall": ((x0, y1), (x1, y1)),
        "right wall": ((x1, y1), (x1, y0)),
        "front wall": ((x1, y0), (x0, y0)),
    }[name]
    start = off_its_corner(start, end)
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    return Wall(
        name=name,
        start=start,
        end=end,
        sums=_sums(name, box, cutter),
        start_rules=rules_about(middle, start, measure),
        end_rules=rules_about(middle, end, measure),
    )


def _sums(name: str, box: Box, cutter: Cutter) -> tuple[tuple[Axis, tuple[Term, ...]], ...]:
    """Return the sum of the wall's place across it."""
    wall, axis, sign = {
        "left wall": (box[0], "x", 1.0),
        "right wall": (box[2], "x", -1.0),
        "front wall": (box[1], "y", 1.0),
        "back wall": (box[3], "y", -1.0),
    }[name]
    which: Axis = "x" if axis == "x" else "y"
    terms = (Term(name, wall), Term(f"half of the {cutter.name}", sign * cutter.radius))
    return ((which, terms),)
