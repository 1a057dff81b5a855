"""What is to be cleared of an area at the middle of its limits, and how deep."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.job.areas import Free, Outside, Pocket, Rectangular, contour_with
from pathgen.job.contour import Contour, reversed_contour
from pathgen.job.sizes import Size
from pathgen.plan.bench import Bench
from pathgen.plan.heights import OVERCUT

ALLOWANCE = 0.3  # mm left on each wall for the finish (common practice, no source)
BEYOND = 2.0  # mm that a cutter goes beyond the blank's edge at an open side
ERROR = 0.0005  # mm that chords lie off their arcs


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Wanted:
    """What is to be cleared, at the middle of its limits; setup's frame, mm."""

    region: BaseGeometry
    floor: float  # z of the last pass
    tightest: float  # least radius of an inside corner; 0 for a sharp one, inf for none


def region_of(contour: Contour) -> BaseGeometry:
    """Return what a contour encloses."""
    return shapely.Polygon(contour.points(ERROR))


def wanted_pocket(pocket: Pocket, bench: Bench) -> Wanted:
    """Return what is to be cleared of a pocket.

    Raises:
        Refusal: it goes through and there is no air beneath.
    """
    contour = _at_middle(pocket)
    region = region_of(contour)
    if isinstance(pocket.shape, Free) and pocket.shape.departure.middle:
        region = region.buffer(pocket.shape.departure.middle, join_style="mitre")
    off = 0.0 if pocket.island_departure is None else -pocket.island_departure.middle
    islands = [region_of(each).buffer(off, join_style="mitre") for each in pocket.islands]
    outer = [contour.tightest]
    # What is an outside corner of an island is none for a cutter that goes round it.
    inner = [_tightest_about(island) for island in pocket.islands]
    return Wanted(
        region=region.difference(shapely.union_all(islands)),
        floor=floor_of(pocket.depth, bench),
        tightest=min(outer + inner),
    )


def _at_middle(pocket: Pocket) -> Contour:
    corner = pocket.shape.corner if isinstance(pocket.shape, Rectangular) else 0.0
    found = contour_with(pocket, lambda size: size.middle, corner)
    return pocket.contour if found is None else found


def _tightest_about(island: Contour) -> float:
    """Return the least radius of a hollow in an island's outline, mm."""
    return reversed_contour(island).tightest


def wanted_outside(outside: Outside, bench: Bench, diameter: float, spare: float) -> Wanted:
    """Return what is to be cleared round a part: all of the blank, or a groove for the cutter.

    Args:
        outside: the part's contour.
        bench: what it is cut from.
        diameter: of the cutter, mm.
        spare: what is left on the part's wall for the finish, mm.
    """
    part = part_of(outside)
    (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
    reach = diameter / 2 + BEYOND
    blank = shapely.box(x0 - reach, y0 - reach, x1 + reach, y1 + reach)
    whole = blank if outside.cleared else part.buffer(diameter + 2 * spare, quad_segs=64)
    return Wanted(
        region=whole.difference(part),
        floor=floor_of(outside.depth, bench),
        tightest=_tightest_about(outside.contour),
    )


def part_of(outside: Outside) -> BaseGeometry:
    """Return the part that an outside leaves standing, at the middle of its limits."""
    off = -outside.departure.middle
    part: BaseGeometry = region_of(outside.contour).buffer(off, join_style="mitre")
    return part


def floor_of(depth: Size | None, bench: Bench) -> float:
    """Return the z of the last pass, mm: a little below the underside where it goes through.

    Raises:
        Refusal: it goes through and there is no air beneath.
    """
    if depth is not None:
        return -depth.middle
    if bench.setup.hold.beneath < OVERCUT:
        raise Refusal(
            bench.setup.where.at("hold.beneath"),
            f"cutting through with {bench.say(bench.setup.hold.beneath)} of air beneath",
            f"hold the blank with {bench.say(OVERCUT)} of air under the cut at least",
        )
    return bench.bottom - OVERCUT
