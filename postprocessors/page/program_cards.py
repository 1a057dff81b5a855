"""What a person does where a program runs: the cards of its page, from the program as read back."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from pathgen.input.units import Units
from pathgen.moves.actions import (
    Action,
    Coolant,
    Dwell,
    FitCutter,
    Lock,
    Spindle,
    Unlock,
)
from pathgen.moves.moves import Arc, Drill, Feed
from pathgen.moves.plan import Heading, Item, Run
from pathgen.moves.timing import Pace, minutes
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import Card
from postprocessors.page.person_cards import person_card

STOP = re.compile(r"(?:N\d+ *)?M0+ *\(MSG, *(?P<said>.*)\)\s*", re.IGNORECASE)
REMARK = re.compile(r"\(-- (?P<purpose>[a-z -]+), (?P<feature>[^:]+): (?P<why>.*)\)\s*")
CARRIED_ON = re.compile(r"\(\+{1,2}(?P<rest>.*)\)\s*")
# Every other action is for a person: one that is not known here tells what the control shows.
BY_THE_PROGRAM = (Coolant, Dwell, Lock, Spindle, Unlock)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A pass as the comments of a program announce it: where it begins, what it is for."""

    line: int
    purpose: str
    feature: str
    why: str

    @property
    def title(self) -> str:
        """Return what it is called."""
        return f"{self.purpose}: {self.feature}"


@dataclass(slots=True)
class ProgramCards:
    """Makes the cards of a program: each thing a person does, and each stretch that runs between.

    ``ends`` holds the last line of each card, so that what a line cuts is known to belong to one.
    """

    run: Run
    units: Units
    pace: Pace  # of the machine
    messages: tuple[tuple[int, str], ...]  # what the stops show, by line
    sections: tuple[Section, ...]
    cards: list[Card] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    starts: dict[int, Section] = field(default_factory=dict)  # by number of the card under it
    _running: list[Item] = field(default_factory=list)
    _lines: list[int] = field(default_factory=list)
    _opened: int = 0  # sections that have begun
    _heard: int = 0  # messages that were told

    def make(self) -> None:
        """Make all the cards."""
        for number, item in zip(self.run.numbers, self.run.items, strict=True):
            if self._opened < len(self.sections) and number > self.sections[self._opened].line:
                self._close()
                self._open(number)
            said = self._said_until(number)
            if said or (isinstance(item, Action) and not isinstance(item, BY_THE_PROGRAM)):
                self._close()
                shown = said or self._called_for(item, number)
                self._add(person_card(item, self.units, shown), number)
            elif not isinstance(item, BY_THE_PROGRAM):
                self._running.append(item)
                self._lines.append(number)
        self._close()

    def _open(self, number: int) -> None:
        """Begin the sections whose comment was passed; of several the last has something in it."""
        while self._opened < len(self.sections) and number > self.sections[self._opened].line:
            self.starts[len(self.cards) + 1] = self.sections[self._opened]
            self._opened += 1

    def _said_until(self, number: int) -> tuple[str, ...]:
        """Return what the stops up to a line show and was not told yet."""
        first = self._heard
        while self._heard < len(self.messages) and self.messages[self._heard][0] <= number:
            self._heard += 1
        shown = self.messages[first : self._heard]
        return tuple(f"the control shows: {said}" for _, said in shown)

    @staticmethod
    def _called_for(item: Item, number: int) -> tuple[str, ...]:
        """Return how the control asks for a cutter that it does not stop for."""
        return (
            (f"the program calls for it in line {number}",) if isinstance(item, FitCutter) else ()
        )

    def _close(self) -> None:
        """Make a card of what has run since the last one, if it cut anything."""
        if any(isinstance(item, Feed | Arc | Drill) for item in self._running):
            self._add(self._run_card(), self._lines[-1])
        self._running, self._lines = [], []

    def _run_card(self) -> Card:
        """Return the card of a stretch that runs by itself."""
        cuts = [item for item in self._running if isinstance(item, Feed | Arc | Drill)]
        low = min(item.bottom if isinstance(item, Drill) else item.z for item in cuts)
        about = max(1, round(minutes(self._running, self.pace)))
        depth = f"down to z {figures.size(low, self.units)}" if math.isfinite(low) else ""
        lines = (f"lines {self._lines[0]} to {self._lines[-1]}", depth, f"about {about} min")
        first = not any(card.kind == "run" for card in self.cards)
        title = "the program begins to cut here" if first else "the program goes on"
        return Card(
            number=0,
            kind="run",
            loud="RUN",
            title=f"{title}; a hand on the stop",
            lines=("; ".join(each for each in lines if each),),
            cut=True,
        )

    def _add(self, card: Card, line: int) -> None:
        """Add a card, numbered."""
        self.cards.append(replace(card, number=len(self.cards) + 1))
        self.ends.append(line)

    def number_of(self, section: Section) -> int:
        """Return the number of a pass among those of the setup."""
        return self.run.head.passes_before + self.sections.index(section) + 1


def program_cards(run: Run, text: str, units: Units, pace: Pace) -> ProgramCards:
    """Return the cards of a program.

    Args:
        run: the program as read back.
        text: the program, for what its stops show and how its comments name the passes.
        units: those that the machine speaks.
        pace: how fast the machine goes.
    """
    made = ProgramCards(
        run=run,
        units=units,
        pace=pace,
        messages=tuple(_messages(text)),
        sections=tuple(sections_in(text)),
    )
    made.make()
    return made


def _messages(text: str) -> Iterator[tuple[int, str]]:
    """Yield what the stops of a program show, by line; a message carried on is made whole."""
    begun = ""
    for number, line in enumerate(text.splitlines(), start=1):
        found = STOP.fullmatch(line.strip())
        if found:
            said = found["said"].removeprefix("...").strip() if begun else found["said"]
            begun = f"{begun} {said}".strip()
            if said.endswith("..."):
                begun = begun.removesuffix("...").strip()
                continue
            yield number, begun
            begun = ""


def sections_in(text: str) -> Iterator[Section]:
    """Yield the passes that the comments of a program announce, in order."""
    lines = text.splitlines()
    for number, line in enumerate(lines, start=1):
        if line.startswith("(-- "):
            found = REMARK.fullmatch(_whole(lines, number - 1))
            if found:
                yield Section(line=number, **found.groupdict())


def headings_in(text: str) -> tuple[Heading, ...]:
    """Return the passes that the comments of a program announce, as the headings of a run."""
    return tuple(
        Heading(number=each.line, purpose=each.purpose, feature=each.feature, cutter=0)
        for each in sections_in(text)
    )


def _whole(lines: Sequence[str], index: int) -> str:
    """Return a comment with what carries it on."""
    whole = lines[index].strip()
    for line in lines[index + 1 :]:
        more = CARRIED_ON.fullmatch(line.strip())
        if not more:
            break
        whole = f"{whole.removesuffix(')')}{more['rest']})"
    return whole
