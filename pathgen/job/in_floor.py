"""Holes in the floor of a pocket that is cut in the same setup."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from pathgen.input.getters import Table
from pathgen.input.where import JobError, listed, nearest
from pathgen.job.apart import most_off
from pathgen.job.areas import Pocket
from pathgen.job.holes import Floor, Holes
from pathgen.job.job import Feature
from pathgen.job.stock import Workpiece

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

KEY = "in_floor_of"


def placed_in_floors(table: Table, features: list[Feature], workpiece: Workpiece) -> list[Feature]:
    """Return features with holes in floors told how deep these lie; record what cannot be.

    Args:
        table: the setup.
        features: as they were read.
        workpiece: what they are cut into.
    """
    pockets = {each.name: each for each in features if isinstance(each, Pocket)}
    placed: list[Feature] = []
    for each in features:
        if not isinstance(each, Holes) or each.floor is None:
            placed.append(each)
            continue
        pocket = pockets.get(each.floor.of)
        if pocket is None or pocket.depth is None:
            table.record(_no_floor(each, each.floor.of, pockets))
            continue
        found = _placed(each, Floor(of=pocket.name, depth=pocket.depth))
        _guard(table, found, pocket, workpiece)
        placed.append(found)
    return placed


def _placed(holes: Holes, floor: Floor) -> Holes:
    """Return holes as they begin in the floor of their pocket, without a mouth in the top face."""
    depth = None if holes.depth is None else floor.below(holes.depth)
    return replace(holes, floor=floor, depth=depth, countersink=None, counterbores=())


def _no_floor(holes: Holes, of: str, pockets: dict[str, Pocket]) -> JobError:
    """Return the error of holes in a floor that is not there."""
    known = [name for name, each in pockets.items() if each.depth is not None]
    wrong = "goes through: it has no floor" if of in pockets else "is no pocket of this setup"
    right = f"name {listed(known)}" if known else "take it out"
    return JobError(holes.where.at(KEY), f"{of!r} {wrong}", nearest(of, known) or right)


def _guard(table: Table, holes: Holes, pocket: Pocket, workpiece: Workpiece) -> None:
    """Record holes that run into the walls of their pocket, or out of the underside."""
    if not _within(holes, pocket):
        table.record(
            JobError(
                holes.where.at(KEY),
                f"the holes do not lie within the floor of {pocket.name!r} altogether",
                "move them off its walls and islands",
            )
        )
    if holes.depth is None:
        return
    deepest = holes.depth.high + holes.below
    if deepest >= workpiece.height:
        table.record(
            JobError(
                holes.where.at("depth"),
                f"with the pocket, the drill's point and what goes before it up to "
                f"{table.say(deepest)} from the top face, in a blank {table.say(workpiece.height)} "
                "thick",
                'give a smaller depth, closer depth_limits, or "through"',
            )
        )


def _within(holes: Holes, pocket: Pocket) -> bool:
    """Return whether holes at their largest lie in a pocket's floor at its smallest.

    Its limits are taken to be as far to one side as to the other.
    """
    import shapely  # noqa: PLC0415 - heavy; only jobs with such holes need it

    floor: BaseGeometry = shapely.Polygon(pocket.contour.points(0.001)).buffer(-most_off(pocket))
    off = 0.0 if pocket.island_departure is None else -pocket.island_departure.low
    for island in pocket.islands:
        floor = floor.difference(shapely.Polygon(island.points(0.001)).buffer(off))
    half = holes.bore.high / 2
    return all(floor.covers(shapely.Point(place.at).buffer(half)) for place in holes.places)
