"""The end of a flat piece turned or bored to a radius on the faceplate, a piece opposite it.

The size is measured over both, or between them, once the cut has cleaned the sawn ends; the dial is
set by that. A rounded end is cut from its corners in, a hollowed one from its middle out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from pathgen.input.where import Refusal
from pathgen.job.faceplate import LAID, FaceplateHold, Segment
from pathgen.moves.actions import Measure, Note, Spindle, Touch, WorkBy, Zero, ZeroByMeasure
from pathgen.moves.moves import Feed, How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import ALLOWANCE
from pathgen.plan.turning.balance import usual_turns
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.boring import (
    BORING,
    SLENDER,
    bar_for,
    beside_a_gauge,
    inside_by,
    off_wall,
)
from pathgen.plan.turning.figures import TurningFigures, lathe_speed
from pathgen.plan.turning.last_cuts import LastCuts, guard_limits, measured_by
from pathgen.plan.turning.on_faceplate import BY_HAND
from pathgen.plan.turning.ways import NAN, START, across, along
from pathgen.reckon.reductions import INTERRUPTED_CUT
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.turning_tools import TurningTool

PAPER = 0.05  # mm of cigarette paper, nipped between tool and work: common practice, no source
BY_CALLIPER = 0.02  # mm on the radius that measuring across by a calliper leaves open; no source
BY_PAPER = 0.03  # mm that touching with paper leaves open; common practice, no source
LIGHTER = 0.5  # of the usual depth in an interrupted cut: common practice, no source
ACROSS = "M1"  # the measurement across both pieces


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cutting:
    """A segment with the tool that cuts it; mm."""

    segment: Segment
    bench: TurningBench
    tool: TurningTool
    figures: TurningFigures
    finish: TurningFigures

    @property
    def depth(self) -> float:
        """Return how deep one cut goes."""
        usual = bench_depth(self.bench.job.blank.material, self.bench.machine.rigidity)
        return LIGHTER * usual * (SLENDER if self.segment.hollow else 1.0)

    @property
    def hold(self) -> FaceplateHold:
        """Return how it is held."""
        hold = self.bench.setup.hold
        assert isinstance(hold, FaceplateHold), "a segment is turned on nothing else"
        return hold

    @property
    def touched(self) -> float:
        """Return the radius of the place that the tool is touched on: that which is cut first."""
        return self.hold.end_at if self.segment.hollow else self.bench.job.blank.diameter / 2

    @property
    def first(self) -> float:
        """Return the radius at which the first cut begins: that place may lie so far off."""
        return self.left(self.touched, LAID)

    @property
    def measured(self) -> float:
        """Return the radius that roughing leaves by the dial: it may be `LAID` nearer in truth."""
        return self.left(self.segment.radius.middle, ALLOWANCE + LAID)

    @property
    def free(self) -> float:
        """Return the x at which the tool goes along clear of both pieces."""
        off = off_wall(self.bench) if self.segment.hollow else CLEAR
        return self.left(self.touched, off + LAID)

    @property
    def off(self) -> Rapid:
        """Return the way across to where the tool is clear of both pieces."""
        place = "sawn ends" if self.segment.hollow else "corners"
        return across(self.free, f"{self.hold.side}, clear of the {place}")

    @property
    def back(self) -> float:
        """Return the z to which the tool is drawn back for what is measured, mm."""
        if not self.segment.hollow:
            return CLEAR
        return beside_a_gauge(self.bench, -self.segment.end)

    @property
    def by(self) -> WorkBy | None:
        """Return the slides that it is worked by: None as outside work is."""
        return inside_by(self.bench) if self.segment.hollow else None

    @property
    def over_both(self) -> str:
        """Return between what it is measured."""
        way = "between" if self.segment.hollow else "over"
        return f"{way} the work and the piece opposite"

    @property
    def middles(self) -> str:
        """Return where it is measured."""
        way = "between" if self.segment.hollow else "across"
        return f"{way} the middles of both ends"

    @property
    def gauge(self) -> str:
        """Return by what it is measured."""
        return "an inside calliper or micrometer" if self.segment.hollow else "a calliper"

    def count(self, begins: float, aim: float) -> int:
        """Return how many cuts lead from one radius to another."""
        return math.ceil(abs(begins - aim) / self.depth - 1e-9)

    def left(self, radius: float, much: float) -> float:
        """Return the radius at which so much is left outside or inside another."""
        return radius + self.segment.beyond * much


def plan_segment(segment: Segment, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the roughing that cleans both ends, and the cuts to the radius.

    Raises:
        Refusal: no tool does it, or the limits are too near to each other.
    """
    guard_limits(segment.across, segment.where.at("radius"), bench)
    tool = _bar(segment, bench) if segment.hollow else _knife(segment, bench)
    cutting = _cutting(segment, bench, tool)
    yield _roughing(cutting)
    yield _measured(cutting)
    yield _to_size(cutting)


