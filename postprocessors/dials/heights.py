"""How high a person draws the tool up by eye, its count lost: a round figure above all clamps."""

from __future__ import annotations

import math

from pathgen import INCH
from pathgen.input.units import Units

STEPS: dict[Units, float] = {"mm": 1.0, "in": INCH / 8}  # that a rule beside the work shows well
NEARLY = 1e-9


def height_by_eye(clear: float, units: Units) -> float:
    """Return the height to draw up to: the clear plane, up to a whole step of a rule; mm.

    >>> height_by_eye(5.08, "mm"), round(height_by_eye(5.08, "in") / 25.4, 3)
    (6.0, 0.25)
    """
    step = STEPS[units]
    return math.ceil(clear / step - NEARLY) * step
