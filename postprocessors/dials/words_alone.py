"""Steps of a sheet that are words alone, of which no replay can tell whether they are right."""

from __future__ import annotations

from collections.abc import Sequence

from postprocessors.dials.steps import ClampStep, NoteStep, PauseStep, Sheet


def words_alone(sheet: Sheet) -> list[int]:
    """Return the numbers of the steps that clamp, advise, warn or pause."""
    return [
        step.number for step in sheet.steps if isinstance(step, ClampStep | NoteStep | PauseStep)
    ]


def spans(numbers: Sequence[int]) -> list[str]:
    """Return rising numbers of steps in words, those that follow one another in one.

    >>> spans([1, 2, 3, 7, 9, 10])
    ['steps 1 to 3', '7', '9 to 10']
    >>> spans([])
    ['no step']
    """
    rows: list[list[int]] = []
    for number in numbers:
        if rows and number == rows[-1][-1] + 1:
            rows[-1].append(number)
        else:
            rows.append([number])
    said = [f"{row[0]} to {row[-1]}" if len(row) > 1 else f"{row[0]}" for row in rows]
    return [f"steps {said[0]}", *said[1:]] if said else ["no step"]
