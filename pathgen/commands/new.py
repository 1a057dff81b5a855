"""`pathgen new`: commented starters for a job, a machine, a crib, a press file."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import click

STARTERS: dict[str, str] = {  # what is asked for: the starter's file beside this module
    "job": "job.toml",
    "manual-mill": "manual-mill.toml",
    "converted-mill": "converted-mill.toml",
    "turned-job": "turned-job.toml",
    "manual-lathe": "manual-lathe.toml",
    "converted-lathe": "converted-lathe.toml",
    "crib": "crib.toml",
    "press": "press.toml",
}


@click.command("new")
@click.argument("name", metavar="NAME")
@click.option(
    "--what",
    type=click.Choice(list(STARTERS)),
    default="job",
    show_default=True,
    help="What to start: a job for a mill or a lathe, a machine with handles or with a control, a "
    "list of cutters, or a file that names jobs whose parts go together.",
)
@click.option(
    "--own", is_flag=True, help="Put a machine or crib into your own folder, for all jobs."
)
def command(name: str, what: str, own: bool) -> None:  # noqa: FBT001 - a switch of the command line
    """Write a commented starter called NAME; nothing that is there already is overwritten.

    NAME has letters, figures, - and _ only.

    A job or press file becomes NAME.toml here. A machine becomes machines/NAME.toml, a crib
    crib.toml with NAME as its title: here, beside the jobs, or with --own in your own folder.
    """
    from pathgen.input.where import JobError, Where  # noqa: PLC0415 - for --help to stay light

    stem = name.removesuffix(".toml")
    _guard(stem)
    path = _path(stem, what, own=own)
    text = (files("pathgen.commands") / "starters" / STARTERS[what]).read_text(encoding="utf-8")
    where = Where(str(path), 0, "")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8") as stream:
            stream.write(text.replace("@NAME@", stem))
    except FileExistsError as error:
        raise JobError(where, "is there already", "give another name, or move it away") from error
    except OSError as error:
        raise JobError(
            where, error.strerror or "cannot be written", "name another place"
        ) from error
    click.echo(str(path))


def _guard(stem: str) -> None:
    """Refuse a name that cannot be the same in a file's name, in its text and on this line."""
    from pathgen.input.where import JobError, Where, quoted  # noqa: PLC0415

    if re.fullmatch(r"\w[\w-]*", stem):
        return
    if "/" in stem or "\\" in stem:
        wrong, right = "is a path", "go to the folder first and give a name alone"
    else:
        alike = re.sub(r"[^\w]+", "-", stem).strip("-")
        example = f", as {quoted(alike)}" if alike else ""
        wrong = "has signs that a file name should not" if stem else "is empty"
        right = f"use letters, figures, - and _{example}"
    raise JobError(Where("NAME", 0, ""), f"{quoted(stem)} {wrong}", right)


def _path(stem: str, what: str, *, own: bool) -> Path:
    """Return where a starter goes."""
    from pathgen.shop.shop import CRIB, MACHINES, own_folder  # noqa: PLC0415

    folder = own_folder() if own else Path()
    if what in ("job", "turned-job", "press"):
        return Path(f"{stem}.toml")
    return folder / CRIB if what == "crib" else folder / MACHINES / f"{stem}.toml"
