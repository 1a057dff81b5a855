"""Moves of a lathe tool in the air: along the axis or across it, never both at once."""

from __future__ import annotations

import math

from pathgen.moves.moves import How, Rapid

NAN = math.nan
START = 1.0  # mm off the work, at least, where a cut begins


def across(x: float, what: str = "", *, makes_size: bool = False) -> Rapid:
    """Return the way across the axis to an x, in the air."""
    return Rapid(x, 0.0, NAN, How(makes="size" if makes_size else "air", what=what))


def along(z: float, what: str = "", *, makes_size: bool = False) -> Rapid:
    """Return the way along the axis to a z, in the air."""
    return Rapid(NAN, 0.0, z, How(makes="size" if makes_size else "air", what=what))
