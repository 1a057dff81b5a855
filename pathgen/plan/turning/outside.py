"""Facing the end and turning diameters: in the order of the trade, one handle at a time."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.turned import RoundBlank, Turned, TurnedStep
from pathgen.moves.actions import Measure, Spindle, Touch, WorkBy, Zero, ZeroByMeasure
from pathgen.moves.moves import Feed, How, Rapid, Rule, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR, ON_SHOULDERS, TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures, figures_for
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.slides import Slide
from pathgen.shop.turning_tools import TurningTool

NAN = math.nan
START = 1.0  # mm to the right of where a cut begins
ALLOWANCE = 0.3  # mm on the radius left for the finishing cuts; common practice, no source
CUTS_TO_SIZE = 3  # equal ones, from what was measured down to the size
SKIM = 0.25  # mm on the radius of the cut that is measured to set the dial
SKIMMED = 6.0  # mm along the work, enough for a micrometer
LEAST_SKIMMED = 2.5  # mm, for the edge of its anvils
OFF = 0.4  # mm by which the bar may be thicker or thinner than it was measured, and still be it
SPRING = 0.1  # mm of diameter that a measured size may be off what the dial says
LITTLE_ROOM = 0.15  # mm: with less to either side a diameter is measured before its last cuts
TOUCHED = 0.02  # mm that touching turning work leaves open; common practice, no source
ALONG = 0.02  # mm that measuring a length by a vernier leaves open; common practice, no source
MEASURED = 0.005  # mm on the radius that measuring leaves open


def knife_tool(bench: TurningBench, turned: Turned) -> TurningTool:
    """Return the tool that cuts the diameters and their shoulders, that with the roundest nose.

    Raises:
        Refusal: the crib has none whose nose goes into the corners.
    """
    fitting = [
        tool for tool in bench.tools if tool.squares_shoulders and tool.nose_radius <= turned.corner
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


def facing_tool(bench: TurningBench) -> TurningTool:
    """Return the tool that faces an end of which nothing is turned outside: the roundest.

    Raises:
        Refusal: the crib has none.
    """
    fitting = [tool for tool in bench.tools if tool.squares_shoulders]
    if not fitting:
        raise Refusal(
            bench.setup.where,
            "face an end",
            "put a [[turning_tool]] with approach_deg above 90 into the crib",
        )
    return max(fitting, key=lambda tool: tool.nose_radius)


def across(x: float, what: str = "", *, makes_size: bool = False) -> Rapid:
    """Return the way across the axis to an x, in the air."""
    return Rapid(x, 0.0, NAN, How(makes="size" if makes_size else "air", what=what))


def along(z: float, what: str = "", *, makes_size: bool = False) -> Rapid:
    """Return the way along the axis to a z, in the air."""
    return Rapid(NAN, 0.0, z, How(makes="size" if makes_size else "air", what=what))


def plan_facing(bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the facing of the end: z 0 is what it leaves."""
    diameter = bench.job.blank.diameter
    figures = _figures(bench, tool, "turning", diameter)
    depth = bench_depth(bench.job.blank.material, bench.machine.rigidity)
    count = math.ceil(bench.setup.facing / depth - 1e-9)
    items: list[Item] = []
    for step in range(count - 1, -1, -1):
        what = "the faced end" if step == 0 else "facing"
        items += _faced(bench, figures, tool, bench.setup.facing * step / count, what)
    if bench.setup.overall is not None:
        items = _facing_round(bench, figures, bench.setup.overall.middle, tool)
    return TurnedOperation(
        purpose="face",
        feature="right end",
        tool=tool,
        figures=figures,
        why=f"z 0 is the end as it is faced; {figures.why}",
        items=(*items, across(bench.clear, "out, clear of the work")),
        depth_of_cut=bench.setup.facing / count,
        touched=diameter,
        faced=False,
    )


