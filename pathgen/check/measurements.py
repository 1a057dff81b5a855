"""What is measured on the way: against the metal as it is then, and before what is finished."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from pathgen.check.context import Context
from pathgen.check.features import Judged, judge
from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.finished import NOISE, Finished
from pathgen.check.measured.finished_holes import FinishedHoles
from pathgen.check.measured.hole_legs import cuts_of, legs_in
from pathgen.check.measured.t_slot import FinishedTSlot
from pathgen.check.metal.widening import wider_at
from pathgen.check.wanted.own_axes import along_across, shares
from pathgen.job.set_over import against_slides
from pathgen.moves.actions import FitCutter, Measure

PRINTED = 0.005  # what is printed of a size, and chords for arcs, leave this open, mm
MOST_OFF = 0.5  # mm: with a band wider than this each way no slip shows; common practice, no source
AT_WALL = 0.02  # a cut that comes this near to a finished wall makes it, mm


def measured_findings(context: Context, judged: Sequence[Judged]) -> Iterator[Finding]:
    """Yield what is wrong with the measuring, and finishing that no measuring comes before.

    Args:
        context: what every rule is given.
        judged: the features as the moves leave them.
    """
    for index, item, number in context.actions:
        if isinstance(item, Measure):
            yield from _measure(context, item, index, number)
    for each in judged:
        slot = each.neck if isinstance(each, FinishedTSlot) else each
        if isinstance(each, FinishedHoles) and each.holes.boring is not None:
            yield from _unmeasured_bore(context, each)
        elif isinstance(slot, Finished) and context.machine.manual:
            yield from _unmeasured(context, slot)


def _measure(context: Context, item: Measure, index: int, number: int) -> Iterator[Finding]:
    """Yield what is wrong with one measuring."""
    if not item.low <= item.expected <= item.high:
        yield context.finding_by(
            "measure",
            f"{item.name} should be {item.expected:.3f} mm, which its own band, {item.low:.3f} to "
            f"{item.high:.3f} mm, leaves out",
            number,
            "put the band about the expected size",
        )
        return
    then = _size_then(context, item, index)
    if then is None:
        yield context.finding_by(
            "measure",
            f"{item.name} is to be measured as {item.what!r}, which is no size of this setup that "
            "the metal could be asked for",
            number,
            "say 'QUANTITY of NAME': a size and a feature of the job",
        )
        return
    found = item.expected
    if item.found_by == "cutter":
        found += _wider(context, index)
    elif item.found_by == "setting":
        found = dict(context.run.found).get(item.name, found)
    yield from _not_the_metal(context, item, number, (then, found))
    yield from _band(context, item, number, then)


def _size_then(context: Context, item: Measure, index: int) -> FinishedSize | None:
    """Return the size that a measuring speaks of, as the metal has it at that moment."""
    names = [each for each in context.setup.features if f" of {each.name}" in item.what]
    feature = max(names, key=lambda each: len(each.name), default=None)  # 'slot 2' is no 'slot'
    if feature is None:
        return None
    done = [stroke for stroke in context.strokes if context.legs.item[stroke.first] < index]
    then = replace(context, metal=context.metal.as_of(len(done)))
    sizes = (size for size in judge(then, feature).sizes if size.feature == feature.name)
    return next((s for s in sizes if item.what.startswith(f"{s.quantity} of ")), None)


def _not_the_metal(
    context: Context, item: Measure, number: int, sizes: tuple[FinishedSize, float]
) -> Iterator[Finding]:
    """Yield the finding of an expected size that the metal has not got at that moment."""
    then, expected = sizes
    off = max(then.least - expected, expected - then.most)
    if off > then.uncertainty + PRINTED:
        span = f"{then.least:.3f}"
        span += "" if then.most - then.least < NOISE else f" to {then.most:.3f}"
        yield context.finding_by(
            "measure",
            f"{item.name}, {item.what}, should be {expected:.3f} mm by what is written, but is "
            f"{span} mm in the metal at that moment",
            number,
            "look at what is expected, and at the cuts before it",
            amount=off,
        )


def _wider(context: Context, index: int) -> float:
    """Return how much wider the cutter in the spindle cuts in this case, mm."""
    fitted = [item.number for item in context.run.items[:index] if isinstance(item, FitCutter)]
    return wider_at(context.run, index, fitted[-1]) if fitted else 0.0


def _band(context: Context, item: Measure, number: int, then: FinishedSize) -> Iterator[Finding]:
    """Yield the finding of a band that lets the work go on with what cannot come right any more.

    A size that grows as metal is taken must not be past the middle of its limits, which is aimed
    at, nor one that shrinks below it. One that is within its limits must not leave them; short of
    the middle it may still be outside, since more is to be cut.
    """
    wanted = then.wanted
    low, high = item.expected - MOST_OFF, item.expected + MOST_OFF
    if then.most < wanted.low - NOISE:
        high = min(high, wanted.middle)
    elif then.least > wanted.high + NOISE:
        low = max(low, wanted.middle)
    else:
        if item.expected > wanted.middle - NOISE:
            low = max(low, wanted.low)
        if item.expected < wanted.middle + NOISE:
            high = min(high, wanted.high)
    amount = max(low - item.low, item.high - high)
    if amount > NOISE:
        yield context.finding_by(
            "measure",
            f"with {item.name} from {item.low:.3f} to {item.high:.3f} mm the work goes on, where "
            f"{low:.3f} to {high:.3f} mm is right before {then.quantity} of {then.feature!r} is "
            f"brought to {wanted.low:.3f} to {wanted.high:.3f} mm",
            number,
            "draw the band in",
            amount=amount,
        )


# ---------------------------------------------------------------- measured before finishing


def _unmeasured(context: Context, finished: Finished) -> Iterator[Finding]:
    """Yield the finding of a slot that was roughed, and then finished without measuring it."""
    rows = _milled(context, finished)
    at_wall = [item for item, reaches in rows if reaches]
    if not at_wall:
        return
    finish = min(at_wall)
    rough = max((item for item, reaches in rows if not reaches and item < finish), default=None)
    if rough is None:
        return  # its one cut is as wide as the cutter
    between = zip(context.run.items[rough:finish], context.run.numbers[rough:finish], strict=True)
    if any(_is_width(each, finished) for each, _ in between):
        return
    name = finished.slot.name
    yield context.finding_by(
        "measure",
        f"{name!r} is finished from here on, and its width was not measured after roughing",
        context.run.numbers[finish],
        f"stop and measure the width of {name} before the first finishing cut",
    )


def _unmeasured_bore(context: Context, finished: FinishedHoles) -> Iterator[Finding]:
    """Yield the finding of a bore that is finished without measuring what was cut before.

    The last setting of a boring head has to follow what was measured, too.
    """
    bore, name, legs = finished.each[0].bore, finished.holes.name, context.legs
    if bore is None:
        return
    within = legs_in(context, cuts_of(context), finished.each[0], finished.holes.bore.high / 2)
    tools = [(leg, context.tool(leg)) for leg in within.tolist()]
    cuts = [leg for leg, tool in tools if tool is not None and (tool.mills or tool.head)]
    reach = 2 * np.hypot(*(legs.end[cuts, :2] - bore.at).T) + 2 * legs.radius[cuts]
    at_wall = np.array(cuts)[reach > bore.most - 2 * AT_WALL]
    if not len(at_wall):
        return
    finish, first = int(at_wall.min()), min(cuts)
    done = context.run.items[int(legs.item[first]) : int(legs.item[finish])]
    what = f"diameter of {name}"
    measured = {e.name for e in done if isinstance(e, Measure) and e.what == what}
    tool = context.tool(finish)
    follows = tool is None or tool.setting is None or tool.setting.follows in measured
    if measured and follows:
        return
    yield context.finding_by(
        "measure",
        f"{name!r} is finished from here on, and its diameter was not measured before"
        if not measured
        else f"the last setting for {name!r} does not follow what was measured",
        int(legs.number[finish]),
        f"stop and measure the diameter of {name} before the last cut",
    )


def _is_width(item: object, finished: Finished) -> bool:
    """Return whether an item is the measuring of a slot's width."""
    return isinstance(item, Measure) and item.what.startswith(f"width of {finished.slot.name}")


def _milled(context: Context, finished: Finished) -> list[tuple[int, bool]]:
    """Return which items mill a slot's straight part, each with whether it makes a wall there."""
    legs, slot = context.legs, finished.slot
    first, last = finished.straight
    setting, side = context.run.doubt.setting, 1 if slot.along == "x" else 0
    open_ = AT_WALL + 2 * shares(against_slides(slot, context.setup.set_over), setting[:2], side)
    rows = []
    for stroke in context.strokes:
        tool, path = context.tool(stroke.first), stroke.sweep.path
        if stroke.down or tool is None or not tool.mills:
            continue
        along, across = along_across(slot, path).T
        if along.min() > last or along.max() < first:
            continue
        if np.abs(across - slot.centre_line).min() > slot.width.high:
            continue
        low, high = across.min() - stroke.sweep.radius, across.max() + stroke.sweep.radius
        walls = finished.across.cut
        reaches = bool(low < walls[0] + open_ or high > walls[1] - open_)
        rows.append((int(legs.item[stroke.first]), reaches))
    return rows
