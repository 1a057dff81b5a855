"""The commonest lines by one pattern; whatever it does not fit goes the strict way.

The pattern takes only lines that the strict way takes too, and does with them the same.
"""

from __future__ import annotations

import re
from math import isnan

from pathgen.moves.moves import Arc, Feed, Rapid
from postprocessors.gcode.reader_arcs import radii_agree
from postprocessors.gcode.reader_state import Found, State

_NUMBER = r"(-?[0-9]{1,9}\.[0-9]{0,9})"
COMMON = re.compile(
    r"(?:N[0-9]{1,5} ?)?(?:G0?([0-3]) ?)?"
    rf"(?:X{_NUMBER} ?)?(?:Y{_NUMBER} ?)?(?:Z{_NUMBER} ?)?"
    rf"(?:I{_NUMBER} ?)?(?:J{_NUMBER} ?)?(?:F([0-9]{{1,9}}\.[0-9]{{0,9}}))?"
).fullmatch
MOTION = {"0": 0, "1": 10, "2": 20, "3": 30}


def is_plain(state: State) -> bool:
    """Return whether lines of the common shapes can be taken by the pattern."""
    return (
        state.started
        and state.absolute is True
        and state.units is not None
        and state.feed_units in (None, state.units)
        and state.motion in (0, 10, 20, 30)
    )


def take_common(  # noqa: C901, PLR0912 - one loop over all lines, for speed
    state: State, found: Found, lines: list[str], at: int, first: int
) -> int:
    """Take lines from ``at`` on while they are common ones; return where that ends.

    Args:
        state: what is in force; `is_plain` of it holds.
        found: what was read.
        lines: some lines of the program.
        at: the first of them to take.
        first: the program's line number of ``lines[0]``.
    """
    items, numbers = found.items, found.numbers
    add, count = items.append, numbers.append
    x, y, z, feed, motion = state.x, state.y, state.z, state.feed, state.motion or 0
    feed_units, factor, mismatch = state.feed_units, state.factor, state.mismatch
    new = tuple.__new__
    for index in range(at, len(lines)):
        match = COMMON(lines[index])
        if match is None:
            break
        code, x_word, y_word, z_word, i_word, j_word, f_word = match.groups()
        if x_word is None and y_word is None and z_word is None:
            break
        mode: int = motion if code is None else MOTION[code]
        new_x = x if x_word is None else float(x_word) * factor
        new_y = y if y_word is None else float(y_word) * factor
        new_z = z if z_word is None else float(z_word) * factor
        new_feed = feed if f_word is None else float(f_word) * factor
        if i_word is None and j_word is None:
            if mode == 10:
                add(new(Feed, (new_x, new_y, new_z, new_feed, None)))
            elif mode == 0:
                add(new(Rapid, (new_x, new_y, new_z, None)))
            else:
                break
        else:
            if mode < 20 or (x_word is None and y_word is None):
                break
            if isnan(x + y + new_z):
                break
            centre_x = x if i_word is None else x + float(i_word) * factor
            centre_y = y if j_word is None else y + float(j_word) * factor
            if not radii_agree((x, y), (new_x, new_y), (centre_x, centre_y), mismatch):
                break
            clockwise = mode == 20
            add(new(Arc, (new_x, new_y, new_z, centre_x, centre_y, clockwise, new_feed, 0, None)))
        if f_word is not None:
            feed_units = state.units
        count(first + index)
        x, y, z, feed, motion = new_x, new_y, new_z, new_feed, mode
    else:
        index = len(lines)
    state.x, state.y, state.z, state.feed, state.motion = x, y, z, feed, motion
    state.feed_units = feed_units
    return index
