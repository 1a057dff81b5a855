"""What holds cutters in the spindle, and how far they stand out of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from pathgen.input.getters import Table
from pathgen.input.where import nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """What holds cutters in the spindle, as a cylinder; lengths in mm."""

    name: str  # "collet chuck"
    diameter: float
    length: float  # below the spindle's nose


NO_HOLDERS: Mapping[str, Holder] = MappingProxyType({})


def read_holder(table: Table) -> Holder | None:
    """Read one ``[[holder]]``."""
    holder = Holder(
        name=table.text("name"),
        diameter=table.length("diameter", above=0),
        length=table.length("length", above=0),
    )
    table.no_more()
    return None if table.faulty else holder


def read_stick_out(table: Table, flute_length: float) -> float:
    """Return how far a cutter stands out, mm; 0 where that is not told.

    With a holder it has to be: the room beneath it hangs on it. Flutes are not gripped.
    """
    if not table.has("stick_out"):
        if table.has("holder"):
            table.wrong(
                "stick_out", "missing beside a holder", "measure from the holder to its end"
            )
        return 0.0
    stick_out = table.length("stick_out", above=0)
    if not table.faulty and stick_out < flute_length:
        table.wrong(
            "stick_out",
            f"{table.say(stick_out)}, less than the flutes of {table.say(flute_length)}",
            "grip it by its shank alone, and measure again",
        )
    return stick_out


def holder_of(table: Table, holders: Mapping[str, Holder]) -> Holder | None:
    """Return the holder that a cutter names."""
    if not table.has("holder"):
        return None
    name = table.text("holder")
    if name not in holders and not table.faulty:
        right = nearest(name, holders) or "list it as a [[holder]]"
        table.wrong("holder", f"the crib has no holder called {name!r}", right)
    return holders.get(name)
