"""The commonest lines, many at a time; whatever is not among them goes the strict way.

A line's *shape* is what is left of it without its numbers: ``GXY`` for ``G1 X2. Y-3.5``. Lines of
a known shape are taken apart all at once, which costs little more than making floats of their
numbers. Only lines that the strict way takes too are taken, and with the same result.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import isnan
from typing import NamedTuple

from pathgen.moves.moves import Arc, Feed, Rapid
from postprocessors.gcode.reader_arcs import radii_agree
from postprocessors.gcode.reader_planes import LEVEL
from postprocessors.gcode.reader_state import Found, State
from postprocessors.gcode.reader_words import LONGEST

AXES = b"XYZ"
WORDS = b"NGXYZIJF"  # in the order in which they stand
NUMBER = b"0123456789.-"
MOTION = {0.0: 0, 1.0: 10, 2.0: 20, 3.0: 30}
N_DIGITS = 5
_TO_BLANKS = bytes.maketrans(WORDS, b" " * len(WORDS))
_TO_CLASSES = bytes.maketrans(WORDS + NUMBER, b"L" * len(WORDS) + b"d" * len(NUMBER))


class Shape(NamedTuple):
    """Which number of a line belongs to which of its words, -1 for none."""

    n: int
    g: int
    x: int
    y: int
    z: int
    i: int
    j: int
    f: int
    numbers: int  # how many there are


def _shapes() -> dict[bytes, Shape]:
    """Return the common shapes: an axis word at least, the words in their order."""
    found = {}
    for there in product((False, True), repeat=len(WORDS)):
        words = bytes(word for word, is_there in zip(WORDS, there, strict=True) if is_there)
        if set(words) & set(AXES):
            found[words] = Shape._make([*(words.find(word) for word in WORDS), len(words)])
    return found


SHAPES = _shapes()


@dataclass(slots=True)
class Rows:
    """Lines of a program taken apart: the shape of each, None if not common, and all numbers."""

    shapes: list[Shape | None]
    tokens: list[bytes]
    values: list[float]
    _line: int = 0
    _first: int = 0

    def first_of(self, line: int) -> int:
        """Return which of all numbers is a line's first; lines are asked for in their order."""
        passed = self.shapes[self._line : line]
        self._first += sum(shape.numbers for shape in passed if shape is not None)
        self._line = line
        return self._first


def rows_of(lines: list[str]) -> Rows | None:
    """Return lines taken apart; None where that is for the strict way alone."""
    if max(map(len, lines)) > LONGEST:
        return None
    content = "\n".join(lines).encode("ascii", "replace").replace(b" ", b"")
    shapes = list(map(SHAPES.get, content.translate(None, NUMBER).split(b"\n")))
    if None in shapes:
        pairs = zip(content.split(b"\n"), shapes, strict=True)
        content = b"\n".join(b"" if shape is None else line for line, shape in pairs)
    classes = b"\n" + content.translate(_TO_CLASSES) + b"\n"
    if any(wrong in classes for wrong in (b"LL", b"L\n", b"\nd")):
        return None  # some word has no number, or some number no word
    tokens = content.translate(_TO_BLANKS).split()
    try:
        values = list(map(float, tokens))
    except ValueError:
        return None
    return Rows(shapes, tokens, values)


def is_plain(state: State) -> bool:
    """Return whether common lines can be taken as they are."""
    return (
        state.started
        and state.absolute is True
        and state.units is not None
        and state.feed_units in (None, state.units)
        and state.motion in (0, 10, 20, 30)
        and state.plane in (None, LEVEL)
    )


def take_common(  # noqa: C901, PLR0912 - one loop over all lines, for speed
    state: State, found: Found, rows: Rows, at: int, first: int
) -> int:
    """Take lines from ``at`` on while they are common ones; return where that ends.

    Args:
        state: what is in force; `is_plain` of it holds.
        found: what was read.
        rows: some lines of the program.
        at: the first of them to take.
        first: the program's line number of the first of all of them.
    """
    add, new = found.items.append, tuple.__new__
    x, y, z, feed, motion = state.x, state.y, state.z, state.feed, state.motion or 0
    feed_units, factor, mismatch = state.feed_units, state.factor, state.mismatch
    shapes, values, k = rows.shapes, rows.values, rows.first_of(at)
    for index in range(at, len(shapes)):
        shape = shapes[index]
        if shape is None:
            break
        n_at, g_at, x_at, y_at, z_at, i_at, j_at, f_at, numbers = shape
        if n_at >= 0 and not _is_line_number(rows.tokens[k]):
            break
        mode = motion if g_at < 0 else MOTION.get(values[k + g_at], -1)
        new_x = x if x_at < 0 else values[k + x_at] * factor
        new_y = y if y_at < 0 else values[k + y_at] * factor
        new_z = z if z_at < 0 else values[k + z_at] * factor
        new_feed = feed if f_at < 0 else values[k + f_at] * factor
        if new_feed < 0:
            break
        if i_at < 0 and j_at < 0:
            if mode == 10:
                add(new(Feed, (new_x, new_y, new_z, new_feed, None)))
            elif mode == 0:
                add(new(Rapid, (new_x, new_y, new_z, None)))
            else:
                break
        else:
            if mode < 20 or (x_at < 0 and y_at < 0) or isnan(x + y + new_z):
                break
            centre_x = x if i_at < 0 else x + values[k + i_at] * factor
            centre_y = y if j_at < 0 else y + values[k + j_at] * factor
            if not radii_agree((x, y), (new_x, new_y), (centre_x, centre_y), mismatch):
                break
            clockwise = mode == 20
            add(new(Arc, (new_x, new_y, new_z, centre_x, centre_y, clockwise, new_feed, 0, None)))
        if f_at >= 0:
            feed_units = state.units
        k += numbers
        x, y, z, feed, motion = new_x, new_y, new_z, new_feed, mode
    else:
        index = len(shapes)
    found.numbers.extend(range(first + at, first + index))
    state.x, state.y, state.z, state.feed, state.motion = x, y, z, feed, motion
    state.feed_units = feed_units
    return index


def _is_line_number(token: bytes) -> bool:
    return len(token) <= N_DIGITS and token.isdigit()
