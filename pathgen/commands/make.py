"""`pathgen make`: plan a job and write what is needed at the machine, proved."""

from __future__ import annotations

import sys
from pathlib import Path

import click


@click.command("make")
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option(
    "--machine", metavar="NAME", help="Make the part on this machine instead of the job's."
)
@click.option(
    "--into",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write there; else into out/ and the job's name.",
)
@click.option("--anyway", is_flag=True, help="Write the files even if the check finds something.")
@click.option(
    "--full/--brief",
    default=None,
    help="Print plan and sizes, or only findings and files. Else: full on a terminal.",
)
def command(
    job_file: Path,
    machine: str | None,
    into: Path | None,
    anyway: bool,  # noqa: FBT001 - a switch of the command line
    full: bool | None,  # noqa: FBT001
) -> None:
    """Plan JOB and write a program or a dial sheet for each setup, with drawing and findings.

    Every output is read back and checked against the wanted part first. With findings nothing is
    written, unless --anyway is given.
    """
    from pathgen.commands.outputs import files_of, write_files  # noqa: PLC0415 - heavy
    from pathgen.commands.proving import load, prove_job  # noqa: PLC0415
    from pathgen.commands.telling import Progress, tell  # noqa: PLC0415

    job, shop = load(job_file, machine)
    progress = Progress()
    proofs = list(prove_job(job, shop, machine, progress))
    progress.clear()
    tell(proofs, full=full)
    proved = all(proof.report.ok for proof in proofs)
    folder = into or Path("out") / job.name
    if proved or anyway:
        files = {name: text for proof in proofs for name, text in files_of(proof).items()}
        write_files(folder, files)
        for name in files:
            click.echo(str(folder / name))
    else:
        click.echo("nothing written; --anyway writes it all the same", err=True)
    sys.exit(0 if proved else 1)
