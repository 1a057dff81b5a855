"""What a spindle speed is lowered for, and when the nearest speed above it must not be taken."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.reckon.cutting import CuttingData
from pathgen.reckon.reductions import INTERRUPTED_CUT, ReducedSpeed, Reduction, deep_hole

HARD_WORDS = "the nearest that is not above: this material costs the cutter when run too fast"
OPERATION_WORDS = "the nearest that is not above: {} is not for hurrying"
LOWERED_WORDS = "the nearest that is not above: it was lowered for a reason"
TURNING = ("turning", "turning finish", "boring", "parting", "threading")
SLOW_OPERATIONS = {  # none is run faster than wanted (common practice, no source); what to mind
    "tapping": "clear the chips, and stop short of the floor; by hand is safer than too fast",
    "reaming": "never turn a reamer backwards, and never stop it in the hole",
    "threading": "take the slowest speed at which you can still disengage in time",
    "fly cutting": (
        "a fly cutter throws its tool if it comes loose: try its screws, stand aside, begin slowly"
    ),
}


def reductions(
    data: CuttingData, diameter: float, depth: float | None, *, interrupted: bool
) -> list[Reduction]:
    """Return what the speed of an operation is lowered for; lengths in mm.

    Raises:
        ValueError: a depth where nothing is drilled, or gaps in a cut whose teeth come and go at
            every turn anyway.
    """
    if depth is not None and data.operation != "drilling":
        raise ValueError("--depth lowers the speed of a drill only; leave it out")
    if interrupted and data.operation not in (*TURNING, "drilling"):
        raise ValueError(
            f"gaps lower the speed of drilling and turning, and not of {data.operation}; "
            "leave out --interrupted"
        )
    lowered = [] if depth is None else [deep_hole(depth, diameter)]
    return [*lowered, INTERRUPTED_CUT] if interrupted else lowered


def why_not_above(data: CuttingData, slowed: ReducedSpeed) -> str | None:
    """Return why no speed above the wanted one is taken; None where the nearest will do."""
    if data.hard:
        return HARD_WORDS
    if data.operation in SLOW_OPERATIONS:
        return OPERATION_WORDS.format(data.operation)
    return LOWERED_WORDS if slowed.reasons else None


def lowering_sum(wanted: float, slowed: ReducedSpeed) -> Iterator[str]:
    """Yield what lowered the speed, from which to which, rev/min."""
    if slowed.reasons:
        yield f"{'; '.join(slowed.reasons)}: {wanted:.0f} becomes {slowed.rpm:.0f} rev/min"