def _facing_round(
    bench: TurningBench, figures: TurningFigures, length: float, tool: TurningTool
) -> list[Item]:
    """Return the facing of the second end: a cut, the overall length measured, then down to it."""
    depth = bench_depth(bench.job.blank.material, bench.machine.rigidity)
    surplus = max(bench.setup.facing - depth, OFF + LITTLE_ROOM)
    count = math.ceil((surplus + OFF) / depth - 1e-9)
    measuring = Measure(
        name="L1",
        what="overall length: the part taken out, and held again as before, true, once measured",
        expected=length + surplus,
        low=length + surplus - OFF,
        high=length + surplus + OFF,
        found_by="touch",
        advice="the part is not as long as was thought: put the blank's length in the job right",
    )
    items = list(_faced(bench, figures, tool, surplus, "facing, to be measured"))
    items = [
        *items,
        across(bench.clear, "out, clear of the work"),
        Spindle(rpm=0.0),
        measuring,
        Spindle(rpm=figures.rpm),
        *_in_over_the_end(bench),
        end_touched(tool.name, figures.rpm, surplus, "what is left to be faced", "L1"),
        ZeroByMeasure(axis="z", measure="L1", less=length, uncertainty=ALONG),
        along(surplus + CLEAR, "off the end"),
    ]
    for step in range(count - 1, -1, -1):
        what = "the faced end" if step == 0 else "facing"
        items += _faced(bench, figures, tool, (surplus + OFF) * step / count, what)
    return items


def _in_over_the_end(bench: TurningBench) -> Iterator[Item]:
    """Yield the way in over the end; on a control that is jogged: it may stand elsewhere now."""
    if bench.manual:
        yield across(bench.job.blank.diameter / 4, "in, between the middle and the rim")


def end_touched(tool: str, rpm: float, at: float, label: str, found_as: str = "") -> Zero:
    """Return the touch on the right end, its place known to be z 0 or off it; mm, rev/min.

    Args:
        tool: that touches.
        rpm: of the work.
        at: where the end is.
        label: what the end is then.
        found_as: the Measure that tells where it really is.
    """
    touch = Touch(
        face="right end",
        towards=-1,
        tool=tool,
        radius=0.0,
        paper=0.0,
        at=at,
        terms=(Term(f"right end: {label}", at),),
        rpm=rpm,
        found_as=found_as,
    )
    left = 0.0 if at else TOUCHED
    return Zero(axis="z", touches=(touch,), uncertainty=left, why="z 0 is the faced end")


def _faced(
    bench: TurningBench, figures: TurningFigures, tool: TurningTool, level: float, what: str
) -> Iterator[Item]:
    """Yield one cut across the end at a level."""
    beyond = -tool.nose_radius - OFF / 2  # should the bar be thicker than it was measured
    yield across(bench.clear, "out, clear of the work")
    yield along(level, what, makes_size=True)
    in_past = How(makes="stop", what="in past the middle by the tool's nose")
    yield Feed(beyond, 0.0, level, figures.feed, in_past)
    yield along(level + CLEAR, "off the face")


