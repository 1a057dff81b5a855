"""Dimensions after ISO 129-1 (from memory), as far as it applies: lines stacked outside the view.

An extension line leaves the feature with a small gap and passes the dimension line a little; the
figure stands on the unbroken dimension line, upright ones read from the right; where there is no
room between the arrows they stand outside, and the figure beyond them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from pathgen.job.sizes import Size
from postprocessors.drawing.lettering import CAPITAL, width_of
from postprocessors.drawing.marks import ARROW, arrowhead
from postprocessors.drawing.scale import Units
from postprocessors.drawing.sheet import NARROW, Lettering, Point, Sheet

STACK = 7.5  # from one dimension line to the next, mm
FIRST = 8.0  # from the view to the first
GAP = 1.0  # between a feature and its extension line
PAST = 1.8  # an extension line beyond the dimension line
TOUCHING = 0.01  # two in one row may share an extension line
STUB = 5.0  # a dimension line outside its arrows
OFF_LINE = 0.9  # a figure above its line


class Margins(NamedTuple):
    """Room about a window, mm on the sheet."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """A dimension between two places of the sheet along one direction.

    ``low`` and ``high`` are measured along the dimension line (x on the sheet, or for an upright
    one its y); ``from_low`` and ``from_high`` tell from where, across it, extension lines start.
    """

    low: float
    high: float
    from_low: float
    from_high: float
    words: str
    upright: bool = False

    @property
    def inside(self) -> bool:
        """Return whether the figure has room between the extension lines."""
        return self.high - self.low >= width_of(self.words, CAPITAL) + 1.0

    @property
    def arrows_inside(self) -> bool:
        """Return whether the arrows, with the figure, have room between the extension lines."""
        least = 2 * ARROW + (width_of(self.words, CAPITAL) if self.inside else 1.0)
        return self.high - self.low >= max(least, 2 * ARROW + 1.0)

    @property
    def reach(self) -> tuple[float, float]:
        """Return from where to where the line and its figure go along."""
        low, high = self.low, self.high
        if not self.arrows_inside:
            low, high = low - STUB, high + STUB
        if not self.inside:
            beyond = width_of(self.words, CAPITAL) + 1.5
            return (low - beyond, high) if self.upright else (low, high + beyond)
        return low, high


def sized(units: Units, size: Size, nominal: float) -> str:
    """Return a size as a dimension has it: with limits meant for it, else bare.

    >>> sized(Units("mm"), Size(nominal=10.0, low=9.9, high=10.1, basis="own limits"), 10.0)
    '10 ±0.1'
    >>> sized(Units("mm"), Size(nominal=10.0, low=10.013, high=10.028, basis="ISO 286 F7"), 10.0)
    '10 +0.028/+0.013'
    """
    words = units.number(nominal)
    if not size.own:
        return words
    up, down = size.high - size.nominal, size.nominal - size.low
    if math.isclose(up, down, abs_tol=1e-6):
        return f"{words} ±{units.number(up)}"
    return f"{words} {_signed(units, up)}/{_signed(units, -down)}"


def _signed(units: Units, deviation: float) -> str:
    """Return a deviation with its sign; nought has none."""
    words = units.number(deviation)
    return words if words.startswith("\N{MINUS SIGN}") or words == "0" else f"+{words}"


def stacked(dimensions: list[Dimension]) -> list[list[Dimension]]:
    """Return dimensions in rows, the shorter nearer to the view; none meets another in its row."""
    rows: list[list[Dimension]] = []
    for each in sorted(dimensions, key=lambda d: (d.high - d.low, d.low, d.words)):
        low, high = each.reach
        first = 0
        for index, row in enumerate(rows):
            if any(_nested(each, other) for other in row):
                first = index + 1
        free = (
            row
            for row in rows[first:]
            if all(
                high <= other.reach[0] + TOUCHING or other.reach[1] <= low + TOUCHING
                for other in row
            )
        )
        home = next(free, None)
        if home is None:
            rows.append([each])
        else:
            home.append(each)
    return rows


def _nested(longer: Dimension, shorter: Dimension) -> bool:
    """Return whether one spans another, so that it must lie outside it."""
    return longer.low <= shorter.low + 0.01 and longer.high >= shorter.high - 0.01


def draw_stack(sheet: Sheet, rows: list[list[Dimension]], edge: float, outward: int) -> None:
    """Draw rows of dimensions, the first at ``edge``; outward is the sign of going off the view."""
    for index, row in enumerate(rows):
        for each in row:
            _draw(sheet, each, edge + outward * STACK * index)


def _draw(sheet: Sheet, each: Dimension, line: float) -> None:
    """Draw one dimension with its line at a place."""
    with sheet.group("dimension", data_value=each.words):
        for along, start in ((each.low, each.from_low), (each.high, each.from_high)):
            way = 1 if line > start else -1
            begin, end = start + way * GAP, line + way * PAST
            sheet.line(_place(each, along, begin), _place(each, along, end), NARROW)
        low, high = each.reach
        sheet.line(_place(each, low, line), _place(each, high, line), NARROW)
        sign = 1 if each.arrows_inside else -1
        along_line = (0.0, 1.0) if each.upright else (1.0, 0.0)
        for tip, way in ((each.low, -sign), (each.high, sign)):
            arrowhead(sheet, _place(each, tip, line), (way * along_line[0], way * along_line[1]))
        _figure(sheet, each, line)


def _figure(sheet: Sheet, each: Dimension, line: float) -> None:
    """Write the figure of a dimension on its line."""
    low, high = each.reach
    if each.inside:
        middle = (each.low + each.high) / 2
    else:
        half = (width_of(each.words, CAPITAL) + 1.0) / 2
        middle = low + half if each.upright else high - half
    at = _place(each, middle, line - OFF_LINE)
    sheet.text(at, each.words, Lettering(CAPITAL, "middle", turned=each.upright, backed=True))


def _place(each: Dimension, along: float, across: float) -> Point:
    """Return the place on the sheet of a place along and across a dimension line."""
    return (across, along) if each.upright else (along, across)
