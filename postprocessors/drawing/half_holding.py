"""What holds and supports turned work, as its half section is drawn."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.job.held_on import held_on, keep_outs
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.shop.machines import Machine
from postprocessors.drawing.half_outside import outside

Points = tuple[tuple[float, float], ...]  # z, x


def held_by(job: TurnedJob, setup: TurnedSetup, machine: Machine) -> tuple[Points, ...]:
    """Return the outline of each thing that holds or supports the work, mm."""
    return tuple(each.corners for each in keep_outs(job, setup, held_on(setup, machine)))


def wanted_outside(job: TurnedJob, setup: TurnedSetup) -> list[tuple[float, float]]:
    """Return the outline from the right face on: what is turned, else what comes and stays; mm."""
    return outside(setup) or list(_as_it_comes(job, setup))


def _as_it_comes(job: TurnedJob, setup: TurnedSetup) -> Iterator[tuple[float, float]]:
    """Yield the corners of what comes to a setup, from the right face on."""
    for left, right, radius in reversed(job.comes(setup)):
        if left < 0:
            yield from ((min(right, 0.0), radius), (left, radius))
