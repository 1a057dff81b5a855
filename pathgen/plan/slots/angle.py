"""Slots at an angle on a machine that moves one slide at a time: set over, or refused."""

from __future__ import annotations

import math

from pathgen.input.where import Refusal
from pathgen.job.set_over import MOST_DEG, RIGHT_DEG
from pathgen.job.slot import Slot
from pathgen.plan.bench import Bench


def refuse_by_hand(slot: Slot, bench: Bench) -> None:
    """Refuse a slot at an angle where the slides do not move together.

    Raises:
        Refusal: says by what the work is set over for it.
    """
    if slot.turned is None or bench.machine.interpolates:
        return
    angle = slot.turned.angle_deg
    raise Refusal(
        slot.where,
        f"{slot.name!r} lies {abs(angle):.3f} degrees off x, and {bench.machine.title} moves one "
        "slide at a time: it would cut steps",
        "use a machine that interpolates; or cut it in a setup of its own, with the work set over: "
        f'set_over = {{ angle_deg = {_set_over_by(angle):.10g}, by = "sine bar" }}, x and y picked '
        'up by an indicator in a hole that is there or was cut before: middle_of = "NAME", '
        'by = "indicator"',
    )


def _set_over_by(angle_deg: float) -> float:
    """Return by how much the work is set over for a slot: a steep one comes to lie along y.

    >>> _set_over_by(15.0), _set_over_by(-72.5)
    (15.0, 17.5)
    """
    if abs(angle_deg) <= MOST_DEG:
        return angle_deg
    return angle_deg - math.copysign(RIGHT_DEG, angle_deg)
