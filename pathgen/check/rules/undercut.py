"""Cutters with a neck: what their neck meets, and ways that only a straight cutter may take."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.sweeps import SAME
from pathgen.check.metal.tools import Tool
from pathgen.check.places import leg_at, place_in


def undercut_findings(context: Context, stroke: Stroke, tool: Tool) -> Iterator[Finding]:
    """Yield what is wrong with a feed of a cutter with a neck, nearly level, into metal."""
    assert tool.undercut is not None
    met, height = context.metal.met(stroke.sweep, stroke.low, context.limits.rub)
    if met.is_empty:
        return
    if float(stroke.sweep.rise.max()) > SAME:
        yield context.finding_at(
            "neck",
            f"{tool.fit.name!r} is fed aslant through metal: it is narrower above its head",
            (leg_at(context, stroke, met), place_in(met, stroke.low)),
            "feed it level",
            height,
        )
        return
    roof = stroke.low + tool.undercut.height
    outline = stroke.sweep.neck.outline(0.0, context.limits.rub)
    rubbed = context.metal.metal_over(outline, max(roof, context.box.low[2]))
    if rubbed.is_empty:
        return
    above = context.metal.top_over(rubbed, max(roof, context.box.low[2])) - roof
    yield context.finding_at(
        "neck",
        f"the neck of {tool.fit.name!r} goes through {above:.3f} mm of metal above its head: it "
        "does not cut, and breaks",
        (leg_at(context, stroke, rubbed), place_in(rubbed, roof)),
        "cut the slot for the neck first, wide enough and down to the head",
        above,
    )
