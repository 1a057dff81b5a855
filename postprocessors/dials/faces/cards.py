"""What is shown of each step where a sheet is followed on a screen: page and terminal alike.

A card says the same words as the printed sheet, so a new kind of step needs nothing here. What is
shown large (a handle, a way, a figure) and what is asked for (a size that is found) stands apart.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from pathgen.input.units import Units
from pathgen.moves.moves import Axis
from pathgen.shop.slides import Way
from postprocessors.dials import steps
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.rows import Rows
from postprocessors.dials.faces.scales import Scale, scale_of
from postprocessors.dials.faces.sums import passes_lines, readout_lines, rule_lines
from postprocessors.dials.faces.words import label
from postprocessors.dials.readings import (
    Following,
    Stop,
    figure_follows,
    measure_of,
    stop_of,
)
from postprocessors.dials.steps import Dial, Sheet, Step, WindStep

BLANK = re.compile(r"(^\w+ found: |\s+Found: )_+.*$")  # to write on, which a screen has of its own
# The words about a figure; the page carries them as data, so that it says the same.
WORDS = {
    "on_zero": "stop the {ordinal} time 0 comes:",
    "none": "0 does not pass; stop at",
    "once": "0 passes once, then stop at",
    "more": "0 passes {times} times, then stop at",
    "open": "how often 0 passes follows {name}; stop at",
    "until": "wind until the readout shows",
    "stop": "wind up to the stop on the bed; there it shows",
    "set": "set it to",
    "out": "turn its dial out by",
}
LOUD = re.compile(r"([A-Z]{2,}(?: [A-Z]{2,})*)\b[,:]?\s*(.*)", re.DOTALL)  # "SET THE DIAL to 0.0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopping:
    """Where a wind stops, or what is set, as it is shown: as expected, or as it was found."""

    way_there: str  # what to do until the figure shows: "0 passes 3 times, then stop at"
    figure: str
    total: str  # with whole turns, empty for a readout
    place: str  # in the part, in the dial's own units; empty where a figure is set
    beside: str  # the same in the job's, empty where they are alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A size, or the total of a dial, that is found at a step and written down; lengths in mm."""

    name: str
    what: str
    expected: float
    low: float
    high: float
    units: Units
    advice: str
    dial: Dial | None = None  # whose total it is; None for a size that is measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One step as it is shown."""

    number: int
    kind: str  # the last word of the step's class, for the look: "wind", "touch", "note"
    loud: str  # what is to be done, in a word or two: "LOCK", "TOUCH", "CAUTION"; may be empty
    title: str
    lines: tuple[str, ...]
    by_hand: tuple[str, ...] = ()  # the sum for paper, which a screen works out instead
    handle: str = ""
    axis: Axis | None = None
    way: Way | None = None
    cut: bool = False
    caution: bool = False
    stopping: Stopping | None = None
    asked: Asked | None = None
    step: Step | None = None  # where it is one of a sheet
    scale: Scale | None = None  # what a figure that stands apart is read off
    moves_with_it: bool = False  # the place in the part moves with what is found

    @property
    def follows(self) -> str:
        """Return the quantity that the figure follows; empty where it follows none."""
        step = self.step
        return measure_of(step) if isinstance(step, Following) and figure_follows(step) else ""


def cards_of(sheet: Sheet) -> tuple[Card, ...]:
    """Return the cards of all steps, in order."""
    rows = Rows(sheet)
    return tuple(_card(step, sheet, rows) for step in sheet.steps)


class Words(NamedTuple):
    """What a step says: loud, as a title, below it, and what is worked out on paper alone."""

    loud: str
    title: str
    lines: tuple[str, ...]
    by_hand: tuple[str, ...]


def _card(step: Step, sheet: Sheet, rows: Rows) -> Card:
    """Return the card of one step."""
    columns = rows.columns(step)
    words = _words(step, sheet, rows.said(step), columns)
    dial = sheet.dial(getattr(step, "slide", "")) if columns else None
    figured = step if isinstance(step, Following) else None
    apart = figured if isinstance(step, WindStep) or _follows(figured) else None
    return Card(
        number=step.number,
        kind=type(step).__name__.removesuffix("Step").lower(),
        loud=words.loud,
        title=words.title,
        lines=words.lines,
        by_hand=words.by_hand,
        handle=label(dial) if dial else "",
        axis=dial.axis if dial else None,
        way=getattr(step, "way", None),
        cut=isinstance(step, WindStep) and step.cut,
        caution=isinstance(step, steps.NoteStep) and step.caution,
        stopping=shown_stop(apart, sheet) if apart else None,
        asked=_asked(step, sheet),
        step=step,
        scale=scale_of(figured, sheet) if figured else None,
        moves_with_it=isinstance(step, WindStep) and follows_a_size(step, sheet),
    )


def _follows(step: Following | None) -> bool:
    """Return whether the figure of a step follows a found value."""
    return step is not None and figure_follows(step)


