"""Records of form 1: comments that stand for what a person does, each made into its action."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TypeAlias, cast

from pathgen import INCH
from pathgen.moves.actions import (
    Clamp,
    Coolant,
    CoolantKind,
    FitCutter,
    FitTouching,
    FoundBy,
    Measure,
    Note,
    Pause,
    SetDiameter,
    Spindle,
    Touch,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import Axis, Term
from pathgen.moves.plan import Item
from postprocessors.gcode.reader_tilting import PATTERNS, tilting_of

Cutter: TypeAlias = Callable[[int, int], FitCutter]  # of a number, stated in a line

UNIT = {"mm": 1.0, "in": INCH}
LENGTH = r"(-?[0-9]+\.[0-9]+ (?:mm|in))"
NOTE = re.compile(r"(note|caution):(.*)")
DETAIL = re.compile(r"(line|why|what|advice|reason|dial|follows):(.*)")
ZERO = re.compile(rf"zero ([xyz]): within {LENGTH}")
MEASURE = re.compile(
    rf"measure ([^:]+): {LENGTH}, from {LENGTH} to {LENGTH}, "
    r"by (cutter|setting|touch|spring|nothing)"
)
FACE = r"outside|bore|right end|left|right|front|back|bottom|top|centre|axis"
TOUCH = re.compile(
    rf"touch (?P<face>{FACE})(?: of (?P<of>.+?))?:"
    r" going (?P<way>plus|minus),"
    rf" radius (?P<radius>{LENGTH}), paper (?P<paper>{LENGTH}), at (?P<at>{LENGTH}),"
    rf"(?P<over> over x (?P<x>{LENGTH}) y (?P<y>{LENGTH}),)?"
    r" spindle (?:still|at (?P<rpm>[0-9]+)), with ?(?P<tool>.*)"
)
TO_TOUCH = re.compile(rf"fit to touch: {LENGTH}, ?(.*)")
TERM = re.compile(rf"term: {LENGTH}, ?(.*)")
SET = re.compile(rf"set {LENGTH} within {LENGTH}, out ([0-9.]+): ?(.*)")
TOUCH_WITH = re.compile(rf"touch with {LENGTH} within {LENGTH}: ?(.*)")
DIAL = re.compile(rf"{LENGTH} a division, ([0-9.]+) judged")
FOLLOWS = re.compile(rf"(.+) from {LENGTH}")
ZERO_BY = re.compile(rf"zero x by (.+): within {LENGTH}")
ZERO_BY_LENGTH = re.compile(rf"zero z by (.+) less {LENGTH}: within {LENGTH}")
FIT = re.compile(r"fit cutter ([0-9]+)")
SPEED = re.compile(r"speed ([0-9]+)")
COOLANT = re.compile(r"coolant (off|mist|flood)")
AT_STOPS = (ZERO, ZERO_BY, ZERO_BY_LENGTH, MEASURE, FIT, SPEED, COOLANT)
STOP = "stop, "


def length(text: str) -> float:
    """Return a length with its unit in mm.

    >>> length("-0.5 in")
    -12.7
    """
    number, unit = text.split()
    return float(number) * UNIT[unit]


@dataclass(slots=True)
class Record:
    """A record being read: its first comment, and details as they come."""

    number: int
    text: str
    stop: bool
    details: dict[str, str] = field(default_factory=dict)
    lines: list[str] = field(default_factory=list)
    touches: list[Touch] = field(default_factory=list)
    places: list[str] = field(default_factory=list)  # the comments of the touches

    def take(self, text: str) -> bool:
        """Take a comment, if it is a detail of this record; tell whether it was."""
        if said := DETAIL.fullmatch(text):
            if said.group(1) == "line":
                self.lines.append(said.group(2).strip())
            else:
                self.details[said.group(1)] = said.group(2).strip()
        elif said := TOUCH.fullmatch(text):
            self.touches.append(_touch(said))
            self.places.append(text)
        elif self.touches and (said := TERM.fullmatch(text)):
            touch = self.touches[-1]
            term = Term(label=said.group(2), value=length(said.group(1)))
            self.touches[-1] = replace(touch, terms=(*touch.terms, term))
        else:
            return False
        return True


def begun(number: int, text: str) -> Record | None:
    """Return the record that a comment begins; None if it is not the first of one."""
    stop = text.startswith(STOP)
    rest = text.removeprefix(STOP)
    at_stops = (*AT_STOPS, SET, TOUCH_WITH, *PATTERNS)
    patterns = at_stops if stop else (TO_TOUCH, ZERO, MEASURE, NOTE)
    words = ("hold", "pause") if stop else ("hold",)
    if rest not in words and not any(pattern.fullmatch(rest) for pattern in patterns):
        return None
    return Record(number=number, text=rest, stop=stop)


def action_of(record: Record, cutter: Cutter) -> Item | None:
    """Return the action that a record stands for; None where it lacks a detail that it needs."""
    text, details = record.text, record.details
    if said := SET.fullmatch(text) or TOUCH_WITH.fullmatch(text):
        return _setting(said, details)
    if said := ZERO.fullmatch(text):
        return _zero(said, record)
    if said := MEASURE.fullmatch(text):
        return _measure(said, details)
    if said := FIT.fullmatch(text):
        return cutter(int(said.group(1)), record.number)
    if text == "hold":
        return Clamp(lines=tuple(record.lines))
    return _short(text) or tilting_of(text) or Pause(reason=details.get("reason", ""))


def _zero_by(text: str) -> ZeroByMeasure | None:
    """Return the zero that is set by a measured diameter, or by a measured length."""
    if said := ZERO_BY.fullmatch(text):
        measure, within = said.groups()
        return ZeroByMeasure(axis="x", measure=measure, uncertainty=length(within))
    if said := ZERO_BY_LENGTH.fullmatch(text):
        measure, less, within = said.groups()
        away = length(less)
        return ZeroByMeasure(axis="z", measure=measure, less=away, uncertainty=length(within))
    return None


def _short(text: str) -> Item | None:
    """Return the action of a record that needs no details."""
    if by_measure := _zero_by(text):
        return by_measure
    if said := NOTE.fullmatch(text):
        return Note(text=said.group(2).strip(), caution=said.group(1) == "caution")
    if said := TO_TOUCH.fullmatch(text):
        return FitTouching(name=said.group(2).strip(), diameter=length(said.group(1)))
    if said := SPEED.fullmatch(text):
        return Spindle(rpm=float(said.group(1)))
    if said := COOLANT.fullmatch(text):
        return Coolant(kind=cast(CoolantKind, said.group(1)), by_hand=True)
    return None


def _zero(said: re.Match[str], record: Record) -> Zero | None:
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
        found_by=cast(FoundBy, found_by),
        advice=details.get("advice", ""),
    )


def _setting(said: re.Match[str], details: dict[str, str]) -> SetDiameter | None:
    """Return the setting of a boring head; None where its dial is not told."""
    touched = said.re is TOUCH_WITH
    diameter, within, *turned, head = said.groups()
    dial = DIAL.fullmatch(details.get("dial", ""))
    follows = FOLLOWS.fullmatch(details["follows"]) if "follows" in details else None
    if dial is None or ("follows" in details and follows is None):
        return None
    return SetDiameter(
        head=head,
        diameter=length(diameter),
        per_division=length(dial.group(1)),
        judged=float(dial.group(2)),
        uncertainty=length(within),
        turned=0.0 if touched else float(turned[0]),
        touched=touched,
        follows="" if follows is None else follows.group(1),
        expected=0.0 if follows is None else length(follows.group(2)),
    )


def _touch(said: re.Match[str]) -> Touch:
    x, y = said["x"], said["y"]
    return Touch(
        face=said["face"],
        towards=1 if said["way"] == "plus" else -1,
        tool=said["tool"],
        radius=length(said["radius"]),
        paper=length(said["paper"]),
        at=length(said["at"]),
        over=None if x is None else (length(x), length(y)),
        rpm=float(said["rpm"] or 0.0),
        of=said["of"] or "",
    )
