"""The check of a setup in which a dish or dome is cut by a fly cutter, the work turning."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from pathgen.check.balls import Ball
from pathgen.check.context import Context
from pathgen.check.findings import Finding, Report, gathered
from pathgen.check.generated import cuts_of
from pathgen.check.left import Left, kept
from pathgen.check.measure_generated import FinishedSphere, measure_generated
from pathgen.check.rules_generated import generated_findings
from pathgen.check.rules_hands import hand_findings
from pathgen.check.rules_head import head_findings
from pathgen.check.rules_headings import heading_findings
from pathgen.check.rules_motion import motion_findings, travel_findings
from pathgen.check.rules_stops import stop_findings
from pathgen.check.rules_zeros import zero_findings
from pathgen.job.job import JobSetup
from pathgen.moves.actions import SetAngle, SetSweep
from pathgen.moves.moves import TurnWork
from pathgen.moves.plan import Item, Run
from pathgen.moves.timing import minutes
from pathgen.shop.cutters import Cutter

EXACT = 1e-6  # mm: the envelope is worked out, not laid on a mesh
WINDING = 100.0  # mm a minute, that handles are wound in the air (a guess)


def is_generated(run: Run, setup: JobSetup) -> bool:
    """Return whether a run cuts a dish or dome with the work turning about a tilted axis."""
    return bool(setup.spheres) and any(
        isinstance(item, SetAngle | SetSweep | TurnWork) for item in run.items
    )


def check_generated(context: Context, cutters: Sequence[Cutter]) -> Report:
    """Return what a run makes of the one dish or dome of a setup."""
    sphere = context.setup.spheres[0]
    cuts = cuts_of(context.run, context.machine, sphere, cutters)
    finished = measure_generated(context, sphere, cuts)
    findings = [
        *head_findings(context, cutters),
        *zero_findings(_upright(context)),
        *stop_findings(context),
        *motion_findings(context),
        *travel_findings(context),
        *hand_findings(context),
        *heading_findings(context),
        *generated_findings(context, finished),
        *_parts(context, finished),
    ]
    return Report(
        findings=gathered(findings),
        sizes=finished.sizes,
        left=_left(context, finished),
        model_error=EXACT,
        minutes=minutes(context.run.items, WINDING),
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
    said = "; ".join(
        f"{part.name}: {part.worst:.4f} mm, and {part.radius:.3f} mm of the radius"
        for part in finished.parts
    )
    yield context.finding_by(
        "parts",
        f"{finished.sphere.name}: by the dials alone its surface is "
        f"{finished.shape.worst:.4f} mm off the wanted sphere; what the setting leaves open adds: "
        f"{said}",
        None,
        "set the tilt against a sine bar where the radius matters",
        amount=finished.shape.worst,
        severity="caution",
    )


def _left(context: Context, finished: FinishedSphere) -> Left:
    """Return the metal left: a dish as the ball that it is; a dome's metal all, as if uncut."""
    left = context.metal.left()
    sphere, shape, last = finished.sphere, finished.shape, finished.last
    if shape is None or last is None or sphere.form == "dome":
        return left
    at = np.array([sphere.at])
    ball = Ball(at, np.zeros(1), shape.radius)
    return Left(cuts=(*left.cuts, kept(ball, last.foot - last.nose, context.setup.frame)))
