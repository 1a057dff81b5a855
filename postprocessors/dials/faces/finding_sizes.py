"""What a person types where something is found: read, judged, refused with the reason.

The page judges by the same bands and in the same words, which it carries as data.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from pathgen.input.lengths import COMMON, FORMS, length
from pathgen.input.where import WrongValue
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import Asked
from postprocessors.dials.steps import Dial

REASONS = {
    "unread": "{text} cannot be read as a length; {right}",
    "no_total": "{text} is no total of this dial; give whole turns and the figure, as {right}",
    "no_figure": "{text} is no figure of this readout; give what it shows, as {right}",
    "unit": (
        "{found} is far off; in {unit} the same figure would be {other}, as it should be. Write the"
        " unit with it, or measure again"
    ),
    "below": "{found} is less than {low}, the least with which to go on. STOP: {advice}",
    "above": "{found} is more than {high}, the most with which to go on. STOP: {advice}",
}
ADVICE = "measure again; if it holds, find out why before anything more is cut"
RIGHT = FORMS.removeprefix("write ")
UNIT = re.compile(r"[^\d\s./+-].*$")
FIGURE = re.compile(r"(?P<figure>[+-]?\d+(?:\.\d*)?)(?: *(?:mm|in))?", re.IGNORECASE)
TOTAL = re.compile(r"(?P<turns>[+-]?\d+)\s*(?:t|,|\s)\s*(?P<figure>\d+(?:\.\d*)?)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A found value in mm, or why there is none."""

    found: float | None = None
    reason: str = ""


def judge(text: str, asked: Asked) -> Judged:
    """Return the value that a person typed, mm, or the reason why it is not taken.

    Args:
        text: what was typed: a length in any form, or the total of a dial ("8 t 49.5").
        asked: what it is for.
    """
    text = " ".join(text.split())
    if asked.dial is not None:
        return _judged_total(text, asked, asked.dial)
    try:
        found = length(text, asked.units)
    except WrongValue as error:
        return Judged(reason=str(error))
    if asked.low <= found <= asked.high:
        return Judged(found=found)
    return Judged(reason=_other_unit(text, found, asked) or _outside(found, asked))


def shown(found: float, asked: Asked) -> str:
    """Return a found value as it is shown: a length in its units, or a total of the dial."""
    return figures.size(found, asked.units) if asked.dial is None else total(found, asked.dial)


def total(found: float, dial: Dial) -> str:
    """Return a reading, mm, as it is read: with whole turns, or what a readout shows."""
    return figures.whole_figure(dial, round(found / dial.count))


def _judged_total(text: str, asked: Asked, dial: Dial) -> Judged:
    """Return the reading, mm on the dial, that a total stands for."""
    said = (FIGURE if dial.readout else TOTAL).fullmatch(text)
    if not said or (not dial.readout and float(said["figure"]) >= dial.divisions):
        reason = REASONS["no_figure" if dial.readout else "no_total"]
        right = total(asked.expected, dial)
        return Judged(reason=reason.format(text=text or "nothing", right=right))
    turns = 0 if dial.readout else int(said["turns"]) * dial.counts_per_turn
    found = (turns + round(float(said["figure"]) / dial.shown)) * dial.count
    if asked.low <= found <= asked.high:
        return Judged(found=found)
    return Judged(reason=_outside(found, asked))


def _outside(found: float, asked: Asked) -> str:
    """Return why a value outside the band is not taken, and what to do now."""
    reason = REASONS["below" if found < asked.low else "above"]
    return reason.format(
        found=shown(found, asked),
        low=shown(asked.low, asked),
        high=shown(asked.high, asked),
        advice=asked.advice or ADVICE,
    )


def _other_unit(text: str, found: float, asked: Asked) -> str:
    """Return that a figure would be right in another unit; empty if it would in none.

    Nothing of a quantity that is to be nought: there every small figure would be.
    """
    if asked.low <= 0:
        return ""
    written = UNIT.search(text)
    unit = written[0].strip() if written else asked.units
    factor = float(COMMON.get({'"': "in"}.get(unit, unit), COMMON[asked.units]))
    for other in OTHERS:
        meant = found / factor * float(COMMON[other])
        if other != unit and asked.low <= meant <= asked.high:
            reason, units = REASONS["unit"], asked.units
            return reason.format(
                found=figures.size(found, units), unit=other, other=figures.size(meant, units)
            )
    return ""


OTHERS: tuple[str, ...] = ("mm", "in", "thou")
