"""What is measured of a roughed area before its walls are finished."""

from __future__ import annotations

from pathgen.job.areas import Outside, Pocket, Rectangular, Round
from pathgen.moves.actions import Measure
from pathgen.plan.bench import Bench
from pathgen.plan.words import made_anew

BAND = 0.15  # mm: how far a roughed size may be off what is expected of it
TOO_NEAR = 0.02  # mm a wall: nearer to the size aimed at than this there is nothing left to cut


def measures(area: Pocket | Outside, bench: Bench, allowance: float) -> tuple[Measure, ...]:
    """Return the measuring of a roughed pocket: its diameter, or its width; none of others.

    Args:
        area: what is cut.
        bench: the machine it is cut on.
        allowance: left on each wall, mm.
    """
    if not isinstance(area, Pocket):
        return ()
    match area.shape:
        case Round(diameter=size):
            what = f"diameter of {area.name}"
        case Rectangular(width=size):
            what = f"width of {area.name} (front to back), at both ends"
        case _:
            return ()
    expected = size.middle - 2 * allowance
    quantity = what.partition(" of ")[0]
    follows = bench.machine.manual
    advice = (
        "outside this range something is amiss: cutter, spindle or a handle; find it first"
        if follows
        else made_anew(area.name, quantity)
    )
    return (
        Measure(
            name="M1",
            what=what,
            expected=expected,
            low=expected - BAND,
            high=min(expected + BAND, size.middle - 2 * TOO_NEAR),
            found_by="cutter" if follows else "nothing",
            advice=advice,
        ),
    )
