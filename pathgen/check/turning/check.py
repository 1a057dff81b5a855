"""The check of turned work: what a run really does to the bar, against what is wanted.

It is given moves and actions as they were read back, and the job; never the plan.
"""

from __future__ import annotations

from collections.abc import Iterator

from shapely.affinity import translate
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import Finding, FinishedSize, Report, gathered
from pathgen.check.left import Left
from pathgen.check.rules_hands import not_clamped
from pathgen.check.turning.dies import unthreaded
from pathgen.check.turning.follow import Follower
from pathgen.check.turning.in_line import about_the_line, taper_left
from pathgen.check.turning.knurling import knurl_sizes, unpressed
from pathgen.check.turning.measured import Measured
from pathgen.check.turning.metal import Bar, as_it_comes
from pathgen.check.turning.sizes import sizes_of
from pathgen.check.turning.thread_left import thread_sizes, uncut
from pathgen.check.turning.wanted import least_metal, most_metal
from pathgen.job.held_on import held_on
from pathgen.job.indicated import run_out_left
from pathgen.job.turned import Parted, TurnedJob, TurnedSetup
from pathgen.moves.actions import Measure, Spindle, ZeroByMeasure
from pathgen.moves.plan import Run
from pathgen.shop.crib import Crib
from pathgen.shop.machines import Machine

MODEL_ERROR = 0.001  # mm: the polygon about a nose
FACE = 0.05  # mm: a face further off than that was not faced
FINE = 0.004  # mm: metal thinner than that is neither left nor missed


def check_turned(
    run: Run,
    job: TurnedJob,
    setup: TurnedSetup,
    machine: Machine,
    crib: Crib,
    left: Left | None = None,
) -> Report:
    """Return what a run makes of the bar in one setup, with all that is wrong about it.

    Args:
        run: what was read back.
        job: with the blank as it comes to the setup.
        setup: the setup.
        machine: the lathe.
        crib: the tools.
        left: what the setup before it left, of a part that was turned round.
    """
    comes = as_it_comes(job, setup, left, longer_in(run))
    follower = followed(run, job, setup, machine, crib, comes)
    part = from_its_face(follower.bar.part)
    if not part.is_empty:  # what it came as is looked at from the same face
        comes = translate(comes, xoff=part.bounds[2] - follower.bar.part.bounds[2])
    measured = Measured(
        part=part,
        opens=follower.opens,
        swung_deg=follower.swung_deg,
        run_out=run_out_left(setup, follower.held.holder),
        taper=taper_left(run) if setup.hold.centre else 0.0,
    )
    sizes = (
        *sizes_of(job, setup, measured),
        *thread_sizes(follower.screwing, measured),
        *knurl_sizes(follower.knurling, measured),
    )
    findings = (
        *_about_the_head(run, job, setup, machine),
        *not_clamped(run),
        *_at_the_end(run),
        *follower.findings,
        *uncut(follower.screwing, run.file),
        *unpressed(follower.knurling, run.file),
        *unthreaded(follower.dies, run.file),
        *about_the_line(run, setup),
        *_about_the_shape(run, job, setup, part, comes),
        *_about_sizes(run, sizes),
    )
    return Report(
        findings=gathered(findings),
        sizes=sizes,
        left=Left(turned=part),
        model_error=MODEL_ERROR,
        minutes=follower.minutes,
        case=run.case,
    )


def _at_the_end(run: Run) -> Iterator[Finding]:
    """Yield a spindle that still turns when all is done, and the part is taken hold of."""
    speeds = [item.rpm for item in run.items if isinstance(item, Spindle)]
    if speeds and speeds[-1] > 0:
        yield Finding(
            code="spindle",
            what="the spindle still turns at the end",
            place=run.numbers[-1],
            where=run.where,
            file=run.file,
            remedy="stop it before the last words",
        )


def longer_in(run: Run) -> float:
    """Return how much longer the work is than was thought, in the case that a run follows; mm."""
    named = {e.measure for e in run.items if isinstance(e, ZeroByMeasure) and e.axis == "z"}
    found = dict(run.found)
    measures = [e for e in run.items if isinstance(e, Measure) and e.name in named]
    return sum(found.get(each.name, each.expected) - each.expected for each in measures)


def from_its_face(part: BaseGeometry) -> BaseGeometry:
    """Return the part with z 0 at its right face as it came out: lengths are counted from there.

    A dial is set to the nearest judged part, so that the face is a little off its 0.
    """
    near = part.intersection(box(-FACE, 0.0, FACE, part.bounds[3])) if not part.is_empty else part
    return part if near.is_empty else translate(part, xoff=-near.bounds[2])


