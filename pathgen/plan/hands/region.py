"""Where the cutter's centre may be in an area that is cut by hand, and what a file has to do."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import assert_never

import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.input.where import Refusal
from pathgen.job.areas import Free, Outside, Pocket, Rectangular, Round, contour_with
from pathgen.job.contour import Bend, Contour, Segment, Spot, chords, swept_angle
from pathgen.plan.areas.region import BEYOND, ERROR, floor_of, region_of
from pathgen.plan.areas.rings import moved_in
from pathgen.plan.bench import Bench
from pathgen.plan.hands.runs import NO_CORNER
from pathgen.plan.hands.steps import Walls
from pathgen.shop.cutters import Cutter

LINE = 0.05  # mm that stays beside a scribed line, so that it is whole (common practice, no source)
FILED_TO = 0.1  # mm either way that a filed wall keeps at best (common practice, no source)
USUAL = 0.3  # mm that a job may grant, said as an example
CORNER_DEG = 100.0  # a longer arc between two walls is an end, and no corner
LEAST_RIDGE = 0.08  # mm between what stays at a stop and between two of them: less is no step


@dataclass(frozen=True, slots=True, kw_only=True)
class Filing:
    """What handles leave on walls off the axes; mm."""

    least: float  # where the cutter touches: beside the line
    most: float  # on the ridges between, as the handles are set
    turning: float  # of it because a handle is wound by so much at least
    granted: float  # by the job


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HandRegion:
    """What is to be cleared by hand, at the middle of its limits; setup's frame, mm."""

    region: BaseGeometry
    walls: Walls
    floor: float
    outer: bool  # whether its outer edge is a wall

    def centre(self, radius: float, off: float, off_filed: float) -> BaseGeometry:
        """Return where a cutter's centre may be so far off walls along the axes, and off others."""
        centre = moved_in(self.region, radius + off)
        if self.walls.filed.is_empty or off_filed <= off:
            return centre
        filed = self.walls.filed.buffer(radius + off_filed, cap_style="flat", quad_segs=64)
        found: BaseGeometry = centre.difference(filed)
        return found


def must_file(area: Pocket | Outside) -> bool:
    """Return whether some wall of an area is off the axes, whatever the cutter."""
    return any(filed_contours(area))


def filed_contours(area: Pocket | Outside) -> tuple[Contour, ...]:
    """Return the contours of an area that have walls off the axes, whatever the cutter."""
    edges = [edge for edge in _edges(area) if any(True for _ in _off_axes(edge, None))]
    return tuple(edge.contour for edge in edges)


def filing(area: Pocket | Outside, bench: Bench) -> Filing:
    """Return what handles leave to be filed on an area's walls.

    Raises:
        Refusal: the job grants no filing, or less than this machine leaves; or a file cannot keep
            the limits.
    """
    if area.file_to_line is None:
        raise Refusal(
            area.where,
            "one handle at a time, curved and slanted walls are cut in steps and have to be filed",
            "say file_to_line, how much you will file off to a scribed line at most, such as "
            f"{bench.say(USUAL)}; or lay a round one on a rotary table, hold.centre at its own "
            "centre (an outside cleared, without bridges); or take a converted mill",
        )
    _refuse_fine(area, bench)
    _refuse_mate(area, bench)
    doubt = math.sqrt(2) * max(_doubt(bench, axis) for axis in (0, 1))
    turning = max(_turning(bench, axis) for axis in (0, 1))
    least, most = max(LINE, doubt), area.file_to_line - doubt
    wanted = least + doubt + turning + LEAST_RIDGE
    if area.file_to_line < wanted:
        raise Refusal(
            area.where.at("file_to_line"),
            f"{bench.say(area.file_to_line)}, of which the slack and the dials of this machine "
            f"take {bench.say(doubt + turning)}",
            f"grant {bench.say(math.ceil(wanted * 100) / 100)} or more",
        )
    return Filing(least=least, most=most, turning=turning, granted=area.file_to_line)


def _doubt(bench: Bench, axis: int) -> float:
    """Return how far a stop may lie off, mm: half a judged part, and the slack's spread."""
    if bench.machine.control is not None:  # one that goes along no arc
        return bench.machine.control.repeatability
    slide = bench.machine.slide(("x", "y")[axis])
    return slide.count / 2 + slide.slack_spread


def _turning(bench: Bench, axis: int) -> float:
    """Return by how much a handle is wound at least, so that its slide surely moves, mm."""
    if bench.machine.control is not None:
        return 0.0
    slide = bench.machine.slide(("x", "y")[axis])
    return slide.slack_spread + 2 * slide.count


def _refuse_fine(area: Pocket | Outside, bench: Bench) -> None:
    """Refuse limits that are closer than a file keeps."""
    for key, band in _bands(area).items():
        if band / 2 < FILED_TO - 1e-9:
            raise Refusal(
                area.where.at(key),
                f"walls that are filed, between limits {bench.say(band)} apart",
                f"a file keeps a line to within {bench.say(FILED_TO)} either way at best: widen "
                "the limits, or take a converted mill",
            )


