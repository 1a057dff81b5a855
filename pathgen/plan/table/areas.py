"""A round pocket, or a disc, cut by turning the work on a rotary table under the cutter.

One slide sets the radius, going the way that it always comes to a size; both slides are locked, and
the table is turned once round. So each ring begins and ends with the work as it was clamped.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeAlias

from pathgen.input.where import Refusal
from pathgen.job.areas import Outside, Pocket, Round
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Rule, Term, TurnWork
from pathgen.plan import cautions
from pathgen.plan.areas.measures import measures
from pathgen.plan.areas.mills import choose_mill, wanted_at
from pathgen.plan.areas.region import ALLOWANCE
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cut_way import climbs
from pathgen.plan.cutting import Cutting, cutting, side_depth, slot_depth
from pathgen.plan.heights import just_above
from pathgen.plan.holes.circling import edge_feed
from pathgen.plan.slots.paths import widening_offsets
from pathgen.plan.table.setting import NO_LOCK, TURNED_UNDER_IT, once_round, rotary_of, turned_back
from pathgen.shop.cutters import Cutter
from pathgen.shop.rotary import RotaryTable

Sums: TypeAlias = tuple[tuple[Axis, tuple[Term, ...]], ...]

STEP_SHARE = 0.5  # of the diameter: how far one ring lies from the next
SMALLER = 0.97  # of the depth of a full slot: the cutter may cut smaller than was measured
OFF_THE_WORK = 1.0  # mm beside the blank's farthest corner, where the cutter goes down in the air


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A round area on the table, with what cuts it; lengths in mm."""

    area: Pocket | Outside
    bench: Bench
    rotary: RotaryTable
    cutter: Cutter
    centre: tuple[float, float]
    wall: float  # radius of the wall, at the middle of its limits
    floor: float  # z

    @property
    def inside(self) -> bool:
        """Return whether the wall is that of a pocket."""
        return isinstance(self.area, Pocket)

    @property
    def allowance(self) -> float:
        """Return what roughing leaves on the wall."""
        return self.area.ways.allowance or ALLOWANCE

    @property
    def last(self) -> float:
        """Return how far off the table's axis the cutter's stands as it cuts the wall."""
        return self.wall + (-self.cutter.radius if self.inside else self.cutter.radius)

    @property
    def first(self) -> float:
        """Return how far off the axis it goes down: in the middle, or beside the whole blank."""
        if self.inside:
            return 0.0
        (x0, y0, _), (x1, y1, _) = self.bench.job.blank_box(self.bench.setup)
        far = max(math.dist(self.centre, (x, y)) for x in (x0, x1) for y in (y0, y1))
        return far + self.cutter.radius + OFF_THE_WORK

    def place(self, off: float) -> tuple[float, float]:
        """Return where the slides stand so far off the axis, so that x goes on the way it comes."""
        way = self.bench.side("x") * (1 if self.inside else -1)
        return self.centre[0] + way * off, self.centre[1]


