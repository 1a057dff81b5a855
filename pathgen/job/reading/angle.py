"""Reading a slot at an angle: about its middle, or between the centres of its round ends."""

from __future__ import annotations

import math
from dataclasses import replace

from pathgen.input.getters import Table
from pathgen.job.sizes import Size, read_position, read_size
from pathgen.job.slot import Slot, SlotWays, Turned
from pathgen.job.stock import Workpiece

FROM_TO = ("from", "to")
ALONG_AN_AXIS = ("along", "open_at", "centre_line", "end", "end_centre")
NEAR_AXIS_DEG = 0.01  # nearer to an axis than this a slot lies along it


def is_at_an_angle(table: Table) -> bool:
    """Return whether a slot's table places it otherwise than along an axis."""
    return any(table.has(key) for key in ("angle_deg", *FROM_TO))


def read_at_an_angle(
    table: Table, workpiece: Workpiece, tolerance_class: str, sizes: tuple[Size, Size | None]
) -> Slot | None:
    """Read where a slot at an angle lies and how long it is; None when anything was wrong.

    Args:
        table: of the feature.
        workpiece: what it is cut into.
        tolerance_class: of ISO 2768-1, for sizes without limits of their own.
        sizes: its width and its depth, read already.
    """
    name = table.text("name")
    _refuse_others(table)
    width = sizes[0].nominal
    ends = [table.has(key) for key in FROM_TO]
    turned, length = _between(table, width) if any(ends) else _about(table, width)
    _guard_angle(table, turned, "to" if any(ends) else "angle_deg")
    length_size = read_size(table, "length", length, tolerance_class)
    place = read_position(table, "position", math.hypot(turned.x, turned.y), tolerance_class)
    if table.faulty:
        return None
    slot = Slot(
        name=name,
        along="x",
        low_end=-length / 2,
        high_end=length / 2,
        open_low=False,
        open_high=False,
        centre_line=0.0,
        width=sizes[0],
        length=length_size,
        middle=_about_nought(place),
        across=_about_nought(place),
        depth=sizes[1],
        ways=SlotWays(),
        where=table.where(),
        turned=turned,
    )
    return slot if _is_within(table, slot, workpiece) else None


def _about_nought(place: Size) -> Size:
    """Return the limits of a distance from the zero as those of how far off a place may lie."""
    low, high = place.low - place.nominal, place.high - place.nominal
    return replace(place, nominal=0.0, low=low, high=high)


def _refuse_others(table: Table) -> None:
    """Record keys that place a slot along an axis."""
    for key in ALONG_AN_AXIS:
        if table.has(key):
            table.wrong(
                key,
                "given for a slot at an angle",
                "leave it out; it is closed, and placed by centre and angle_deg, or by from and to",
            )


def _about(table: Table, width: float) -> tuple[Turned, float]:
    """Return the axes and the length of a slot given by its middle and its angle."""
    angle = table.number("angle_deg", least=-90, most=90)
    x, y = table.lengths("centre", count=2)
    given = [key for key in ("length", "centres") if table.has(key)]
    if len(given) != 1:
        table.wrong(
            "length",
            "both length and centres given" if given else "missing",
            "give length (over the ends) or centres (between the centres of the round ends)",
        )
        return Turned(x, y, angle), 10 * width
    if table.has("centres"):
        _refuse_limits(table)
        return Turned(x, y, angle), table.length("centres", above=0) + width
    length = table.length("length", above=0)
    if length <= width:
        table.wrong(
            "length",
            f"{table.say(length)} for a slot {table.say(width)} wide",
            f"give more than {table.say(width)}; the round ends take that much",
        )
    return Turned(x, y, angle), length


def _between(table: Table, width: float) -> tuple[Turned, float]:
    """Return the axes and the length of a slot given by the centres of its round ends."""
    for key in ("angle_deg", "centre", "length", "centres"):
        if table.has(key):
            table.wrong(key, "given beside from and to", "leave it out; these two give it")
    _refuse_limits(table)
    (x0, y0), (x1, y1) = (table.lengths(key, count=2) for key in FROM_TO)
    between = math.hypot(x1 - x0, y1 - y0)
    if between == 0 and not table.faulty:
        table.wrong("to", "the same place as from", "give the centre of the other round end")
    if (x1, y1) < (x0, y0):  # the angle is then within a quarter turn of x
        x0, y0, x1, y1 = x1, y1, x0, y0
    angle = math.degrees(math.atan2(y1 - y0, x1 - x0))
    return Turned((x0 + x1) / 2, (y0 + y1) / 2, angle), between + width


def _refuse_limits(table: Table) -> None:
    """Record limits of an overall length that is not given."""
    for key in ("length_limits", "length_fit"):
        if table.has(key):
            table.wrong(key, "limits of a length that is not given", "give length, and angle_deg")


def _guard_angle(table: Table, turned: Turned, key: str) -> None:
    """Record an angle that is none: such a slot lies along an axis, and any machine can cut it."""
    off = min(abs(turned.angle_deg - way) for way in (-90.0, 0.0, 90.0))
    if not table.faulty and off < NEAR_AXIS_DEG:
        along = "x" if abs(turned.angle_deg) < 45 else "y"
        table.wrong(
            key,
            f"{turned.angle_deg:g} degrees to x",
            f'say along = "{along}" in its place, with centre and length',
        )


def _is_within(table: Table, slot: Slot, workpiece: Workpiece) -> bool:
    """Return whether a slot stays within the blank's faces, and record it if not."""
    x0, y0, x1, y1 = slot.box
    (left, right), (front, back) = workpiece.span(0), workpiece.span(1)
    if left < x0 and x1 < right and front < y0 and y1 < back:
        return True
    table.wrong(
        "to" if table.has("to") else "centre",
        f"the slot takes up {table.say(x0, x1)} in x and {table.say(y0, y1)} in y, the blank "
        f"{table.say(left, right)} and {table.say(front, back)}",
        "move or shorten it; a slot at an angle has to stay within the blank",
    )
    return False
