"""`pathgen make`: plan a job and write what is needed at the machine, proved."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from pathgen.commands.proving import Proof, Tell


@click.command("make")
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option(
    "--machine", metavar="NAME", help="Make the part on this machine instead of the job's."
)
@click.option(
    "--into",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write there (of several jobs, each into its own folder there); else into out/ and the "
    "job's name.",
)
@click.option(
    "--begin-at",
    metavar="PASS",
    help="Go on after a stop: begin at this pass, by its number or as 'finish: stud slot'; the "
    "passes before it are taken as cut.",
)
@click.option(
    "--found",
    metavar="SIZE=VALUE",
    help="What was measured at a stop in milling, as width=9.87: write the finishing anew by it.",
)
@click.option("--anyway", is_flag=True, help="Write the files even if the check finds something.")
@click.option(
    "--full/--brief",
    default=None,
    help="Print plan and sizes, or only findings and files. Else: full on a terminal.",
)
def command(  # noqa: PLR0913, PLR0917 - the options of the command line
    job_file: Path,
    machine: str | None,
    into: Path | None,
    begin_at: str | None,
    found: str | None,
    anyway: bool,  # noqa: FBT001 - a switch of the command line
    full: bool | None,  # noqa: FBT001
) -> None:
    """Plan JOB and write a program or a dial sheet for each setup, with drawing and findings.

    Every output is read back and checked against the wanted part first. With findings nothing is
    written, unless --anyway is given. JOB may be a press file, which names several jobs and how
    their parts go together: then all of them are made, or none.

    After a stop, --begin-at writes what is left to do from a pass on, into files of its own, and
    --found the pass after a measuring and those that follow it, by what was found there.
    """
    from pathgen.commands.outputs import gather, job_files, write_files  # noqa: PLC0415 - heavy
    from pathgen.commands.proving import load_all, prove_job  # noqa: PLC0415
    from pathgen.commands.screwed import with_threads  # noqa: PLC0415
    from pathgen.commands.telling import Progress, tell  # noqa: PLC0415

    jobs = load_all(job_file, machine)
    progress = Progress()
    proofs = [proof for job, shop in jobs for proof in prove_job(job, shop, machine, progress)]
    if begin_at is not None or found is not None:
        proofs = [_going_on(proofs, begin_at, found, progress)]
    proofs = with_threads(proofs)
    progress.clear()
    tell(proofs, full=full)
    proved = all(proof.report.ok for proof in proofs)
    if proved or anyway:
        files = gather(
            (_folder(proof, into, several=len(jobs) > 1) / name, text)
            for proof, name, text in job_files(proofs, machine)
        )
        write_files(files)
        for path in files:
            click.echo(str(path))
    else:
        click.echo("nothing written; --anyway writes it all the same", err=True)
    sys.exit(0 if proved else 1)


def _going_on(
    proofs: list[Proof], begin_at: str | None, found: str | None, progress: Tell
) -> Proof:
    """Return the proof of what is left to do after a stop."""
    from pathgen.commands.going_on import prove_found, prove_from  # noqa: PLC0415

    if found is None:
        assert begin_at is not None
        return prove_from(proofs, begin_at, progress)
    if begin_at is not None:
        raise click.UsageError(
            "--found begins at the pass after the measuring: leave out --begin-at"
        )
    return prove_found(proofs, found, progress)


def _folder(proof: Proof, into: Path | None, *, several: bool) -> Path:
    """Return the folder of a job's files: one of its own where there are several jobs."""
    job = proof.place.job.name
    return (into or Path("out")) / job if several or into is None else into
