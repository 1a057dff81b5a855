"""The last cuts of an area on handles: walls along the axes to size, steps along the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pathgen.job.areas import Pocket, Rectangular
from pathgen.moves.moves import Axis, How, Move, Rapid, Term
from pathgen.plan import cautions
from pathgen.plan.areas.measures import measures
from pathgen.plan.bench import Operation, even_depths
from pathgen.plan.cut_way import lifted_out
from pathgen.plan.cutting import Cutting, cutting, side_depth
from pathgen.plan.hands.runs import Run
from pathgen.plan.hands.walls import Wall, off_its_corner, on_to_wall, rules_about
from pathgen.plan.hands.work import Work, along_places, deeper, told


def finishing(work: Work) -> Operation:
    """Return the last cuts: walls along the axes to size, steps along the others."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "end milling finish")
    most = side_depth(bench.machine, cutter, bench.material, work.left)
    depths = even_depths(0.0, work.ground.floor, most)
    least, ridge = (work.filing.least, work.filing.most) if work.filing else (0.0, 0.0)
    centre = work.ground.centre(cutter.radius, 0.0, least)
    rectangular = isinstance(work.area, Pocket) and isinstance(work.area.shape, Rectangular)
    before = measures(work.area, bench, work.allowance) if rectangular else ()
    moves: list[Move] = []
    for row, runs in enumerate(work.rings(centre, ridge)):
        measure = before[0].name if before and row == 0 else ""
        for chain in _chains(runs):
            for heights in pairwise((0.0, *depths)):
                moves.extend(_one_chain(work, figures, chain, heights, measure))
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=told(figures, moves),
        why=_why_finish(work),
        moves=tuple(moves),
        before=(*lifted_out(work.area), *before),
        depth_of_cut=deeper(moves),
        width_of_cut=work.left,
        notes=(cautions.CONVENTIONAL,),
    )


def _why_finish(work: Work) -> str:
    say, files = work.bench.say, work.filing
    if files is None:
        return f"each wall to size, {say(work.allowance)} off each"
    straight = "" if work.ground.walls.along.is_empty else "walls along the axes to size; "
    return (
        f"{straight}in steps along curved and slanted walls, to {say(files.least)} beside the "
        f"line, with ridges of {say(files.most)} at most: these are filed to the line"
    )


def _chains(runs: Sequence[Run]) -> Iterator[list[Run]]:
    """Yield runs that are cut without lifting between them: a straight, and steps after it."""
    chain: list[Run] = []
    for run in runs:
        if chain and not run.filed:
            yield chain
            chain = []
        chain.append(run)
    yield chain


def _one_chain(
    work: Work,
    figures: Cutting,
    chain: Sequence[Run],
    heights: tuple[float, float],
    measure: str,
) -> Iterator[Move]:
    """Yield one cut along a wall to size, if the chain begins with one, and the steps after it."""
    wall = _wall(work, chain[0], measure)
    z = heights[1]
    down = (heights[0], work.height_at(wall.start, z))
    yield from on_to_wall(wall, down, figures, work.bench)
    for run in chain:
        words = "steps" if run.filed else f"{wall.name}: along"
        rules = () if run.filed else wall.end_rules
        places = run.places if run.filed else (wall.start, wall.end)
        yield from along_places(work, figures, places, z, words, rules)
    rules = wall.end_rules if len(chain) == 1 else ()
    yield Rapid(*chain[-1].places[-1], work.bench.clear, How(rules=rules))


def _wall(work: Work, run: Run, measure: str) -> Wall:
    """Return what is first cut of a chain as a wall: where it begins and ends, its sum."""
    start, end = run.places[0], run.places[-1]
    if run.filed:
        return Wall(name="steps", start=start, end=end, sums=())
    level = abs(end[0] - start[0]) > abs(end[1] - start[1])
    start = off_its_corner(start, end)
    axis: Axis = "y" if level else "x"
    # The wall lies on the left: going plus along x at plus y, going plus along y at minus x.
    forth = end[0] > start[0] if level else end[1] < start[1]
    off = work.cutter.radius if forth else -work.cutter.radius
    across = start[1] if level else start[0]
    name = f"wall at {axis} {work.bench.say(across + off)}"
    terms = (Term(name, across + off), Term(f"half of the {work.cutter.name}", -off))
    x0, y0, x1, y1 = work.area.box
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    return Wall(
        name=name,
        start=start,
        end=end,
        sums=((axis, terms),),
        start_rules=rules_about(middle, start, measure) if measure else (),
        end_rules=rules_about(middle, end, measure) if measure else (),
    )
