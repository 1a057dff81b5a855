"""How much work grows as it warms under the cut; lengths in mm, temperatures in degrees C."""

from __future__ import annotations

from pathgen.reckon.guards import above_zero
from pathgen.reckon.materials import material_name
from pathgen.reckon.tables import table

__all__ = ["expansion", "lengthening"]


def expansion(material: str) -> float:
    """Return by what part of itself a material grows for each degree, by any of its names.

    Source: rounded handbook figures, from memory.

    >>> expansion("mild steel")
    1.15e-05
    """
    return float(table("densities")["expansion"][material_name(material)]) * 1e-6


def lengthening(material: str, length: float, warmer: float) -> float:
    """Return how much longer work is that is so many degrees warmer, mm.

    >>> round(lengthening("mild steel", 200.0, 20.0), 3)
    0.046
    """
    above_zero(length=length)
    return expansion(material) * length * warmer
