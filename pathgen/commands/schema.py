"""`pathgen schema`: what may stand in a job, machine, crib or press file, for editors to check by.

The schemas are worked out from the readers of the files, and shipped: see `schemas.making`.
"""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import click

WHAT = ("job", "machine", "crib", "press")


@click.command("schema")
@click.argument("what", metavar="[WHAT]", required=False, type=click.Choice(WHAT))
@click.option(
    "--into",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help="Write there, all of them unless one is named: job.schema.json and so on.",
)
def command(what: str | None, into: Path | None) -> None:
    """Print the JSON Schema of job files; or WHAT: job, machine, crib or press files.

    An editor that knows JSON Schema completes and checks the TOML files by it while you write.
    """
    if into is None:
        click.echo(schema_text(what or "job"), nl=False)
        return
    from pathgen.commands.outputs import write_files  # noqa: PLC0415 - heavy

    kinds = [what] if what else list(WHAT)
    texts = {into / f"{kind}.schema.json": schema_text(kind) for kind in kinds}
    write_files(texts)
    for path in texts:
        click.echo(str(path))


def schema_text(what: str) -> str:
    """Return the schema of job, machine, crib or press files as JSON."""
    shipped = files("pathgen.commands.schemas") / f"{what}.schema.json"
    return shipped.read_text(encoding="utf-8")
