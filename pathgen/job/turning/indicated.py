"""How true work runs that was turned in a setup before: what an indicator on it is let go."""

from __future__ import annotations

from typing import assert_never

from pathgen.job.turning.holding import ChuckHold
from pathgen.job.turning.turned import TurnedSetup
from pathgen.shop.holding import (
    INDEPENDENT,
    RUNS_TRUE,
    Chuck,
    Collets,
    DrivingPlate,
    Faceplate,
    Holder,
)


def is_indicated(setup: TurnedSetup) -> bool:
    """Return whether work is set by an indicator on what was turned of it in a setup before.

    Not where a centre in that very end brings it back to its axis.
    """
    carried = setup.carried
    if carried is None or not carried.turned or not isinstance(setup.hold, ChuckHold):
        return False
    return carried.turned_round or not setup.hold.centre


def run_out_left(setup: TurnedSetup, holder: Holder) -> float | None:
    """Return how far a needle on what was turned before may go in all, mm; None: nothing says.

    As the job has it; else of jaws that are set one by one what they are set to, and of a collet
    what its file says.
    """
    if not is_indicated(setup):
        return None
    if isinstance(setup.hold, ChuckHold) and setup.hold.run_out is not None:
        return setup.hold.run_out
    match holder:
        case Collets():
            return holder.run_out
        case Chuck():
            return RUNS_TRUE if holder.jaws == INDEPENDENT else None
        case DrivingPlate() | Faceplate():
            return None
        case _:
            assert_never(holder)