def _knife(segment: Segment, bench: TurningBench) -> TurningTool:
    """Return the tool that reaches over all that is cut off the corners.

    Raises:
        Refusal: the crib has none.
    """
    high = bench.job.blank.diameter / 2 - segment.radius.low
    reaching = [tool for tool in bench.tools if tool.turns_shoulders and tool.reach > high]
    if not reaching:
        raise Refusal(
            segment.where,
            f"cut {bench.say(high)} off the corners of the piece",
            "put a [[turning_tool]] with approach_deg above 90 and more reach into the crib",
        )
    return max(reaching, key=lambda each: each.nose_radius)


def _bar(segment: Segment, bench: TurningBench) -> TurningTool:
    """Return the bar that goes in between the pieces, its holder in front of the clamps.

    Raises:
        Refusal: the crib has none.
    """
    hold = bench.setup.hold
    assert isinstance(hold, FaceplateHold)
    bars = [each for each in bench.tools if each.kind == "boring"]
    deep = hold.clamps_high - segment.end
    return bar_for(bars, 2 * (hold.end_at - LAID), deep, bench, segment.where)


def _cutting(segment: Segment, bench: TurningBench, tool: TurningTool) -> _Cutting:
    """Return a segment with its tool, as slow as blows want it.

    Raises:
        Refusal: the lathe does not turn so slowly.
    """
    across_it = 2 * segment.radius.high if segment.hollow else bench.job.blank.diameter
    bench = _slowly(bench, tool, across_it)
    kinds = ("boring", "boring") if segment.hollow else ("turning", "turning finish")
    rough, finish = (bench.figures(each, tool.material, across_it) for each in kinds)
    return _Cutting(segment=segment, bench=bench, tool=tool, figures=rough, finish=finish)


def _slowly(bench: TurningBench, tool: TurningTool, diameter: float) -> TurningBench:
    """Return the bench with the plate turning no faster than a cut in blows lets it.

    ``diameter`` is that of the furthest that is cut, mm.

    Raises:
        Refusal: the lathe's slowest is faster than the plate is marked, or than a smooth cut.
    """
    usual = usual_turns(bench.job.blank.material, tool.material, diameter)
    marked = bench.chuck.most_rpm
    wanted = min(INTERRUPTED_CUT.factor * usual, marked)
    rpm = lathe_speed(bench.machine, wanted)
    if rpm > min(usual, marked):
        raise Refusal(
            bench.setup.where.at("machine"),
            f"turn {bench.say(diameter)} across in blows on {bench.machine.title}:"
            f" its slowest is {rpm:g} rev/min, a smooth cut goes at {usual:.0f}, and the plate is"
            f" marked {marked:g}",
            "use a lathe that turns slower, or turn a smaller radius",
        )
    return replace(bench, chuck=replace(bench.chuck, most_rpm=max(wanted, rpm)))


def _roughing(cutting: _Cutting) -> TurnedOperation:
    """Return the cuts from the corners in, or from the middle out, until the ends are clean."""
    segment, hollow = cutting.segment, cutting.segment.hollow
    items: list[Item] = [Note(text=BORING, caution=True)] if hollow else []
    count = cutting.count(cutting.first, cutting.measured)
    for number in range(1, count + 1):
        x = cutting.first + (cutting.measured - cutting.first) * number / count
        what = f"roughing, cut {number} of {count}{', going out' if hollow else ''}"
        items += _pass(cutting, x, How(makes="size", what=what), last=number == count)
    begins = "from their middles out" if hollow else "from the corners in"
    light = "a quarter as deep as outside" if hollow else "half as deep as usual"
    return TurnedOperation(
        purpose="rough",
        feature=segment.name,
        tool=cutting.tool,
        figures=cutting.figures,
        why=f"in blows, {begins} until both ends are clean all over, {light}, and half as fast as a"
        f" smooth cut or the slowest there is; {cutting.figures.why}",
        items=tuple(items),
        depth_of_cut=abs(cutting.first - cutting.measured) / count,
        touched=2 * cutting.touched,
        still=tuple(_zeros(cutting)),
        zeros=(),
        by=cutting.by,
    )


def _zeros(cutting: _Cutting) -> Iterator[Item]:
    """Yield how the tool is touched on the work, which is turned by hand: never while it runs."""
    hollow, tool, at = cutting.segment.hollow, cutting.tool.name, cutting.touched
    yield Note(text=BY_HAND, caution=True)
    label = (
        "bore, the middle of the sawn end"
        if hollow
        else "outside, the corner that is the furthest out"
    )
    face, paper = ("bore", -PAPER) if hollow else ("outside", PAPER)
    touch = _touch(face, tool, (Term(label, at), Term("paper", paper)))
    touch = replace(touch, towards=-cutting.segment.beyond, found_as=ACROSS)
    yield Zero(axis="x", touches=(touch,), uncertainty=BY_PAPER, why="x 0 is the axis")
    if cutting.bench.manual:  # else it is jogged there
        yield from _over_the_face(cutting)
    touch = _touch(
        "right end", tool, (Term("right end: the face of the work", 0.0), Term("paper", PAPER))
    )
    yield Zero(axis="z", touches=(touch,), uncertainty=BY_PAPER, why="z 0 is the work's face")
    yield along(CLEAR, "off the face")
    yield cutting.off


