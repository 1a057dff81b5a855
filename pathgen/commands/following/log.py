"""The log of a sheet that is followed: lines of JSON, only ever added to, each on disk at once.

Whatever ends the program, all that was said to be done is in the log. At most its last line is
torn, and a torn line was never answered on the screen.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from pathgen.input.where import JobError, Where

FORM, VERSION = "followed sheet", 1
Entry = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One time that a sheet was followed: what it began with, and all that came after."""

    head: Entry
    entries: tuple[Entry, ...]

    @property
    def sheet(self) -> str:
        """Return the digest of the sheet."""
        return str(self.head["sheet"])

    def done(self) -> list[int]:
        """Return the steps that are done, in the order of doing."""
        done: list[int] = []
        for entry in self.entries:
            if "done" in entry:
                done.append(entry["done"])
            elif "undone" in entry and entry["undone"] in done:
                done.remove(entry["undone"])
        return done

    def found(self) -> dict[str, Entry]:
        """Return what was found last of each quantity, by name."""
        return {entry["found"]: entry for entry in self.entries if "found" in entry}


class Log:
    """A log that is added to; each entry is on disk when `put` returns."""

    def __init__(self, path: Path) -> None:
        self._file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
        if _torn(path):
            os.write(self._file, b"\n")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        os.close(self._file)

    def put(self, entry: Entry) -> None:
        """Add an entry and see it on to the disk."""
        os.write(self._file, (json.dumps(entry, ensure_ascii=False) + "\n").encode())
        os.fsync(self._file)


def _torn(path: Path) -> bool:
    """Return whether a log ends in the middle of a line."""
    text = path.read_bytes()
    return bool(text) and not text.endswith(b"\n")


def runs_in(path: Path) -> tuple[Run, ...]:
    """Return what a log holds, the last run last; torn lines are passed over.

    Raises:
        JobError: it is no such log, or cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        where = Where(str(path), 0, "")
        raise JobError(where, error.strerror or "cannot be read", "name a log to read") from error
    runs: list[tuple[Entry, list[Entry]]] = []
    for number, entry in _entries(text):
        if entry.get("form") == FORM:
            runs.append((entry, []))
        elif runs:
            runs[-1][1].append(entry)
        else:
            right = f'its first line says "form": "{FORM}"'
            raise JobError(Where(str(path), number, ""), "no log of a sheet", right)
    return tuple(Run(head=head, entries=tuple(entries)) for head, entries in runs)


def _entries(text: str) -> Iterator[tuple[int, Entry]]:
    """Yield the entries of a log by line."""
    for number, line in enumerate(text.splitlines(), start=1):
        try:
            entry = json.loads(line)
        except json.JSONDecodeError:
            continue  # torn by what ended the program: it was not answered
        if isinstance(entry, dict):
            yield number, entry
