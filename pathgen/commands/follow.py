"""`pathgen follow`: a sheet step by step in the terminal, with a log that outlives a kill."""

from __future__ import annotations

import sys
from pathlib import Path

import click

SUFFIX = ".followed.jsonl"


@click.command("follow")
@click.argument("sheet_file", metavar="SHEET", type=click.Path(path_type=Path))
@click.option(
    "--log",
    "log_file",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help=f"Keep the log there; else beside the sheet, as its name with {SUFFIX}.",
)
@click.option("--resume", "begin", flag_value="resume", help="Go on where the log ends.")
@click.option("--anew", "begin", flag_value="anew", help="Begin again, further down in the log.")
@click.option("--anyway", is_flag=True, help="Follow a sheet although it is not proved.")
def command(
    sheet_file: Path,
    log_file: Path | None,
    begin: str | None,
    anyway: bool,  # noqa: FBT001 - a switch of the command line
) -> None:
    """Follow SHEET (the JSON of a dial sheet) one step at a time.

    Each step that is marked done, and each size that is found, is on disk before the next is shown.
    """
    from pathgen.commands.following.log import Log  # noqa: PLC0415 - heavy
    from pathgen.commands.following.opening import opened, read_sheet  # noqa: PLC0415
    from pathgen.input.where import JobError, Where  # noqa: PLC0415

    sheet, key = read_sheet(sheet_file, anyway=anyway)
    path = log_file or sheet_file.with_name(sheet_file.name.removesuffix(".json") + SUFFIX)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        right = "start it in one, or open the page beside the sheet"
        raise JobError(Where("follow", 0, ""), "needs a terminal", right)
    opening = opened(sheet, key, path, begin)
    with Log(path) as log:
        opening.follow(log)
    click.echo(f"{len(opening.work.done)} of {len(opening.work.cards)} steps done; log: {path}")
