"""`pathgen draw`: draw what a program or a sheet does over the wanted part, as SVG or PNG."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("draw")
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.argument("made", metavar="[FILE]", required=False, type=click.Path(path_type=Path))
@click.option("--machine", metavar="NAME", help="Draw for this machine instead of the named one.")
@click.option(
    "--into",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write there; else beside FILE, or into the folder here.",
)
@click.option("--png", is_flag=True, help='As PNG too; needs the extra "png".')
def command(
    job_file: Path,
    made: Path | None,
    machine: str | None,
    into: Path | None,
    png: bool,  # noqa: FBT001 - a switch of the command line
) -> None:
    """Draw FILE, a program or a dial sheet (JSON), over the part that JOB wants; else JOB's plan.

    Written are the drawing of each setup and a strip of its passes. What the check finds is flagged
    in the drawing and changes nothing else: `check` tells of it, with its exit status.
    """
    from pathgen.commands.drawings import as_png, drawings  # noqa: PLC0415 - heavy
    from pathgen.commands.loading import load_all  # noqa: PLC0415
    from pathgen.commands.outputs import write_files  # noqa: PLC0415
    from pathgen.commands.proving import prove_job  # noqa: PLC0415
    from pathgen.commands.proving_files import prove_file  # noqa: PLC0415
    from pathgen.commands.telling import Progress  # noqa: PLC0415

    jobs = load_all(job_file, machine)
    progress = Progress()
    if made is None:
        proofs = [proof for job, shop in jobs for proof in prove_job(job, shop, machine, progress)]
    else:
        proofs = [prove_file(jobs, made, machine, progress)]
    progress.clear()
    folder = into or (made.parent if made else Path())
    files = {
        folder / name: text
        for proof in proofs
        for name, text in drawings(proof, made.stem if made else proof.place.stem).items()
    }
    pictures = (
        {path.with_suffix(".png"): as_png(text) for path, text in files.items()} if png else {}
    )
    write_files({**files, **pictures})
    for path in (*files, *pictures):
        click.echo(str(path))
