"""Reading a T-slot: by the bolt that it is for, or by sizes of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from pathgen.input.getters import Table
from pathgen.job.reading.depth import read_depth
from pathgen.job.reading.slot import read_straight, read_ways
from pathgen.job.sizes import Size, read_size
from pathgen.job.slot import SlotWays
from pathgen.job.stock import Workpiece
from pathgen.job.t_slot import TSlot
from pathgen.reckon.keys import TSlot as Listed
from pathgen.reckon.keys import t_slot, t_slot_bolts

USES = ("holding", "locating")
LEAST_LIP = 1.0  # mm of metal over the head: less breaks out (common practice, no source)


class _Sizes(NamedTuple):
    """The sizes across and down a T-slot, read."""

    width: Size
    head_width: Size
    head_height: Size
    depth: Size


def read_t_slot(table: Table, workpiece: Workpiece, tolerance_class: str) -> TSlot | None:
    """Read one T-slot; positions are in the setup's frame. None when anything was wrong."""
    listed = _listed(table)
    sizes = _sizes(table, workpiece, tolerance_class, listed)
    neck = read_straight(table, workpiece, tolerance_class, (sizes.width, sizes.depth))
    cutter = None
    inner = table.optional_table("ways")
    ways = SlotWays()
    if inner is not None:
        cutter = inner.optional_text("head")
        ways = read_ways(inner)
    table.no_more()
    _guard(table, sizes)
    if neck is not None and not (neck.open_low or neck.open_high):
        table.wrong(
            "open_at", "missing", "say at which face the cutter of the head comes in and goes out"
        )
    if table.faulty or neck is None:
        return None
    found = TSlot(
        neck=replace(neck, ways=ways),
        head_width=sizes.head_width,
        head_height=sizes.head_height,
        cutter=cutter,
        where=table.where(),
    )
    return found if _lies_within(table, found, workpiece) else None


def _listed(table: Table) -> Listed | None:
    """Return the T-slot of the bolt that it is for; None where it has sizes of its own."""
    if not table.has("bolt"):
        if table.has("throat"):
            table.wrong("throat", "given without bolt", "limit the width itself")
        return None
    return t_slot(table.choice("bolt", t_slot_bolts()))


def _sizes(
    table: Table, workpiece: Workpiece, tolerance_class: str, listed: Listed | None
) -> _Sizes:
    """Return the sizes of the table for the bolt, but for those that the job gives itself."""
    basis = "" if listed is None else f"T-slot for {listed.bolt}"

    def own(key: str) -> Size:
        return read_size(table, key, table.length(key, above=0), tolerance_class)

    def between(key: str, pair: tuple[float, float]) -> Size:
        if table.has(key):
            return own(key)
        low, high = pair
        return Size(nominal=(low + high) / 2, low=low, high=high, basis=basis, where=table.where())

    if listed is None:
        width, head_width, head_height = own("width"), own("head_width"), own("head_height")
    else:
        use = table.choice("throat", USES, default="holding")
        throat = listed.holding if use == "holding" else listed.locating
        width = replace(between("width", throat), nominal=listed.throat)
        head_width = between("head_width", listed.head_width)
        head_height = between("head_height", listed.head_depth)
    if table.has("depth") or listed is None or listed.depth is None:
        depth = _depth(table, workpiece, tolerance_class)
    else:
        depth = between("depth", listed.depth)
        if depth.high >= workpiece.height:
            table.wrong(
                "bolt",
                f"up to {table.say(depth.high)} deep in a blank {table.say(workpiece.height)} "
                "thick",
                "take a thicker blank, or give depth with closer limits",
            )
    return _Sizes(width, head_width, head_height, depth)


def _depth(table: Table, workpiece: Workpiece, tolerance_class: str) -> Size:
    """Read the whole depth."""
    found = read_depth(table, workpiece, tolerance_class, "T-slot")
    if found is None:
        if table.says("depth", "through"):
            table.wrong("depth", "a T-slot that goes through", "give a depth: its head has a floor")
        return Size(nominal=1.0, low=1.0, high=1.0, basis="none")
    return found


def _guard(table: Table, sizes: _Sizes) -> None:
    """Record a head that is no wider than its slot, or so high that nothing is left over it."""
    if table.faulty:
        return
    if sizes.head_width.low <= sizes.width.high:
        table.wrong(
            "head_width" if table.has("head_width") else "width",
            f"a head of {table.say(sizes.head_width.low)} under a slot of "
            f"{table.say(sizes.width.high)}",
            "make the head wider than the slot",
        )
    lip = sizes.depth.low - sizes.head_height.high
    if lip < LEAST_LIP:
        table.wrong(
            "depth" if table.has("depth") else "head_height",
            f"{table.say(max(lip, 0.0))} of metal at least over the head, of "
            f"{table.say(sizes.depth.low)} and {table.say(sizes.head_height.high)}",
            f"leave {table.say(LEAST_LIP)} or more over the head: sink it deeper",
        )


def _lies_within(table: Table, found: TSlot, workpiece: Workpiece) -> bool:
    """Return whether the head stays within the blank's sides; record it where it does not."""
    axis = 1 if found.neck.along == "x" else 0
    low, high = found.box[axis], found.box[axis + 2]
    face = workpiece.span(axis)
    if low > face[0] and high < face[1]:
        return True
    table.wrong(
        "centre_line",
        f"the head lies from {table.say(low)} to {table.say(high)}, the blank from "
        f"{table.say(*face)}",
        "move the centre line, or take a wider blank",
    )
    return False
