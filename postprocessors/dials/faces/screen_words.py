"""What a screen says of a figure that follows a found value. The page carries the words as data."""

from __future__ import annotations

from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import Asked
from postprocessors.dials.faces.finding_sizes import shown
from postprocessors.dials.faces.scales import Scale
from postprocessors.dials.readings import (
    Following,
    base_of,
    counts_off,
    figure_follows,
    stop_of,
)

SUMS = {
    "follows": "follows {name}, found in step {number}",
    "sum": (
        "{name} found {found}, expected {expected}: {start} {sign} {parts} = {result} {unit}, to"
        " the nearest {least}: {whole}"
    ),
    "count": "{name} found {found}: the count of 0 follows it",
}
SUM_DECIMALS = {"divisions": 2, "mm": 4, "in": 5}  # of what is added up


def sum_words(step: Following, scale: Scale, asked: Asked, found: float) -> str:
    """Return how a figure follows from what was found.

    Args:
        step: the step.
        scale: what its figure is read off.
        asked: what was found.
        found: its value, mm.
    """
    said = {
        "name": asked.name,
        "found": shown(found, asked),
        "expected": shown(asked.expected, asked),
    }
    if not figure_follows(step):
        return SUMS["count"].format(**said)
    reading = stop_of(step, scale.turn, found).reading
    parts = counts_off(step, found) * scale.shown
    start = (base_of(step) - (reading - scale.split(reading)[1])) * scale.shown
    decimals = SUM_DECIMALS[scale.unit]
    return SUMS["sum"].format(
        **said,
        start=figures.fixed(start, decimals),
        sign="-" if parts < 0 else "+",
        parts=figures.fixed(abs(parts), decimals),
        result=figures.fixed(start + parts, decimals),
        unit=scale.unit,
        least=scale.figure(1),
        whole=scale.whole(reading),
    )
