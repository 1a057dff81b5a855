"""The check of a setup in which a dish or dome is cut: by a fly cutter, or by a ball-nose."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from pathgen import INCH
from pathgen.check.context import Context
from pathgen.check.findings import Finding, Report, gathered
from pathgen.check.metal.left import Left, kept
from pathgen.check.metal.sweeps import Ball
from pathgen.check.rules.hands import hand_findings
from pathgen.check.rules.head import head_findings
from pathgen.check.rules.headings import heading_findings
from pathgen.check.rules.lengths import length_findings
from pathgen.check.rules.motion import motion_findings, travel_findings
from pathgen.check.rules.space import space_findings
from pathgen.check.rules.stops import stop_findings
from pathgen.check.rules.touches import touch_findings
from pathgen.check.rules.turns import Turns, turn_findings
from pathgen.check.rules.zeros import zero_findings
from pathgen.check.spheres.first_touch import all_deeper, follow_findings, touch_off
from pathgen.check.spheres.generated import cuts_of
from pathgen.check.spheres.measure_generated import FinishedSphere, measure_generated
from pathgen.check.spheres.measure_rings import measure_rings
from pathgen.check.spheres.rings import ways_of
from pathgen.check.spheres.rules_generated import generated_findings
from pathgen.check.spheres.rules_generated_room import first_touch_findings
from pathgen.check.spheres.rules_rings import ring_findings
from pathgen.moves.actions import SetAngle, SetSweep
from pathgen.moves.moves import TurnWork
from pathgen.moves.plan import Item
from pathgen.moves.timing import Pace, minutes
from pathgen.shop.cutters import Cutter

EXACT = 1e-6  # mm: the envelope is worked out, not laid on a mesh
WINDING = 100.0  # mm a minute, that handles are wound in the air (a guess)


def check_sphere(context: Context, cutters: Sequence[Cutter], turned: Turns) -> Report:
    """Return what a run makes of the one dish or dome of a setup, by the way it is cut.

    Args:
        context: the run, and what it is for.
        cutters: the crib.
        turned: the turns of the work on a rotary table, which the run has as arcs.
    """
    tilts = any(isinstance(item, SetAngle | SetSweep | TurnWork) for item in context.run.items)
    flies = any(tool.cutter is not None and tool.cutter.fly for tool in context.legs.tools)
    if context.setup.table is None and (tilts or flies):
        return check_generated(context, cutters)
    return check_rings(context, cutters, turned)


def check_generated(context: Context, cutters: Sequence[Cutter]) -> Report:
    """Return what a run makes of the one dish or dome of a setup."""
    sphere = context.setup.spheres[0]
    counted = cuts_of(context.run, context.machine, sphere, cutters)
    off = touch_off(context.run, counted)
    finished = measure_generated(context, sphere, all_deeper(counted, off))
    finished = replace(finished, touch_off=off)
    findings = [
        *head_findings(context, cutters),
        *zero_findings(_upright(context)),
        *first_touch_findings(context),
        *stop_findings(context),
        *motion_findings(context),
        *travel_findings(context),
        *hand_findings(context),
        *heading_findings(context),
        *generated_findings(context, finished),
        *follow_findings(context, finished),
        *_parts(context, finished),
    ]
    return Report(
        findings=gathered(findings),
        sizes=finished.sizes,
        left=_left(context, finished),
        model_error=EXACT,
        minutes=minutes(context.run.items, Pace(rapid=WINDING)),
        case=context.run.case,
    )


def _upright(context: Context) -> Context:
    """Return the context of what is done before anything is tilted: the zeros of the job."""
    items: list[Item] = []
    for item in context.run.items:
        if isinstance(item, SetAngle | SetSweep | TurnWork):
            break
        items.append(item)
    numbers = context.run.numbers[: len(items)]
    return replace(context, run=replace(context.run, items=tuple(items), numbers=numbers))


def _parts(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield, as a caution, what dials alone and each doubt of the setting do to the surface."""
    if finished.shape is None:
        return
    inches = context.job.units == "in"
    unit, scale, more = ("in", INCH, 1) if inches else ("mm", 1.0, 0)

    def say(size: float, places: int) -> str:
        return f"{size / scale:.{places + more}f} {unit}"

    said = "; ".join(
        f"{part.name}, within "
        f"{say(part.within, 3) if part.unit == 'mm' else f'{part.within:g} degrees'}: "
        f"{say(part.worst, 4)}, and {say(part.radius, 3)} of the radius"
        for part in finished.parts
    )
    yield context.finding_by(
        "parts",
        f"{finished.sphere.name}: by the dials alone its surface is "
        f"{say(finished.shape.worst, 4)} off the wanted sphere; what the setting leaves open adds: "
        f"{said}",
        None,
        "set the tilt against a sine bar where the radius matters",
        amount=finished.shape.worst,
        severity="caution",
    )


def _left(context: Context, finished: FinishedSphere) -> Left:
    """Return the metal left: a dish as the ball that it is; a dome's metal all, as if uncut."""
    if finished.shape is None:
        return context.metal.left()
    return left_of(context, finished.shape.radius, finished.shape.depth)


def left_of(context: Context, radius: float, depth: float) -> Left:
    """Return the metal left beside a dish of a radius and a depth; a dome counts as uncut; mm."""
    left = context.metal.left()
    sphere = context.setup.spheres[0]
    if sphere.form == "dome":
        return left
    ball = Ball(np.array([sphere.at]), np.zeros(1), radius)
    return Left(cuts=(*left.cuts, kept(ball, -depth, context.setup.frame)))


def check_rings(context: Context, cutters: Sequence[Cutter], turned: Turns) -> Report:
    """Return what a run in rings makes of the one dish or dome of a setup."""
    sphere = context.setup.spheres[0]
    ways = ways_of(context.run, sphere, cutters)
    finished = measure_rings(context, sphere, ways)
    findings = [
        *head_findings(context, cutters),
        *touch_findings(context),
        *zero_findings(context),
        *stop_findings(context),
        *length_findings(context),
        *motion_findings(context),
        *travel_findings(context),
        *hand_findings(context),
        *space_findings(context),
        *heading_findings(context),
        *ring_findings(context, finished, ways),
        *turn_findings(context, turned),
    ]
    by_name = {size.quantity: size.least for size in finished.sizes}
    cut = {"radius", "depth"} <= by_name.keys() and math.isfinite(by_name["radius"])
    return Report(
        findings=gathered(findings),
        sizes=finished.sizes,
        left=left_of(context, by_name["radius"], by_name["depth"]) if cut else context.metal.left(),
        model_error=EXACT,
        minutes=minutes(context.run.items, Pace(rapid=_rapid_rate(context))),
        case=context.run.case,
    )


def _rapid_rate(context: Context) -> float:
    control = context.machine.control
    return WINDING if control is None else control.rapid_rate
