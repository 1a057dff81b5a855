"""Planning any pocket or outside on handles: strips within, steps along what is off the axes.

Walls along the axes are cut to size, each in one straight. Of the others the cutter leaves a ridge
between any two stops, and a little beside the line, which a person has agreed to file off.
"""

from __future__ import annotations

from collections.abc import Callable

from pathgen.job.areas import Outside, Pocket, Rectangular
from pathgen.plan.areas.chain import chain_operations
from pathgen.plan.areas.mills import choose_mill, wanted_at
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cut_way import climbs
from pathgen.plan.hands.bridges import spans
from pathgen.plan.hands.finishing import finishing
from pathgen.plan.hands.region import filing, hand_region, must_file
from pathgen.plan.hands.roughing import roughing
from pathgen.plan.hands.work import Work
from pathgen.shop.cutters import Cutter


def plan_in_steps(area: Pocket | Outside, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make an area on handles, in strips and steps.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    climbs(area.ways, bench)  # refused by hand
    files = filing(area, bench) if must_file(area) else None
    cutter = choose_mill(area, bench, _does_by_hand(area))
    ground = hand_region(area, bench, cutter)
    if files is None and not ground.walls.filed.is_empty:
        files = filing(area, bench)
    bridges = spans(area, bench, cutter.radius) if isinstance(area, Outside) else ()
    work = Work(area=area, bench=bench, cutter=cutter, ground=ground, filing=files, bridges=bridges)
    chained = area.ways.way == "chain drilled"
    wanted = wanted_at(area, bench, cutter)
    chain = chain_operations(area, bench, wanted) if chained and isinstance(area, Pocket) else ()
    return (*chain, roughing(work), finishing(work))


def _does_by_hand(area: Pocket | Outside) -> Callable[[Cutter], str]:
    """Return what is asked of a mill by hand: that it goes straight down, and makes the corners."""

    def why_not(cutter: Cutter) -> str:
        if not cutter.cuts_at_centre:
            return f"{cutter.name} does not cut at its centre, and has to go straight down"
        shape = area.shape if isinstance(area, Pocket) else None
        wanted = shape.corner_low if isinstance(shape, Rectangular) else 0.0
        if cutter.radius < wanted:
            return f"{cutter.name} leaves corners sharper than wanted"
        return ""

    return why_not
