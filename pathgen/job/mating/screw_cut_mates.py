"""Settling mates by a screw-cut thread inside: with a screw by its name, or one cut in another job.

Such a mate is a play, that of the pitch diameters: what turns out finished is held to it.
"""

from __future__ import annotations

from collections.abc import Mapping

from pathgen.input.where import JobError, Where
from pathgen.job.mates import Mate, Measured
from pathgen.job.mating.named import AnyJob, AnySetup, feature_named, job_named
from pathgen.job.thread_mates import ClearingRef, NamedScrew, ScrewRef, WantedThread
from pathgen.job.turning.screwed import Screwed
from pathgen.reckon.bolt_limits import bolt_limits
from pathgen.reckon.fits import Play
from pathgen.reckon.lookalikes import told_apart
from pathgen.reckon.threads import Thread

SIZE = "pitch diameter"  # as it is judged


def nut_of(jobs: Mapping[str, AnyJob], wanted: WantedThread) -> tuple[AnySetup, Screwed] | None:
    """Return the thread that is cut inside, with its setup, if that is what a mate names.

    Raises:
        JobError: nothing has that name.
    """
    ref = wanted.inside
    setup, feature = feature_named(job_named(jobs, ref.job, ref.where), ref.feature, ref.where)
    return (setup, feature) if isinstance(feature, Screwed) and feature.inside else None


def screw_cut_mate(
    jobs: Mapping[str, AnyJob], wanted: WantedThread, nut: tuple[AnySetup, Screwed]
) -> Mate:
    """Return the mate of a thread that is cut inside.

    It never binds within its limits: those of a screw end at the basic pitch diameter, those of a
    nut begin there.

    Raises:
        JobError: the threads are two, or what goes in is no screw.
    """
    setup, inside = nut
    refuse_another(wanted, inside.thread, f'"{inside.name}" ({inside.where}) is cut for it')
    outside = _screw(jobs, wanted)
    least = inside.pitch.low - outside.most
    source = f"{inside.pitch.basis} on {outside.said}"
    return Mate(
        name=wanted.name,
        setup=setup.name,
        feature=inside.name,
        size=SIZE,
        outside=outside,
        wanted=Play(smallest=least, largest=inside.pitch.high - outside.least, source=source),
        said=wanted.go.said,
        where=wanted.where,
    )


def _screw(jobs: Mapping[str, AnyJob], wanted: WantedThread) -> Measured:
    """Return the pitch diameter of what goes in, anywhere within its limits."""
    match wanted.outside:
        case NamedScrew(thread=thread, said=said, where=where):
            refuse_another(wanted, thread, f'the screw is "{said}" ({where})')
            return _of_class(thread, said, where)
        case ScrewRef() as ref:
            screw = screw_named(jobs, ref)
            refuse_another(wanted, screw.thread, f'"{screw.name}" ({screw.where}) is cut so')
            low, high = screw.pitch.low, screw.pitch.high
            said = f"{ref.said}, {screw.pitch.basis}"
            return Measured(least=low, most=high, said=said, where=ref.where)
        case ClearingRef(said=said, where=where):
            right = (
                'name the screw, as "M6 screw", or one of another job, as "spindle: screw: thread"'
            )
            raise JobError(where, f'"{said}" is no screw, and a nut takes one', right)


def _of_class(thread: Thread, said: str, where: Where) -> Measured:
    """Return the pitch diameter of a screw of the usual class."""
    try:
        limits = bolt_limits(thread)
    except ValueError as error:
        right = "name a screw of another job, which has its own limits"
        raise JobError(where, str(error), right) from error
    least, most = limits.pitch
    return Measured(least=least, most=most, said=f"{said}, {limits.name}", where=where)


def screw_named(jobs: Mapping[str, AnyJob], ref: ScrewRef) -> Screwed:
    """Return the thread of another job that is cut outside.

    Raises:
        JobError: there is none.
    """
    _, feature = feature_named(job_named(jobs, ref.job, ref.where), ref.feature, ref.where)
    if not isinstance(feature, Screwed) or feature.inside:
        right = "name a feature of kind screw-cut that is cut outside"
        raise JobError(ref.where, f'"{feature.name}" ({feature.where}) is no screw', right)
    return feature


def refuse_another(wanted: WantedThread, other: Thread, whose: str) -> None:
    """Refuse another thread than the one wanted, with both side by side."""
    differ = told_apart(wanted.go.thread, other)
    if differ is not None:
        wrong = f"{wanted.go.thread.designation} does not go with {other.designation}: {whose}"
        raise JobError(wanted.where, wrong, f"{differ}. Make them one thread")
