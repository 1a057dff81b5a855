"""Facing an end: z 0 is what it leaves, or the overall length of a part that was turned round."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.moves.actions import Measure, Spindle, Touch, Zero, ZeroByMeasure
from pathgen.moves.moves import Feed, How, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import ALONG, LITTLE_ROOM, OFF, SPRING, TOUCHED
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.ways import across, along
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.turning_tools import TurningTool


def facing_tool(bench: TurningBench) -> TurningTool:
    """Return the tool that faces an end of which nothing is turned outside: the roundest.

    Raises:
        Refusal: the crib has none.
    """
    fitting = [tool for tool in bench.tools if tool.turns_shoulders]
    if not fitting:
        raise Refusal(
            bench.setup.where,
            "face an end",
            "put a [[turning_tool]] with approach_deg above 90 into the crib",
        )
    return max(fitting, key=lambda tool: tool.nose_radius)


def plan_facing(bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the facing of the end: z 0 is what it leaves."""
    diameter = bench.job.blank.diameter
    figures = bench.figures("turning", tool.material, diameter)
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
        x = (bench.setup.mouth + bench.job.blank.diameter) / 4
        yield across(x, "in, between the middle and the rim")


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
    if bench.manual:  # and the tool spring, its zero and its place rounded the same way
        beyond -= SPRING / 2 + bench.machine.slide("x").count
    yield across(bench.clear, "out, clear of the work")
    yield along(level, what, makes_size=True)
    in_past = How(makes="stop", what="in past the middle by the tool's nose")
    yield Feed(beyond, 0.0, level, figures.feed, in_past)
    yield along(level + CLEAR, "off the face")
