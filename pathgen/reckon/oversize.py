"""How much larger than itself a twist drill cuts."""

from __future__ import annotations

from pathgen import INCH
from pathgen.reckon.guards import above_zero


def drilled_oversize(diameter: float) -> float:
    """Return by how much a drilled hole comes out larger than its drill as a rule, mm.

    Args:
        diameter: of the drill, mm.

    Source: a machining handbook's mean for holes drilled without a bush, 0.002 in + 0.005 of the
    diameter (from memory; its least is 0.001 in + 0.003, its greatest 0.005 in + 0.005).

    >>> round(drilled_oversize(6.0), 3), round(drilled_oversize(12.0), 3)
    (0.081, 0.111)
    """
    above_zero(diameter=diameter)
    return 0.002 * INCH + 0.005 * diameter
