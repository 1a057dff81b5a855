"""Loading jobs with the shops around them, and the machines that they ask for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pathgen.input.where import Faults, JobError, Where
from pathgen.job.load import load_job, load_jobs
from pathgen.job.mating.named import AnyJob, AnySetup
from pathgen.job.turning.turned import TurnedSetup
from pathgen.shop.machines import Machine
from pathgen.shop.shop import Shop, find_shop

ASKED_AT = Where("--machine", 0, "")


def load(job_file: Path, machine: str | None = None) -> tuple[AnyJob, Shop]:
    """Return the job and the shop around it.

    Raises:
        JobErrors: all that is wrong in the job, the machines and the crib at once.
    """
    faults = Faults()
    job = load_job(job_file, faults)
    jobs = () if job is None else ((job_file, job),)
    return _with_shops(jobs, job_file, faults, machine)[0]


def load_all(file: Path, machine: str | None = None) -> tuple[tuple[AnyJob, Shop], ...]:
    """Return the job of a file, or all jobs of a press file, each with the shop around it.

    Raises:
        JobErrors: all that is wrong in the jobs, the mates, the machines and the cribs at once.
    """
    faults = Faults()
    return _with_shops(load_jobs(file, faults), file, faults, machine)


def _with_shops(
    jobs: Sequence[tuple[Path, AnyJob]], named: Path, faults: Faults, machine: str | None
) -> tuple[tuple[AnyJob, Shop], ...]:
    """Return jobs with the shops around them, one at least; raise all that was wrong."""
    folders = {path.parent for path in (named, *dict(jobs))}
    shops = {folder: find_shop(folder, faults) for folder in sorted(folders)}
    for path, job in jobs:
        _find_machines(job, shops[path.parent], faults, machine)
    faults.raise_any()
    assert jobs, "a job that is not there has left a fault"
    return tuple((job, shops[path.parent]) for path, job in jobs)


def _find_machines(job: AnyJob, shop: Shop, faults: Faults, override: str | None) -> None:
    """Gather an error for each machine asked for that the shop does not have."""
    for setup in job.setups:
        try:
            machine_of(setup, shop, override)
        except JobError as error:
            faults.extend([error])


def machine_of(
    setup: AnySetup, shop: Shop, override: str | None, asked_at: Where = ASKED_AT
) -> Machine:
    """Return the machine of a setup, or the one asked for in its place.

    Raises:
        JobError: there is none of that name, or it is a mill for turned work, or the other way.
    """
    where = setup.where.at("machine") if override is None else asked_at
    machine = shop.machine(override or setup.machine, where)
    turned = isinstance(setup, TurnedSetup)
    if turned != (machine.lathe is not None):
        work = "turned, and" if turned else "milled, and"
        kind = "a lathe" if turned else "a mill"
        raise JobError(where, f"the part is {work} {machine.title} is not {kind}", f"name {kind}")
    return machine
