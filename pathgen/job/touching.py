"""What finds the zeros of x and y: its name, its diameter, and whether the spindle turns."""

from __future__ import annotations

import re
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.lengths import length
from pathgen.input.where import WrongValue

SpindleAtTouch: TypeAlias = Literal["stopped", "turning"]
SPINDLES: tuple[SpindleAtTouch, ...] = ("stopped", "turning")
OFF = 0.1  # how far, in parts of the diameter, what touches may be off the size in its name
# A size in a name has a unit or is a fraction; a bare number is one at either end of the name.
SIZE = re.compile(
    r"(?<![\w.#/])(?:"
    r"(?:[0-9]+ +)?[0-9]+(?:\.[0-9]+| */ *[0-9]+)? *(?:(?:mm|in|thou)\b|[\"\u2033])"
    r"|(?:[0-9]+ +)?[0-9]+ */ *[0-9]+\b"
    r"|^[0-9]+(?:\.[0-9]+)?(?= +[a-z])|(?<=[a-z] )[0-9]+(?:\.[0-9]+)?$)",
    re.IGNORECASE,
)


def read_touching(table: Table, paper: float) -> tuple[str, float, SpindleAtTouch]:
    """Read what touches through paper of some thickness, its diameter, what the spindle does; mm.

    What is returned is of use only if nothing was wrong.
    """
    tool = table.text("tool")
    diameter = table.length("tool_diameter", above=0)
    said = table.has("spindle")
    spindle = table.choice("spindle", SPINDLES, default="stopped")
    if table.faulty:
        return tool, diameter, spindle
    _guard_diameter(table, tool, diameter)
    if "finder" in tool.lower() and not said and not paper:
        table.wrong(
            "spindle",
            f"not said for {tool!r}: one kind of edge finder turns, another must stand still",
            'say spindle = "turning" for one that kicks sideways, "stopped" for an electronic one',
        )
    if spindle == "turning" and paper:
        table.wrong(
            "spindle",
            "turning, with paper held between what touches and the face",
            'say spindle = "stopped", and turn it by hand; or leave out the paper',
        )
    return tool, diameter, spindle


def _guard_diameter(table: Table, tool: str, diameter: float) -> None:
    """Record a diameter that is none of the sizes in the tool's own name."""
    sizes = [size for text in SIZE.findall(tool) if (size := _size(text, table.units)) is not None]
    if sizes and not any(abs(size - diameter) <= OFF * diameter for size in sizes):
        table.wrong(
            "tool_diameter",
            f"{diameter:g} mm for {tool!r}",
            "give the diameter of the end that touches, and name what touches by it",
        )


def _size(text: str, units: str) -> float | None:
    """Return a size that stands in a name, mm; None if it is no length after all."""
    try:
        return length(text.strip(), units)
    except WrongValue:
        return None
