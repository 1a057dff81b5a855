"""Whether the machine goes as far as a plan asks: refused before anything is written."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from pathgen.input.where import Refusal
from pathgen.moves.actions import Zero
from pathgen.moves.moves import AXES, Arc, Axis, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item, PlannedSetup
from pathgen.plan.bench import Bench

NEARLY = 1e-6  # mm
ACROSS: tuple[Axis, Axis] = ("x", "y")


def guard_travel(plan: PlannedSetup, bench: Bench) -> None:
    """Raise where the places of a plan, touches too, span more than the machine's travel across.

    Depth is left to the check, which looks at it cutter by cutter.

    Raises:
        Refusal: an axis is too short.
    """
    machine, setup = bench.machine, bench.setup
    items = [*plan.before, *(item for each in plan.passes for item in each.items), *plan.after]
    for axis in ACROSS:
        places = [place for place in _places(items, axis) if not math.isnan(place)]
        if not places:
            continue
        span, travel = max(places) - min(places), machine.travel[AXES.index(axis)]
        if span > travel + NEARLY:
            raise Refusal(
                setup.where.at("machine"),
                f"{machine.name} goes {bench.say(travel)} along {axis}, and this setup needs "
                f"{bench.say(span)}, from {bench.say(min(places))} to {bench.say(max(places))}",
                "clamp the work the other way round or in two setups, touch a nearer face, or name "
                "a larger machine",
            )


def _places(items: Iterable[Item], axis: Axis) -> Iterator[float]:
    """Yield the places of an axis that items come to."""
    index = AXES.index(axis)
    for item in items:
        if isinstance(item, Rapid | Feed | Arc | Drill):
            yield end_of(item)[index]
        elif isinstance(item, Zero) and item.axis == axis:
            yield from (touch.at for touch in item.touches)
