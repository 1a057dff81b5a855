"""Planning steps and side cuts: straight passes along an edge, rough, measure, finish."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.areas import Edge, Step
from pathgen.moves.actions import Measure
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Term
from pathgen.plan.areas.measures import BAND, TOO_NEAR
from pathgen.plan.areas.region import ALLOWANCE, BEYOND, floor_of
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cut_way import climbs, way_caution
from pathgen.plan.cutting import Cutting, cutting, side_depth
from pathgen.plan.heights import just_above
from pathgen.plan.slots.paths import widening_offsets
from pathgen.shop.cutters import MILLS, Cutter
from pathgen.shop.machines import Machine

SIDE_SHARE = 0.4  # of the diameter: the most that a roughing pass takes off the side
LARGEST = 20.0  # mm: a larger mill is not chosen unless the job names it
AXIS: dict[Edge, Axis] = {"left": "x", "right": "x", "front": "y", "back": "y"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One edge of the blank and the passes along it; mm."""

    edge: Edge
    face: float  # where the edge lies, across
    inwards: int  # +1 where the plus way of the axis leads into the blank
    ends: tuple[float, float]  # of the cutter's centre along the edge, both outside the blank
    cutter: Cutter
    figures: Cutting
    depths: tuple[float, ...]
    clear: float
    machine: Machine
    way: int  # of the feed along the edge: against the cutter's turn, or with it

    @property
    def across(self) -> Axis:
        """Return the axis across the edge."""
        return AXIS[self.edge]

    def point(self, along: float, across: float) -> tuple[float, float]:
        """Return (x, y) of a place given along and across the edge, mm."""
        return (across, along) if self.across == "x" else (along, across)

    def at(self, taken: float) -> float:
        """Return where the centre stands across when so much of the width is taken, mm."""
        return self.face + self.inwards * (taken - self.cutter.radius)

    def terms(self, taken: float) -> tuple[Term, ...]:
        """Return the sum of a place across the edge."""
        return (
            Term(f"{self.edge} edge", self.face),
            Term("taken off", self.inwards * taken),
            Term(f"half of the {self.cutter.name}", -self.inwards * self.cutter.radius),
        )


