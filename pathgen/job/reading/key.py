"""Reading a keyway: a slot whose width, depth and limits follow from the shaft of its key."""

from __future__ import annotations

from typing import Literal

from pathgen.input.getters import Table
from pathgen.job.sizes import Size
from pathgen.job.slot import KeySeat
from pathgen.job.stock import Workpiece
from pathgen.reckon.fits import class_limits
from pathgen.reckon.keys import Keyway, keyway_class, keyway_depth_room, parallel_keyway

PARTS: tuple[Literal["shaft", "hub"], ...] = ("shaft", "hub")
FITS = ("normal", "tight", "sliding")
OF_ITS_OWN = ("width", "width_limits", "width_fit", "depth", "depth_limits", "depth_fit")


def read_key(table: Table, workpiece: Workpiece) -> tuple[KeySeat, Size, Size] | None:
    """Return what key a slot is for, its width and its depth; None when anything was wrong."""
    shaft = table.length("key_for", above=0)
    part = table.choice("key_in", PARTS, default="shaft")
    fit = table.choice("key_fit", FITS, default="normal")
    for own in OF_ITS_OWN:
        if table.has(own):
            table.wrong(own, "given beside key_for", "leave it out; the table of keys gives it")
    key = None if table.faulty else _listed(table, shaft)
    if key is None:
        return None
    name = keyway_class(part, fit)
    limits = class_limits(key.width, name)
    width = Size(
        nominal=key.width,
        low=limits.smallest,
        high=limits.largest,
        basis=f"ISO 286 {name}, DIN 6885-1",
        where=table.where("key_for"),
    )
    deep = key.shaft_depth if part == "shaft" else key.hub_depth
    depth = Size(
        nominal=deep,
        low=deep,
        high=deep + keyway_depth_room(key.width),
        basis="DIN 6885-1",
        where=table.where("key_for"),
    )
    if depth.high >= workpiece.height:
        table.wrong(
            "key_for",
            f"up to {table.say(depth.high)} deep in a blank {table.say(workpiece.height)} thick",
            "take a thicker blank, or a smaller key",
        )
        return None
    across = workpiece.height if workpiece.is_shaft else None
    seat = KeySeat(shaft=shaft, part=part, width=key.width, height=key.height, across=across)
    return seat, width, depth


def _listed(table: Table, shaft: float) -> Keyway | None:
    """Return the key of the table for a shaft, and record one that is not listed."""
    try:
        return parallel_keyway(shaft)
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        table.wrong("key_for", wrong, right)
        return None
