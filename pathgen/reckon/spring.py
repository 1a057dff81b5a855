"""How far bars and work spring under the cut, and the rules for how far they may stand out.

Lengths in mm, forces in N, moduli in N/mm2.
"""

from __future__ import annotations

import math
from typing import Literal

from pathgen.reckon.guards import above_zero, nearest_words
from pathgen.reckon.tables import table

__all__ = [
    "Support",
    "deflection_between_centres",
    "modulus",
    "overhang_limit",
    "overhung_deflection",
    "overhung_limit_for",
    "second_moment",
    "support_for",
]

Support = Literal["chuck alone", "chuck alone, light cuts", "centre", "steady"]

# Steel: 4 diameters (Widia, Cutting Tool Engineering). Carbide: Widia prints 10, others 6 to 8
# (from memory): the cautious end.
OVERHANG = {"steel": 4.0, "carbide": 6.0}


def modulus(material: str) -> float:
    """Return Young's modulus, in N/mm2, of steel, carbide or aluminium.

    >>> modulus("steel")
    206000.0
    """
    known = table("densities")["modulus"]
    if material not in known:
        raise ValueError(f"no modulus is known for {material!r}; {nearest_words(material, known)}")
    return float(known[material])


def second_moment(diameter: float) -> float:
    """Return the second moment of a solid round bar, in mm4: pi D^4 / 64.

    >>> round(second_moment(25.4) / 25.4**4, 4)
    0.0491
    """
    above_zero(diameter=diameter)
    return math.pi * diameter**4 / 64


def overhung_deflection(
    force: float, overhang: float, diameter: float, modulus_n_mm2: float
) -> float:
    """Return how far the end of a round bar held at one end gives, in mm.

    A boring bar, or work in a chuck without a centre. Eight times for twice the length, a
    sixteenth for twice the diameter.

    Source: y = F L^3 / (3 E I), Cutting Tool Engineering.

    >>> round(overhung_deflection(100.0, 72.0, 12.0, 206000.0), 6)
    0.059335
    """
    above_zero(force=force, overhang=overhang, modulus=modulus_n_mm2)
    return force * overhang**3 / (3 * modulus_n_mm2 * second_moment(diameter))


def overhung_limit_for(give: float, force: float, diameter: float, modulus_n_mm2: float) -> float:
    """Return the overhang, in mm, at which a round bar held at one end gives so much.

    >>> round(overhung_limit_for(0.059335, 100.0, 12.0, 206000.0), 2)
    72.0
    """
    above_zero(give=give)
    return float((give / overhung_deflection(force, 1.0, diameter, modulus_n_mm2)) ** (1 / 3))


def deflection_between_centres(
    force: float, length: float, diameter: float, modulus_n_mm2: float
) -> float:
    """Return how far round work between centres gives at its middle, in mm.

    Source: beam on two supports: y = F L^3 / (48 E I).

    >>> round(deflection_between_centres(100.0, 200.0, 12.0, 206000.0), 4)
    0.0795
    """
    return overhung_deflection(force, length, diameter, modulus_n_mm2) / 16


def overhang_limit(shank: float, bar_of: str) -> float:
    """Return the most, in mm, that a boring bar should stand out of its holder.

    Args:
        shank: diameter of the bar, mm.
        bar_of: "steel" or "carbide".

    Source: 4 diameters for steel; 6 for carbide, the cautious end of 6 to 10.

    >>> overhang_limit(10.0, "steel"), overhang_limit(10.0, "carbide")
    (40.0, 60.0)
    """
    above_zero(shank=shank)
    if bar_of not in OVERHANG:
        raise ValueError(f"no rule for bars of {bar_of!r}; {nearest_words(bar_of, OVERHANG)}")
    return shank * OVERHANG[bar_of]


def support_for(length: float, diameter: float) -> Support:
    """Return how work standing out so far from the chuck has to be held.

    Source: common practice, no source: 3 diameters in the chuck alone, 4 for light cuts, a centre
    up to 10, beyond that a steady.

    >>> support_for(50.0, 20.0), support_for(300.0, 20.0)
    ('chuck alone', 'steady')
    """
    above_zero(length=length, diameter=diameter)
    ratio = length / diameter
    if ratio <= 3:
        return "chuck alone"
    if ratio <= 4:
        return "chuck alone, light cuts"
    return "centre" if ratio <= 10 else "steady"