def _words(step: Step, sheet: Sheet, said: list[str], columns: str) -> Words:
    """Return what a step says, from what its printed row does.

    Args:
        step: the step.
        sheet: its sheet.
        said: the texts of its row, the first with the columns of the handle before it.
        columns: those.
    """
    loud, title = _loud(said[0].removeprefix(columns))
    lines = [line for line in (BLANK.sub("", line) for line in said[1:]) if line]
    by_hand: tuple[str, ...] = ()
    match step:
        case WindStep():
            by_hand = (*rule_lines(step, sheet), *passes_lines(step, sheet))
            loud, title, lines = "", step.what, _but(lines, step.what)
        case steps.SetDialStep() if step.rule is not None:
            readout = sheet.dial(step.slide).readout
            by_hand = tuple((readout_lines if readout else rule_lines)(step, sheet))
            title = title.partition(": ")[2]
        case steps.SetHeadStep() if step.measure:
            by_hand, title = tuple(lines[:2]), f"the {step.head}"
        case _:
            pass
    return Words(loud, title, tuple(line for line in lines if line not in by_hand), by_hand)


def _loud(said: str) -> tuple[str, str]:
    """Return the word or two in capitals with which a step begins, and the rest.

    >>> _loud("SET THE DIAL to 0.0: the datum"), _loud("Cutting oil, with a brush")
    (('SET THE DIAL', 'to 0.0: the datum'), ('', 'Cutting oil, with a brush'))
    """
    found = LOUD.fullmatch(" ".join(said.split()))
    return (found[1], found[2]) if found else ("", " ".join(said.split()))


def _but(lines: list[str], what: str) -> list[str]:
    """Return lines without what the title says already."""
    if not what or not lines:
        return lines
    rest = lines[0].removeprefix(what).removeprefix("; ")
    return [rest, *lines[1:]] if rest else lines[1:]


def shown_stop(step: Following, sheet: Sheet, found: float | None = None) -> Stopping:
    """Return where a wind stops, or what is set, as it is shown.

    Args:
        step: the step.
        sheet: its sheet.
        found: what the step follows, as it was found, mm.
    """
    scale = scale_of(step, sheet)
    stop = stop_of(step, scale.turn, found)
    place, beside, total = "", "", "divisions" if isinstance(step, steps.SetHeadStep) else ""
    if isinstance(step, WindStep):
        dial = sheet.dial(step.slide)
        at = stop.place if follows_a_size(step, sheet) else step.place
        place = f"{place_of(dial)} {figures.shown_place(dial, at)} {dial.units}"
        if dial.units != sheet.units:
            doubled = 2 if dial.diameter_reading else 1
            beside = figures.size(doubled * at, sheet.units)
    if scale.turn:
        total = f"total {scale.whole(stop.reading)}"
    return Stopping(
        way_there=way_there(step, scale, stop, known=found is not None),
        figure=scale.figure(scale.split(stop.reading)[1]),
        total=total,
        place=place,
        beside=beside,
    )


def place_of(dial: Dial) -> str:
    """Return what a place on a dial's axis is called: its axis, or the diameter."""
    return "diameter" if dial.diameter_reading else dial.axis


def way_there(step: Following, scale: Scale, stop: Stop, *, known: bool) -> str:
    """Return what to do until a figure shows.

    Args:
        step: the step.
        scale: what it is read off.
        stop: where it stops.
        known: whether what it follows was found.
    """
    if not isinstance(step, WindStep):
        return WORDS["out" if isinstance(step, steps.SetHeadStep) else "set"]
    if step.to_stop:
        return WORDS["stop"]
    if not scale.turn:
        return WORDS["until"]
    if step.passes_from and not known:
        return WORDS["open"].format(name=step.measure)
    zero = scale.split(stop.reading)[1] == 0 and stop.passes > 0
    on_zero = zero and (known or step.rule is None)
    if on_zero:
        return WORDS["on_zero"].format(ordinal=figures.ordinal(stop.passes))
    key = {0: "none", 1: "once"}.get(stop.passes, "more")
    return WORDS[key].format(times=stop.passes)


def follows_a_size(step: WindStep, sheet: Sheet) -> bool:
    """Return whether a wind follows a size that is measured, so that its place in the part does.

    Half-way between two touches the place is the middle, whatever the total of the dial was.
    """
    return any(
        isinstance(each, steps.MeasureStep) and each.name == step.measure for each in sheet.steps
    )


def _asked(step: Step, sheet: Sheet) -> Asked | None:
    """Return what is found at a step, if anything."""
    match step:
        case steps.MeasureStep():
            return Asked(
                name=step.name,
                what=step.what,
                expected=step.expected,
                low=step.low,
                high=step.high,
                units=sheet.units,
                advice=step.advice,
            )
        case steps.TouchStep(note=steps.Noted() as note):
            dial = sheet.dial(step.slide)
            return Asked(
                name=note.name,
                what=f"what the {step.slide} reads at the {step.called}",
                expected=note.expected,
                low=note.low,
                high=note.high,
                units=dial.units,
                advice=f"touch both {'walls' if step.of else 'faces'} again",
                dial=dial,
            )
        case _:
            return None
