"""The comments of a program that are read: its head, and the records of what a person does.

Form 1. Records are only looked for after the comment ``(pathgen program, form 1)``. A comment that
begins with ``+`` carries the one before it on after a blank, ``++`` in the middle of a word;
comments that begin with ``--`` are passed over.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import cast

from pathgen import INCH
from pathgen.moves.actions import (
    Clamp,
    Coolant,
    CoolantKind,
    FitCutter,
    Measure,
    Note,
    Pause,
    Spindle,
    Touch,
    Zero,
)
from pathgen.moves.moves import Axis, Term
from pathgen.moves.plan import Head, HeadCutter, Item
from postprocessors.gcode.reader_state import NAN, Found

FORM = re.compile(r"pathgen program, form ([0-9]+)")
KNOWN_FORM = 1
UNIT = {"mm": 1.0, "in": INCH}
_LENGTH = r"(-?[0-9]+\.[0-9]+ (?:mm|in))"
HEAD_LINE = re.compile(r"(title|digest|setup|machine|crib):(.*)")
CUTTER = re.compile(rf"cutter ([0-9]+): {_LENGTH}, ?(.*)")
NOTE = re.compile(r"(note|caution):(.*)")
DETAIL = re.compile(r"(line|why|what|advice|reason):(.*)")
ZERO = re.compile(rf"zero ([xyz]): within {_LENGTH}")
MEASURE = re.compile(
    rf"measure ([^:]+): {_LENGTH}, from {_LENGTH} to {_LENGTH}, by (cutter|nothing)"
)
TOUCH = re.compile(
    rf"touch (left|right|front|back|top): going (plus|minus), radius {_LENGTH}, paper {_LENGTH},"
    rf" at {_LENGTH}, with ?(.*)"
)
TERM = re.compile(rf"term: {_LENGTH}, ?(.*)")
FIT = re.compile(r"fit cutter ([0-9]+)")
SPEED = re.compile(r"speed ([0-9]+)")
COOLANT = re.compile(r"coolant (off|mist|flood)")
STOP = "stop, "
# What begins like this is meant for the reader, and a trouble if it cannot be read.
MEANT = re.compile(
    r"(title|digest|setup|machine|crib|cutter|note|caution|line|why|what|advice|reason|zero|measure"
    r"|touch|term|hold|stop)\b[ :,]?"
)


def length(text: str) -> float:
    """Return a length with its unit in mm.

    >>> length("-0.5 in")
    -12.7
    """
    number, unit = text.split()
    return float(number) * UNIT[unit]


@dataclass(slots=True)
class _Record:
    """A record being read: its first comment, and details as they come."""

    number: int
    text: str
    stop: bool
    details: dict[str, str] = field(default_factory=dict)
    lines: list[str] = field(default_factory=list)
    touches: list[Touch] = field(default_factory=list)


class Comments:
    """The comments met so far, and what they said."""

    def __init__(self, found: Found) -> None:
        self._found = found
        self._waiting: list[tuple[int, str]] = []
        self._record: _Record | None = None
        self._lines: dict[str, str] = {}
        self._cutters: dict[int, HeadCutter] = {}
        self.ours = False
        self.stop: Item | None = None  # what the next programmed stop stands for
        self._stop_from = 0

    @property
    def waiting(self) -> bool:
        """Return whether something is to be settled before the next move."""
        return bool(self._waiting) or self.stop is not None

    @property
    def head(self) -> Head:
        """Return the head; empty texts where nothing was said."""
        get = self._lines.get
        return Head(
            title=get("title", ""),
            digest=get("digest", ""),
            setup=get("setup", ""),
            machine=get("machine", ""),
            cutters=tuple(self._cutters.values()),
            crib=get("crib", ""),
        )

    def cutter(self, number: int, line: int) -> FitCutter:
        """Return the fitting of a cutter, with what the head says of it."""
        stated = self._cutters.get(number)
        if stated is None:
            if self.ours:
                self._trouble(line, f"cutter {number} is not in the head", "state it there")
            return FitCutter(number=number, name="", diameter=NAN)
        return FitCutter(number=number, name=stated.name, diameter=stated.diameter)

    def take(self, number: int, comment: str) -> None:
        """Take a comment that stands in a line of its own."""
        text = comment.strip()
        form = FORM.fullmatch(text)
        if form:
            self.ours = int(form.group(1)) == KNOWN_FORM
            if not self.ours:
                self._trouble(number, f"form {form.group(1)} is not known", "form 1 is read here")
        elif self.ours and text.startswith("+") and self._waiting:
            line, before = self._waiting[-1]
            joined = (
                before + text[2:].strip()
                if text.startswith("++")
                else f"{before} {text[1:].strip()}"
            )
            self._waiting[-1] = line, joined
        elif self.ours:
            self._waiting.append((number, text))

    def settle(self, number: int, *, stops: bool) -> None:
        """Read what waits, before a line of words; ``stops`` when that is a programmed stop."""
        for line, text in self._waiting:
            if not text.startswith("--"):
                self._read(line, text)
        self._waiting.clear()
        self._close()
        if self.stop is not None and not stops:
            self._trouble(
                self._stop_from,
                "the stop that this announces does not follow",
                f"M0 in line {number}",
            )
            self.stop = None

    def missing(self) -> list[str]:
        """Return what the head should say and does not."""
        return [key for key in ("title", "digest", "setup", "machine") if key not in self._lines]

    # ------------------------------------------------------------------ within

    def _trouble(self, number: int, what: str, remedy: str) -> None:
        self._found.trouble(number, what, remedy, code="comments")

    def _read(self, number: int, text: str) -> None:
        """Read one comment, carried on to its end."""
        read = self._head(number, text) or self._detail(text) or self._open(number, text)
        if not read and MEANT.match(text):
            self._trouble(number, f"({text}) cannot be read", "write it as form 1 has it")

    def _head(self, number: int, text: str) -> bool:
        """Read a line of the head."""
        if said := HEAD_LINE.fullmatch(text):
            if said.group(1) in self._lines:
                self._trouble(number, f"a second {said.group(1)}", "keep one of them")
            self._lines[said.group(1)] = said.group(2).strip()
            return True
        if said := CUTTER.fullmatch(text):
            cutter = int(said.group(1))
            if cutter in self._cutters:
                self._trouble(number, f"cutter {cutter} is stated twice", "keep one of them")
            self._cutters[cutter] = HeadCutter(
                number=cutter, name=said.group(3), diameter=length(said.group(2))
            )
            return True
        return False

    def _detail(self, text: str) -> bool:
        """Read a detail of the record that is open."""
        record = self._record
        if record is None:
            return False
        if said := DETAIL.fullmatch(text):
            if said.group(1) == "line":
                record.lines.append(said.group(2).strip())
            else:
                record.details[said.group(1)] = said.group(2).strip()
            return True
        if said := TOUCH.fullmatch(text):
            record.touches.append(_touch(said))
            return True
        if record.touches and (said := TERM.fullmatch(text)):
            touch = record.touches[-1]
            term = Term(label=said.group(2), value=length(said.group(1)))
            record.touches[-1] = _with_term(touch, term)
            return True
        return False

    def _open(self, number: int, text: str) -> bool:
        """Close the record that is open and begin another, if the comment is the first of one."""
        stop = text.startswith(STOP)
        rest = text.removeprefix(STOP)
        patterns = (ZERO, MEASURE, FIT, SPEED, COOLANT) if stop else (ZERO, MEASURE, NOTE)
        words = ("hold", "pause") if stop else ("hold",)
        if rest not in words and not any(pattern.fullmatch(rest) for pattern in patterns):
            return False
        self._close()
        self._record = _Record(number=number, text=rest, stop=stop)
        return True

    def _close(self) -> None:
        """Turn the record that is open into an action: for now, or for the next stop."""
        record, self._record = self._record, None
        if record is None:
            return
        action = _action(record, self)
        if action is None:
            self._trouble(record.number, f"({record.text}) lacks its touches", "one touch, or two")
        elif not record.stop:
            self._found.add(record.number, action)
        else:
            if self.stop is not None:
                self._trouble(record.number, "two announcements of one stop", "an M0 for each")
            self.stop, self._stop_from = action, record.number


def _touch(said: re.Match[str]) -> Touch:
    face, way, radius, paper, at, tool = said.groups()
    return Touch(
        face=face,
        towards=1 if way == "plus" else -1,
        tool=tool,
        radius=length(radius),
        paper=length(paper),
        at=length(at),
    )


def _with_term(touch: Touch, term: Term) -> Touch:
    return Touch(
        face=touch.face,
        towards=touch.towards,
        tool=touch.tool,
        radius=touch.radius,
        paper=touch.paper,
        at=touch.at,
        terms=(*touch.terms, term),
    )


def _action(record: _Record, comments: Comments) -> Item | None:
    """Return the action that a record stands for; None for a zero without its touches."""
    text, details = record.text, record.details
    if said := ZERO.fullmatch(text):
        return _zero(said, record)
    if said := MEASURE.fullmatch(text):
        return _measure(said, details)
    if said := FIT.fullmatch(text):
        return comments.cutter(int(said.group(1)), record.number)
    if text == "hold":
        return Clamp(lines=tuple(record.lines))
    return _short(text) or Pause(reason=details.get("reason", ""))


def _short(text: str) -> Item | None:
    """Return the action of a record that needs no details."""
    if said := NOTE.fullmatch(text):
        return Note(text=said.group(2).strip(), caution=said.group(1) == "caution")
    if said := SPEED.fullmatch(text):
        return Spindle(rpm=float(said.group(1)))
    if said := COOLANT.fullmatch(text):
        return Coolant(kind=cast(CoolantKind, said.group(1)))
    return None


def _zero(said: re.Match[str], record: _Record) -> Zero | None:
    if len(record.touches) not in (1, 2):
        return None
    return Zero(
        axis=cast(Axis, said.group(1)),
        touches=tuple(record.touches),
        uncertainty=length(said.group(2)),
        why=record.details.get("why", ""),
    )


def _measure(said: re.Match[str], details: dict[str, str]) -> Measure:
    name, expected, low, high, found_by = said.groups()
    return Measure(
        name=name,
        what=details.get("what", ""),
        expected=length(expected),
        low=length(low),
        high=length(high),
        found_by="cutter" if found_by == "cutter" else "nothing",
        advice=details.get("advice", ""),
    )
