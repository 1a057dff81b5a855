"""The drawing of turned work: the half section as it is left, the wanted outline, the moves."""

from __future__ import annotations

from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.moves.plan import Run
from pathgen.shop.crib import Crib
from pathgen.shop.machines import Machine


def draw_turned(job: TurnedJob, setup: TurnedSetup, run: Run, machine: Machine, crib: Crib) -> str:
    """Return the half section as SVG."""
    return '<svg xmlns="http://www.w3.org/2000/svg"/>'
