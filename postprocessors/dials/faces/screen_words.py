"""The words about a wind on a screen. The page carries them as data, so that it says the same."""

from __future__ import annotations

from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import Asked
from postprocessors.dials.faces.finding_sizes import shown
from postprocessors.dials.readings import stop_of
from postprocessors.dials.steps import Dial, WindStep

WORDS = {
    "on_zero": "stop the {ordinal} time 0 comes:",
    "none": "0 does not pass; stop at",
    "once": "0 passes once, then stop at",
    "more": "0 passes {times} times, then stop at",
    "open": "how often 0 passes follows {name}; stop at",
    "follows": "follows {name}, found in step {number}",
    "sum": (
        "{name} found {found}, expected {expected}: {start} {sign} {parts} = {result} divisions, to"
        " the nearest {judged}: {figure} (total {total})"
    ),
    "count": "{name} found {found}: the count of 0 follows it",
}


def passes_words(passes: int, *, on_zero: bool) -> str:
    """Return how often 0 passes, up to the figure that is shown after it.

    >>> passes_words(3, on_zero=False)
    '0 passes 3 times, then stop at'
    """
    if on_zero:
        return WORDS["on_zero"].format(ordinal=figures.ordinal(passes))
    key = {0: "none", 1: "once"}.get(passes, "more")
    return WORDS[key].format(times=passes)


def sum_words(step: WindStep, dial: Dial, asked: Asked, found: float) -> str:
    """Return how a reading follows from what was found.

    Args:
        step: the wind.
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
        return WORDS["count"].format(**said)
    stop = stop_of(step, dial, found)
    turn = stop.reading // dial.counts_per_turn * dial.counts_per_turn
    parts = step.rule.per_mm * (found - step.rule.expected) * dial.judged
    start = (step.rule.base - turn) * dial.judged
    return WORDS["sum"].format(
        **said,
        start=figures.fixed(start, SUM_DECIMALS),
        sign="-" if parts < 0 else "+",
        parts=figures.fixed(abs(parts), SUM_DECIMALS),
        result=figures.fixed(start + parts, SUM_DECIMALS),
        judged=f"{dial.judged:g}",
        figure=figures.figure(dial, stop.dial),
        total=f"{stop.reading // dial.counts_per_turn} t {figures.figure(dial, stop.dial)}",
    )


SUM_DECIMALS = 2  # of divisions in a sum
