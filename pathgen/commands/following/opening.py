"""How following begins: the sheet, the log that is there or not, and a real terminal."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import dataclass
from pathlib import Path

import click

from pathgen.commands.following.keyboard import Keyboard
from pathgen.commands.following.log import FORM, VERSION, Log, Run, runs_in
from pathgen.commands.following.loop import Following
from pathgen.commands.following.work import Work
from pathgen.input.where import JobError, Where
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.steps import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A sheet ready to be followed."""

    work: Work
    head: dict[str, object] | None  # that the log has to begin with; None where it goes on

    def follow(self, log: Log) -> None:
        """Follow it until the person stops."""
        if self.head is not None:
            log.put(self.head)
        keyboard = Keyboard()
        try:
            with keyboard.by_keys():
                Following(self.work, log, keyboard, _now).run()
        except (KeyboardInterrupt, EOFError, click.Abort):
            click.echo("")


def _now() -> dt.datetime:
    return dt.datetime.now().astimezone()


def read_sheet(path: Path, *, anyway: bool) -> tuple[Sheet, str]:
    """Return a sheet and its digest.

    Raises:
        InputError: it cannot be read, is no sheet, or is not proved.
    """
    where = Where(str(path), 0, "")
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise JobError(where, "cannot be read", "give the JSON of a dial sheet") from error
    sheet = load_sheet(text, str(path))
    mark = json.loads(text).get("not_proved")
    if mark and not anyway:
        raise JobError(where, str(mark), "mend the job; --anyway follows it all the same")
    return sheet, hashlib.sha256(text.encode()).hexdigest()


def opened(sheet: Sheet, key: str, path: Path, begin: str | None) -> Opening:
    """Return what to follow: from nothing, or from where a log ends.

    Args:
        sheet: the sheet.
        key: its digest.
        path: of the log.
        begin: "resume", "anew", or None where the person did not say.

    Raises:
        InputError: there is a log and nothing was said; or none, or one of another sheet, to go on.
    """
    runs = runs_in(path) if path.exists() else ()
    last = runs[-1] if runs else None
    work = Work(sheet)
    if begin == "resume":
        _resume(work, key, path, last)
        return Opening(work=work, head=None)
    if last is not None and begin is None:
        raise JobError(
            Where(str(path), 0, ""),
            f"a log is there: {len(last.done())} steps done",
            "--resume goes on with it, --anew begins again further down in it",
        )
    head = {"form": FORM, "version": VERSION, "at": _now().isoformat(timespec="seconds")}
    said = {name: getattr(sheet.head, name) for name in ("title", "setup", "machine")}
    return Opening(work=work, head={**head, "sheet": key, **said})


def _resume(work: Work, key: str, path: Path, last: Run | None) -> None:
    """Put what a log says into the work."""
    where = Where(str(path), 0, "")
    if last is None:
        raise JobError(where, "no log to go on with", "leave --resume out")
    if last.sheet != key:
        raise JobError(
            where,
            "the log is of another sheet, or this one has changed since",
            "--anew begins again; what was done by the other one does not count",
        )
    for name, entry in last.found().items():
        work.take(name, str(entry["typed"]))
    work.done[:] = last.done()