def followed(
    run: Run,
    job: TurnedJob,
    setup: TurnedSetup,
    machine: Machine,
    crib: Crib,
    comes: BaseGeometry,
) -> Follower:
    """Return the bar after a run, and all that was met on the way.

    Raises:
        Refusal: the machine is no lathe, or has not what holds the work.
    """
    follower = begun(run, job, setup, machine, crib, comes)
    follower.follow()
    return follower


def begun(
    run: Run,
    job: TurnedJob,
    setup: TurnedSetup,
    machine: Machine,
    crib: Crib,
    comes: BaseGeometry,
) -> Follower:
    """Return what follows a run, before its first item.

    Raises:
        Refusal: the machine is no lathe, or has not what holds the work.
    """
    held = held_on(setup, machine)
    return Follower(
        run=run,
        job=job,
        setup=setup,
        machine=machine,
        crib=crib,
        held=held,
        bar=Bar.held(comes, job, setup, held),
        longer=longer_in(run),
    )


def _about_the_head(
    run: Run, job: TurnedJob, setup: TurnedSetup, machine: Machine
) -> Iterator[Finding]:
    """Yield that a run was made for something else; and what reading it met."""
    head = run.head
    pairs = (
        ("an earlier state of the job", head.digest, job.digest),
        (f"setup {head.setup!r}, not {setup.name!r}", head.setup, setup.name),
        (f"machine {head.machine!r}, not {machine.name!r}", head.machine, machine.name),
    )
    for what, stated, wanted in pairs:
        if stated != wanted:
            yield Finding(
                code="stale",
                what=f"this was made for {what}",
                where="job",
                file=run.file,
                remedy="make it anew from the job as it is now",
            )
    for trouble in run.troubles:
        yield Finding(
            code=trouble.code,
            what=trouble.what,
            place=trouble.number,
            where=run.where,
            file=run.file,
            remedy=trouble.remedy,
        )


def _about_the_shape(
    run: Run, job: TurnedJob, setup: TurnedSetup, part: BaseGeometry, comes: BaseGeometry
) -> Iterator[Finding]:
    """Yield where metal is missing that has to be there, and where some is left over."""
    missing = least_metal(job, setup, comes).intersection(_looked_at(job, setup)).difference(part)
    left = part.difference(most_metal(job, setup, comes))
    for code, what, remedy, off in (
        ("gouge", "metal is cut away that belongs to the part", "keep off it", missing),
        ("left", "metal is left that does not belong to the part", "cut it too", left),
    ):
        thick = off.buffer(-FINE / 2)
        if not thick.is_empty:
            low_z, low_x, high_z, high_x = thick.bounds
            amount = min(high_z - low_z, high_x - low_x) + FINE
            yield Finding(
                code=code,
                what=f"{what}: {amount:.3f} mm of it",
                where="job",
                amount=round(amount, 6),
                at=((low_x + high_x) / 2, 0.0, (low_z + high_z) / 2),
                remedy=remedy,
                file=run.file,
            )


def _looked_at(job: TurnedJob, setup: TurnedSetup) -> BaseGeometry:
    """Return where metal is looked for: the part alone once it is cut off, else to the jaws."""
    parted = any(isinstance(each, Parted) for each in setup.features)
    left = setup.facing - job.blank.length if parted else setup.jaws_at
    return box(left, 0.0, setup.facing, job.blank.diameter)


def _about_sizes(run: Run, sizes: tuple[FinishedSize, ...]) -> Iterator[Finding]:
    """Yield each size out of its limits; and a caution where the machine may bring it there."""
    for size in sizes:
        low, high = size.wanted.low, size.wanted.high
        over = size.most - high
        if size.quantity != "off the axis":  # which is never less than nought
            over = max(low - size.least, over)
        open_ = over + size.uncertainty
        words = f"{size.feature}: {size.quantity} {size.least:z.3f} to {size.most:z.3f} mm"
        if not size.ok:
            yield Finding(
                code="size",
                what=f"{words}, wanted {low:z.3f} to {high:z.3f}",
                where="job",
                amount=round(over, 6),
                remedy="put the last cut right",
                file=run.file,
            )
        elif open_ > FINE:
            yield Finding(
                code="uncertain",
                what=f"{words}, and the machine leaves open +-{size.uncertainty:z.3f}: it may leave"
                f" {low:z.3f} to {high:z.3f}",
                where="job",
                amount=round(open_, 6),
                remedy="measure as the last cut nears its size",
                file=run.file,
                severity="caution",
            )
