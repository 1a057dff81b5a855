"""Reading where holes are: each by itself, in a row, in a grid, on a circle."""

from __future__ import annotations

from collections.abc import Callable

from pathgen.input.getters import Table
from pathgen.reckon.holes import Position, hole_circle, hole_grid, hole_row, hole_row_between

MOST = 400  # holes in one feature


def read_places(table: Table) -> tuple[Position, ...]:
    """Return the (x, y) of each hole, mm, from the one way its place was given."""
    at = table.points("at") if table.has("at") else ()
    tables: dict[str, Table | None] = {key: table.optional_table(key) for key in PATTERNS}
    given = [key for key, found in tables.items() if found is not None]
    given += ["at"] if table.has("at") else []
    patterns = {
        key: PATTERNS[key](pattern) for key, pattern in tables.items() if pattern is not None
    }
    if len(given) != 1:
        what = f"{' and '.join(given)} given" if given else "missing"
        table.wrong("at", what, "place the holes by one of at, row, grid, circle")
        return ()
    return at or next(iter(patterns.values()), ())


def _point(table: Table, key: str) -> Position:
    x, y = table.lengths(key, count=2)
    return x, y


def _row(table: Table) -> tuple[Position, ...]:
    """Read a row: from a first hole to a last one, or at a pitch."""
    first = _point(table, "from")
    count = table.whole("count", least=2, most=MOST)
    last = _point(table, "to") if table.has("to") else None
    pitch = table.optional_length("pitch", above=0)
    angle = table.number("angle_deg", default=0.0)
    table.no_more()
    if (last is None) == (pitch is None):
        both = "missing" if last is None else "given beside pitch"
        table.wrong("to", both, "give the last hole (to) or the pitch between two")
    elif last is not None and table.has("angle_deg"):
        table.wrong("angle_deg", "given beside to", "the two ends give the row's direction")
    elif first == last:
        table.wrong("to", "the same place as from", "give the last hole of the row")
    if table.faulty:
        return ()
    if last is not None:
        return hole_row_between(first, last, count)
    return hole_row(count, pitch or 1.0, first, angle)


def _grid(table: Table) -> tuple[Position, ...]:
    """Read a grid: its first hole, and how many holes lie how far apart in x and y."""
    first = _point(table, "from")
    columns = table.whole("columns", least=1, most=MOST)
    rows = table.whole("rows", least=1, most=MOST)
    pitch = _point(table, "pitch")
    table.no_more()
    if not table.faulty and min(pitch) <= 0:
        table.wrong("pitch", table.say(min(pitch)), "give x and y above 0; from is the low corner")
    if not table.faulty and columns * rows > MOST:
        table.wrong("rows", f"{columns * rows} holes", f"give at most {MOST} in one feature")
    return () if table.faulty else hole_grid(columns, rows, pitch, first)


def _circle(table: Table) -> tuple[Position, ...]:
    """Read a circle of holes, counted counter-clockwise seen from above."""
    centre = _point(table, "centre")
    diameter = table.length("diameter", above=0)
    count = table.whole("count", least=1, most=MOST)
    first = table.number("first_deg", default=0.0)
    table.no_more()
    return () if table.faulty else hole_circle(count, diameter, first, centre)


PATTERNS: dict[str, Callable[[Table], tuple[Position, ...]]] = {
    "row": _row,
    "grid": _grid,
    "circle": _circle,
}
