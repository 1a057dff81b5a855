"""Ways down into metal: a middle that does not cut, and more at a time than chips get out of."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.sweeps import Sweep
from pathgen.check.metal.tools import Tool
from pathgen.check.places import leg_at, place_in
from pathgen.moves.moves import Drill
from pathgen.shop.cutters import CutterKind

STEEP_DEG = 45.0  # from here on a way down is a plunge, and no cut along the work
CORE_OF_A_REAMER = 0.9  # a reamer opens a hole by a little only; common practice, no source


def plunge_findings(context: Context, stroke: Stroke, tool: Tool) -> Iterator[Finding]:
    """Yield what is wrong with a way down into metal; nothing for one that is nearly level."""
    slope = slope_deg(stroke)
    if slope > context.limits.ramp_deg:
        yield from _uncut_middle(context, stroke, tool)
    if slope >= STEEP_DEG and tool.mills:
        yield from _too_far_down(context, stroke, tool)


def slope_deg(stroke: Stroke) -> float:
    """Return how steep the steepest leg of a stroke is, degrees from level; straight down 90."""
    if stroke.down:
        return 90.0
    along = np.hypot(*np.diff(stroke.sweep.path, axis=0).T)
    return float(np.degrees(np.arctan2(np.abs(np.diff(stroke.sweep.rise)), along)).max())


def _uncut_middle(context: Context, stroke: Stroke, tool: Tool) -> Iterator[Finding]:
    """Yield the finding of a way down where metal lies under a centre that does not cut."""
    if tool.cutter is None or tool.cutter.cuts_at_centre:
        return
    sweep = stroke.sweep
    radius = _core(context, sweep, tool.cutter.kind)
    core = Sweep(
        sweep.path, sweep.rise, radius, sweep.spread, min(sweep.tip, radius), sweep.undercut
    )
    met, height = context.metal.met(core, stroke.low, 0.0)
    if met.is_empty:
        return
    yield context.finding_at(
        "plunge",
        f"plunge of {height:.3f} mm into metal with {tool.fit.name!r}, which does not cut at its "
        "centre",
        (leg_at(context, stroke, met), place_in(met, stroke.low)),
        f"drill {2 * core.radius:.1f} mm or more first, or take a cutter that cuts at its centre",
        height,
    )


def _core(context: Context, sweep: Sweep, kind: CutterKind) -> float:
    """Return the radius within which a cutter without centre teeth does not cut, mm."""
    match kind:
        case "reamer":
            return sweep.radius * CORE_OF_A_REAMER
        case "countersink":
            return sweep.tip
        case "T-slot cutter":
            return sweep.radius - context.limits.rub
        case _:
            return sweep.radius * context.limits.core


def _too_far_down(context: Context, stroke: Stroke, tool: Tool) -> Iterator[Finding]:
    """Yield the finding of a mill that goes down further in one go than a cut may be deep.

    Asked of its middle half: where that is open, as over a drilled hole, the chips fall through.
    """
    sweep = stroke.sweep
    core = Sweep(sweep.path, sweep.rise, sweep.radius * context.limits.core, math.inf)
    allowed = context.limits.full_depth(2 * sweep.radius) + context.limits.rounding
    met, height = context.metal.met(core, stroke.low, 0.0)
    at_a_time = min(height, _peck(context, stroke))
    if met.is_empty or at_a_time <= allowed:
        return
    yield context.finding_at(
        "plunge",
        f"{tool.fit.name!r} goes {at_a_time:.3f} mm straight down into metal in one go, where "
        f"{allowed:.2f} mm is allowed",
        (leg_at(context, stroke, met), place_in(met, stroke.low)),
        f"go down {allowed:.2f} mm at a time, or drill {2 * core.radius:.1f} mm or more first",
        at_a_time,
    )


def _peck(context: Context, stroke: Stroke) -> float:
    """Return how far a stroke goes down before it draws up again, mm; inf for one that does not."""
    item = context.run.items[int(context.legs.item[stroke.first])]
    return item.peck if isinstance(item, Drill) and item.peck > 0 else math.inf
