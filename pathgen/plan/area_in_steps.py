"""Planning any pocket or outside on handles: strips within, steps along what is off the axes.

Walls along the axes are cut to size, each in one straight. Of the others the cutter leaves a ridge
between any two stops, and a little beside the line, which a person has agreed to file off.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from pathgen.input.where import Refusal
from pathgen.job.areas import Outside, Pocket, Rectangular
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Rule, Term
from pathgen.plan import cautions
from pathgen.plan.area_chain import chain_operations
from pathgen.plan.area_measures import measures
from pathgen.plan.area_mills import choose_mill, wanted_at
from pathgen.plan.area_region import ALLOWANCE, BEYOND
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cut_way import climbs, lifted_out
from pathgen.plan.cutting import Cutting, cutting, side_depth, slot_depth
from pathgen.plan.hand_bridges import Span, lifted, spans
from pathgen.plan.hand_region import Filing, HandRegion, filing, hand_region, must_file
from pathgen.plan.hand_steps import SAME, Run, Stepping, runs_along
from pathgen.plan.hand_strips import StraightCut, strips_in
from pathgen.plan.hand_walls import Spot, Wall, off_its_corner, on_to_wall, rules_about
from pathgen.plan.heights import WORTH_A_MOVE, just_above
from pathgen.shop.cutters import Cutter

SMALLER = 0.97  # of the depth of a full slot: the cutter may cut smaller than was measured
SIDE_MARGIN = 0.7  # of a full slot's section: what the last cut takes along a wall at most
MOST_SHARE = 0.15  # of the diameter: what roughing leaves on ridges at most
OVER_FINE = 0.2  # mm that roughing leaves on ridges more than finishing, at least
BAND = 0.9  # of the radius: what the round along the walls clears on either side of it
STRIP_SHARE = 0.49  # of the diameter from one strip to the next
TRIES = 8  # so many times strips are laid closer
CLOSER = 0.8
FAR = 1e3  # mm
ROUNDED = 1e-5  # mm
SLIGHT = 0.05  # mm by which a way through what is cleared may rub
COVERED = 1e-3  # mm2 that may stay between strips


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Work:
    """An area, what it is cut with, and where the cutter may go; mm."""

    area: Pocket | Outside
    bench: Bench
    cutter: Cutter
    ground: HandRegion
    filing: Filing | None
    bridges: tuple[Span, ...]

    @property
    def allowance(self) -> float:
        """Return what roughing leaves on walls, beside ridges, mm."""
        return self.area.ways.allowance or ALLOWANCE

    @property
    def left(self) -> float:
        """Return what roughing leaves on walls at most, ridges counted, mm."""
        if self.filing is None:
            return self.allowance
        full = slot_depth(self.bench.machine, self.cutter, self.bench.material)
        wide = SIDE_MARGIN * full * self.cutter.diameter / -self.ground.floor
        least = max(self.filing.most, self.allowance) + OVER_FINE
        return max(least, min(wide, MOST_SHARE * self.cutter.diameter))

    def height_at(self, place: Spot, z: float) -> float:
        """Return how low the cutter may go at a place: to z, or over a bridge."""
        return max([z, *(each.top for each in self.bridges if each.part_within(place, place))])

    def rings(self, centre: BaseGeometry, most: float) -> Iterator[tuple[Run, ...]]:
        """Yield the runs along each wall, with the wall on the left.

        Raises:
            Refusal: a wall bends too tightly for steps.
        """
        turning = self.filing.turning if self.filing else 0.0
        free = centre.buffer(SLIGHT)
        shapely.prepare(free)
        stepping = Stepping(
            radius=self.cutter.radius,
            least=turning,
            most=most - turning,
            free=free,
            walls=self.ground.walls,
        )
        for part in shapely.get_parts(centre):
            rings = [(part.exterior, False)] if self.ground.outer else []
            for ring, way in (*rings, *((ring, True) for ring in part.interiors)):
                try:
                    yield runs_along(ring, stepping, anticlockwise=way)
                except ValueError as error:
                    raise Refusal(
                        self.area.where, str(error), "name a smaller cutter, or grant more to file"
                    ) from error


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
    work = _Work(
        area=area, bench=bench, cutter=cutter, ground=ground, filing=files, bridges=bridges
    )
    chained = area.ways.way == "chain drilled"
    wanted = wanted_at(area, bench, cutter)
    chain = chain_operations(area, bench, wanted) if chained and isinstance(area, Pocket) else ()
    return (*chain, _roughing(work), _finishing(work))


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


# ---------------------------------------------------------------- roughing


def _roughing(work: _Work) -> Operation:
    """Return the clearing: strip by strip, then round along the walls, depth by depth."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    full = SMALLER * slot_depth(bench.machine, cutter, bench.material)
    depths = _levels(work, work.area.ways.depth_of_cut or full)
    centre = work.ground.centre(cutter.radius, work.allowance, work.allowance)
    rings = [_joined(runs) for runs in work.rings(centre, work.left)]
    strips = _strips(work, centre, rings)
    moves: list[Move] = []
    for number, (above, z) in enumerate(pairwise((0.0, *depths)), start=1):
        walk = _Walk(work, figures, centre, (above, z), f"depth {number} of {len(depths)}")
        moves.extend(walk.strips(strips))
        for ring in rings:
            moves.extend(walk.round(ring))
        moves.extend(walk.up())
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=_told(figures, moves),
        why=_why_rough(work, strips),
        moves=tuple(moves),
        depth_of_cut=max(above - z for above, z in pairwise((0.0, *depths))),
        width_of_cut=cutter.diameter / 2,
        notes=(
            cautions.full_width(bench.machine),
            cautions.CONVENTIONAL,
            *((cautions.COMES_LOOSE,) if _comes_loose(work.area) else ()),
        ),
    )


