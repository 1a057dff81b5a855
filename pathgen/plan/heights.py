"""How deep a cutter can go, and how far down it goes fast: to a little above what is cut."""

from __future__ import annotations

import math

from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine

FLUTES_ABOVE = 0.1  # mm of the flutes that stay above the top face: a dial rounds
OVERCUT = 0.5  # mm that a mill goes below the underside of what it cuts through
# mm above the bottom of the last pass: chips lie there, and a cutter that comes down fast must not
# land on them or, by a slip of the hand, on the floor (common practice, no source)
ABOVE_CHIPS = 1.0
# mm: a shorter way is not worth a line of its own (common practice, no source)
WORTH_A_MOVE = 1.0
PARTS_OF_A_TURN = 10  # a handle stops in the air at a round figure of its dial


def reaches(cutter: Cutter, bottom: float) -> bool:
    """Return whether a cutter's flutes are long enough for its end to go down to a z, mm."""
    return cutter.flute_length >= FLUTES_ABOVE - bottom


def just_above(machine: Machine, cleared: float) -> float:
    """Return the z down to which a cutter may go fast where all is cut down to ``cleared``, mm.

    By a handle at the next tenth of a turn above it, which is a round figure on the dial.
    """
    wanted = cleared + ABOVE_CHIPS
    if not machine.manual:
        return wanted
    step = machine.slide("z").per_turn / PARTS_OF_A_TURN
    return math.ceil(wanted / step - 1e-9) * step
