"""Which mill cuts an area, and what is to be cleared with it."""

from __future__ import annotations

from collections.abc import Callable

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.job.areas import Corners, Outside, Pocket
from pathgen.plan.areas.region import ALLOWANCE, Wanted, wanted_outside, wanted_pocket
from pathgen.plan.areas.rings import moved_in
from pathgen.plan.bench import Bench
from pathgen.shop.cutters import MILLS, Cutter

LARGEST = 16.0  # mm: a larger mill is not chosen unless the job names it
UNREACHED = 0.005  # mm that a wall may lie off where a cutter reaches, by chords and rounding
COVERED = 1e-3  # mm2 that a cutter may leave uncovered


def nothing_else(_: Cutter) -> str:
    """Return nothing: no more is asked of a mill."""
    return ""


def wanted_at(area: Pocket | Outside, bench: Bench, cutter: Cutter) -> Wanted:
    """Return what is to be cleared of an area with a cutter."""
    if isinstance(area, Pocket):
        return wanted_pocket(area, bench)
    return wanted_outside(area, bench, cutter.diameter, area.ways.allowance or ALLOWANCE)


def choose_mill(
    area: Pocket | Outside, bench: Bench, also: Callable[[Cutter], str] = nothing_else
) -> Cutter:
    """Return the mill that cuts an area: the largest that fits its corners and passages.

    Args:
        area: what is cut.
        bench: the machine it is cut on.
        also: returns why a mill that fits does not do all the same, or nothing.

    Raises:
        Refusal: the crib has none, or the one that the job names does not fit.
    """
    named = area.ways.finish or area.ways.rough
    if named is not None:
        cutter = bench.named(named, MILLS, area.where.at("ways"))
        wrong = _unfit(area, bench, cutter) or also(cutter)
        if wrong:
            raise Refusal(area.where.at("ways"), wrong, "name a smaller or longer one, or none")
        return cutter
    found = bench.largest(
        MILLS, LARGEST, lambda each: not (_unfit(area, bench, each) or also(each))
    )
    if found is not None:
        return found
    raise Refusal(area.where, _why_none(area, bench, also), _remedy(area.corners))


def _why_none(area: Pocket | Outside, bench: Bench, also: Callable[[Cutter], str]) -> str:
    """Return why no mill of the crib does: what is wrong with the smallest that does else."""
    mills = bench.of_kind(*MILLS)
    if not mills:
        return "the crib has no mill"
    smallest = next((each for each in mills if not also(each)), None)
    if smallest is not None:
        return _unfit(area, bench, smallest)
    near = next((each for each in reversed(mills) if not _unfit(area, bench, each)), mills[0])
    return _unfit(area, bench, near) or also(near)


def _remedy(corners: Corners) -> str:
    if corners == "refused":
        return 'put a smaller or longer mill into the crib, or say corners = "left" and file them'
    return "put a smaller or longer mill into the crib"


def _unfit(area: Pocket | Outside, bench: Bench, cutter: Cutter) -> str:
    """Return why a mill does not do for an area, or nothing."""
    wanted = wanted_at(area, bench, cutter)
    if -wanted.floor > cutter.flute_length:
        return (
            f"{cutter.name} has flutes of {bench.say(cutter.flute_length)}, and the cut is "
            f"{bench.say(-wanted.floor)} deep"
        )
    if area.corners == "refused" and cutter.radius > wanted.tightest + 1e-6:
        return (
            f"an inside corner of {bench.say(wanted.tightest)} radius is tighter than {cutter.name}"
        )
    if isinstance(area, Outside) and area.bridges and not cutter.cuts_at_centre:
        return f"{cutter.name} does not cut at its centre, as it must beside a bridge"
    groove = isinstance(area, Outside) and not area.cleared  # as wide as the cutter makes it
    allowance = 0.0 if groove else area.ways.allowance or ALLOWANCE
    centre = moved_in(wanted.region, cutter.radius + allowance)
    if centre.is_empty or _holes_of_parts(centre) != _holes_of_parts(wanted.region):
        return f"{cutter.name} does not pass everywhere between the walls"
    if area.corners == "refused":
        reached = moved_in(moved_in(wanted.region, cutter.radius), -cutter.radius)
        (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
        blank = wanted.region.intersection(shapely.box(x0, y0, x1, y1))
        left = blank.difference(reached.buffer(UNREACHED))
        if left.area > COVERED:
            return f"{cutter.name} does not reach everywhere between the walls"
    return ""


def _holes_of_parts(region: BaseGeometry) -> list[int]:
    """Return how many islands each piece of a region has: a cutter must pass round all."""
    return sorted(len(part.interiors) for part in shapely.get_parts(region))