def _comes_loose(area: Pocket | Outside) -> bool:
    if isinstance(area, Pocket):
        return area.ways.way == "chain drilled"
    return area.depth is None and not area.bridges


def _levels(work: _Work, most: float) -> tuple[float, ...]:
    """Return the z of the passes; one of them at the top of each bridge, so that it is cut once."""
    floor = work.ground.floor
    stops = sorted({floor, *(each.top for each in work.bridges)}, reverse=True)
    return tuple(z for pair in pairwise((0.0, *stops)) for z in even_depths(*pair, most))


def _why_rough(work: _Work, strips: Sequence[StraightCut]) -> str:
    """Return in words how an area is cleared."""
    left = work.bench.say(work.allowance)
    if work.filing is not None:
        left = f"{left} to {work.bench.say(work.left)}"
    if work.area.ways.way == "chain drilled":
        how = "through the webs of the chain, along the walls"
    elif strips:
        how = f"{len(strips)} strips, all the same way, the first full width, then along the walls"
    else:
        how = "along the walls, full width"
    return f"{how}; {left} is left on them"


def _joined(runs: Sequence[Run]) -> list[Spot]:
    """Return the places of runs end to end, a closed way.

    Where it ends in steps, it begins and ends at the last corner of these and not at a wall: so the
    last cut comes head on to where the first began, with no metal left beside it.
    """
    places = [runs[0].places[0], *(place for run in runs for place in run.places[1:])]
    if runs[-1].filed and len(places) > 2:
        return [places[-2], *places[:-1]]
    return places