def _refuse_mate(area: Pocket | Outside, bench: Bench) -> None:
    """Refuse to file what another part has to go into with a play."""
    round_one = isinstance(area, Pocket) and isinstance(area.shape, Round)
    mates = [each for each in bench.job.mates if each.setup == bench.setup.name]
    if round_one and any(each.feature == area.name for each in mates):
        raise Refusal(
            area.where,
            "a round pocket that another part goes into with a play, left to a file",
            "bore it, or take a converted mill",
        )


def _bands(area: Pocket | Outside) -> dict[str, float]:
    """Return how wide a band filed walls may lie in, mm, by the key that says so."""
    if isinstance(area, Outside):
        return {"walls": area.departure.high - area.departure.low}
    bands = {}
    match area.shape:
        case Round(diameter=size):
            bands["round"] = (size.high - size.low) / 2
        case Free(departure=size):
            bands["walls"] = size.high - size.low
        case Rectangular():
            pass
        case _:
            assert_never(area.shape)
    islands = any(True for edge in _edges(area)[1:] for _ in _off_axes(edge, None))
    if area.island_departure is not None and islands:
        bands["island_walls"] = area.island_departure.high - area.island_departure.low
    return bands


def hand_region(area: Pocket | Outside, bench: Bench, cutter: Cutter) -> HandRegion:
    """Return what is to be cleared by hand with a cutter.

    A rectangle is taken with sharp corners: the cutter makes them by its own radius.
    """
    edges = _edges(area)
    if isinstance(area, Pocket):
        whole, *islands = (_moved(edge) for edge in edges)
        region = whole.difference(shapely.union_all(islands))
    else:
        (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
        reach = 3 * cutter.radius + BEYOND  # so that it comes down beside the blank
        around = shapely.box(x0 - reach, y0 - reach, x1 + reach, y1 + reach)
        region = around.difference(_moved(edges[0]))
    filed = [line for edge in edges for line in _lines(edge, cutter, filed=True)]
    along = [line for edge in edges for line in _lines(edge, cutter, filed=False)]
    return HandRegion(
        region=region,
        walls=Walls(along=_merged(along), filed=_merged(filed)),
        floor=floor_of(area.depth, bench),
        outer=isinstance(area, Pocket),
    )


def _merged(lines: list[BaseGeometry]) -> BaseGeometry:
    """Return lines as one, those joined that go on from one another."""
    return shapely.line_merge(shapely.union_all(lines))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Edge:
    """A contour that is a wall, and how far it is moved out to the middle of its limits, mm."""

    contour: Contour
    out: float
    within: bool  # what is cleared lies within it
    limited: bool = False  # its corners have limits of their own: no file is wanted


def _edges(area: Pocket | Outside) -> list[_Edge]:
    """Return the walls of an area, a pocket's outer one first."""
    if isinstance(area, Outside):
        return [_Edge(contour=area.contour, out=-area.departure.middle, within=False)]
    shape = area.shape
    outer = contour_with(area, lambda size: size.middle, 0.0) or area.contour
    out = shape.departure.middle if isinstance(shape, Free) else 0.0
    off = 0.0 if area.island_departure is None else area.island_departure.middle
    limited = isinstance(shape, Rectangular)
    return [
        _Edge(contour=outer, out=out, within=True, limited=limited),
        *(_Edge(contour=island, out=-off, within=False) for island in area.islands),
    ]


def _moved(edge: _Edge) -> BaseGeometry:
    region = region_of(edge.contour)
    return region.buffer(edge.out, join_style="mitre") if edge.out else region


def _lines(edge: _Edge, cutter: Cutter, *, filed: bool) -> Iterator[BaseGeometry]:
    """Yield the pieces of a wall that a file finishes, or those that are cut to size; mm."""
    off = {start for start, _ in _off_axes(edge, cutter.radius)}
    for start, segment in edge.contour.legs():
        if (start in off) == filed:
            line = shapely.LineString([start, *chords(start, segment, ERROR)])
            yield line.offset_curve(-edge.out, join_style="mitre") if edge.out else line


def _off_axes(edge: _Edge, radius: float | None) -> Iterator[tuple[Spot, Segment]]:
    """Yield what a file finishes of a wall: what is off the axes, but for round inside corners.

    Those between walls along the axes are made by the cutter, if it is of their radius. Without a
    radius some cutter is taken to do so.
    """
    if edge.limited:
        return
    rows = list(edge.contour.legs())
    off = {start for start, _ in edge.contour.off_axes()}
    for row, (start, segment) in enumerate(rows):
        beside = rows[row - 1][0], rows[(row + 1) % len(rows)][0]
        if start in off and not (
            isinstance(segment, Bend)
            and not any(each in off for each in beside)
            and _is_own_corner(start, segment, edge, radius)
        ):
            yield start, segment


def _is_own_corner(start: Spot, bend: Bend, edge: _Edge, radius: float | None) -> bool:
    """Return whether a cutter makes an arc between two walls along the axes by its own radius."""
    inside = bend.clockwise != edge.within
    if not inside or swept_angle(start, bend) > math.radians(CORNER_DEG):
        return False
    return radius is None or abs(math.dist(start, bend.centre) - radius) <= NO_CORNER
