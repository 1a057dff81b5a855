"""Which way walls are cut, with the cutter's turn or against it, and what is said of it."""

from __future__ import annotations

from pathgen.input.where import Refusal
from pathgen.job.areas import AreaWays, Outside, Pocket
from pathgen.moves.actions import Note
from pathgen.plan import cautions
from pathgen.plan.bench import Bench


def climbs(ways: AreaWays, bench: Bench) -> bool:
    """Return whether walls are cut with the cutter's turn: only where the job asks for it.

    No machine says that its screws have no slack, so the other way is the safe one.

    Raises:
        Refusal: the job asks for it on handles.
    """
    if ways.climb and bench.machine.manual:
        raise Refusal(
            bench.setup.where,
            "climb = true on a machine with handles: the cutter would pull the slides in by their "
            "slack",
            "leave climb out",
        )
    return bool(ways.climb)


def way_caution(ways: AreaWays) -> str:
    """Return the caution about the way the walls are cut."""
    return cautions.CLIMBED if ways.climb else cautions.CONVENTIONAL


def drops_out(area: Pocket | Outside) -> bool:
    """Return whether a chain of holes lets the middle of an area go, so that it is not cut."""
    return area.ways.way == "chain drilled" and area.depth is None


def lifted_out(area: Pocket | Outside) -> tuple[Note, ...]:
    """Return the word to lift out what a chain has let go."""
    if not drops_out(area):
        return ()
    return (Note(text=cautions.LIFT_OUT, caution=True),)