def _strips(
    work: _Work, centre: BaseGeometry, rings: Sequence[Sequence[Spot]]
) -> tuple[StraightCut, ...]:
    """Return the strips that clear what the rounds along the walls do not reach.

    Raises:
        Refusal: some place stays uncovered however near they are laid.
    """
    area, radius = work.area, work.cutter.radius
    if area.ways.way == "chain drilled" or (isinstance(area, Outside) and not area.cleared):
        return ()
    (x0, y0, _), (x1, y1, _) = work.bench.job.blank_box(work.bench.setup)
    round_ways = [shapely.LineString(ring) for ring in rings]
    walls = [part.exterior for part in shapely.get_parts(centre) if work.ground.outer]
    walls += [ring for part in shapely.get_parts(centre) for ring in part.interiors]
    wanted = centre.intersection(shapely.box(x0, y0, x1, y1))
    across = min(work.area.ways.width_of_cut or work.cutter.diameter, 2 * STRIP_SHARE * radius)
    band = BAND * radius
    for _ in range(TRIES):
        within = centre.difference(shapely.union_all(shapely.buffer(walls, band)))
        along = _along(within)
        # From edge to edge, so that the first strip has no metal on its right.
        first, last = radius - across, radius - BEYOND
        box = (
            shapely.box(x0 - FAR, y0 - first, x1 + FAR, y1 - last)
            if along == "x"
            else shapely.box(x0 + last, y0 - FAR, x1 + first, y1 + FAR)
        )
        laid = within if work.ground.outer else within.intersection(box)
        strips = strips_in(laid, centre, across, along)
        lines = [*round_ways, *(shapely.LineString([each.start, each.end]) for each in strips)]
        swept = shapely.union_all(shapely.buffer(lines, radius - SLIGHT, quad_segs=16))
        if wanted.difference(swept).area < COVERED:
            return strips
        across, band = CLOSER * across, CLOSER * band
    raise Refusal(
        area.where,
        f"strips with {work.cutter.name} leave metal between the walls",
        "name another cutter, or take a converted mill",
    )


def _along(region: BaseGeometry) -> Literal["x", "y"]:
    """Return the axis along which fewer strips clear a region: its longer side."""
    if region.is_empty:
        return "x"
    x0, y0, x1, y1 = region.bounds
    return "x" if x1 - x0 >= y1 - y0 else "y"


@dataclass(slots=True)
class _Walk:
    """One depth: where the mill stands on its way from strip to strip and along the walls."""

    work: _Work
    figures: Cutting
    centre: BaseGeometry
    heights: tuple[float, float]  # of what is cut already, and of this depth; z
    what: str
    at: Spot | None = None
    ways: list[shapely.LineString] = field(default_factory=list)  # cut at this depth

    def strips(self, strips: Sequence[StraightCut]) -> Iterator[Move]:
        """Yield the way along all strips."""
        for number, strip in enumerate(strips, start=1):
            words = f"{self.what}, strip {number} of {len(strips)}"
            if strip.across is None:
                yield from self.up()
                yield from self._down(strip.start, words)
            else:
                back, start = strip.across
                yield from self._back(back, f"{words}: back along the last")
                yield from self._feed(start, f"{words}: across")
                yield from self._feed(strip.start, f"{words}: out to its start")
            yield from self._feed(strip.end, words)

    def round(self, places: Sequence[Spot]) -> Iterator[Move]:
        """Yield the way round along a wall, from where the mill stands if that can be done."""
        words = f"{self.what}, along the walls"
        link = self._link(places[0])
        if link is None:
            yield from self.up()
            yield from self._down(places[0], words)
        for place in link or ():
            yield from self._feed(place, f"{words}: to them")
        yield from _along_places(self.work, self.figures, places, self.heights[1], words)
        self.at = places[-1]
        self.ways.append(shapely.LineString(places))

    def _link(self, to: Spot) -> tuple[Spot, ...] | None:
        """Return by which places the mill gets to one without lifting; None if it cannot."""
        if self.at is None:
            return None
        free = self.centre.buffer(1e-4, join_style="mitre")
        for corner in ((to[0], self.at[1]), (self.at[0], to[1])):
            legs = math.dist(self.at, corner), math.dist(corner, to)
            if any(0 < leg < WORTH_A_MOVE for leg in legs):
                continue  # less than takes the slack out
            way = shapely.LineString([self.at, corner, to])
            if free.covers(way) and self._in_the_clear(way):
                return corner, to
        return None

    def _in_the_clear(self, way: shapely.LineString) -> bool:
        """Return whether all of a way but its end lies in what is cleared at this depth."""
        radius = self.work.cutter.radius
        first = substring(way, 0.0, max(way.length - radius, 0.0))
        cleared = shapely.union_all(shapely.buffer(self.ways, radius + SLIGHT))
        return bool(cleared.covers(first.buffer(radius)))

    def up(self) -> Iterator[Move]:
        """Yield the way up clear, if the mill is down."""
        if self.at is not None:
            yield Rapid(*self.at, self.work.bench.clear)
            self.at = None

    def _down(self, at: Spot, words: str) -> Iterator[Move]:
        above, z = self.heights
        bench = self.work.bench
        z = self.work.height_at(at, z)
        yield Rapid(*at, bench.clear, How(makes="size", what=f"{words}: over the start"))
        if above < 0:
            yield Rapid(*at, just_above(bench.machine, above))
        yield Feed(*at, z, self.figures.plunge, How(makes="size", what=f"{words}: down"))
        self.at = at

    def _feed(self, to: Spot, words: str) -> Iterator[Move]:
        if self.at != to:
            yield Feed(*to, self.heights[1], self.figures.feed, How(makes="stop", what=words))
            if self.at is not None:
                self.ways.append(shapely.LineString([self.at, to]))
            self.at = to

    def _back(self, to: Spot, words: str) -> Iterator[Move]:
        if self.at != to:
            yield Rapid(*to, self.heights[1], How(makes="stop", what=words))
            self.at = to


