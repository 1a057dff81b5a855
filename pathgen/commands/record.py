"""`pathgen record`: planned against measured sizes, from the logs of sheets that were followed."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("record")
@click.argument("places", metavar="LOG...", nargs=-1, type=click.Path(path_type=Path))
def command(places: tuple[Path, ...]) -> None:
    """Print what was measured beside what was planned, and what that says of each machine.

    LOG is a log that `follow` kept, or a folder in which all logs are read; else the folder here.
    """
    from pathgen.commands.follow import SUFFIX  # noqa: PLC0415
    from pathgen.commands.following.measured import lines_of, logs_in  # noqa: PLC0415 - heavy

    for line in lines_of(logs_in(places or (Path(),), SUFFIX)):
        click.echo(line)
