"""Features that run into what is gone before: cut in earlier setups, or there already."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import JobError, listed, nearest
from pathgen.job.gone import Sunk, cut_in, gone_before
from pathgen.job.holes import Holes
from pathgen.job.job import Feature, Job, JobSetup

SAME_HOLE = 0.05  # mm: two centres that are nearer are one hole, opened out


def met_by(job: Job, setup: JobSetup, feature: Feature) -> tuple[Sunk, ...]:
    """Return what a feature of a setup runs into, of all that is gone before it."""
    gone = gone_before(job, setup)
    if not gone:
        return ()
    own = next(each for each in cut_in(job, setup) if each.feature.name == feature.name)
    mine = own.layers()
    return tuple(
        each for each in gone if any(one.meets(other) for other in each.layers() for one in mine)
    )


def meeting_errors(job: Job) -> Iterator[JobError]:
    """Yield what is wrong about holes that break into what is gone before, or do not though said.

    A drill that breaks out sideways wanders and snatches, so this has to be meant.
    """
    for setup in job.setups:
        for feature in setup.features:
            if isinstance(feature, Holes):
                yield from _of_holes(job, setup, feature)


def _of_holes(job: Job, setup: JobSetup, holes: Holes) -> Iterator[JobError]:
    """Yield what is wrong about what some holes break into."""
    gone = gone_before(job, setup)
    met = met_by(job, setup, holes)
    names = {each.feature.name for each in met}
    for each in met:
        if each.feature.name not in holes.breaks_into and not _opened_out(job, setup, holes, each):
            yield JobError(
                holes.where.at("at"),
                f"{holes.name!r} run into {each.feature.name!r}, {_whence(each)}",
                f'move them, or say breaks_into = ["{each.feature.name}"] if they are to meet',
            )
    known = [each.feature.name for each in gone]
    for name in holes.breaks_into:
        if name not in known:
            right = nearest(name, known) or (f"use {listed(known)}" if known else "take it out")
            yield JobError(holes.where.at("breaks_into"), f"nothing called {name!r} is gone", right)
        elif name not in names:
            yield JobError(
                holes.where.at("breaks_into"),
                f"{holes.name!r} do not meet {name!r}",
                "take it out, or move them",
            )


def hole_opened_out(job: Job, setup: JobSetup, bore: Holes) -> Holes | None:
    """Return the widest hole gone before that a bore opens out, on the same axis; None for none."""
    opened = [
        each.feature
        for each in met_by(job, setup, bore)
        if isinstance(each.feature, Holes) and _opened_out(job, setup, bore, each)
    ]
    return max(opened, key=lambda each: each.bore.low, default=None)


def _whence(gone: Sunk) -> str:
    return f"which is cut in {gone.setup!r}" if gone.setup else "which is there already"


def _opened_out(job: Job, setup: JobSetup, holes: Holes, gone: Sunk) -> bool:
    """Tell whether all that holes meet of others are smaller ones with the same axes."""
    if not isinstance(gone.feature, Holes):
        return False
    own = next(each for each in cut_in(job, setup) if each.feature is holes)
    theirs = gone.layers_in(setup.frame)
    met = [
        (one, other) for one in own.layers_in(setup.frame) for other in theirs if one.meets(other)
    ]
    return all(
        other.axis == 2
        and one.region.centroid.distance(other.region.centroid) < SAME_HOLE
        and other.region.area <= one.region.area
        for one, other in met
    )