def _along_places(
    work: _Work,
    figures: Cutting,
    places: Sequence[Spot],
    z: float,
    words: str,
    rules: tuple[Rule, ...] = (),
) -> Iterator[Move]:
    """Yield the way from place to place at a depth, up and over bridges."""
    at, height = places[0], work.height_at(places[0], z)
    count = len(places) - 1
    for number, (place, level) in enumerate(lifted(places, z, work.bridges), start=1):
        if level != height:
            if level > height:  # above it first, so that its top is come to from above
                yield Rapid(*at, just_above(work.bench.machine, level), How(what="up"))
            over = How(makes="size", what=f"{words}: {'on a bridge' if level > z else 'down'}")
            yield Feed(*at, level, figures.plunge, over)
            height = level
        if math.dist(at, place) < SAME:
            continue
        to = _squared(work, at, place)
        step = f"{words}, {number} of {count}" if count > 1 and not work.bridges else words
        yield Feed(*to, level, figures.feed, How(makes="stop", what=step, rules=rules))
        at = to


def _squared(work: _Work, at: Spot, place: Spot) -> Spot:
    """Return a place exactly along an axis from another.

    A step may have ended a little farther from its wall than asked for, by less than a handle is
    ever wound: the way goes on from there.
    """
    least = max(ROUNDED, work.filing.turning - ROUNDED if work.filing else 0.0)
    x, y = (old if abs(new - old) < least else new for old, new in zip(at, place, strict=True))
    return x, y


# ---------------------------------------------------------------- finishing


def _finishing(work: _Work) -> Operation:
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
        cutting=_told(figures, moves),
        why=_why_finish(work),
        moves=tuple(moves),
        before=(*lifted_out(work.area), *before),
        depth_of_cut=_deeper(moves),
        width_of_cut=work.left,
        notes=(cautions.CONVENTIONAL,),
    )


def _told(figures: Cutting, moves: Sequence[Move]) -> Cutting:
    """Return the figures of moves: where all go straight down, the feed is that of going down."""
    feeds = [move.feed for move in moves if isinstance(move, Feed)]
    return replace(figures, feed=max(feeds, default=figures.feed))


def _deeper(moves: Sequence[Move]) -> float:
    """Return how far one level of cuts lies below the next above it at most, mm."""
    levels = {move.z for move in moves if isinstance(move, Feed)}
    return max(above - z for above, z in pairwise([0.0, *sorted(levels, reverse=True)]))


def _why_finish(work: _Work) -> str:
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
    work: _Work,
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
        yield from _along_places(work, figures, places, z, words, rules)
    rules = wall.end_rules if len(chain) == 1 else ()
    yield Rapid(*chain[-1].places[-1], work.bench.clear, How(rules=rules))


def _wall(work: _Work, run: Run, measure: str) -> Wall:
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
