"""What a printed sheet says of tilting, of the sweep of a fly cutter, and of turning the work."""

from __future__ import annotations

from typing import assert_never

from pathgen.input.units import Units
from postprocessors.dials import steps
from postprocessors.dials.faces import figures

WHOLE = 360.0
MINUTE = 60.0  # seconds


def said_of_tilting(
    step: steps.AngleStep | steps.SweepStep | steps.TurnStep, units: Units
) -> tuple[str, ...]:
    """Return what such a step says."""
    match step:
        case steps.AngleStep():
            said: tuple[str, ...] = (
                (
                    f"TILT    the {step.part} to {step.angle_deg:g} degrees from the spindle,"
                    f" to the {step.towards.upper()}; nip it there"
                ),
                (
                    f"within {step.uncertainty_deg:g} degrees: prove it against a protractor or a"
                    " sine bar; x and the height are found anew after it"
                ),
            )
        case steps.SweepStep():
            said = _sweep(step, units)
        case steps.TurnStep():
            said = _turn(step)
        case _:
            assert_never(step)
    return said


def _sweep(step: steps.SweepStep, units: Units) -> tuple[str, ...]:
    """Return how the point of a fly cutter is set."""
    where = "outermost" if step.looks == "outwards" else "innermost"
    across = "half of body and sweep"
    return (
        f"SET THE SWEEP of cutter {step.cutter} to {figures.both_sizes(step.sweep, units)}",
        (
            f"measured over the point and the far side of the body it is"
            f" {figures.both_sizes(step.over, units)} ({across}; the point's {where} place)"
        ),
        (
            f"within {figures.size(step.uncertainty, units)} of the sweep; nip the point hard, and"
            " measure again"
        ),
    )


def _turn(step: steps.TurnStep) -> tuple[str, ...]:
    """Return how the work is turned."""
    turns = abs(step.end_deg - step.start_deg) / WHOLE
    way = "anticlockwise" if step.end_deg > step.start_deg else "clockwise"
    often = "ONE WHOLE TURN" if turns == 1 else f"{turns:g} turns"
    seconds = MINUTE * WHOLE / step.rate
    pace = f"evenly, {seconds:.0f} s a turn" if step.cut else "in the air"
    return (
        f"TURN    the work {often} {way}, by {step.by}; {pace}",
        *([step.what] if step.what else []),
    )