def _over_the_face(cutting: _Cutting) -> Iterator[Item]:
    """Yield the way from the touch across to over the face of what was touched."""
    hollow = cutting.segment.hollow
    yield cutting.off
    way, what = ("out", "middle of the end") if hollow else ("in", "corner")
    over = cutting.left(cutting.touched, -CLEAR)
    yield across(over, f"{way}, over the face of the {what} that is turned to it by hand")


def _touch(face: str, tool: str, terms: tuple[Term, ...]) -> Touch:
    """Return a touch with paper between, the spindle still."""
    return Touch(
        face=face,
        towards=-1,
        tool=tool,
        radius=0.0,
        paper=PAPER,
        at=sum(term.value for term in terms),
        terms=terms,
    )


def _pass(cutting: _Cutting, x: float, how: How, *, last: bool) -> Iterator[Item]:
    """Yield one cut along the axis past the back of the work; the last is left where it is."""
    yield along(START)
    yield Rapid(x, 0.0, NAN, how)
    out = How(makes="stop", what="past the back of the work, towards the plate")
    yield Feed(x, 0.0, cutting.segment.end, cutting.figures.feed, out)
    gauge = ", so far that a gauge goes in" if last and cutting.segment.hollow else ""
    back = cutting.back if last else CLEAR
    yield along(back, f"back, the cross slide left where it is{gauge}")
    if not last:
        yield cutting.off


def _measured(cutting: _Cutting) -> TurnedOperation:
    """Return the measuring across both pieces, and the cuts that leave the allowance in truth."""
    items: list[Item] = [*_measured_across(cutting)]
    begins = cutting.left(cutting.measured, LAID)
    aim = cutting.left(cutting.segment.radius.middle, ALLOWANCE)
    count = cutting.count(begins, aim)
    for number in range(1, count + 1):
        x = begins + (aim - begins) * number / count
        how = How(makes="size", what=f"cut {number} of {count}; the first may find nothing to cut")
        items += _pass(cutting, x, how, last=False)
    return TurnedOperation(
        purpose="semi-finish",
        feature=cutting.segment.name,
        tool=cutting.tool,
        figures=cutting.figures,
        why=f"by what is measured {cutting.over_both}, of which the radius is half;"
        f" {cutting.figures.why}",
        items=tuple(items),
        depth_of_cut=abs(begins - aim) / count,
        by=cutting.by,
    )


def _to_size(cutting: _Cutting) -> TurnedOperation:
    """Return the cuts to the radius."""
    bench, segment, figures = cutting.bench, cutting.segment, cutting.finish
    name = measured_by(segment.across, "M2", bench)
    cuts = LastCuts(size=segment.across, bench=bench, name=name, outwards=segment.hollow)
    finishing = replace(cutting, figures=figures)
    items: list[Item] = []
    for number in range(1, cuts.count + 1):
        items += _across_both(cutting, cuts.measured_before(number, figures.rpm))
        then_measured = bool(name) and number == cuts.count - 1
        items += _pass(finishing, cuts.x(number), cuts.how(number), last=then_measured)
    return TurnedOperation(
        purpose="finish",
        feature=segment.name,
        tool=cutting.tool,
        figures=figures,
        why=f"{cuts.why()}, {cutting.over_both}; {figures.why}",
        items=(*items, *cuts.after(figures.rpm)),
        depth_of_cut=ALLOWANCE / cuts.count,
        by=cutting.by,
    )


def _across_both(cutting: _Cutting, items: Iterable[Item]) -> Iterator[Item]:
    """Yield items, what is measured of a diameter said of the two pieces that it goes over."""
    for item in items:
        if isinstance(item, Measure):
            yield replace(item, what=f"{cutting.middles}: {item.what}")
        else:
            yield item


def _measured_across(cutting: _Cutting) -> Iterator[Item]:
    """Yield the measuring across both pieces, and the dial set by it."""
    expected = 2 * cutting.measured
    yield Spindle(rpm=0.0)
    yield Measure(
        name=ACROSS,
        what=f"{cutting.middles}, over the axis, by {cutting.gauge} as long as that; both"
        " ends are clean all over, and the cross slide is left where it is",
        expected=expected,
        low=expected - 2 * LAID,
        high=expected + 2 * LAID,
        found_by="touch",
        advice="the pieces lie elsewhere than the job has them, or the touch went wrong",
    )
    yield ZeroByMeasure(axis="x", measure=ACROSS, uncertainty=BY_CALLIPER)
    yield Spindle(rpm=cutting.figures.rpm)
    yield cutting.off
