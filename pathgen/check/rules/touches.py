"""Where a cutter's end is touched down for its depth zero: on whole metal, clear of clamps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.legs import RAPID
from pathgen.check.metal.sweeps import SAME
from pathgen.check.places import distance_to_legs
from pathgen.check.rules.zeros import loses_depth
from pathgen.moves.actions import FitCutter, Zero

# Of the diameter: so far from its middle the metal has to be whole, so that the middle and most of
# one half of an end stand on it (common practice, no source).
WHOLE = 0.25
LEAST = 0.25  # mm, for the thinnest cutters
UNDER = 0.01  # mm below the top face that is looked at


@dataclass(frozen=True, slots=True)
class _Down:
    """A touch from above: which item of the run it is, in which line, where, how wide; mm."""

    item: int
    number: int
    place: tuple[float, float]
    diameter: float

    @property
    def around(self) -> float:
        """Return how far all round the metal has to be whole, mm."""
        return max(LEAST, WHOLE * self.diameter)


def touch_findings(context: Context) -> Iterator[Finding]:
    """Yield depth zeros taken over no whole metal, or where something stands in the way.

    To be asked before the metal is cleared along the run: what the run itself cut before a touch
    is looked for in its legs.
    """
    if not loses_depth(context):
        return
    tools = iter(context.legs.tools)
    diameter = 0.0
    for index, item in enumerate(context.run.items):
        if isinstance(item, FitCutter):
            diameter = next(tools).diameter
        elif isinstance(item, Zero) and item.axis == "z":
            number, over = context.run.numbers[index], item.touches[0].over
            if over is None:
                yield _finding(context, number, "no place is given for it")
            else:
                yield from _down(context, _Down(index, number, over, diameter))


def _down(context: Context, down: _Down) -> Iterator[Finding]:
    """Yield what is wrong with the place of a touch."""
    x, y = down.place
    said = f"at x {x:.2f} y {y:.2f} mm"
    for keepout in context.setup.hold.keepouts:
        box = shapely.box(*keepout.low[:2], *keepout.high[:2])
        stands_up = keepout.high[2] > context.box[1][2]
        if stands_up and box.distance(shapely.Point(x, y)) < down.diameter / 2 - SAME:
            yield _finding(context, down.number, f"{said} {keepout.name!r} is in the way")
    if not _is_whole(context, down):
        yield _finding(context, down.number, f"{said} there is no whole metal under it")


def _is_whole(context: Context, down: _Down) -> bool:
    """Return whether the top face is there and was not cut, a quarter of the end all round.

    Of a round shaft that is what lies no lower than `UNDER` its crown, and the middle of the end,
    which may be pointed, has to be over it.
    """
    top = context.box[1][2]
    disc: BaseGeometry = shapely.Point(down.place).buffer(down.around - SAME)
    if context.metal.crown is not None:
        disc = context.metal.crown.within(disc, top - UNDER)
        if not disc.intersects(shapely.Point(down.place)):
            return False
    left = context.metal.metal_in(disc, top - UNDER)
    return left.area >= disc.area * (1 - 1e-6) and not _cut_before(context, down, top)


def _cut_before(context: Context, down: _Down, top: float) -> bool:
    """Return whether the run itself cut the top face there before: of a T-slot its throat."""
    legs = context.legs
    before = (legs.item < down.item) & (legs.kind != RAPID)
    rows = np.flatnonzero(before & (top - legs.low > SAME))
    if not len(rows):
        return False
    wide = legs.radius_at(rows, top)
    away = distance_to_legs(legs.start[rows, :2], legs.end[rows, :2], down.place)
    return bool((away < wide + down.around - SAME).any())


def _finding(context: Context, number: int, what: str) -> Finding:
    return context.finding_by(
        "touch",
        f"the depth zero is taken from above, and {what}",
        number,
        "touch down over metal that is whole, clear of clamps",
    )
