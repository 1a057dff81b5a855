"""What a screen says of a figure that follows a found value. The page carries the words as data."""

from __future__ import annotations

from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import Asked
from postprocessors.dials.faces.finding_sizes import shown
from postprocessors.dials.readings import Following, stop_of
from postprocessors.dials.steps import Dial

SUMS = {
    "follows": "follows {name}, found in step {number}",
    "sum": (
        "{name} found {found}, expected {expected}: {start} {sign} {parts} = {result} {unit}, to"
        " the nearest {least}: {whole}"
    ),
    "count": "{name} found {found}: the count of 0 follows it",
}
SUM_DECIMALS = {"divisions": 2, "mm": 4, "in": 5}  # of what is added up


def sum_words(step: Following, dial: Dial, asked: Asked, found: float) -> str:
    """Return how a figure follows from what was found.

    Args:
        step: the step.
        dial: of its slide.
        asked: what was found.
        found: its value, mm.
    """
    said = {
        "name": asked.name,
        "found": shown(found, asked),
        "expected": shown(asked.expected, asked),
    }
    if step.rule is None:
        return SUMS["count"].format(**said)
    stop = stop_of(step, dial, found)
    parts = step.rule.per_mm * (found - step.rule.expected) * dial.shown
    start = (step.rule.base - (stop.reading - stop.dial)) * dial.shown
    unit = figures.unit_of_figures(dial)
    decimals = SUM_DECIMALS[unit]
    return SUMS["sum"].format(
        **said,
        start=figures.fixed(start, decimals),
        sign="-" if parts < 0 else "+",
        parts=figures.fixed(abs(parts), decimals),
        result=figures.fixed(start + parts, decimals),
        unit=unit,
        least=figures.figure(dial, 1),
        whole=figures.whole_figure(dial, stop.reading),
    )
