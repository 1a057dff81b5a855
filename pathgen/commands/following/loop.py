"""The loop of a sheet that is followed: a key, what it does, the log, the screen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

from pathgen.commands.following.log import Entry, Log
from pathgen.commands.following.screen import screen
from pathgen.commands.following.work import Work
from postprocessors.dials.faces.cards import Asked
from postprocessors.dials.faces.finding_sizes import shown, total

DONE = ("\r", "\n", " ")
UP, DOWN = ("\x1b[A", "\x1b[D", "\x1bOA"), ("\x1b[B", "\x1b[C", "\x1bOB")


class Terminal(Protocol):
    """What the loop needs of a terminal."""

    def key(self) -> str:
        """Return the next key."""

    def line(self, prompt: str) -> str:
        """Return a line that is typed after a prompt."""

    def show(self, lines: list[str]) -> None:
        """Show lines in place of what was shown."""


@dataclass(slots=True)
class Following:
    """Follows a sheet until it is finished or the person stops."""

    work: Work
    log: Log
    terminal: Terminal
    clock: Callable[[], dt.datetime]
    now: int = field(init=False)
    said: str = ""

    def __post_init__(self) -> None:
        """Begin where the work stands."""
        self.now = min(self.work.due, len(self.work.cards))

    def run(self) -> None:
        """Follow the sheet."""
        while True:
            self.terminal.show(screen(self.work, self.now, self.said))
            self.said = ""
            key = self.terminal.key()
            if key in ("q", "Q"):
                return
            self._act(key)

    def _act(self, key: str) -> None:
        """Do what a key asks for."""
        last = len(self.work.cards)
        if key in DONE:
            self._done()
        elif key in UP + DOWN:
            self.now = min(max(self.now + (1 if key in DOWN else -1), 1), last)
        else:
            doing = {"u": self._undo, "j": self._jump, "n": self._note}.get(key.lower())
            if doing is None:
                self.said = "that key does nothing here"
            else:
                doing()

    def _put(self, **entry: object) -> None:
        """Add an entry to the log, with the time."""
        stamped: Entry = {"at": self.clock().isoformat(timespec="seconds"), **entry}
        self.log.put(stamped)

    def _done(self) -> None:
        """Mark the step that is due; whoever looks about goes back to it first."""
        work = self.work
        if work.finished:
            self.said = "all steps are done; q stops"
            return
        if self.now != work.due:
            self.now = work.due
            return
        asked = work.card(self.now).asked
        if asked is not None and asked.name not in work.found and not self._find(asked):
            return
        why = work.hindrance(self.now)
        if why:
            self.said = f"step {self.now} is not done: {why}"
            return
        self._put(done=self.now)
        work.done.append(self.now)
        self.now = min(work.due, len(work.cards))
        if work.finished:
            self.said = "all steps are done; q stops"

    def _find(self, asked: Asked) -> bool:
        """Ask for what is found; return whether it was taken."""
        like = f"{asked.units}, or with its unit: 3/8 in"
        if asked.dial is not None:
            what = "what it shows" if asked.dial.readout else "turns and figure"
            like = f"{what}, as {total(asked.expected, asked.dial)}"
        text = self.terminal.line(f"{asked.name} found ({like}): ")
        judged = self.work.take(asked.name, text)
        if judged.found is None:
            self._put(refused=asked.name, typed=text, why=judged.reason)
            self.said = judged.reason
            return False
        self._put(
            found=asked.name,
            typed=text,
            what=asked.what,
            mm=judged.found,
            expected=asked.expected,
            low=asked.low,
            high=asked.high,
            units=asked.units,
            of_a_dial=asked.dial is not None,
        )
        self.said = f"{asked.name} found: {shown(judged.found, asked)}"
        return True

    def _undo(self) -> None:
        """Take back the mark that was made last; what was found there is asked for anew."""
        if not self.work.done:
            self.said = "nothing is marked"
            return
        self.now = self.work.done.pop()
        asked = self.work.card(self.now).asked
        if asked is not None:
            self.work.found.pop(asked.name, None)
        self._put(undone=self.now)

    def _jump(self) -> None:
        """Look at the first step of a pass; nothing is marked by it."""
        headings = self.work.sheet.operations
        listed = [f"{n:>3}  {each.title}" for n, each in enumerate(headings, start=1)]
        self.terminal.show(["Jump to which pass?", "", *listed, ""])
        text = self.terminal.line("number: ").strip()
        if text.isdecimal() and 1 <= int(text) <= len(headings):
            self.now = headings[int(text) - 1].first
        else:
            self.said = f"{text or 'nothing'} is no pass; 1 to {len(headings)}"

    def _note(self) -> None:
        """Put a note of the person's own into the log."""
        text = self.terminal.line("note: ").strip()
        if text:
            self._put(note=text, step=self.now)
            self.said = "noted"
