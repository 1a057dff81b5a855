"""Boring with a bar: from the drilled hole, roughed, measured, and to size going out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal, Where
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.inside import Bored, BoredStep
from pathgen.moves.actions import Measure, Note, Touch, WorkBy, Zero
from pathgen.moves.moves import NAN, Feed, How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import (
    ALLOWANCE,
    LEAST_SKIMMED,
    SKIM,
    SKIM_AGAIN,
    SKIMMED,
    TOUCHED,
)
from pathgen.plan.turning.axial import drilled, drills_to
from pathgen.plan.turning.bench import CLEAR, ON_SHOULDERS, Anew, TurnedOperation, TurningBench
from pathgen.plan.turning.facing import end_touched
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.last_cuts import LastCuts, guard_limits, measured_by
from pathgen.plan.turning.skimming import as_roughed, skim, skimmed_again
from pathgen.plan.turning.ways import across, along
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.turning_tools import TurningTool

FOR_A_GAUGE = 40.0  # mm between the bar and the work's end, to measure a bore
OFF_WALL = 0.5  # mm off the wall of a bore in the air, beside the slack
TO_BORE = 1.6  # mm on diameter that the drill leaves, at least: the skim, and the cuts to size
BLIND_SHARE = 0.8  # of a blind bore: what its drill has at most, so that a floor is left to face
DRILLED_OFF = 0.3  # mm of diameter by which the drilled hole may be another than the drill
SLENDER = 0.5  # of the depth of cut outside: a bar gives way; common practice, no source
BESIDE = 3.0  # mm beside the bore, at most, where the end is touched
BORING = (
    "Inside work: the tool cannot be seen. Before each cut see that the bar stands out far enough"
    " and its far side is clear; brush chips out with the spindle stopped, never by finger or air."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Inside:
    """A bore with what it is made with; mm."""

    bored: Bored
    bench: TurningBench
    bar: TurningTool
    drill: float  # radius of the drilled hole

    @property
    def off(self) -> float:
        """Return how far the point is taken off the wall in the air."""
        return off_wall(self.bench)

    @property
    def beside_a_gauge(self) -> float:
        """Return the z to which the bar is drawn out for the bore to be measured, mm."""
        return beside_a_gauge(self.bench, -self.end_of(self.bored.steps[-1]))

    def end_of(self, step: BoredStep) -> float:
        """Return the z to which a diameter goes: its shoulder, or past the part."""
        return -(self.bench.through if step.to is None else step.to.middle)

    def inner_of(self, index: int) -> float:
        """Return the radius of what is hollow behind a diameter, as roughed."""
        if index + 1 < len(self.bored.steps):
            return self.bored.steps[index + 1].diameter.middle / 2 - ALLOWANCE
        return self.drill

    def figures(self, diameter: float) -> TurningFigures:
        """Return speed and feed at a diameter."""
        return self.bench.figures("boring", self.bar.material, diameter)


def off_wall(bench: TurningBench) -> float:
    """Return how far a point is taken off a bore's wall in the air, mm: more than the slack."""
    slide = bench.machine.slide("x") if bench.manual else None
    return OFF_WALL if slide is None else OFF_WALL + slide.slack + slide.slack_spread


def beside_a_gauge(bench: TurningBench, deepest: float) -> float:
    """Return the z to which a bar that goes so deep is drawn out for a bore to be measured, mm.

    As far as the slide goes, where that is not so far.
    """
    if not bench.manual:
        return CLEAR
    left = bench.machine.slide("z").travel - deepest - CLEAR
    return max(bench.start, min(FOR_A_GAUGE, left))


