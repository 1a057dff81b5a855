"""Proving a program or a sheet as it stands in a file, edited by hand or not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pathgen.check.metal.left import Left
from pathgen.commands.going_on import begun
from pathgen.commands.loading import machine_of
from pathgen.commands.proving import prove_job, prove_setup, prove_text
from pathgen.commands.workplace import Proof, Tell, Workplace, form
from pathgen.input.where import JobError, Where
from pathgen.job.job import Job
from pathgen.job.mating.named import AnyJob, AnySetup
from pathgen.moves.plan import Head
from pathgen.shop.shop import Shop

NOT_READ = {  # what lies beside what is read, by suffix: what it is, what to give instead
    ".txt": ("the sheet for people", "the file of its steps, .json,"),
    ".html": ("a page", "the program, .ngc, or the steps, .json,"),
    ".svg": ("a drawing", "the program, .ngc, or the steps, .json,"),
}


def prove_file(
    jobs: Sequence[tuple[AnyJob, Shop]], made: Path, override: str | None, tell: Tell
) -> Proof:
    """Return the proof of a program or of a sheet's JSON, as it stands in a file.

    Args:
        jobs: with their shops; of several, the one that the file was made for is taken.
        made: the file.
        override: the machine, if not the one that the file names.
        tell: is told what is being done.

    Raises:
        InputError: it cannot be read, or was made for a job, setup or machine that is not there.
    """
    text = _read(made)
    sheet = made.suffix == ".json" or text.lstrip().startswith(("{", "["))
    head = form(by_handles=sheet).head_of(text, str(made))
    job, shop = _job_of(jobs, head, made)
    setup = _setup_of(job, head, made)
    named = Where(str(made), 0, "machine")
    machine = machine_of(setup, shop, override or head.machine or setup.machine, named)
    if machine.manual != sheet:
        raise JobError(
            Where(str(made), 0, ""),
            f"a {'dial sheet' if sheet else 'program'}, but {machine.title} "
            f"{'has handles' if machine.manual else 'reads programs'}",
            f"it was made for {head.machine!r}: leave --machine out"
            if override and head.machine
            else "name the machine it was made for with --machine",
        )
    left = _left_before(setup, job, shop, override, tell)
    place = Workplace(job=job, setup=setup, machine=machine, shop=shop, left=left)
    if not head.begins_at:
        return prove_text(place, text, str(made), tell)
    found = head.found[0] if head.found else None
    going = begun(prove_setup(place, tell), head.begins_at, found, tell)
    return prove_text(going.place, text, str(made), tell, done=going.done)


def _read(path: Path) -> str:
    """Return the text of a file that a person named."""
    where = Where(str(path), 0, "")
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise JobError(where, "not a text", "give a program or the JSON of a dial sheet") from error
    except OSError as error:
        raise JobError(where, error.strerror or "cannot be read", "name a file to read") from error
    if path.suffix in NOT_READ:
        what, instead = NOT_READ[path.suffix]
        raise JobError(where, f"{what}, which is not read back", f"give {instead} beside it")
    return text


def _job_of(jobs: Sequence[tuple[AnyJob, Shop]], head: Head, made: Path) -> tuple[AnyJob, Shop]:
    """Return the job that a file was made for, by its digest, else by its title."""
    if len(jobs) == 1:
        return jobs[0]
    for alike in (
        [pair for pair in jobs if pair[0].digest == head.digest],
        [pair for pair in jobs if pair[0].title == head.title],
    ):
        if len(alike) == 1:
            return alike[0]
    names = ", ".join(repr(job.title) for job, _ in jobs)
    raise JobError(
        Where(str(made), 0, "title"),
        f"made for {head.title!r}, which is not one of the jobs",
        f"they are {names}; or name the job's own file",
    )


def _setup_of(job: AnyJob, head: Head, made: Path) -> AnySetup:
    """Return the setup that a file says it was made for; the only one where it says nothing."""
    if not head.setup and len(job.setups) == 1:
        return job.setups[0]
    for setup in job.setups:
        if setup.name == head.setup:
            return setup
    names = ", ".join(repr(setup.name) for setup in job.setups)
    raise JobError(
        Where(str(made), 0, "setup"),
        f"made for setup {head.setup!r}, which the job does not have",
        f"the job has {names}",
    )


def _left_before(
    setup: AnySetup, job: AnyJob, shop: Shop, override: str | None, tell: Tell
) -> Left | None:
    """Return what the planned setups before one leave of the blank, None before the first."""
    number = [each.name for each in job.setups].index(setup.name)
    earlier: AnyJob
    if isinstance(job, Job):
        earlier = replace(job, setups=job.setups[:number])
    else:
        earlier = replace(job, setups=job.setups[:number])
    left: Left | None = None
    for proof in prove_job(earlier, shop, override, tell):
        left = proof.report.left
    return left
