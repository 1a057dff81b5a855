"""The two faces of an answer: text for a person, JSON for a program.

The JSON object has these keys: `form` ("reckoning"), `version`, `topic`, `title`, `units_first`
("mm" or "in"), `rows`, `tables`, `formula`, `advice`, `cautions`, `sources`. A row has
`quantity`, `value`, `unit`, `note` and, where the inch system has a unit for it, `also` with
`value` and `unit`. A table has `title`, `columns` (each `heading` and `unit`) and `lines`.
Figures are metric, not rounded to what is printed.
"""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Iterator

from pathgen.commands.reckoning.answer import (
    ALSO,
    Answer,
    Column,
    Row,
    Table,
    Value,
    also,
    degrees_and_minutes,
    fixed,
)
from pathgen.input.units import Units

VERSION = 1
WIDTH = 96  # characters of a line
EXACT = 10  # significant figures in JSON: well beyond any measure, short of the noise of floats

# ---------------------------------------------------------------- text


def write_text(answer: Answer, units: Units) -> str:
    """Return an answer as text, the figures in the wanted units first, then in the others."""
    parts = [[answer.title], _row_lines(answer.rows, units)]
    parts += [_table_lines(table, units) for table in answer.tables]
    parts += [
        _paragraphs("Sum", answer.formula, "  "),
        _paragraphs("So", answer.advice, "  - "),
        _paragraphs("Mind", answer.cautions, "  ! "),
        _paragraphs("From", answer.sources, "  "),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _paragraphs(heading: str, texts: tuple[str, ...], lead: str) -> list[str]:
    """Return texts below a heading, each wrapped under its own first word."""
    lines = [heading] if texts else []
    for text in texts:
        lines += textwrap.wrap(
            text,
            WIDTH,
            initial_indent=lead,
            subsequent_indent=" " * (len(lead) + 2),
            break_on_hyphens=False,
        )
    return lines


def _row_lines(rows: tuple[Row, ...], units: Units) -> list[str]:
    """Return rows with their figures under one another."""
    cells = [(row.quantity, *_in_order(_pair(row), units), row.note) for row in rows]
    figures = [
        cell for row, cell in zip(rows, cells, strict=True) if not isinstance(row.value, str)
    ]
    wide = max((len(cell[0]) for cell in cells), default=0)
    first, second = (max((len(cell[i]) for cell in figures), default=0) for i in (1, 2))
    lines = []
    for row, (name, one, two, note) in zip(rows, cells, strict=True):
        if isinstance(row.value, str):
            text = f"  {name:<{wide}}  {one}"
        else:
            text = f"  {name:<{wide}}  {one:>{first}}  {two:>{second}}"
        lines.append(f"{text}  {note}".rstrip())
    return lines


def _in_order(pair: tuple[str, str], units: Units) -> tuple[str, str]:
    """Return the metric figure and the other one, that of the wanted units first."""
    metric, other = pair
    return (other, metric) if units == "in" and other and "deg" not in metric else (metric, other)


def _pair(row: Row) -> tuple[str, str]:
    """Return a row's figure with its unit, and the same in the other system."""
    if isinstance(row.value, str):
        return row.value, ""
    metric = f"{fixed(row.value, row.places)} {row.unit}".rstrip()
    if row.unit == "deg":
        return metric, degrees_and_minutes(row.value)
    found = also(row.value, row.unit)
    if found is None:
        return metric, ""
    value, unit = found
    return metric, f"{fixed(value, row.places + ALSO[row.unit][2])} {unit}"


def _table_lines(table: Table, units: Units) -> list[str]:
    """Return a table, the columns of lengths once in each system."""
    last = max((i for i, column in enumerate(table.columns) if column.unit in ALSO), default=-1)
    front = [(i, c, units) for i, c in enumerate(table.columns) if i <= last]
    other: Units = "mm" if units == "in" else "in"
    again = [(i, column, other) for i, column, _ in front if column.unit in ALSO]
    rest = [(i, c, units) for i, c in enumerate(table.columns) if i > last]
    shown = [*front, *again, *rest]
    grid = [[_heading(column, system) for _, column, system in shown]]
    grid += [
        [_cell(line[i], column, system) for i, column, system in shown] for line in table.lines
    ]
    wide = [max(len(line[j]) for line in grid) for j in range(len(shown))]
    left = [all(isinstance(line[i], str) for line in table.lines) for i, _, _ in shown]
    body = [
        "  " + "  ".join(_padded(*each) for each in zip(line, wide, left, strict=True))
        for line in grid
    ]
    return [table.title, *(line.rstrip() for line in body)]


def _padded(text: str, width: int, left: bool) -> str:  # noqa: FBT001 - one side or the other
    return text.ljust(width) if left else text.rjust(width)


def _heading(column: Column, units: Units) -> str:
    unit = ALSO[column.unit][0] if column.unit in ALSO and units == "in" else column.unit
    return f"{column.heading} {unit}".rstrip()


def _cell(value: Value, column: Column, units: Units) -> str:
    if isinstance(value, str):
        return value
    if column.unit in ALSO and units == "in":
        _, size, more = ALSO[column.unit]
        return fixed(value / size, column.places + more)
    return fixed(value, column.places)


# ---------------------------------------------------------------- JSON


def write_json(answer: Answer, units: Units, topic: str) -> str:
    """Return an answer as one JSON object, as the head of this module tells."""
    content = {
        "form": "reckoning",
        "version": VERSION,
        "topic": topic,
        "title": answer.title,
        "units_first": units,
        "rows": list(_json_rows(answer.rows)),
        "tables": [_json_table(table) for table in answer.tables],
        "formula": answer.formula,
        "advice": answer.advice,
        "cautions": answer.cautions,
        "sources": answer.sources,
    }
    return json.dumps(content, indent=2) + "\n"


def _json_rows(rows: Iterable[Row]) -> Iterator[dict[str, object]]:
    for row in rows:
        made: dict[str, object] = {
            "quantity": row.quantity,
            "value": _rounded(row.value),
            "unit": row.unit,
            "note": row.note,
        }
        found = None if isinstance(row.value, str) else also(row.value, row.unit)
        if found is not None:
            made["also"] = {"value": _rounded(found[0]), "unit": found[1]}
        yield made


def _json_table(table: Table) -> dict[str, object]:
    return {
        "title": table.title,
        "columns": [{"heading": c.heading, "unit": c.unit} for c in table.columns],
        "lines": [[_rounded(value) for value in line] for line in table.lines],
    }


def _rounded(value: Value) -> Value:
    """Return a figure without the noise of floats."""
    return value if isinstance(value, str) else float(f"{value:.{EXACT}g}") + 0.0
