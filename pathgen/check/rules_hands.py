"""Room for hands: how high the cutter stands while it is changed, at measuring, at the end."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.input.units import spoken
from pathgen.moves.actions import Clamp, FitCutter, Measure, SetDiameter, SetHeight
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item, Run

ROUNDING = 0.05  # mm: a height as a program or a dial has it


def hand_findings(context: Context) -> Iterator[Finding]:
    """Yield stops for hands with the cutter lower than the machine file's `hand_room` asks.

    Where the height is not known nothing can be said. And a sheet that never says how the work is
    held: a line of it left out shows nowhere else.
    """
    yield from not_clamped(context.run, _set_over(context))
    run, wanted = context.run, _hand_height(context)
    for index, item, number in context.actions:
        doing = _doing(item)
        at = _height_before(run, index) if doing else math.nan
        if at < wanted - ROUNDING:
            yield _too_low(context, doing, number, (at, wanted))
    at = _height_before(run, len(run.items))
    if at < wanted - ROUNDING:
        yield _too_low(context, "it ends", run.numbers[-1], (at, wanted))


def not_clamped(run: Run, unsaid: Iterable[str] = ()) -> Iterator[Finding]:
    """Yield the findings of a sheet that leaves out how the work is clamped.

    Of one from the beginning on; another is gone on with, the work clamped.

    Args:
        run: as followed.
        unsaid: words that the clamping has to hold besides.
    """
    if run.where != "step" or run.head.begins_at:
        return
    clamps = [item for item in run.items if isinstance(item, Clamp)]
    lines = [line for item in clamps for line in item.lines]
    missing = [] if clamps else ["to clamp the work, nor how"]
    missing += [words for words in unsaid if not any(words in line for line in lines)]
    for words in missing:
        yield Finding(
            code="not clamped",
            what=f"the sheet does not say {words}",
            where="job",
            file=run.file,
            remedy="put it back, or make the sheet anew",
        )


def _set_over(context: Context) -> Iterator[str]:
    """Yield what has to be said of work set over: the angle and the way, the blocks of the bar."""
    set_over = context.setup.set_over
    if set_over is None:
        return
    angle = abs(set_over.angle_deg)
    yield f"set the work over {angle:.3f} degrees {set_over.way}"
    if set_over.by == "sine bar":
        blocks = set_over.bar * math.sin(math.radians(angle))
        yield f"{spoken(blocks, context.job.units)} of gauge blocks"


def _height_before(run: Run, index: int) -> float:
    """Return the z to which the last move before an item was; nan where it is not known."""
    for row in range(index - 1, -1, -1):
        item = run.items[row]
        if isinstance(item, FitCutter | SetHeight):
            return math.nan
        if isinstance(item, Rapid | Feed | Arc | Drill):
            return end_of(item)[2]
    return math.nan


def _doing(item: Item) -> str:
    """Return what hands do at an item for which they want room; empty for nothing."""
    match item:
        case Measure():
            return "the work is measured"
        case FitCutter():
            return "the cutter is changed"
        case SetDiameter(touched=False):
            return f"the {item.head} is set"
        case _:
            return ""


def _too_low(context: Context, doing: str, number: int, heights: tuple[float, float]) -> Finding:
    at, wanted = heights
    return context.finding_by(
        "hands",
        f"{doing} with the cutter at z {at + 0.0:.1f}, where hands want it at {wanted:.1f} or "
        "higher",
        number,
        "go up first, clear of the work",
        amount=wanted - at,
    )


def _hand_height(context: Context) -> float:
    """Return the least z for hands: the machine's room for them above all that stands there, mm.

    Less where the travel does not reach so high from the lowest place of the run; a handle's whole
    turns may then be counted from another height.
    """
    machine = context.machine
    above = max([context.box[1][2], *(box.high[2] for box in context.setup.hold.keepouts)])
    room = machine.room_for_hands(above, lowest_of(context))
    if machine.manual and room < machine.room_for_hands(above, above):
        room = max(0.0, room - machine.slide("z").per_turn)
    return above + room


def lowest_of(context: Context) -> float:
    """Return the lowest place that the cutter goes to, z; mm."""
    heights = context.legs.low[np.isfinite(context.legs.low)]
    return float(heights.min(initial=context.box[1][2]))
