"""Turning diameters: roughed by the dial that a skim set, then each to size from a measurement."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turned import RoundBlank, Turned, TurnedStep
from pathgen.moves.actions import SetStop, Spindle, WorkBy
from pathgen.moves.moves import Feed, How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import ALLOWANCE
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.last_cuts import LastCuts, guard_limits, measured_by
from pathgen.plan.turning.skimming import skim_again, skim_outside
from pathgen.plan.turning.ways import NAN, START, across, along
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.slides import Slide
from pathgen.shop.turning_tools import TurningTool

WORTH_A_STOP = 3  # cuts to one shoulder, from which on a stop on the bed is set for them
LEANS = 0.1  # mm: with limits nearer than that to either side a shoulder is faced


def knife_tool(bench: TurningBench, turned: Turned) -> TurningTool:
    """Return the tool that cuts the diameters and their shoulders, that with the roundest nose.

    Raises:
        Refusal: the crib has none whose nose goes into the corners.
    """
    fitting = [
        tool for tool in bench.tools if tool.turns_shoulders and tool.nose_radius <= turned.corner
    ]
    if not fitting:
        raise Refusal(
            turned.where.at("corner"),
            f"turn shoulders with corners of {bench.say(turned.corner)} or less",
            "put a [[turning_tool]] with approach_deg above 90 and such a nose into the crib",
        )
    least = min(step.diameter.middle for step in turned.steps) / 2
    high = bench.job.blank.diameter / 2 - least
    reaching = [tool for tool in fitting if tool.reach > high]
    if not reaching:
        longest = max(tool.reach for tool in fitting)
        raise Refusal(
            turned.where,
            f"turn a shoulder {bench.say(high)} high: the cutting end of the tool that reaches"
            f" furthest is {bench.say(longest)} long",
            "put a [[turning_tool]] with more reach into the crib, or take a thinner bar",
        )
    return max(reaching, key=lambda tool: tool.nose_radius)


def plan_turned(turned: Turned, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations that make diameters: roughing, then the cuts to size of each.

    Raises:
        Refusal: no tool does it, too little is cut away, or limits are too near to each other.
    """
    for step in turned.steps:
        guard_limits(step.diameter, turned.where.at("steps"), bench)
    tool = knife_tool(bench, turned)
    yield _roughing(turned, bench, tool)
    for land in _lands(turned, bench):
        yield _to_size(turned, bench, tool, land)


