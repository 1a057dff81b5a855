"""What a program shows at its stops, held against the records that announce them.

The record is what is read and checked; the message is all that a person at the control sees. What
it should say is put together here from the figures of the record, as they are written there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from pathgen.moves.actions import (
    Clamp,
    Coolant,
    FitCutter,
    Measure,
    Pause,
    SetAngle,
    SetDiameter,
    SetSweep,
    Spindle,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import TurnWork
from pathgen.moves.plan import Item
from postprocessors.gcode.reader_records import (
    DIAL,
    FOLLOWS,
    MEASURE,
    SET,
    TOUCH,
    TOUCH_WITH,
    ZERO_BY_LENGTH,
    Record,
    length,
)
from postprocessors.gcode.reader_tilting import due_at

MORE = "..."
# A message that no record announces may be a reminder, but must not tell of work that is proved.
OF_WORK = re.compile(r"[0-9]|\b(fit|change|cutter|measure|set|zero|touch|clamp|speed)\b", re.I)


@dataclass(slots=True)
class Announced:
    """What the next stops stand for, and what they are to show; one message a stop, or more."""

    action: Item
    number: int  # the line of the record
    due: tuple[str, ...]
    heard: str = ""  # of a message that is carried on
    count: int = 0  # of the messages that were shown wholly

    def hear(self, message: str) -> str:
        """Take what a stop shows; return what is wrong with it, empty for nothing."""
        text = message
        if self.heard and message.startswith(MORE):
            text = f"{self.heard} {message.removeprefix(MORE).strip()}"
        due = self.due[self.count]
        begun = text.removesuffix(MORE).strip() if text.endswith(MORE) else ""
        if _plain(text) == _plain(due):
            self.heard, self.count = "", self.count + 1
        elif begun and _plain(due).startswith(_plain(begun)):
            self.heard = begun
        else:
            self.heard, self.count = "", self.count + 1
            return f"the message says {text!r}, its record says {due!r}"
        return ""

    @property
    def done(self) -> bool:
        """Return whether all of it was shown."""
        return self.count >= len(self.due)


def announced(record: Record, action: Item, x_words: str = "") -> Announced:
    """Return what the stops that a record announces are to show.

    Args:
        record: the record.
        action: what it stands for.
        x_words: of a lathe: "radius" or "diameter", as the head says.
    """
    due = _due_of_lathe(record, action, x_words) if x_words else None
    return Announced(action=action, number=record.number, due=due or _due(record, action))


def _due_of_lathe(record: Record, action: Item, x_words: str) -> tuple[str, ...] | None:
    """Return the messages for a record that a lathe has its own for; None for others."""
    diameter = x_words == "diameter"
    if said := ZERO_BY_LENGTH.fullmatch(record.text):
        name, less, _ = said.groups()
        return (f"Set z of G54, and z only, to read {name} found less {less}",)
    if isinstance(action, ZeroByMeasure):
        share = "" if diameter else "half of "
        axis, name = action.axis, action.measure
        return (f"Set {axis} of G54, and {axis} only, to read {share}{name} found",)
    if not isinstance(action, Zero):
        return None
    said = TOUCH.fullmatch(record.places[0])
    assert said is not None
    axis, at = action.axis, said["at"]
    place = _doubled(at) if diameter and axis == "x" else at
    if said["face"] == "centre":
        return (
            f"Jog {axis} until an indicator in the chuck reads alike round the {said['tool']}",
            f"Set {axis} of G54, and {axis} only, to read {at} there",
        )
    face, paper = record.touches[0].called, said["paper"]
    jog = f"Jog the {said['tool']} until it just marks the {face}"
    if length(paper):
        by_hand = f"Turn the work by hand: jog the {said['tool']}"
        jog = f"{by_hand} until it nips the {paper} paper on the {face}"
    return (
        jog,
        f"Set {axis} of G54, and {axis} only, to read {place} there",
    )


def _doubled(text: str) -> str:
    """Return twice a length, as it is written.

    >>> _doubled("17.25 mm"), _doubled("-0.4 in")
    ('34.5 mm', '-0.8 in')
    """
    number, unit = text.split()
    whole, _, part = f"{2 * Decimal(number):f}".partition(".")
    return f"{whole}.{part.rstrip('0') or '0'} {unit}"


def tells_of_work(message: str) -> bool:
    """Return whether a message says more than a reminder does."""
    return OF_WORK.search(message) is not None


def _plain(text: str) -> str:
    """Return a text without regard to blanks and capitals."""
    return " ".join(text.split()).lower()


def _due(record: Record, action: Item) -> tuple[str, ...]:
    """Return the messages for a record."""
    match action:
        case Measure():
            due = _of_measure(record)
        case SetDiameter():
            due = _of_setting(record, action)
        case Zero():
            due = _of_zero(record)
        case FitCutter():
            due = (f"Fit cutter {action.number}: {action.name}",)
        case _:
            due = (_in_short(record, action),)
    return due


def _in_short(record: Record, action: Item) -> str:
    """Return the one message for a record that needs no figures of its details."""
    match action:
        case Spindle():
            return f"Set {record.text.removeprefix('speed ')} rev/min"
        case Coolant():
            return f"Turn coolant to {action.kind}"
        case Clamp():
            return "Clamp as listed"
        case Pause():
            return action.reason
        case SetAngle() | SetSweep() | TurnWork():
            return due_at(record.text)
        case _:
            raise TypeError(f"{type(action).__name__} is not announced")


def _of_measure(record: Record) -> tuple[str, ...]:
    said = MEASURE.fullmatch(record.text)
    assert said is not None
    name, expected, low, high, _ = said.groups()
    return (
        f"Measure {name}: {record.details.get('what', '')}",
        f"{name} should be {expected}, go on only from {low} to {high}",
    )


def _of_setting(record: Record, action: SetDiameter) -> tuple[str, ...]:
    """Return the messages for a boring head that is set, or that touches."""
    said = SET.fullmatch(record.text) or TOUCH_WITH.fullmatch(record.text)
    dial = DIAL.fullmatch(record.details["dial"])
    assert said is not None
    assert dial is not None
    size, name = said.group(1), action.head
    if action.touched:
        return (
            f"{name}: spindle off and turned by hand, dial out until the tool touches the wall",
            f"{name}: note what its dial shows, there it is set to {size}, as wide as the hole",
        )
    out = f"dial out {said.group(3)} divisions, it then cuts {size}"
    follows = FOLLOWS.fullmatch(record.details.get("follows", ""))
    if follows is None:
        return (f"{name}: {out}",)
    measure, expected = follows.groups()
    return (
        f"{name}: if {measure} is {expected}, {out}",
        f"For each {dial.group(1)} that {measure} is larger 1 division less, smaller 1 more",
    )


def _of_zero(record: Record) -> tuple[str, ...]:
    """Return the messages for a depth zero; nothing for one that no program stops for."""
    said = TOUCH.fullmatch(record.places[0])
    assert said is not None
    paper, at, over, tool = said.group("paper", "at", "over", "tool")
    if said["face"] == "axis":
        axis = record.text.removeprefix("zero ")[0]
        return (
            "Spindle off, face blued: the point at its foot marks a dot and no ring",
            f"Set {axis} of G54, and {axis} only, to read {at} there",
        )
    if not record.text.startswith("zero z") or len(record.places) > 1:
        return ("a zero that is set before the program begins",)
    near = f", {over.removeprefix(' over ').removesuffix(',')}" if over else ""
    face = record.touches[0].called
    nips = f"down on the {face} until it nips the {paper} paper"
    until = nips if length(paper) else f"down until it just touches the {face}"
    return (
        f"Bring the {tool} over whole metal{near}",
        f"Spindle off, {until}",
        f"Set z of G54, and z only, to read {at} there",
    )
