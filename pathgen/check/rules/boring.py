"""Boring heads: what they are set to, what their bar meets, how they come out, in what order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.legs import RAPID
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.sweeps import SAME, grown
from pathgen.check.metal.tools import MEASURED_ALIKE, Tool
from pathgen.check.places import leg_at, place_in
from pathgen.moves.actions import FitCutter, Measure, SetDiameter
from pathgen.shop.boring import BoringHead
from pathgen.shop.machines import Rigidity

# mm a side at a time, at most; a bar gives way sooner than a mill (common practice, no source)
MOST_A_SIDE: dict[Rigidity, float] = {"light": 0.5, "medium": 0.8, "rigid": 1.2}
# mm in diameter that the wall a tool touches may be off what is said: a drill cuts over its size
AT_WALL = 0.5
REMEDY = "set it anew from a touch, out by its dial"


def cut_findings(
    context: Context, stroke: Stroke, tool: Tool, head: BoringHead
) -> Iterator[Finding]:
    """Yield what is wrong with the metal that a boring head meets on its way down."""
    low = max(stroke.low, context.box[0][2])  # beneath the blank there is no metal
    if tool.setting is None:
        if not context.metal.metal_over(grown(stroke.sweep.line, tool.radius), low).is_empty:
            what = f"{tool.fit.name!r} cuts, and nothing has set it"
            yield context.finding("setting", what, stroke.first, REMEDY)
        return
    bar = grown(stroke.sweep.line, max(tool.radius - head.side, SAME))
    met = context.metal.metal_over(bar, low)
    if not met.is_empty:
        yield context.finding_at(
            "bar",
            f"the bar of {tool.fit.name!r} runs into metal: set to {tool.diameter:.3f} mm it wants "
            f"a hole of {2 * (tool.radius - head.side):.2f} mm, free down to here",
            (leg_at(context, stroke, met), place_in(met, stroke.low)),
            "open the hole wider or deeper first, or stay above its floor",
        )
        return
    most = MOST_A_SIDE[context.machine.rigidity] + context.limits.rounding
    within = grown(stroke.sweep.line, max(tool.radius - most, SAME))
    met = context.metal.metal_over(within, low)
    if not met.is_empty:
        yield context.finding_at(
            "depth of cut",
            f"{tool.fit.name!r} takes more than {most:.2f} mm a side at {tool.diameter:.3f} mm",
            (leg_at(context, stroke, met), place_in(met, stroke.low)),
            f"set it out by {2 * most:.1f} mm of diameter at most at a time",
        )


def boring_findings(context: Context) -> Iterator[Finding]:
    """Yield what is wrong with the settings of boring heads, and with how they come out."""
    yield from _settings(context)
    yield from _scored(context)
    yield from _narrower(context)


# ---------------------------------------------------------------- settings


@dataclass(slots=True)
class _Standing:
    """What is known of the boring head in the spindle as a run is gone through."""

    fitted: str = ""
    head: BoringHead | None = None
    before: SetDiameter | None = None
    measured: tuple[Measure, ...] = ()  # since it was set last


def _settings(context: Context) -> Iterator[Finding]:
    """Yield settings that the head, its dial or what was measured contradicts."""
    heads = {tool.fit.name: tool.head for tool in context.legs.tools}
    now = _Standing()
    legs = context.legs
    for index, item, number in context.actions:
        match item:
            case FitCutter():
                now = _Standing(fitted=item.name, head=heads.get(item.name))
            case Measure():
                now.measured = (*now.measured, item)
            case SetDiameter():
                problems = [*_of_head(now, item), *_of_dial(now, item), *_of_measured(now, item)]
                if item.touched:
                    leg = int(np.searchsorted(legs.item, index)) - 1
                    problems += _of_touch(context, item, leg)
                for what in problems[:1]:
                    yield context.finding_by("setting", what, number, REMEDY)
                now.before, now.measured = item, ()
            case _:
                pass


def _of_head(now: _Standing, item: SetDiameter) -> Iterator[str]:
    """Yield where a setting is not one of the head in the spindle."""
    head = now.head
    if head is None or now.fitted != item.head:
        yield f"{item.head!r} is set, in the spindle is {now.fitted or 'nothing'!r}"
    elif (item.per_division, item.judged) != (head.per_division, head.judged):
        yield (
            f"a division of {item.head!r} is taken as {item.per_division:g} mm, judged to "
            f"{item.judged:g}; the crib has {head.per_division:g} mm and {head.judged:g}"
        )
    elif not head.least - SAME <= item.diameter <= head.most + SAME:
        yield (
            f"{item.head!r} is set to {item.diameter:.3f} mm; it cuts {head.least:g} to "
            f"{head.most:g} mm"
        )
    elif item.uncertainty < (0.0 if item.touched else head.count / 2) - SAME:
        yield (
            f"{item.head!r} is set within {item.uncertainty:.4f} mm, where half of what the eye "
            f"judges is {head.count / 2:.4f} mm"
        )


def _of_dial(now: _Standing, item: SetDiameter) -> Iterator[str]:
    """Yield where the dial does not come to the diameter that is said."""
    if item.touched:
        return
    if now.before is None:
        yield f"{item.head!r} is set, and its tool has touched no wall"
        return
    comes_to = now.before.diameter + item.turned * item.per_division
    if item.turned < 0:
        yield f"{item.head!r} is turned in, where its slack is out only going out"
    elif abs(comes_to - item.diameter) > MEASURED_ALIKE:
        yield (
            f"{item.head!r}, out {item.turned:g} divisions from {now.before.diameter:.3f} mm, "
            f"comes to {comes_to:.3f} mm, not to {item.diameter:.3f} mm"
        )


def _of_measured(now: _Standing, item: SetDiameter) -> Iterator[str]:
    """Yield where a setting follows what was not measured, or another size than was expected."""
    if not item.follows:
        return
    known = next((each for each in now.measured if each.name == item.follows), None)
    if known is None:
        yield f"{item.head!r} follows {item.follows}, which is not measured since it was set last"
    elif abs(known.expected - item.expected) > MEASURED_ALIKE:
        yield (
            f"{item.head!r} takes {item.follows} to be {item.expected:.3f} mm, it should be "
            f"{known.expected:.3f} mm"
        )


def _of_touch(context: Context, item: SetDiameter, leg: int) -> Iterator[str]:
    """Yield where the tool touches no wall as wide as is said, as the metal is by then."""
    legs = context.legs
    if leg < 0 or np.isnan(legs.end[leg]).any():
        yield f"{item.head!r} touches at a place that is not known"
        return
    x, y, z = legs.end[leg].tolist()
    done = sum(stroke.first <= leg for stroke in context.strokes)
    metal = context.metal.as_of(done)
    spot = shapely.Point(x, y)
    free = metal.metal_in(grown(spot, (item.diameter - AT_WALL) / 2), z).is_empty
    walled = not metal.metal_in(grown(spot, (item.diameter + AT_WALL) / 2), z).is_empty
    if not (free and walled):
        yield (
            f"{item.head!r} is to touch a wall {item.diameter:.3f} mm wide, and at x {x:.1f} y "
            f"{y:.1f} z {z:.1f} there is none"
        )


# ---------------------------------------------------------------- coming out, and the order


def _bored(context: Context) -> list[int]:
    """Return the legs that go down with a boring head that is set, in the order of the run."""
    legs = context.legs
    return [
        stroke.first
        for stroke in context.strokes
        if stroke.down
        and legs.kind[stroke.first] != RAPID
        and (tool := context.tool(stroke.first)) is not None
        and tool.setting is not None
    ]


def _scored(context: Context) -> Iterator[Finding]:
    """Yield each last cut of a bore that is left fast, the spindle turning: it scores the wall."""
    legs = context.legs
    last = {_place(context, leg): leg for leg in _bored(context)}
    for leg in last.values():
        out = leg + 1
        if out < len(legs) and legs.kind[out] == RAPID and legs.rpm[out] > 0:
            yield context.finding(
                "scored",
                "the boring head is drawn out fast with the spindle turning: its tool scores the "
                "wall",
                out,
                "feed out, or stop the spindle and turn the tool from the wall first",
            )


def _narrower(context: Context) -> Iterator[Finding]:
    """Yield each cut of a boring head that is set narrower than it was before in the same bore."""
    widest: dict[tuple[float, float], tuple[float, float]] = {}
    for leg in _bored(context):
        tool = context.tool(leg)
        assert tool is not None
        place = _place(context, leg)
        before, floor = widest.get(place, (0.0, 0.0))
        low = float(context.legs.low[leg])
        if tool.diameter < before - MEASURED_ALIKE and low >= floor - SAME:
            yield context.finding(
                "order",
                f"bored at {tool.diameter:.3f} mm where {before:.3f} mm was bored before: nothing "
                "is left to cut",
                leg,
                "rough first, finish last",
                before - tool.diameter,
            )
        widest[place] = max((before, floor), (tool.diameter, low))


def _place(context: Context, leg: int) -> tuple[float, float]:
    x, y, _ = context.legs.end[leg].round(3).tolist()
    return x, y
