"""Files of TOML text: read and parsed, or the reason gathered why not."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from pathgen.input.scan import KeyPath, lines_of
from pathgen.input.where import Faults, Where, nearest

_PLACE = re.compile(r" \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$")


def read_text(path: Path, faults: Faults) -> str | None:
    """Return the text of a file; None, with the error gathered, if it cannot be read."""
    try:
        data = path.read_bytes()
    except OSError as error:
        faults.add(Where(str(path), 0, ""), *_unreadable(path, error))
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        faults.add(
            Where(str(path), line, ""),
            f"byte {data[error.start]:#04x} is not UTF-8 text",
            "save the file as UTF-8",
        )
        return None


def parse(
    text: str, file: str, faults: Faults
) -> tuple[dict[str, object], dict[KeyPath, int]] | None:
    """Return the values of a TOML text and the lines of their keys.

    If it is not TOML, the error is gathered and None returned.
    """
    try:
        values = _values(text, file, faults)
        return None if values is None else (values, lines_of(text))
    except RecursionError:
        faults.add(Where(file, 0, ""), "brackets are nested too deep to read", "nest them less")
        return None


def _values(text: str, file: str, faults: Faults) -> dict[str, object] | None:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        _not_toml(str(error), text, file, faults)
    except ValueError as error:  # a whole number of thousands of digits
        wrong = f"not TOML: {error}"
        faults.add(Where(file, 0, ""), wrong, "write numbers of a sensible length")
    return None


def _unreadable(path: Path, error: OSError) -> tuple[str, str]:
    """Return what is wrong with a file that cannot be read, and what would be right."""
    if path.is_dir():
        return "this is a folder, not a file", "name a TOML file"
    match error:
        case FileNotFoundError() | NotADirectoryError():
            if not path.parent.is_dir():
                return "no such file", f"there is no folder {path.parent} either"
            names = sorted(each.name for each in path.parent.glob("*.toml"))
            return "no such file", nearest(path.name, names) or "check its name and folder"
        case PermissionError():
            return "the file may not be read", "ask for permission to read it"
        case _:
            return f"the file cannot be read: {error.strerror}", "try another copy of it"


def _not_toml(message: str, text: str, file: str, faults: Faults) -> None:
    """Gather what the parser says, at the line that it names."""
    found = _PLACE.search(message)
    line = text.count("\n") + 1
    column = ""
    if found and found["line"]:
        line = int(found["line"])
        column = f" at column {found['column']}"
    reason = message[: found.start()] if found else message
    faults.add(
        Where(file, line, ""),
        f"not TOML{column}: {reason[:1].lower()}{reason[1:]}",
        "write key = value; texts stand in quotes, and a key stands once in its table",
    )