def plan_turned(turned: Turned, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations that make diameters: roughing, then the cuts to size of each."""
    tool = knife_tool(bench, turned)
    yield _roughing(turned, bench, tool)
    for land in _lands(turned, bench):
        yield _to_size(turned, bench, tool, land)


def _figures(
    bench: TurningBench, tool: TurningTool, operation: str, diameter: float
) -> TurningFigures:
    return figures_for(
        bench.machine,
        bench.chuck,
        bench.job.blank.material,
        operation,
        tool.material,
        diameter,
    )


def _roughing(turned: Turned, bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the skim that sets the dial, and the cuts that leave the allowance."""
    blank = bench.job.blank
    figures = _figures(bench, tool, "turning", blank.diameter)
    if bench.along_by is not None:
        figures = figures.along(bench.along_by)
    most = bench_depth(blank.material, bench.machine.rigidity)
    items = list(_skim(bench, figures, _skimmed(turned, bench)))
    radius = blank.diameter / 2
    deepest = 0.0
    for step in reversed(turned.steps):
        aim = step.diameter.middle / 2 + ALLOWANCE
        exact = step is turned.steps[-1] and bench.carriage is None
        end = -step.to.middle + (0.0 if exact else bench.on_shoulders)
        count = max(0, math.ceil((radius - aim) / most - 1e-9))
        for cut in range(1, count + 1):
            x = radius - (radius - aim) * cut / count
            items += _pass(bench, figures, (x, START, end), f"roughing, {_across(bench, x)}")
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


def _skimmed(turned: Turned, bench: TurningBench) -> float:
    """Return how far along the work the skim goes, mm: on what is cut away anyhow.

    Raises:
        Refusal: no stretch is left of the bar that is both thick and long enough.
    """
    under = bench.job.blank.diameter / 2 - bench.nearest_count(SKIM) - OFF / 2
    reach = min(SKIMMED, turned.steps[-1].to.low - ON_SHOULDERS)
    right = 0.0
    for step in turned.steps:
        if step.diameter.high / 2 > under:
            reach = min(reach, right - ON_SHOULDERS)
            break
        right = step.to.low
    if reach < LEAST_SKIMMED:
        raise Refusal(
            turned.where,
            f"take a skim to be measured off a bar of {bench.say(bench.job.blank.diameter)}: too"
            " little of it is cut away",
            "take a thicker bar, or turn further along it",
        )
    return reach


def _skim(bench: TurningBench, figures: TurningFigures, reach: float) -> Iterator[Item]:
    """Yield a light cut that is measured, and the dial set by it: from here it shows diameters."""
    x = bench.job.blank.diameter / 2 - bench.nearest_count(SKIM)
    measure = Measure(
        name="M1",
        what="diameter of the skim, the cross slide left where it is",
        expected=2 * x,
        low=2 * x - OFF,
        high=2 * x + OFF,
        found_by="touch",
        advice="the bar is another than the job says, or the touch went wrong: begin again",
    )
    yield from skim(measure, figures, reach, "back, the cross slide left where it is")
    yield across(bench.clear, "out, clear of the work")


def skim(measure: Measure, figures: TurningFigures, reach: float, back: str) -> Iterator[Item]:
    """Yield a light cut, outside or in a bore, that is measured, and the dial set by it.

    Args:
        measure: of the diameter that the dial says is cut.
        figures: speed and feed.
        reach: how far along the work, mm.
        back: how the tool is drawn back, in words.
    """
    x = measure.expected / 2
    yield along(START)
    yield across(x, "for a skim", makes_size=True)
    yield Feed(x, 0.0, -reach, figures.feed, How(makes="stop", what="a skim to be measured"))
    yield along(CLEAR, back)
    yield Spindle(rpm=0.0)
    yield measure
    yield ZeroByMeasure(axis="x", measure=measure.name, uncertainty=MEASURED)
    yield Spindle(rpm=figures.rpm)


def _pass(
    bench: TurningBench,
    figures: TurningFigures,
    cut: tuple[float, float, float],
    what: str,
) -> Iterator[Item]:
    """Yield one cut along the axis at an x, from a z to a z, and the way back."""
    x, start, end = cut
    yield along(start)
    yield across(x, what, makes_size=True)
    yield Feed(x, 0.0, end, figures.feed, How(makes="stop", what="towards the chuck"))
    yield along(end + bench.back, "back from the shoulder")
    yield across(x + START, "off the work")
    yield along(start)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Land:
    """One diameter to be taken to size, among those beside it; mm."""

    step: TurnedStep
    right: float  # z where it begins
    beyond: float  # the radius of what stands to its left, as roughed
    last: bool  # behind it the bar is left as it comes
    faced: bool  # its shoulder is faced by a cut outwards
    name: str  # of its measurement; empty where it is not measured

    @property
    def largest(self) -> float:
        """Return the largest diameter that its cuts come to: that of its shoulder, if faced."""
        own = self.step.diameter.nominal + 2 * ALLOWANCE
        return max(own, 2 * self.beyond) if self.faced else own


def _lands(turned: Turned, bench: TurningBench) -> Iterator[_Land]:
    """Yield the diameters of a profile from the right face on."""
    right = 0.0
    for index, step in enumerate(turned.steps):
        last = index + 1 == len(turned.steps)
        left = bench.job.blank if last else turned.steps[index + 1].diameter
        beyond = left.diameter / 2 if isinstance(left, RoundBlank) else left.middle / 2 + ALLOWANCE
        narrow = (step.diameter.high - step.diameter.low) / 2 < LITTLE_ROOM
        measured = bench.manual and (step.diameter.own or narrow)
        yield _Land(
            step=step,
            right=right,
            beyond=beyond,
            last=last,
            faced=not last or bench.carriage is not None,
            name=f"M{index + 2}" if measured else "",
        )
        right = -step.to.middle


def measured_as(turned: Turned, step: int, bench: TurningBench) -> str:
    """Return the measurement that tells how the tool springs at a diameter, from 1; or nothing.

    That of the diameter itself; of one that is not measured, that of another of its profile.
    """
    names = [land.name for land in _lands(turned, bench)]
    return names[step - 1] or next((name for name in names if name), "")


def _to_size(
    turned: Turned, bench: TurningBench, tool: TurningTool, land: _Land
) -> TurnedOperation:
    """Return the cuts that take one diameter to size, and its shoulder."""
    figures = _figures(bench, tool, "turning finish", land.largest)
    if bench.manual:
        figures = figures.along(bench.machine.slide("z"))
    cuts = CUTS_TO_SIZE if land.name else 1
    items: list[Item] = []
    if land.name:
        items = [
            Spindle(rpm=0.0),
            _measure(land.step, land.name, bench),
            Spindle(rpm=figures.rpm),
        ]
    for cut in range(1, cuts + 1):
        items += _finishing_cut(land, bench, figures, (cut, cuts))
    return TurnedOperation(
        purpose="finish",
        feature=turned.name,
        tool=tool,
        figures=figures,
        why=_why(land, bench, figures),
        items=tuple(items),
        depth_of_cut=ALLOWANCE / cuts,
        touched=bench.job.blank.diameter,
    )


def _finishing_cut(
    land: _Land, bench: TurningBench, figures: TurningFigures, cut: tuple[int, int]
) -> Iterator[Item]:
    """Yield one of the cuts to size; the last goes to the shoulder and faces it."""
    number, of = cut
    last = number == of
    x = land.step.diameter.middle / 2 + ALLOWANCE * (of - number) / of
    end = -land.step.to.middle + (0.0 if last else bench.on_shoulders)
    yield along(land.right + START)
    yield Rapid(x, 0.0, NAN, _finishing(land.step, land.name, cut))
    yield Feed(x, 0.0, end, figures.feed, _along_how(land.step, last=last))
    if last and land.faced:
        out = How(makes="stop", what="out, to face the shoulder")
        yield Feed(land.beyond + START, 0.0, end, figures.feed, out)
    else:
        yield along(end + bench.back, "back from the shoulder")
    yield across(bench.clear, "out, clear of the work")


def _why(land: _Land, bench: TurningBench, figures: TurningFigures) -> str:
    """Return why a diameter is taken to size in so many cuts."""
    cuts = f"{CUTS_TO_SIZE} equal cuts from what is measured" if land.name else "one cut"
    return f"{cuts} down to {bench.say(land.step.diameter.middle)} across; {figures.why}"


def _measure(step: TurnedStep, name: str, bench: TurningBench) -> Measure:
    """Return the measurement of a diameter before it is cut to size."""
    expected = step.diameter.middle + 2 * ALLOWANCE
    return Measure(
        name=name,
        what=f"diameter that is to become {bench.say(step.diameter.nominal)}",
        expected=expected,
        low=expected - SPRING,
        high=expected + SPRING,
        found_by="spring",
        advice="a reading or a turn was missed: find out which before anything more is cut",
    )


def _finishing(step: TurnedStep, name: str, cut: tuple[int, int]) -> How:
    """Return how one of the cuts to size is set: by its share of what was found."""
    number, of = cut
    what = f"cut {number} of {of} to size" if of > 1 else "to size"
    left = ALLOWANCE * (of - number) / of
    terms = [Term("half of the diameter wanted", step.diameter.middle / 2)]
    if left:
        terms.append(Term("left for the cuts after this", left))
    rules = (Rule(axis="x", measure=name, factor=-number / (2 * of)),) if name else ()
    return How(makes="size", what=what, sums=(("x", tuple(terms)),), rules=rules)


def _along_how(step: TurnedStep, *, last: bool) -> How:
    """Return how the end of a finishing cut is set."""
    if not last:
        return How(makes="stop", what="short of the shoulder")
    terms = (Term("the faced end", 0.0), Term("length to the shoulder", -step.to.middle))
    return How(makes="size", what="to the shoulder", sums=(("z", terms),))
