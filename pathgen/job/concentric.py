"""Round features that are to lie on the axis of another one: whose, and where that is."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from pathgen.input.units import figure
from pathgen.input.where import JobError, nearest
from pathgen.job.areas import Outside, Pocket, Round
from pathgen.job.gone import Sunk, cut_in, gone_before
from pathgen.job.holes import Holes
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.read_concentric import Concentric

SAME_AXIS = 1e-6  # mm: two places of a job that differ by less are one


class Axle(NamedTuple):
    """An upright axis in a setup, and what lies on it."""

    at: tuple[float, float]  # setup's frame, mm
    sunk: Sunk
    here: bool  # cut in this very setup


def axle_of(job: Job, setup: JobSetup, name: str) -> Axle:
    """Return the axis of a round feature, cut in a setup or gone before it.

    Raises:
        ValueError: there is none of that name, or it has no upright axis; says what would do.
    """
    here = {each.feature.name: each for each in cut_in(job, setup)}
    gone = {each.feature.name: each for each in gone_before(job, setup)}
    sunk = here.get(name) or gone.get(name)
    if sunk is None:
        right = nearest(name, [*here, *gone]) or "name a hole, a bore or a round boss"
        raise ValueError(f"nothing called {name!r} is cut here or gone before; {right}")
    centre = _centre(sunk.feature)
    if centre is None or sunk.frame.lie.ways[2].axis != setup.lie.ways[2].axis:
        raise ValueError(
            f"{name!r} has no one upright axis here; name one hole, a bore, a round pocket or boss"
        )
    place = setup.frame.into(sunk.frame.out_of((*centre, sunk.box.high[2])))
    return Axle(at=place[:2], sunk=sunk, here=name in here)


def _centre(feature: Feature) -> tuple[float, float] | None:
    """Return where a round feature lies in its own frame, None for one that is not round."""
    match feature:
        case Holes(places=(place,)):
            return place.at
        case Pocket(shape=Round()):
            return feature.x.nominal, feature.y.nominal
        case Outside() if is_round(feature):
            return feature.x.nominal, feature.y.nominal
        case _:
            return None


def is_round(boss: Outside) -> bool:
    """Return whether what stands within an outside is a round boss about its place."""
    centre = (boss.x.nominal, boss.y.nominal)
    away = [math.dist(each, centre) for each in boss.contour.points(0.001)]
    return max(away) - min(away) < 2 * 0.001


def concentric_errors(job: Job) -> Iterator[JobError]:
    """Yield what is wrong about features that are to be concentric to something."""
    for setup in job.setups:
        for feature in setup.features:
            wanted = wanted_of(feature)
            if wanted is not None:
                yield from _of_feature(job, setup, feature, wanted.to)


def wanted_of(feature: Feature) -> Concentric | None:
    """Return whose axis a feature is to lie on, None where nothing is said."""
    match feature:
        case Holes(boring=boring):
            return None if boring is None else boring.concentric
        case Pocket() | Outside():
            return feature.concentric
        case _:
            return None


def _of_feature(job: Job, setup: JobSetup, feature: Feature, to: str) -> Iterator[JobError]:
    """Yield what is wrong about what one feature is to be concentric to."""
    where = feature.where.at("concentric_to")
    centre = _centre(feature)
    if to == feature.name:
        yield JobError(where, "the feature itself", "name another one")
        return
    if centre is None:
        yield JobError(where, f"{feature.name!r} is not round", "leave it out")
        return
    try:
        axle = axle_of(job, setup, to)
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        yield JobError(where, wrong, right)
        return
    if math.dist(axle.at, centre) > SAME_AXIS:
        x, y = (figure(each, job.units) for each in axle.at)
        yield JobError(
            where,
            f"{to!r} lies at x {x} y {y}, {feature.name!r} elsewhere",
            "give it that place",
        )
