"""The depth of a roughing cut in turning."""

from __future__ import annotations

import math

from pathgen import INCH
from pathgen.reckon.materials import material_name
from pathgen.reckon.tables import table

__all__ = ["bench_depth", "turning_depth", "turning_depth_source"]


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


# mm on the radius in one roughing cut, by how firm the lathe is: common practice, no source. On a
# small one 0.5 to 0.6 mm goes with feeds of 0.38 to 0.6 mm a turn; a firm one takes more.
BENCH_DEPTHS = {"light": 0.6, "medium": 1.0, "rigid": 2.0}


def bench_depth(material: str, rigidity: str) -> float:
    """Return the depth of a roughing cut that a lathe takes in a material, mm on the radius.

    Args:
        material: what the work is of.
        rigidity: of the lathe: "light", "medium" or "rigid".

    >>> bench_depth("brass", "light"), round(bench_depth("mild steel", "rigid"), 3)
    (0.6, 0.762)
    """
    return min(BENCH_DEPTHS[rigidity], turning_depth(material) or math.inf)