def plan_on_table(area: Pocket | Outside, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that cut a round wall about the table's axis.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    climbs(area.ways, bench)  # refused by hand
    if area.ways.way == "chain drilled":
        raise Refusal(
            area.where.at("ways.way"),
            "chain drilled on a rotary table",
            "leave way out: the work is turned under the mill, ring by ring",
        )
    cutter = choose_mill(area, bench, _goes_straight_down)
    assert bench.setup.table is not None
    work = Work(
        area=area,
        bench=bench,
        rotary=rotary_of(bench.setup, bench.machine),
        cutter=cutter,
        centre=bench.setup.table.centre,
        wall=_wall(area, bench),
        floor=wanted_at(area, bench, cutter).floor,
    )
    return _roughing(work), _finishing(work)


def _goes_straight_down(cutter: Cutter) -> str:
    """Return why a mill does not go straight down, or nothing."""
    if cutter.cuts_at_centre:
        return ""
    return f"{cutter.name} does not cut at its centre, and has to go straight down"


def _wall(area: Pocket | Outside, bench: Bench) -> float:
    """Return the radius of the wall at the middle of its limits, mm."""
    if isinstance(area, Pocket):
        assert isinstance(area.shape, Round)
        return area.shape.diameter.middle / 2
    assert bench.setup.table is not None
    return math.dist(area.contour.start, bench.setup.table.centre) - area.departure.middle


def _roughing(work: Work) -> Operation:
    """Return the clearing, ring by ring at each depth, to the allowance off the wall."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    most = work.area.ways.depth_of_cut or SMALLER * slot_depth(
        bench.machine, cutter, bench.material
    )
    depths = even_depths(0.0, work.floor, most)
    step = min(work.area.ways.width_of_cut or cutter.diameter, STEP_SHARE * cutter.diameter)
    moves: list[Move] = []
    above = 0.0
    for number, z in enumerate(depths, start=1):
        moves.extend(_one_depth(work, figures, (above, z), (step, f"depth {number}")))
        above = z
    begins = "down in the middle" if work.inside else "down beside the blank"
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=figures,
        why=f"{begins}, then ring by ring: x sets the radius, the table is turned once round; to "
        f"{bench.say(work.allowance)} off the wall",
        moves=tuple(moves),
        ready=turned_back(bench.setup, work.area, work.rotary),
        depth_of_cut=-depths[0],
        width_of_cut=step,
        notes=_notes(work),
    )


def _notes(work: Work) -> tuple[str, ...]:
    full = (cautions.full_width(work.bench.machine),) if work.inside else ()
    return (*full, TURNED_UNDER_IT, *(() if work.rotary.lock else (NO_LOCK,)))


def _one_depth(
    work: Work, figures: Cutting, heights: tuple[float, float], how: tuple[float, str]
) -> Iterator[Move]:
    """Yield one depth: down where it begins, then each ring, and up."""
    (above, z), (step, what) = heights, how
    towards = work.last - work.allowance if work.inside else work.last + work.allowance
    offsets = [
        work.first + (each if work.inside else -each)
        for each in widening_offsets(0.0, abs(towards - work.first), step)
    ]
    yield from _down(work, work.first, (above, z, figures.plunge), what)
    for number, off in enumerate(offsets, start=1):
        ring = f"{what}, ring {number} of {len(offsets)}"
        how_out = How(makes="size", what=ring, sums=_sum(work, off, (("off it", off),)))
        yield Feed(*work.place(off), z, figures.feed, how_out)
        yield _turn(work, figures, off, ring)
    yield Rapid(*work.place(offsets[-1]), work.bench.clear)


def _down(work: Work, off: float, heights: tuple[float, float, float], what: str) -> Iterator[Move]:
    """Yield the way down where no wall is, fast as far as all is cut away."""
    above, z, plunge = heights
    x, y = work.place(off)
    over = How(makes="size", what=f"{what}: over the start")
    yield Rapid(x, y, work.bench.clear, over)
    if above < 0:
        yield Rapid(x, y, just_above(work.bench.machine, above))
    yield Feed(x, y, z, plunge, How(makes="size", what=f"{what}: down"))


def _sum(work: Work, off: float, parts: tuple[tuple[str, float], ...]) -> Sums:
    """Return where the slide's place comes from: the table's axis, and what lies off it, mm."""
    way = math.copysign(1.0, work.place(off)[0] - work.centre[0])
    terms = [Term(label, way * value) for label, value in parts]
    return (("x", (Term("axis of the rotary table", work.centre[0]), *terms)),)


def _turn(work: Work, figures: Cutting, off: float, what: str) -> TurnWork:
    """Return one whole turn of the work under the cutter."""
    feed = edge_feed(figures, work.cutter, off) if work.inside else figures.feed
    return once_round(work.area, work.rotary, math.degrees(feed / off), what)


def _finishing(work: Work) -> Operation:
    """Return the last cut round the wall, set by what was measured where a pocket can be."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "end milling finish")
    most = side_depth(bench.machine, cutter, bench.material, work.allowance)
    depths = even_depths(0.0, work.floor, most)
    before = measures(work.area, bench, work.allowance)
    moves: list[Move] = []
    for z in depths:
        moves.extend(_wall_cut(work, figures, z, before[0].name if before else ""))
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=figures,
        why=f"round the wall, {bench.say(work.allowance)} off it, both slides locked",
        moves=tuple(moves),
        before=before,
        depth_of_cut=-depths[0],
        width_of_cut=work.allowance,
        notes=_notes(work)[-1 if work.rotary.lock else -2 :],
    )


def _wall_cut(work: Work, figures: Cutting, z: float, measure: str) -> Iterator[Move]:
    """Yield one turn along the wall: down off it, out or in to the radius, round, off, up."""
    begins = max(0.0, work.last - work.cutter.radius)
    if not work.inside:
        begins = min(work.first, work.last + work.cutter.radius)
    x, _ = work.place(work.last)
    half = f"half of the {work.cutter.name}"
    factor = -0.5 if x > work.centre[0] else 0.5
    rules = (Rule(axis="x", measure=measure, factor=factor),) if measure else ()
    parts = ((f"radius of {work.area.name}", work.wall), (half, work.last - work.wall))
    what = f"radius of {work.area.name}"
    yield from _down(work, begins, (z, z, figures.plunge), what)
    to = How(makes="size", what=what, rules=rules, sums=_sum(work, work.last, parts))
    yield Feed(x, work.centre[1], z, figures.feed, to)
    yield _turn(work, figures, work.last, f"round the wall of {work.area.name}")
    yield Rapid(x, work.centre[1], work.bench.clear, How(rules=rules))
