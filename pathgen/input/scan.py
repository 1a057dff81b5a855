"""In which line of a TOML document each of its keys stands.

`tomllib` reads the values but says nothing of places, so this scanner walks over the same text
and notes only those. It is meant for text that `tomllib` has taken without complaint.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left

KeyPath = tuple[str | int, ...]

_BLANK = re.compile(r"[ \t]*")
_BETWEEN = re.compile(r"(?:[ \t\n]|#[^\n]*)*")  # within arrays, and from line to line
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})'  # up to two quotes may stand before the closing three
    r"|'''.*?'''(?:'{0,2})"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_PLAIN = re.compile(r"[^,#\]}\n]+")  # number, truth value or time (which may hold a blank)


def lines_of(text: str) -> dict[KeyPath, int]:
    r"""Return the line, counted from 1, of every key path in a TOML document.

    A path holds names and, for entries of arrays, indices from 0. A key stands where its name is
    written; a table at its header, or where it is first meant; an entry where it begins.

    Raises:
        ValueError: the text is not TOML.

    >>> lines_of("units = 'mm'\n[[slot]]\nwidth = [\n 6,\n 7]")  # doctest: +NORMALIZE_WHITESPACE
    {('units',): 1, ('slot',): 2, ('slot', 0): 2, ('slot', 0, 'width'): 3,
     ('slot', 0, 'width', 0): 4, ('slot', 0, 'width', 1): 5}
    """
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.document()
    return scanner.lines


class _Scanner:
    """Steps through a text, noting where the keys are."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.ends = [found.start() for found in re.finditer("\n", text)]
        self.entries: dict[KeyPath, int] = {}  # how many tables each array of tables has so far
        self.lines: dict[KeyPath, int] = {}

    def document(self) -> None:
        """Note all keys of the whole text."""
        table: KeyPath = ()
        self.take(_BETWEEN)
        while self.at < len(self.text):
            if self.text.startswith("[", self.at):
                table = self.header()
            else:
                self.pair(table)
            self.take(_BETWEEN)

    def header(self) -> KeyPath:
        """Step over `[name]` or `[[name]]`; return the path of the table it opens."""
        line = self.line()
        brackets = 2 if self.text.startswith("[[", self.at) else 1
        self.at += brackets
        *front, last = self.name()
        self.expect("]" * brackets)
        path: KeyPath = ()
        for part in front:
            path = self.inside((*path, part))
            self.lines.setdefault(path, line)
        path = (*path, last)
        if brackets == 1:
            self.lines[path] = line
            return path
        self.lines.setdefault(path, line)
        self.entries[path] = self.entries.get(path, 0) + 1
        path = self.inside(path)
        self.lines[path] = line
        return path

    def inside(self, path: KeyPath) -> KeyPath:
        """Return the path of the table meant: the last one, if it is an array of tables."""
        return (*path, self.entries[path] - 1) if path in self.entries else path

    def pair(self, table: KeyPath) -> None:
        """Step over `name = value`."""
        line = self.line()
        path = table
        for part in self.name():
            path = (*path, part)
            self.lines.setdefault(path, line)
        self.expect("=")
        self.take(_BLANK)
        self.value(path)

    def name(self) -> list[str]:
        """Step over a name of one or more parts with points between; return the parts."""
        parts = [self.part()]
        while self.text.startswith(".", self.at):
            self.at += 1
            parts.append(self.part())
        return parts

    def part(self) -> str:
        """Step over one part of a name and the blanks around it."""
        self.take(_BLANK)
        quoted = self.text.startswith(('"', "'"), self.at)
        raw = self.take(_STRING if quoted else _BARE_KEY)
        self.take(_BLANK)
        return str(tomllib.loads(f"text = {raw}")["text"]) if quoted else raw

    def value(self, path: KeyPath) -> None:
        """Step over a value, noting what is in it."""
        match self.text[self.at : self.at + 1]:
            case "[":
                self.array(path)
            case "{":
                self.inline_table(path)
            case '"' | "'":
                self.take(_STRING)
            case _:
                self.take(_PLAIN)

    def array(self, path: KeyPath) -> None:
        """Step over `[value, value]`, noting where each entry begins."""
        self.at += 1
        index = 0
        while not self.closed("]"):
            entry = (*path, index)
            self.lines[entry] = self.line()
            self.value(entry)
            index += 1

    def inline_table(self, path: KeyPath) -> None:
        """Step over `{name = value, name = value}`."""
        self.at += 1
        while not self.closed("}"):
            self.pair(path)

    def closed(self, bracket: str) -> bool:
        """Step on to the next entry or over the closing bracket; tell whether it was that."""
        self.take(_BETWEEN)
        if self.text.startswith(",", self.at):
            self.at += 1
            self.take(_BETWEEN)
        if not self.text.startswith(bracket, self.at):
            return False
        self.at += 1
        return True

    def line(self) -> int:
        """Return the line now reached."""
        return bisect_left(self.ends, self.at) + 1

    def take(self, pattern: re.Pattern[str]) -> str:
        """Step over what must be there; return it."""
        found = pattern.match(self.text, self.at)
        if not found:
            raise ValueError(f"not TOML in line {self.line()}")
        self.at = found.end()
        return found[0]

    def expect(self, mark: str) -> None:
        """Step over a mark that must be there."""
        if not self.text.startswith(mark, self.at):
            raise ValueError(f"not TOML in line {self.line()}: no {mark}")
        self.at += len(mark)
