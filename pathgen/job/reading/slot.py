"""Reading a slot: where it lies, how long and wide it is, and how the job wants it cut."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from pathgen.input.getters import Table
from pathgen.job.frame import FACES, Face, in_order
from pathgen.job.reading.angle import is_at_an_angle, read_at_an_angle
from pathgen.job.reading.depth import read_depth
from pathgen.job.reading.key import read_key
from pathgen.job.sizes import Size, read_position, read_size
from pathgen.job.slot import HolesWanted, KeySeat, Slot, SlotWays
from pathgen.job.stock import Workpiece

HOLES: tuple[HolesWanted, ...] = ("all", "ends and middle", "none")
PLACES = ("centre", "end", "end_centre")  # one of these places a closed slot

UNKNOWN = Size(nominal=1.0, low=1.0, high=1.0, basis="none")  # stands in for a width in error


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a slot lies: its outermost places along its axis, and its centre line; mm."""

    low: float
    high: float
    centre_line: float


def read_slot(table: Table, workpiece: Workpiece, tolerance_class: str) -> Slot | None:
    """Read one slot; positions are in the setup's frame. None when anything was wrong."""
    width, depth, key = _cross_section(table, workpiece, tolerance_class)
    read = read_at_an_angle if is_at_an_angle(table) else read_straight
    slot = read(table, workpiece, tolerance_class, (width, depth))
    ways_table = table.optional_table("ways")
    ways = read_ways(ways_table) if ways_table is not None else SlotWays()
    table.no_more()
    return None if table.faulty or slot is None else replace(slot, ways=ways, key=key)


def _cross_section(
    table: Table, workpiece: Workpiece, tolerance_class: str
) -> tuple[Size, Size | None, KeySeat | None]:
    """Return how wide and how deep a slot is, and the key that says so, if one does."""
    if table.has("key_for"):
        found = read_key(table, workpiece)
        if found is not None:
            return found[1], found[2], found[0]
        return UNKNOWN, None, None
    for key in ("key_in", "key_fit"):
        if table.has(key):
            table.wrong(key, "given without key_for", "say for which diameter of shaft the key is")
    width = read_size(table, "width", table.length("width", above=0), tolerance_class)
    return width, read_depth(table, workpiece, tolerance_class, "slot"), None


def read_straight(
    table: Table, workpiece: Workpiece, tolerance_class: str, sizes: tuple[Size, Size | None]
) -> Slot | None:
    """Read where a slot lies and how long it is; None when anything was wrong.

    Args:
        table: of the feature.
        workpiece: what it is cut into.
        tolerance_class: of ISO 2768-1, for sizes without limits of their own.
        sizes: its width and its depth, read already.
    """
    name = table.text("name")
    along: Literal["x", "y"] = table.choice("along", ("x", "y"))
    width = sizes[0].nominal
    axis = 0 if along == "x" else 1
    open_low, open_high = _open_ends(table, workpiece.faces(axis))
    place = _place(table, width, (open_low, open_high), workpiece, axis)
    length = place.high - place.low
    size = read_size(table, "length", length, tolerance_class)
    middle = read_position(table, "position", (place.low + place.high) / 2, tolerance_class)
    across = read_position(table, "position", place.centre_line, tolerance_class)
    if not table.faulty:
        _guard(table, width, place, (open_low, open_high), workpiece.span(axis))
        _guard_across(table, width, place.centre_line, workpiece.span(1 - axis))
    if table.faulty:
        return None
    return Slot(
        name=name,
        along=along,
        low_end=place.low,
        high_end=place.high,
        open_low=open_low,
        open_high=open_high,
        centre_line=place.centre_line,
        width=sizes[0],
        length=size,
        middle=middle,
        across=across,
        depth=sizes[1],
        ways=SlotWays(),
        where=table.where(),
    )


def _open_ends(table: Table, ends: tuple[Face, Face]) -> tuple[bool, bool]:
    """Return at which ends the slot is open, of two that are called by the blank's faces."""
    named = table.words("open_at", in_order(ends), among=FACES)
    return ends[0] in named, ends[1] in named


