"""The reader: a program's text as what a control would do; it shares nothing with the writer.

It reads RS274/NGC as NISTIR 6556 defines it, as far as a three-axis mill needs: G0 to G4, G17
to G21, G40, G43, G49, G54, G80 to G85, G89, G90, G91, G94, G98, G99; M0 to M3, M5 to M9, M30; F, S,
T, H, N; comments, messages and fences. All else of the language is refused by name. Arcs in upright
planes are read as straights.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from pathgen.input.where import InputError
from pathgen.moves.actions import Zero
from pathgen.moves.plan import Doubt, Run
from postprocessors.gcode.reader_fast import is_plain, rows_of, take_common
from postprocessors.gcode.reader_head import Comments
from postprocessors.gcode.reader_lines import Lines
from postprocessors.gcode.reader_state import Found, State
from postprocessors.gcode.reader_words import LineError

BLOCK = 1 << 16  # characters read at a time
MOST_ERRORS = 100
AXES = ("x", "y", "z")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramError:
    """One thing that is wrong in a line of a program."""

    file: str
    line: int
    wrong: str
    right: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.wrong}; {self.right}"


class ProgramErrors(InputError):  # noqa: N818 - it holds many
    """What is wrong in a program, by line; at most `MOST_ERRORS` of it."""

    def __init__(self, errors: tuple[ProgramError, ...]) -> None:
        self.errors = errors
        super().__init__(errors)

    def __str__(self) -> str:
        return "\n".join(str(error) for error in self.errors)


def read_program(
    text: str, *, file: str = "program", repeatability: float = 0.0, fast: bool = True
) -> Run:
    """Return what a program does; lengths in mm whatever its units.

    Args:
        text: the whole program.
        file: what errors call it.
        repeatability: half width of what a position of the machine leaves open, mm.
        fast: take many common lines at a time; the result is the same without.

    Raises:
        ProgramErrors: the text is no legal program, or uses what is not read here.
    """
    return read_lines(text, file, repeatability, Lines, fast=fast)


def read_lines(
    text: str,
    file: str,
    repeatability: float,
    lines: Callable[[State, Found, Comments], Lines],
    *,
    fast: bool = False,
) -> Run:
    """Return what a program does whose lines are executed in a way of their own; see above."""
    reading = _Reading(file, lines, fast=fast)
    with _no_collection():
        reading.read(text)
        return reading.run(repeatability)


@contextmanager
def _no_collection() -> Iterator[None]:
    """Look for no garbage that refers to itself: the many values made here hold none of it."""
    enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if enabled:
            gc.enable()


class _Reading:
    """One reading of one program."""

    def __init__(
        self, file: str, lines: Callable[[State, Found, Comments], Lines], *, fast: bool
    ) -> None:
        self._file = file
        self._fast = fast
        self._state = State()
        self._found = Found()
        self._comments = Comments(self._found)
        self._lines = lines(self._state, self._found, self._comments)
        self._errors: list[ProgramError] = []
        self._fenced: bool | None = None  # None: no line but blank ones met yet
        self._closed = False
        self._tail_seen = False

    def read(self, text: str) -> None:
        """Read all lines."""
        number = 1
        for block in _blocks(text):
            number += self._block(block, number)
            if self._closed or len(self._errors) >= MOST_ERRORS:
                break
        self._comments.settle(number, stops=False)
        if self._fenced and not self._closed:
            self._error(number - 1, "a % opens the program and none closes it", "end it with %")
        elif not (self._lines.ended or self._closed):
            self._error(number - 1, "the program has no end", "end it with M2 or M30")

    def run(self, repeatability: float) -> Run:
        """Return what was read, or raise all errors."""
        if self._errors:
            raise ProgramErrors(tuple(self._errors[:MOST_ERRORS]))
        found = self._found
        return Run(
            file=self._file,
            where="line",
            head=self._comments.head,
            items=tuple(found.items),
            numbers=tuple(found.numbers),
            doubt=_doubt(found, repeatability),
            lengths=tuple(found.lengths),
            troubles=tuple(sorted(found.troubles, key=lambda trouble: trouble.number)),
            headings=self._comments.headings(found.items, found.numbers),
        )

    def _error(self, line: int, wrong: str, right: str) -> None:
        self._errors.append(ProgramError(file=self._file, line=line, wrong=wrong, right=right))

    def _block(self, text: str, first: int) -> int:
        """Read some lines, the first of which has the number ``first``; return how many."""
        at = 0
        lines = text.split("\n")
        rows = rows_of(lines) if self._fast else None
        while at < len(lines) and not self._closed:
            if rows is not None and self._plain():
                at = take_common(self._state, self._found, rows, at, first)
                if at == len(lines):
                    break
            self._line(first + at, lines[at])
            at += 1
        return len(lines)

    def _plain(self) -> bool:
        return not (self._comments.waiting or self._lines.ended) and is_plain(self._state)

    def _line(self, number: int, line: str) -> None:
        """Read one line the strict way."""
        stripped = line.strip(" \t")
        if stripped == "%":
            self._fence(number)
            return
        if not stripped:
            return
        if self._fenced is None:
            self._fenced = False
        if self._lines.ended:
            self._after_end(number)
            return
        try:
            self._lines.execute(number, line)
        except LineError as error:
            self._error(number, error.wrong, error.right)

    def _fence(self, number: int) -> None:
        """Take a line with nothing but %: it opens or closes the program."""
        if self._fenced is None:
            self._fenced = True
        elif self._fenced:
            self._closed = True
        else:
            self._error(number, "a % that closes nothing", "put one before the first line too")

    def _after_end(self, number: int) -> None:
        """Note lines that are never executed, once."""
        if not self._tail_seen:
            self._found.trouble(number, "lines after the end", "they do nothing: take them out")
            self._tail_seen = True


def _blocks(text: str) -> Iterator[str]:
    """Yield some lines of a text at a time, so that not all of them exist at once."""
    at, last = 0, len(text) - text.endswith("\n")
    while at < last:
        end = text.find("\n", at + BLOCK, last)
        end = last if end < 0 else end
        yield text[at:end].replace("\r\n", "\n").removesuffix("\r")
        at = end + 1


def _doubt(found: Found, repeatability: float) -> Doubt:
    """Return what the machine and the zeroing leave open."""
    widest = dict.fromkeys(AXES, 0.0)
    for item in found.items:
        if isinstance(item, Zero):
            widest[item.axis] = max(widest[item.axis], item.uncertainty)
    return Doubt(
        setting=(repeatability, repeatability, repeatability),
        zero=(widest["x"], widest["y"], widest["z"]),
    )
