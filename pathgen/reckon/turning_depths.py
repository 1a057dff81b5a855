"""The depth of a roughing cut in turning."""

from __future__ import annotations

from pathgen import INCH
from pathgen.reckon.materials import material_name
from pathgen.reckon.tables import table

__all__ = ["turning_depth", "turning_depth_source"]


def turning_depth(material: str) -> float | None:
    """Return the depth of a roughing cut with HSS, mm on the radius; None where none is printed.

    A figure for a firm machine. A small bench lathe takes 0.25 to 1 mm in steel (from memory).

    Source: two-page laboratory sheet, table of depths of cut.

    >>> round(turning_depth("mild steel") or 0, 3)
    0.762
    """
    inches: dict[str, float] = table("cutting")["turning_depth"]["in_radius"]
    name = material_name(material)
    return inches[name] * INCH if name in inches else None


def turning_depth_source() -> str:
    """Return where the depths are from, in words."""
    data = table("cutting")
    words: str = data["sources"][data["turning_depth"]["source"]]
    return words
