"""The check: what a program or a sheet really does to the blank, against what is wanted.

It is given moves and actions as they were read back, and the job; never the plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from pathgen.check.already import whole
from pathgen.check.as_left import as_left
from pathgen.check.context import Context, actions_of, depth_doubt
from pathgen.check.features import Judged, judge
from pathgen.check.findings import Finding, FinishedSize, Report, gathered, merge_reports
from pathgen.check.form import form_findings
from pathgen.check.limits import Limits, limits_for
from pathgen.check.measured.finished import NOISE
from pathgen.check.measurements import measured_findings
from pathgen.check.metal.crown import crown_of
from pathgen.check.metal.left import Left
from pathgen.check.metal.legs import RAPID, Legs, legs_of
from pathgen.check.metal.prismatic import Metal
from pathgen.check.metal.strokes import strokes_of
from pathgen.check.rules.boring import boring_findings
from pathgen.check.rules.gone import gone_findings
from pathgen.check.rules.hands import hand_findings
from pathgen.check.rules.head import head_findings
from pathgen.check.rules.headings import heading_findings
from pathgen.check.rules.holes import hole_findings
from pathgen.check.rules.lengths import length_findings
from pathgen.check.rules.metal import metal_findings
from pathgen.check.rules.motion import motion_findings, travel_findings
from pathgen.check.rules.space import space_findings
from pathgen.check.rules.stops import stop_findings
from pathgen.check.rules.thin import thin_findings
from pathgen.check.rules.touches import touch_findings
from pathgen.check.rules.turns import run_on_table, turn_findings
from pathgen.check.rules.zeros import zero_findings
from pathgen.check.spheres.check import check_sphere
from pathgen.job.job import Job, JobSetup
from pathgen.moves.plan import Run
from pathgen.moves.set_over import seen_from_set_over
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine

# mm above the work and what holds it that a rapid stays at least, beside what the depth's zero and
# setting leave open: burrs, chips, the bow of a bar stand up as high (common practice, no source)
CLEAR_OF_BURRS = 0.3

__all__ = [
    "Finding",
    "FinishedSize",
    "Left",
    "Limits",
    "Report",
    "check_setup",
    "merge_reports",
]


def check_setup(
    run: Run,
    job: Job,
    setup: JobSetup,
    machine: Machine,
    cutters: Sequence[Cutter],
    left: Left | None = None,
) -> Report:
    """Return what a run makes of the blank in one setup, with all that is wrong about it.

    Args:
        run: the program or sheet as read back.
        job: what is wanted.
        setup: which of its setups the run is for.
        machine: the one it runs on.
        cutters: the crib, as measured.
        left: the metal that earlier setups left; None for the blank as it comes.
    """
    if setup.set_over is not None:
        run = seen_from_set_over(run, setup.set_over.angle_deg)
    tilted = bool(setup.spheres) and setup.table is None  # what turns then is no table
    run, turned = (run, ()) if tilted else run_on_table(run, setup)
    context = _context(run, job, setup, machine, cutters, left)
    if setup.spheres:
        return check_sphere(context, cutters, turned)
    touched = list(touch_findings(context))  # while the metal is as it was at the start
    met = list(metal_findings(context))  # clears the metal as it goes
    judged = [judge(context, feature) for feature in setup.features]
    findings = [*head_findings(context, cutters), *touched, *met, *_findings(context, judged)]
    findings += turn_findings(context, turned)
    return Report(
        findings=gathered(findings),
        sizes=tuple(size for each in judged for size in each.sizes),
        left=context.metal.left(),
        model_error=NOISE,
        minutes=_minutes(context.legs, machine),
        case=run.case,
    )


def _findings(context: Context, judged: Sequence[Judged]) -> Iterator[Finding]:
    """Yield the findings of all the rules that need not follow the metal in time."""
    yield from zero_findings(context)
    yield from stop_findings(context)
    yield from length_findings(context)
    yield from motion_findings(context)
    yield from travel_findings(context)
    yield from hand_findings(context)
    yield from space_findings(context)
    yield from hole_findings(context)
    yield from boring_findings(context)
    yield from gone_findings(context)
    yield from heading_findings(context)
    yield from measured_findings(context, judged)
    yield from form_findings(context, judged)
    yield from thin_findings(context)


def _context(
    run: Run,
    job: Job,
    setup: JobSetup,
    machine: Machine,
    cutters: Sequence[Cutter],
    left: Left | None,
) -> Context:
    legs = legs_of(run, cutters)
    setup, box = as_left(job, setup, left)
    clearance = _clearance(run, setup)
    strokes = strokes_of(legs, *box, near=clearance)
    return Context(
        run=run,
        job=job,
        setup=setup,
        machine=machine,
        limits=limits_for(job, setup, machine),
        legs=legs,
        actions=actions_of(run),
        strokes=strokes,
        metal=Metal(
            box,
            setup.frame,
            strokes,
            whole(job) if left is None else left,
            crown_of(box) if job.blank.is_shaft else None,
        ),
        box=box,
        clearance=clearance,
    )


def _clearance(run: Run, setup: JobSetup) -> float:
    """Return how far a rapid stays above what it must not touch, at least, mm."""
    return CLEAR_OF_BURRS + depth_doubt(run, setup)


def _minutes(legs: Legs, machine: Machine) -> float:
    """Return how long the feeds take, and the rapids where their rate is known, minutes."""
    lengths = np.sqrt(((legs.end - legs.start) ** 2).sum(axis=1))
    rate = machine.control.rapid_rate if machine.control is not None else np.inf
    pace = np.where(legs.kind == RAPID, rate, legs.feed)
    known = np.isfinite(lengths) & (pace > 0)
    return float((lengths[known] / pace[known]).sum())
