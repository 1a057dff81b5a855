"""The passes of a thread by the numbers that a sheet gives them: none left out, none twice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from pathgen.moves.plan import Trouble
from postprocessors.dials.steps import Sheet, Step, ThreadStep, WindStep

NUMBERED = re.compile(
    r"(pass|cut) (\d+) of (\d+)( to size| for a tight gauge)?(, start \d+ of \d+)?"
)


def compare_passes(sheet: Sheet) -> tuple[Trouble, ...]:
    """Return where the passes of a thread do not go by their numbers.

    One pass left out gives the next a chip of twice its share: within what the tool can stand, so
    that the depths alone do not show it. Where words were changed nothing is compared.
    """
    firsts = [each.first for each in sheet.operations]
    troubles: list[Trouble] = []
    for first, after in pairwise([*firsts, len(sheet.steps) + 1]):
        row = sheet.steps[first - 1 : after - 1]
        if any(isinstance(each, ThreadStep) for each in row):
            troubles += _out_of_order(row)
    return tuple(troubles)


def _out_of_order(row: tuple[Step, ...]) -> Iterator[Trouble]:
    """Yield each pass whose number is not the next, and a last one that is not there."""
    last: dict[tuple[str, str], tuple[int, int, int]] = {}  # by words: number, count, step
    for step in row:
        found = NUMBERED.fullmatch(step.what) if isinstance(step, WindStep) else None
        if found is None:
            continue
        word, number, count = found[1], int(found[2]), int(found[3])
        row_of = word, (found[4] or "") + (found[5] or "")
        wanted = last[row_of][0] + 1 if row_of in last else 1
        if number != wanted:
            yield _missing(step.number, f"{word} {number} of {count} comes", f"{word} {wanted}")
        last[row_of] = number, count, step.number
    for (word, _), (number, count, at) in last.items():
        if number < count:
            yield _missing(at, f"{word} {number} of {count} is the last", f"{word} {number + 1}")


def _missing(number: int, there: str, wanted: str) -> Trouble:
    return Trouble(
        number=number,
        what=f"of the thread: {there}, {wanted} is not there",
        remedy="put the pass back with all its steps, or make the sheet anew",
        code="passes",
    )