def _place(
    table: Table,
    width: float,
    open_ends: tuple[bool, bool],
    workpiece: Workpiece,
    axis: int,
) -> _Place:
    """Work out where the slot lies from the one way its place was given."""
    if any(open_ends):
        return _open_place(table, width, open_ends, workpiece.span(axis))
    length = _overall(table, width, 2)
    given = [key for key in PLACES if table.has(key)]
    if len(given) != 1:
        table.wrong(
            "centre",
            f"{len(given)} of centre, end, end_centre given",
            "place the slot by one of them; end and end_centre mean its end at the "
            f"{workpiece.faces(axis)[0]} face",
        )
        return _Place(0.0, length, 0.0)
    point = table.lengths(given[0], count=2)
    at, across = point[axis], point[1 - axis]
    low = {"centre": at - length / 2, "end": at, "end_centre": at - width / 2}[given[0]]
    return _Place(low, low + length, across)


def _overall(table: Table, width: float, round_ends: int) -> float:
    """Return the overall length from ``length`` or ``centres``, mm."""
    if table.has("length") == table.has("centres"):
        table.wrong(
            "length",
            "both length and centres given" if table.has("length") else "missing",
            "give length (over the ends) or centres (between the centres of the round ends)",
        )
        return 10 * width
    if table.has("centres"):
        for key in ("length_limits", "length_fit"):
            if table.has(key):
                table.wrong(key, "limits of a length that is not given", "give length")
        return table.length("centres", above=0) + round_ends * width / 2
    return table.length("length", above=0)


def _open_place(
    table: Table, width: float, open_ends: tuple[bool, bool], faces: tuple[float, float]
) -> _Place:
    """Work out where a slot open at one end, or both, lies: it runs to the blank's face."""
    line = table.length("centre_line")
    for key in PLACES:
        if table.has(key):
            table.wrong(key, "given for an open slot", "its face and centre_line place it")
    if all(open_ends):
        for key in ("length", "centres", "length_limits", "length_fit"):
            if table.has(key):
                table.wrong(key, "given for a slot open at both ends", "leave it out")
        return _Place(faces[0], faces[1], line)
    length = _overall(table, width, 1)
    if open_ends[0]:
        return _Place(faces[0], faces[0] + length, line)
    return _Place(faces[1] - length, faces[1], line)


def _guard(
    table: Table,
    width: float,
    place: _Place,
    open_ends: tuple[bool, bool],
    faces: tuple[float, float],
) -> None:
    """Record a slot too short for its round ends, or one that runs out of the blank."""
    closed = 2 - sum(open_ends)
    if place.high - place.low < closed * width / 2:
        table.wrong(
            _sizing_key(table),
            f"{table.say(place.high - place.low)} for a slot {table.say(width)} wide",
            f"give at least {table.say(closed * width / 2)}; the round ends take that much",
        )
    if place.low < faces[0] or place.high > faces[1]:
        too_long = place.high - place.low > faces[1] - faces[0]
        table.wrong(
            _sizing_key(table) if too_long else _placing_key(table),
            f"the slot runs from {table.say(place.low, place.high)}, the blank from "
            f"{table.say(*faces)}",
            "move it, shorten it, or say open_at for an end that runs out",
        )
    elif (place.low == faces[0] and not open_ends[0]) or (
        place.high == faces[1] and not open_ends[1]
    ):
        table.wrong(
            _placing_key(table), "a round end on the very face of the blank", "say open_at for it"
        )


def _sizing_key(table: Table) -> str:
    """Return the key by which the slot's length was given."""
    return "centres" if table.has("centres") else "length"


def _placing_key(table: Table) -> str:
    """Return the key by which a slot was placed along itself: an open one by how long it is."""
    return next((key for key in PLACES if table.has(key)), _sizing_key(table))


def _guard_across(
    table: Table, width: float, centre_line: float, faces: tuple[float, float]
) -> None:
    """Record a slot whose walls lie outside the blank."""
    if centre_line - width / 2 <= faces[0] or centre_line + width / 2 >= faces[1]:
        placing = "centre_line" if table.has("open_at") else _placing_key(table)
        table.wrong(
            "width" if width >= faces[1] - faces[0] else placing,
            f"walls at {table.say(centre_line - width / 2, centre_line + width / 2)}, the blank "
            f"from {table.say(*faces)}",
            "move the centre line, or make the slot narrower",
        )


def read_ways(table: Table) -> SlotWays:
    """Read ``[setup.feature.ways]``: how the job wants the slot cut."""
    ways = SlotWays(
        holes=table.choice("holes", HOLES) if table.has("holes") else None,
        drill=table.optional_text("drill"),
        pilot=table.optional_text("pilot"),
        least_web=table.optional_length("least_web", least=0),
        allowance=table.optional_length("allowance", above=0),
        rough=table.optional_text("rough"),
        finish=table.optional_text("finish"),
        depth_of_cut=table.optional_length("depth_of_cut", above=0),
    )
    table.no_more()
    return ways
