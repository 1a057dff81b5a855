"""How high a person draws the tool up by eye, its count lost: a round figure above all clamps."""

from __future__ import annotations

import math

from pathgen import INCH
from pathgen.input.units import Units
from pathgen.moves.plan import Trouble
from postprocessors.dials.steps import ClearStep, FitStep, FitTouchingStep, Sheet

STEPS: dict[Units, float] = {"mm": 1.0, "in": INCH / 8}  # that a rule beside the work shows well
NEARLY = 1e-9


def compare_heights(sheet: Sheet) -> tuple[Trouble, ...]:
    """Return the steps that leave a tool by eye lower than anything may be wound across."""
    return tuple(
        Trouble(
            number=step.number,
            what=f"the tool may stand {step.height:.2f} mm above the top face by eye, where "
            f"{sheet.clear:.2f} mm is the least to wind across",
            remedy="say how high it is to stand: the clear plane, or more",
            code="hands",
        )
        for step in sheet.steps
        if isinstance(step, FitStep | FitTouchingStep | ClearStep)
        and step.height is not None
        and step.height < sheet.clear - NEARLY
    )


def height_by_eye(clear: float, units: Units) -> float:
    """Return the height to draw up to: the clear plane, up to a whole step of a rule; mm.

    >>> height_by_eye(5.08, "mm"), round(height_by_eye(5.08, "in") / 25.4, 3)
    (6.0, 0.25)
    """
    step = STEPS[units]
    return math.ceil(clear / step - NEARLY) * step
