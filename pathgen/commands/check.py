"""`pathgen check`: prove a job's plan, or a program or sheet that was made for it."""

from __future__ import annotations

import sys
from pathlib import Path

import click


@click.command("check")
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.argument("made", metavar="[FILE]", required=False, type=click.Path(path_type=Path))
@click.option("--machine", metavar="NAME", help="Check on this machine instead of the named one.")
@click.option(
    "--full/--brief",
    default=None,
    help="Print plan and sizes, or only findings. Else: full on a terminal.",
)
def command(job_file: Path, made: Path | None, machine: str | None, full: bool | None) -> None:  # noqa: FBT001
    """Prove the plan of JOB; or prove FILE, a program or a dial sheet (JSON), edited or not.

    JOB may be a press file, which names several jobs and how their parts go together.
    """
    from pathgen.commands.cautioned import with_cautions  # noqa: PLC0415 - heavy
    from pathgen.commands.loading import load_all  # noqa: PLC0415
    from pathgen.commands.proving import prove_job  # noqa: PLC0415
    from pathgen.commands.proving_files import prove_file  # noqa: PLC0415
    from pathgen.commands.screwed import with_threads  # noqa: PLC0415
    from pathgen.commands.telling import Progress, tell  # noqa: PLC0415

    progress = Progress()
    jobs = load_all(job_file, machine)
    if made is None:
        proofs = [proof for job, shop in jobs for proof in prove_job(job, shop, machine, progress)]
    else:
        proofs = [with_cautions(prove_file(jobs, made, machine, progress))]
    proofs = with_threads(proofs)
    progress.clear()
    tell(proofs, full=full)
    sys.exit(0 if all(proof.report.ok for proof in proofs) else 1)