def plan_bored(bored: Bored, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations of a bore.

    Raises:
        Refusal: no drills lead to it, or no bar goes in.
    """
    for step in bored.steps:
        guard_limits(step.diameter, bored.where.at("steps"), bench)
    deep, drills, bar = _drills_and_bar(bored, bench)
    inside = _Inside(
        bored=bored,
        bench=bench,
        bar=bar,
        drill=drills[-1].diameter / 2,
    )
    yield from drilled(drills, deep, bench, (bored.name, bored.where))
    yield _roughing(inside)
    for index in range(len(bored.steps) - 1, -1, -1):
        yield _to_size(inside, index)


def _drills_and_bar(
    bored: Bored, bench: TurningBench
) -> tuple[float, tuple[AxialTool, ...], TurningTool]:
    """Return how deep a bore is drilled, mm, the drills, and the bar that goes in after them.

    Drills of the job's own units, unless only a wider one of the others lets a bar in.

    Raises:
        Refusal: no drills lead to it, or no bar goes in.
    """
    last, where = bored.steps[-1], bored.where.at("steps")
    deep = bench.through if last.to is None else last.to.middle - ON_SHOULDERS
    most = last.diameter.middle - TO_BORE
    if not bored.through:
        most = min(most, BLIND_SHARE * last.diameter.middle)
    drills = drills_to(most + 1.0, "bore", bench, where, deep)
    try:
        return deep, drills, _bar(bored, bench, drills[-1])
    except Refusal:
        others = drills_to(most + 1.0, "bore", bench, where, deep, own=False)
        if others[-1].diameter <= drills[-1].diameter:
            raise
        return deep, others, _bar(bored, bench, others[-1])


def bar_of(bored: Bored, bench: TurningBench) -> TurningTool:
    """Return the bar that a bore is made with.

    Raises:
        Refusal: the crib has none, or no drills that lead to it.
    """
    return _drills_and_bar(bored, bench)[-1]


def measured_bore(bored: Bored, bench: TurningBench) -> str:
    """Return the measurement that tells how the bar springs in a bore; or nothing.

    That of its first diameter; where that is not measured, of another.
    """
    names = [
        measured_by(step.diameter, _named(index), bench) for index, step in enumerate(bored.steps)
    ]
    return next((name for name in names if name), "")


def _named(index: int) -> str:
    """Return the name of the measurement of one of a bore's diameters; that of the skim is B1."""
    return f"B{index + 2}"


def _bar(bored: Bored, bench: TurningBench, drill: AxialTool) -> TurningTool:
    """Return the thickest bar that goes into the drilled hole and reaches its far end.

    Raises:
        Refusal: the crib has none.
    """
    last = bored.steps[-1]
    deep = bench.through if last.to is None else last.to.middle
    square = [
        tool
        for tool in bench.tools
        if tool.kind == "boring" and tool.squares_shoulders and tool.nose_radius <= bored.corner
    ]
    return bar_for(square, drill.diameter, deep, bench, bored.where)


def bar_for(
    tools: list[TurningTool], hole: float, deep: float, bench: TurningBench, where: Where
) -> TurningTool:
    """Return the thickest of some bars that goes into a hole, mm across, and so deep.

    Raises:
        Refusal: none does; says what would.
    """
    room = off_wall(bench)
    fitting = [t for t in tools if t.least_bore + room <= hole and t.overhang >= deep + CLEAR]
    if fitting:
        return max(fitting, key=lambda tool: (tool.bar, tool.nose_radius))
    reach = max((tool.overhang for tool in tools), default=0.0)
    thin = min((tool.least_bore for tool in tools), default=0.0)
    raise Refusal(
        where,
        f"work inside {bench.say(deep)} deep in a hole of {bench.say(hole)}: no bar of the crib"
        " with such a point and nose does both"
        + (
            f"; the longest stands out {bench.say(reach)}, the thinnest wants a bore of"
            f" {bench.say(thin)} and {bench.say(room)} to come off the wall"
            if tools
            else ""
        ),
        "put a [[turning_tool]] with such a bar into the crib; it may stand out 4 of its diameters",
    )


# ---------------------------------------------------------------------- zeros


def inside_zeros(
    bench: TurningBench,
    tool: TurningTool,
    bore: float,
    rpm: float,
    found_as: str = "",
    taper: BoredTaper | None = None,
) -> tuple[Item, ...]:
    """Return how a tool on a bar finds its zeros: the wall of a bore, then the end beside it.

    Args:
        bench: what there is.
        tool: the tool.
        bore: radius of the bore where its wall is touched, mm.
        rpm: of the spindle.
        found_as: the Measure that tells later how wide the bore really was.
        taper: the one at the mouth behind which the wall is touched; None: at the mouth.
    """
    face, deep, wide = "bore", "", bore
    if taper is not None:
        face, wide = "bore behind the taper", taper.out
        deep = f", more than {bench.say(taper.along)} deep"
    label = f"{face}{deep}, half of its diameter"
    wall = Touch(
        face=face,
        towards=1,
        tool=tool.name,
        radius=0.0,
        paper=0.0,
        at=bore,
        terms=(Term(label, bore),),
        rpm=rpm,
        found_as=found_as,
    )
    over = (across(wide + _beside(bench, wide), "out, over the end"),) if bench.manual else ()
    return (
        Zero(axis="x", touches=(wall,), uncertainty=TOUCHED, why="x 0 is the axis"),
        *over,
        end_touched(tool.name, rpm, 0.0, "the faced end"),
        along(CLEAR, "off the end"),
        across(bore - off_wall(bench), "in, in line with the bore"),
    )


def _beside(bench: TurningBench, bore: float) -> float:
    """Return how far beside a bore its end is touched, mm."""
    return min(BESIDE, (bench.rim - bore) / 2)


def inside_by(bench: TurningBench) -> WorkBy | None:
    """Return the slides that inside work is done by, on a lathe with handles."""
    if not bench.manual:
        return None
    return WorkBy(slides=tuple(slide.name for slide in bench.machine.slides), outwards=True)


# ---------------------------------------------------------------------- cuts


def _roughing(inside: _Inside) -> TurnedOperation:
    """Return the skim that sets the dial, and the cuts that leave the allowance."""
    bench = inside.bench
    widest = inside.bored.steps[0].diameter.middle
    figures = inside.figures(widest)
    most = bench_depth(bench.job.blank.material, bench.machine.rigidity) * SLENDER
    items = list(_skim(inside, figures))
    radius, deepest = inside.drill, 0.0
    for step in reversed(inside.bored.steps):
        aim = step.diameter.middle / 2 - ALLOWANCE
        end = inside.end_of(step) + (0.0 if step.to is None else ON_SHOULDERS)
        count = max(0, math.ceil((aim - radius) / most - 1e-9))
        for cut in range(1, count + 1):
            x = radius + (aim - radius) * cut / count
            how = How(makes="size", what=f"roughing, {bench.say(2 * x)} across")
            items += _pass(inside, figures, x, end, how)
        deepest = max(deepest, (aim - radius) / max(count, 1))
        radius = aim
    return TurnedOperation(
        purpose="rough",
        feature=inside.bored.name,
        tool=inside.bar,
        figures=figures,
        why=f"the hole up to {bench.say(2 * ALLOWANCE)} below each diameter; {figures.why}",
        items=(Note(text=BORING, caution=True), *items),
        depth_of_cut=deepest,
        zeros=inside_zeros(bench, inside.bar, inside.drill, figures.rpm, "B1"),
        by=inside_by(bench),
    )


def _pass(
    inside: _Inside, figures: TurningFigures, x: float, end: float, how: How
) -> Iterator[Item]:
    """Yield one cut along a bore at an x, and the way back."""
    yield along(inside.bench.start)
    yield Rapid(x, 0.0, NAN, how)
    yield Feed(x, 0.0, end, figures.feed, How(makes="stop", what="towards the chuck"))
    yield from _out(inside, x, end)


def _out(inside: _Inside, x: float, end: float) -> Iterator[Item]:
    """Yield the way back out of a bore, off its shoulder and its wall first."""
    yield along(end + inside.bench.back, "back from the far end")
    yield across(x - inside.off, "in, off the wall")
    yield along(inside.bench.start, "out of the bore")


def _skim(inside: _Inside, figures: TurningFigures) -> Iterator[Item]:
    """Yield a light cut that is measured, and the dial set by it."""
    bench = inside.bench
    x = inside.drill + bench.nearest_count(SKIM)
    deep = min(SKIMMED, -inside.end_of(inside.bored.steps[-1]) - ON_SHOULDERS)
    measure = Measure(
        name="B1",
        what="bore that was skimmed, the cross slide left where it is",
        expected=2 * x,
        low=2 * x - DRILLED_OFF,
        high=2 * x + DRILLED_OFF,
        found_by="touch",
        advice="the drill cut another size, or the touch went wrong: begin again with the bar",
    )
    yield from _skimmed(inside, figures, measure, deep)


def _skimmed(
    inside: _Inside, figures: TurningFigures, measure: Measure, deep: float
) -> Iterator[Item]:
    """Yield a light cut so deep into the bore, measured, and the dial set by it."""
    bench = inside.bench
    far = ", so far that a gauge goes in" if bench.manual else ""
    words = f"straight out, the cross slide left where it is{far}"
    back = along(inside.beside_a_gauge, words)
    yield from skim(measure, figures, deep, bench.start, back)
    yield across(measure.expected / 2 - inside.off, "in, off the wall")


def _to_size(inside: _Inside, index: int) -> TurnedOperation:
    """Return the cuts that take one diameter to size, and its shoulder."""
    step, bench = inside.bored.steps[index], inside.bench
    figures = inside.figures(step.diameter.nominal)
    name = measured_by(step.diameter, _named(index), bench)
    cuts = LastCuts(size=step.diameter, bench=bench, name=name, outwards=True)
    items: list[Item] = []
    for number in range(1, cuts.count + 1):
        measuring = cuts.measured_before(number, figures.rpm)
        if measuring:
            items.append(along(inside.beside_a_gauge, "out, so far that a gauge goes in"))
        items += measuring
        items += _finishing_cut(inside, index, cuts, number)
    return TurnedOperation(
        purpose="finish",
        feature=inside.bored.name,
        tool=inside.bar,
        figures=figures,
        why=f"{cuts.why()}; {figures.why}",
        items=(*items, *cuts.after(figures.rpm)),
        depth_of_cut=ALLOWANCE / cuts.count,
        by=inside_by(bench),
        anew=_again(inside, figures),
    )


def _again(inside: _Inside, figures: TurningFigures) -> Anew | None:
    """Return how the bar finds its place after a stop: at the mouth, which is finished last.

    None where too little of it can be skimmed.
    """
    bench, mouth = inside.bench, inside.bored.steps[0]
    reach = min(SKIMMED, -inside.end_of(mouth) - bench.on_shoulders)
    if reach < LEAST_SKIMMED:
        return None
    bore = bench.on_dial(mouth.diameter.middle / 2 - ALLOWANCE)  # as a dial was set
    measure = skimmed_again("B1", "bore that was skimmed", bench.on_dial(bore + SKIM_AGAIN))
    return Anew(
        measured=as_roughed("bore", 2 * bore, bench),
        touched=2 * bore,
        skim=tuple(_skimmed(inside, figures, measure, reach)),
        zeros=inside_zeros(bench, inside.bar, bore, figures.rpm, measure.name),
    )


def _finishing_cut(inside: _Inside, index: int, cuts: LastCuts, number: int) -> Iterator[Item]:
    """Yield one of the cuts to size; the last goes to the shoulder and faces it."""
    step, last = inside.bored.steps[index], number == cuts.count
    figures = inside.figures(step.diameter.nominal)
    x = cuts.x(number)
    shoulder = step.to is not None
    end = inside.end_of(step) + (ON_SHOULDERS if shoulder and not last else 0.0)
    how = cuts.how(number)
    if not (last and shoulder):
        yield from _pass(inside, figures, x, end, how)
        return
    yield along(inside.bench.start)
    yield Rapid(x, 0.0, NAN, how)
    terms = (Term("the faced end", 0.0), Term("depth of the shoulder", end))
    to = How(makes="size", what="to the shoulder", sums=(("z", terms),))
    yield Feed(x, 0.0, end, figures.feed, to)
    inner = inside.inner_of(index) - inside.off
    facing = How(makes="stop", what="in, to face the shoulder")
    yield Feed(inner, 0.0, end, figures.feed, facing)
    yield along(inside.bench.start, "out of the bore")