def _roughing(turned: Turned, bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the skim that sets the dial, and the cuts that leave the allowance."""
    blank = bench.job.blank
    figures = bench.figures("turning", tool.material, blank.diameter)
    if bench.along_by is not None:
        figures = figures.along(bench.along_by)
    most = bench_depth(blank.material, bench.machine.rigidity)
    items = list(skim_outside(turned, bench, figures))
    radius = blank.diameter / 2
    deepest = 0.0
    for step in reversed(turned.steps):
        aim = step.diameter.middle / 2 + ALLOWANCE
        end = -step.to.middle + (bench.on_shoulders if _is_faced(step, turned, bench) else 0.0)
        count = max(0, math.ceil((radius - aim) / most - 1e-9))
        stop = bench.stopping if count >= WORTH_A_STOP else ""
        for cut in range(1, count + 1):
            x = radius - (radius - aim) * cut / count
            ends = _ends(stop, cut)
            what = f"roughing, {_across(bench, x)}"
            items += _pass(bench, figures, (x, bench.start, end), what, ends)
        if stop:
            items += (Spindle(rpm=0.0), SetStop(slide=stop, away=True), Spindle(rpm=figures.rpm))
        if count:
            deepest = max(deepest, (radius - aim) / count)
            radius = aim
    return TurnedOperation(
        purpose="rough",
        feature=turned.name,
        tool=tool,
        figures=figures,
        why=f"the bar down to {bench.say(2 * ALLOWANCE)} above each diameter; {figures.why}",
        items=tuple(items),
        depth_of_cut=deepest,
        touched=blank.diameter,
        by=None if bench.carriage is None else _by_carriage(bench, bench.carriage),
    )


def _by_carriage(bench: TurningBench, carriage: Slide) -> WorkBy:
    """Return that the long cuts are made by the carriage."""
    return WorkBy(slides=(bench.machine.slide("x").name, carriage.name))


def _across(bench: TurningBench, x: float) -> str:
    """Return a diameter in words, by the place of the tool."""
    return f"{bench.say(2 * x)} across"


def _ends(stop: str, cut: int) -> tuple[How, tuple[Item, ...]]:
    """Return how a roughing cut ends, and what is done there: a stop is set after the first.

    Args:
        stop: the slide that runs against it; empty for none.
        cut: which of those to one shoulder it is, from 1.
    """
    if not stop or cut == 1:
        at_end = (Spindle(rpm=0.0), SetStop(slide=stop)) if stop else ()
        return How(makes="stop", what="towards the chuck"), at_end
    return How(makes="stop", what="towards the chuck, up to the stop", to_stop=True), ()


def _pass(
    bench: TurningBench,
    figures: TurningFigures,
    cut: tuple[float, float, float],
    what: str,
    ends: tuple[How, tuple[Item, ...]],
) -> Iterator[Item]:
    """Yield one cut along the axis at an x, from a z to a z, and the way back."""
    how, at_end = ends
    x, start, end = cut
    yield along(start)
    yield across(x, what, makes_size=True)
    yield Feed(x, 0.0, end, figures.feed, how)
    yield from at_end
    yield along(end + bench.back, "back from the shoulder")
    yield across(x + START, "off the work")
    if at_end:  # with the tool off the work
        yield Spindle(rpm=figures.rpm)
    yield along(start)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Land:
    """One diameter to be taken to size, among those beside it; mm."""

    step: TurnedStep
    right: float  # z where it begins
    beyond: float  # the radius of what stands to its left, as roughed
    last: bool  # behind it the bar is left as it comes
    faced: bool  # its shoulder is faced by a cut outwards
    cuts: LastCuts

    @property
    def largest(self) -> float:
        """Return the largest diameter that its cuts come to: that of its shoulder, if faced."""
        own = self.step.diameter.nominal + 2 * ALLOWANCE
        return max(own, 2 * self.beyond) if self.faced else own


def _is_faced(step: TurnedStep, turned: Turned, bench: TurningBench) -> bool:
    """Return whether the shoulder of a diameter is faced by a cut outwards.

    The last one only if the bar stays behind it and asks for it: each cut along the work leaves the
    lean of the tool's edge on it.
    """
    if step is not turned.steps[-1] or bench.carriage is not None:
        return True
    return (step.to.high - step.to.low) / 2 < LEANS


def _lands(turned: Turned, bench: TurningBench) -> Iterator[_Land]:
    """Yield the diameters of a profile from the right face on."""
    right = 0.0
    for index, step in enumerate(turned.steps):
        last = index + 1 == len(turned.steps)
        left = bench.job.blank if last else turned.steps[index + 1].diameter
        beyond = left.diameter / 2 if isinstance(left, RoundBlank) else left.middle / 2 + ALLOWANCE
        yield _Land(
            step=step,
            right=right,
            beyond=beyond,
            last=last,
            faced=_is_faced(step, turned, bench),
            cuts=LastCuts(
                size=step.diameter,
                bench=bench,
                name=measured_by(step.diameter, measurement(index + 1), bench),
                outwards=False,
            ),
        )
        right = -step.to.middle


def measurement(step: int) -> str:
    """Return what the measurement of one of a profile's diameters, from 1, is called."""
    return f"M{step + 1}"  # M1 is that of the skim


def measured_as(turned: Turned, step: int, bench: TurningBench) -> str:
    """Return the measurement that tells how the tool springs at a diameter, from 1; or nothing.

    That of the diameter itself; of one that is not measured, that of another of its profile.
    """
    names = [land.cuts.name for land in _lands(turned, bench)]
    return names[step - 1] or next((name for name in names if name), "")


def _to_size(
    turned: Turned, bench: TurningBench, tool: TurningTool, land: _Land
) -> TurnedOperation:
    """Return the cuts that take one diameter to size, and its shoulder."""
    figures = bench.figures("turning finish", tool.material, land.largest)
    if bench.manual:
        figures = figures.along(bench.machine.slide("z"))
    cuts = land.cuts
    items: list[Item] = []
    for number in range(1, cuts.count + 1):
        items.append(along(land.right + bench.start))
        items += cuts.measured_before(number, figures.rpm)
        items += _finishing_cut(land, bench, figures, number)
    return TurnedOperation(
        purpose="finish",
        feature=turned.name,
        tool=tool,
        figures=figures,
        why=f"{cuts.why()}; {figures.why}",
        items=(*items, *cuts.after(figures.rpm)),
        depth_of_cut=ALLOWANCE / cuts.count,
        touched=bench.job.blank.diameter,
        anew=skim_again(
            2 * (land.step.diameter.middle / 2 + ALLOWANCE),
            (land.right, -land.step.to.low),
            bench,
            figures,
        ),
    )


def _finishing_cut(
    land: _Land, bench: TurningBench, figures: TurningFigures, number: int
) -> Iterator[Item]:
    """Yield one of the cuts to size; the last goes to the shoulder and faces it."""
    last = number == land.cuts.count
    x = land.cuts.x(number)
    end = -land.step.to.middle + (0.0 if last else bench.on_shoulders)
    yield Rapid(x, 0.0, NAN, land.cuts.how(number))
    yield Feed(x, 0.0, end, figures.feed, _along_how(land.step, last=last))
    if last and land.faced:
        out = How(makes="stop", what="out, to face the shoulder")
        yield Feed(land.beyond + START, 0.0, end, figures.feed, out)
    else:
        yield along(end + bench.back, "back from the shoulder")
    yield across(bench.clear, "out, clear of the work")


def _along_how(step: TurnedStep, *, last: bool) -> How:
    """Return how the end of a finishing cut is set."""
    if not last:
        return How(makes="stop", what="short of the shoulder")
    terms = (Term("the faced end", 0.0), Term("length to the shoulder", -step.to.middle))
    return How(makes="size", what="to the shoulder", sums=(("z", terms),))
