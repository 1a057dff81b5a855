"""The end of a flat piece turned to a radius on the faceplate, with a piece opposite it.

The size is measured across both, once the cut has cleaned the sawn ends; the dial is set by that.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from pathgen.input.where import Refusal
from pathgen.job.faceplate import LAID, Segment
from pathgen.moves.actions import Measure, Note, Spindle, Touch, Zero, ZeroByMeasure
from pathgen.moves.moves import Feed, How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import ALLOWANCE
from pathgen.plan.turning.balance import usual_turns
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
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
        return LIGHTER * bench_depth(self.bench.job.blank.material, self.bench.machine.rigidity)

    @property
    def measured(self) -> float:
        """Return the radius that roughing leaves by the dial: it may be `LAID` less in truth."""
        return self.segment.radius.middle + ALLOWANCE + LAID


def plan_segment(segment: Segment, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the roughing that cleans both ends, and the cuts to the radius.

    Raises:
        Refusal: no tool does it, or the limits are too near to each other.
    """
    guard_limits(segment.across, segment.where.at("radius"), bench)
    cutting = _cutting(segment, bench)
    yield _roughing(cutting)
    yield _measured(cutting)
    yield _to_size(cutting)


def _cutting(segment: Segment, bench: TurningBench) -> _Cutting:
    """Return a segment with the tool that reaches over all that is cut off it.

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
    tool = max(reaching, key=lambda each: each.nose_radius)
    bench = _slowly(bench, tool)
    rough, finish = (
        bench.figures(each, tool.material, bench.job.blank.diameter)
        for each in ("turning", "turning finish")
    )
    return _Cutting(segment=segment, bench=bench, tool=tool, figures=rough, finish=finish)


def _slowly(bench: TurningBench, tool: TurningTool) -> TurningBench:
    """Return the bench with the plate turning no faster than a cut in blows lets it.

    Raises:
        Refusal: the lathe's slowest is faster than the plate is marked, or than a smooth cut.
    """
    usual = usual_turns(bench.job.blank.material, tool.material, bench.job.blank.diameter)
    marked = bench.chuck.most_rpm
    wanted = min(INTERRUPTED_CUT.factor * usual, marked)
    rpm = lathe_speed(bench.machine, wanted)
    if rpm > min(usual, marked):
        raise Refusal(
            bench.setup.where.at("machine"),
            f"turn {bench.say(bench.job.blank.diameter)} across in blows on {bench.machine.title}:"
            f" its slowest is {rpm:g} rev/min, a smooth cut goes at {usual:.0f}, and the plate is"
            f" marked {marked:g}",
            "use a lathe that turns slower, or turn a smaller radius",
        )
    return replace(bench, chuck=replace(bench.chuck, most_rpm=max(wanted, rpm)))


def _roughing(cutting: _Cutting) -> TurnedOperation:
    """Return the cuts from the corners in until the ends are clean all over."""
    bench, segment = cutting.bench, cutting.segment
    corner = bench.job.blank.diameter / 2
    first = corner + LAID  # a corner may lie further out than it was laid
    count = math.ceil((first - cutting.measured) / cutting.depth - 1e-9)
    items: list[Item] = []
    for number in range(1, count + 1):
        x = first - (first - cutting.measured) * number / count
        what = f"roughing, cut {number} of {count}"
        items += _pass(cutting, x, How(makes="size", what=what), last=number == count)
    deep = (first - cutting.measured) / count
    return TurnedOperation(
        purpose="rough",
        feature=segment.name,
        tool=cutting.tool,
        figures=cutting.figures,
        why="in blows, from the corners in until both ends are clean all over, half as deep as"
        f" usual, and half as fast as a smooth cut or the slowest there is; {cutting.figures.why}",
        items=tuple(items),
        depth_of_cut=deep,
        touched=bench.job.blank.diameter,
        still=tuple(_zeros(cutting)),
        zeros=(),
    )


def _zeros(cutting: _Cutting) -> Iterator[Item]:
    """Yield how the tool is touched on the work, which is turned by hand: never while it runs."""
    bench, tool = cutting.bench, cutting.tool.name
    corner = bench.job.blank.diameter / 2
    yield Note(text=BY_HAND, caution=True)
    yield _touched("x", "outside", "outside, the corner that is the furthest out", corner, tool)
    if bench.manual:  # else it is jogged there
        yield across(bench.clear + LAID, "out, clear of the corners")
        yield across(corner - CLEAR, "in, over the face of the corner that is turned to it by hand")
    yield _touched("z", "right end", "right end: the face of the work", 0.0, tool)
    yield along(CLEAR, "off the face")
    yield across(bench.clear + LAID, "out, clear of the corners")


def _touched(axis: str, face: str, label: str, at: float, tool: str) -> Zero:
    """Return a touch with paper between, the spindle still."""
    touch = Touch(
        face=face,
        towards=-1,
        tool=tool,
        radius=0.0,
        paper=PAPER,
        at=at + PAPER,
        terms=(Term(label, at), Term("paper", PAPER)),
        found_as=ACROSS if axis == "x" else "",
    )
    if axis == "x":
        return Zero(axis="x", touches=(touch,), uncertainty=BY_PAPER, why="x 0 is the axis")
    return Zero(axis="z", touches=(touch,), uncertainty=BY_PAPER, why="z 0 is the work's face")


def _pass(cutting: _Cutting, x: float, how: How, *, last: bool) -> Iterator[Item]:
    """Yield one cut along the axis past the back of the work; the last is left where it is."""
    yield along(START)
    yield Rapid(x, 0.0, NAN, how)
    out = How(makes="stop", what="past the back of the work, towards the plate")
    yield Feed(x, 0.0, cutting.segment.end, cutting.figures.feed, out)
    yield along(CLEAR, "back, the cross slide left where it is")
    if not last:
        yield across(cutting.bench.clear + LAID, "out, clear of the corners")


def _measured(cutting: _Cutting) -> TurnedOperation:
    """Return the measuring across both pieces, and the cuts that leave the allowance in truth."""
    items: list[Item] = [*_measured_across(cutting)]
    begins, aim = cutting.measured + LAID, cutting.segment.radius.middle + ALLOWANCE
    count = math.ceil((begins - aim) / cutting.depth - 1e-9)
    for number in range(1, count + 1):
        x = begins - (begins - aim) * number / count
        how = How(makes="size", what=f"cut {number} of {count}; the first may find nothing to cut")
        items += _pass(cutting, x, how, last=False)
    return TurnedOperation(
        purpose="semi-finish",
        feature=cutting.segment.name,
        tool=cutting.tool,
        figures=cutting.figures,
        why="by what is measured over the work and the piece opposite, of which the radius is half;"
        f" {cutting.figures.why}",
        items=tuple(items),
        depth_of_cut=(begins - aim) / count,
    )


def _to_size(cutting: _Cutting) -> TurnedOperation:
    """Return the cuts to the radius."""
    bench, segment, figures = cutting.bench, cutting.segment, cutting.finish
    name = measured_by(segment.across, "M2", bench)
    cuts = LastCuts(size=segment.across, bench=bench, name=name, outwards=False)
    finishing = replace(cutting, figures=figures)
    items: list[Item] = []
    for number in range(1, cuts.count + 1):
        items += _across_both(cuts.measured_before(number, figures.rpm))
        then_measured = bool(name) and number == cuts.count - 1
        items += _pass(finishing, cuts.x(number), cuts.how(number), last=then_measured)
    return TurnedOperation(
        purpose="finish",
        feature=segment.name,
        tool=cutting.tool,
        figures=figures,
        why=f"{cuts.why()}, over the work and the piece opposite; {figures.why}",
        items=(*items, *cuts.after(figures.rpm)),
        depth_of_cut=ALLOWANCE / cuts.count,
    )


def _across_both(items: Iterable[Item]) -> Iterator[Item]:
    """Yield items, what is measured of a diameter said of the two pieces that it goes over."""
    for item in items:
        if isinstance(item, Measure):
            yield replace(item, what=f"across the middles of both ends: {item.what}")
        else:
            yield item


def _measured_across(cutting: _Cutting) -> Iterator[Item]:
    """Yield the measuring across both pieces, and the dial set by it."""
    expected = 2 * cutting.measured
    yield Spindle(rpm=0.0)
    yield Measure(
        name=ACROSS,
        what="across the middles of both ends, over the axis, by a calliper as long as that; both"
        " ends are clean all over, and the cross slide is left where it is",
        expected=expected,
        low=expected - 2 * LAID,
        high=expected + 2 * LAID,
        found_by="touch",
        advice="the pieces lie elsewhere than the job has them, or the touch went wrong",
    )
    yield ZeroByMeasure(axis="x", measure=ACROSS, uncertainty=BY_CALLIPER)
    yield Spindle(rpm=cutting.figures.rpm)
    yield across(cutting.bench.clear + LAID, "out, clear of the corners")
