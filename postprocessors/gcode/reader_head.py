"""The comments of a program that are read: its head, and the records of what a person does.

Form 1. Records are only looked for after the comment ``(pathgen program, form 1)``. A comment that
begins with ``+`` carries the one before it on after a blank, ``++`` in the middle of a word;
comments that begin with ``--`` are passed over, but for those that head a pass:
``-- PURPOSE, FEATURE: WHY``.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from typing import get_args

from pathgen.moves.actions import FitCutter, FitTouching, Pause, Zero
from pathgen.moves.moves import Arc, Drill, Feed
from pathgen.moves.plan import Head, HeadCutter, HeadFound, Heading, Item, Purpose
from postprocessors.gcode.reader_messages import Announced, announced, tells_of_work
from postprocessors.gcode.reader_records import LENGTH, Record, action_of, begun, length
from postprocessors.gcode.reader_state import NAN, Found

FORM = re.compile(r"pathgen program, form ([0-9]+)")
KNOWN_FORM = 1
HEAD_LINE = re.compile(r"(title|digest|setup|machine|crib|x words|begins at pass):(.*)")
FOUND = re.compile(rf"found: {LENGTH}, ?(.*)")
CUTTER = re.compile(rf"cutter ([0-9]+): {LENGTH}, ?(.*)")
HEADING = re.compile(rf"-- ({'|'.join(get_args(Purpose))}), (.+?)(?:: .*)?")
# What begins like this is meant for the reader, and a trouble if it cannot be read.
MEANT = re.compile(
    r"(title|digest|setup|machine|crib|begins at pass|found|cutter|note|caution|line|why|what"
    r"|advice|reason|zero|measure|touch|term|hold|stop|fit to touch|set|dial|follows)\b[ :,]?"
)


def _lacking(record: Record) -> str:
    """Return what a record lacks to be an action."""
    if record.text.startswith("zero"):
        return "its touches, one or two"
    return "a line for its dial, or what it follows"


class Comments:
    """The comments met so far, and what they said."""

    def __init__(self, found: Found) -> None:
        self._found = found
        self._waiting: list[tuple[int, str]] = []
        self._record: Record | None = None
        self._lines: dict[str, str] = {}
        self._cutters: dict[int, HeadCutter] = {}
        self._headed: list[tuple[int, str, str]] = []
        self._measured: list[HeadFound] = []
        self.ours = False
        self.stop: Announced | None = None  # what the next programmed stop stands for

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
            begins_at=int(begins) if (begins := get("begins at pass", "")).isdecimal() else 0,
            found=tuple(self._measured),
        )

    def said(self, key: str) -> str:
        """Return what the head says under a key, empty for nothing."""
        return self._lines.get(key, "")

    def headings(self, items: Sequence[Item], numbers: Sequence[int]) -> tuple[Heading, ...]:
        """Return the headings, each with the cutter that is in the spindle for its first cut."""
        fits = [
            (line, item.number)
            for item, line in zip(items, numbers, strict=True)
            if isinstance(item, FitCutter)
        ]
        cuts = [
            line
            for item, line in zip(items, numbers, strict=True)
            if isinstance(item, Feed | Arc | Drill)
        ]
        found = []
        for line, purpose, feature in self._headed:
            row = bisect_left(cuts, line)
            first = cuts[row] if row < len(cuts) else line
            cutter = next((number for at, number in reversed(fits) if at <= first), 0)
            found.append(Heading(number=line, purpose=purpose, feature=feature, cutter=cutter))
        return tuple(found)

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
            if said := HEADING.fullmatch(text):
                self._headed.append((line, said.group(1), said.group(2)))
            elif not text.startswith("--"):
                self._read(line, text)
        self._waiting.clear()
        self._close()
        if self.stop is not None and not stops:
            self._trouble(
                self.stop.number,
                "the stop that this announces does not follow",
                f"M0 in line {number}",
            )
            self.stop = None

    def shown(self, number: int, message: str) -> Announced | None:
        """Take the message of a stop; return what is done at it, None while it is carried on.

        Without a record nothing is announced, and the message must not read as if it were.
        """
        stop = self.stop
        if stop is None:
            self.aside(number, message)
            return Announced(action=Pause(reason=message), number=number, due=())
        if wrong := stop.hear(message):
            self._trouble(number, wrong, "make the two say the same, or make this anew", "message")
        if not stop.done:
            return None
        self.stop = None
        return stop

    def aside(self, number: int, message: str) -> None:
        """Look at a message that no record announces."""
        if self.ours and tells_of_work(message):
            self._trouble(
                number,
                f"the message says {message!r}, and no record stands for it",
                "announce it by a record, or leave it out",
                "message",
            )

    def missing(self) -> list[str]:
        """Return what the head should say and does not."""
        return [key for key in ("title", "digest", "setup", "machine") if key not in self._lines]

    # ------------------------------------------------------------------ within

    def _trouble(self, number: int, what: str, remedy: str, code: str = "comments") -> None:
        self._found.trouble(number, what, remedy, code=code)

    def _under_way(self) -> bool:
        """Return whether a cutter is fitted already, so that hands need a stop."""
        return any(isinstance(item, FitCutter) for item in self._found.items)

    def _read(self, number: int, text: str) -> None:
        """Read one comment, carried on to its end."""
        if self._head(number, text) or (self._record is not None and self._record.take(text)):
            return
        record = begun(number, text)
        if record is not None:
            self._close()
            self._record = record
        elif MEANT.match(text):
            self._trouble(number, f"({text}) cannot be read", "write it as form 1 has it")

    def _head(self, number: int, text: str) -> bool:
        """Read a line of the head."""
        if said := HEAD_LINE.fullmatch(text):
            if said.group(1) in self._lines:
                self._trouble(number, f"a second {said.group(1)}", "keep one of them")
            self._lines[said.group(1)] = said.group(2).strip()
            return True
        if said := FOUND.fullmatch(text):
            self._measured.append(HeadFound(value=length(said.group(1)), quantity=said.group(2)))
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

    def _close(self) -> None:
        """Turn the record that is open into an action: for now, or for the next stop."""
        record, self._record = self._record, None
        if record is None:
            return
        action = action_of(record, self.cutter)
        if action is None:
            self._trouble(record.number, f"({record.text}) lacks {_lacking(record)}", "give it")
        elif not record.stop:
            self._found.add(record.number, action)
            if isinstance(action, Zero | FitTouching) and self._under_way():
                self._trouble(
                    record.number,
                    f"({record.text}) is told, and the program goes on without it",
                    "announce a stop for it: (stop, zero ...) and M0",
                )
        else:
            if self.stop is not None:
                self._trouble(record.number, "two announcements of one stop", "an M0 for each")
            self.stop = announced(record, action, self.said("x words"))
