"""What each step or line of a run takes off the bar, for those who draw it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.left import Left
from pathgen.check.turning.check import begun, longer_in
from pathgen.check.turning.follow import Follower
from pathgen.check.turning.metal import as_it_comes
from pathgen.job.turning.turned import TurnedJob, TurnedSetup
from pathgen.moves.moves import ThreadCut
from pathgen.moves.plan import Run
from pathgen.shop.crib import Crib
from pathgen.shop.machines import Machine


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taken:
    """The metal that one step or line takes: in the half plane, z along and x from the axis; mm."""

    number: int
    metal: BaseGeometry
    thread: bool = False  # a pass along one: the ring from its root outwards, the ridges in it too


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stages:
    """A run as the work sees it: what there was, what each step or line took, what is left; mm."""

    comes: BaseGeometry
    taken: tuple[Taken, ...]
    left: BaseGeometry


def stages_of_turning(
    run: Run,
    job: TurnedJob,
    setup: TurnedSetup,
    machine: Machine,
    crib: Crib,
    left: Left | None = None,
) -> Stages:
    """Return what a run takes off the bar, step by step; as `check_turned` follows it.

    Args:
        run: what was read back.
        job: with the blank as it comes to the setup.
        setup: the setup.
        machine: the lathe.
        crib: the tools.
        left: what the setup before it left, of a part that was turned round.
    """
    comes = as_it_comes(job, setup, left, longer_in(run))
    follower = begun(run, job, setup, machine, crib, comes)
    taken: list[Taken] = []
    for item, number in zip(run.items, run.numbers, strict=True):
        before, start = follower.bar.metal, follower.at
        follower.take(item, number)
        thread = isinstance(item, ThreadCut)
        if follower.bar.metal is before and not thread:
            continue
        gone = _ring(follower, start) if thread else before.difference(follower.bar.metal)
        if not gone.is_empty:
            taken.append(Taken(number=number, metal=gone, thread=thread))
    return Stages(comes=comes, taken=tuple(taken), left=follower.bar.metal)


def _ring(follower: Follower, start: tuple[float, float]) -> BaseGeometry:
    """Return what a pass along a thread runs through, which has just been followed."""
    (x, z), (_, begins) = follower.at, start
    if math.isnan(x + z + begins):
        return Polygon()
    metal = follower.bar.metal
    beyond = max(float(shapely.bounds(metal)[3]), x)
    return metal.intersection(box(min(z, begins), x, max(z, begins), beyond))