def plan_step(step: Step, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations of a step or side cut: rough, measure, finish, edge by edge alike.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    floor = floor_of(step.depth, bench)
    cutter = _mill(step, bench, floor)
    width = step_width(step, bench)
    allowance = min(step.ways.allowance or ALLOWANCE, width / 2)
    most = step.at_most or step.ways.width_of_cut or SIDE_SHARE * cutter.diameter
    if step.at_most is not None:  # equal cuts, the last of them to size
        offsets = widening_offsets(0.0, width, min(most, SIDE_SHARE * 2 * cutter.diameter))
        rough, last = offsets[:-1], offsets[-1:]
    else:
        rough, last = widening_offsets(0.0, width - allowance, most), (width,)
    operations = []
    if rough:
        operations.append(_cuts(step, bench, (cutter, floor), rough, rough[0], finish=False))
    left = last[0] - (rough[-1] if rough else 0.0)
    operations.append(_cuts(step, bench, (cutter, floor), last, left, finish=True))
    return tuple(operations)


def step_width(step: Step, bench: Bench) -> float:
    """Return what is taken off at each edge, at the middle of what is wanted, mm."""
    if step.left is None:
        return step.width.middle
    low, high = bench.job.blank_box(bench.setup)
    axis = 0 if AXIS[step.edges[0]] == "x" else 1
    return (high[axis] - low[axis] - step.left.middle) / len(step.edges)


def _mill(step: Step, bench: Bench, floor: float) -> Cutter:
    """Return the mill for a step: the largest whose flutes reach the floor.

    Raises:
        Refusal: there is none.
    """
    named = step.ways.finish or step.ways.rough
    if named is not None:
        cutter = bench.named(named, MILLS, step.where.at("ways"))
        if cutter.flute_length < -floor:
            raise Refusal(
                step.where.at("ways"),
                f"{cutter.name} has flutes of {bench.say(cutter.flute_length)}, and the cut is "
                f"{bench.say(-floor)} deep",
                "name a longer one, or none",
            )
        return cutter
    found = bench.largest(MILLS, LARGEST, lambda each: each.flute_length >= -floor)
    if found is None:
        raise Refusal(
            step.where,
            f"no mill of the crib has flutes for a cut {bench.say(-floor)} deep",
            "put a longer mill into the crib, or cut from both sides in two setups",
        )
    return found


def _cuts(
    step: Step,
    bench: Bench,
    tool: tuple[Cutter, float],
    offsets: tuple[float, ...],
    width_of_cut: float,
    *,
    finish: bool,
) -> Operation:
    """Return the passes at some widths along every edge of a step."""
    cutter, floor = tool
    trade = "end milling finish" if finish else "end milling rough"
    figures = cutting(bench.machine, cutter, bench.material, trade)
    most = step.ways.depth_of_cut or side_depth(bench.machine, cutter, bench.material, width_of_cut)
    depths = even_depths(0.0, floor, most)
    measure = _measure(step, bench, width_of_cut) if finish and len(offsets) else None
    moves: list[Move] = []
    for edge in step.edges:
        strip = _strip(edge, bench, (cutter, figures, depths), step)
        for taken in offsets:
            moves.extend(_passes(strip, taken))
    return Operation(
        purpose="finish" if finish else "rough",
        cutter=cutter,
        cutting=figures,
        why=f"along the {' and the '.join(step.edges)}, {bench.say(width_of_cut)} at a time",
        moves=tuple(moves),
        before=(measure,) if measure is not None else (),
        depth_of_cut=-depths[0],
        width_of_cut=width_of_cut,
        notes=(way_caution(step.ways),),
    )


def _measure(step: Step, bench: Bench, left: float) -> Measure | None:
    """Return the measuring before the last cut: what stands between two faces, or is left."""
    low, high = bench.job.blank_box(bench.setup)
    axis = 0 if AXIS[step.edges[0]] == "x" else 1
    count = len(step.edges)
    whole = high[axis] - low[axis]
    expected = whole - count * (step_width(step, bench) - left)
    if left >= step_width(step, bench) - 1e-9:
        return None  # nothing was cut before
    least = step.left.high if step.left is not None else whole - count * step.width.low
    if expected <= least + TOO_NEAR:
        return None  # what is left for the last cut is less than the limits leave open
    between = "between the two" if count > 1 else f"from the {step.edges[0]} wall to the far edge"
    return Measure(
        name="M1",
        what=f"left of {step.name}: what stands {between}",
        expected=expected,
        low=max(expected - BAND, least + TOO_NEAR),
        high=expected + BAND,
        advice="outside this range something is amiss: cutter, spindle or a handle; find it first",
    )


def _strip(
    edge: Edge, bench: Bench, how: tuple[Cutter, Cutting, tuple[float, ...]], step: Step
) -> Strip:
    """Return an edge with what its passes are made with."""
    cutter, figures, depths = how
    low, high = bench.job.blank_box(bench.setup)
    across = 0 if AXIS[edge] == "x" else 1
    at_low = edge in ("left", "front")
    reach = cutter.radius + BEYOND
    inwards = 1 if at_low else -1
    # The wall lies on the inner side. Against the cutter's turn it is on the left of the feed.
    left_is_plus = across == 1  # going plus along x, plus y lies to the left
    conventional = inwards if left_is_plus else -inwards
    climb = climbs(step.ways, bench)
    return Strip(
        edge=edge,
        face=low[across] if at_low else high[across],
        inwards=inwards,
        ends=(low[1 - across] - reach, high[1 - across] + reach),
        cutter=cutter,
        figures=figures,
        depths=depths,
        clear=bench.clear,
        machine=bench.machine,
        way=-conventional if climb else conventional,
    )


def _passes(strip: Strip, taken: float) -> Iterator[Move]:
    """Yield the passes along an edge at one width, depth by depth, always the same way."""
    start, end = strip.ends if strip.way > 0 else (strip.ends[1], strip.ends[0])
    at = strip.at(taken)
    sums = ((strip.across, strip.terms(taken)),)
    above = 0.0
    for z in strip.depths:
        over = How(makes="size", what=f"{strip.edge}: over the start", sums=sums)
        yield Rapid(*strip.point(start, at), strip.clear, over)
        down = How(makes="size", what=f"{strip.edge}: down, outside the work")
        yield Rapid(*strip.point(start, at), min(just_above(strip.machine, above), strip.clear))
        yield Feed(*strip.point(start, at), z, strip.figures.plunge, down)
        along = How(makes="air", what=f"{strip.edge}: along")
        yield Feed(*strip.point(end, at), z, strip.figures.feed, along)
        yield Rapid(*strip.point(end, at), strip.clear)
        above = z
