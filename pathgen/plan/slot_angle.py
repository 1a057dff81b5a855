"""Slots at an angle on a machine that moves one slide at a time: refused, with how to set over."""

from __future__ import annotations

import math

from pathgen.input.where import Refusal
from pathgen.job.slot import Slot
from pathgen.plan.bench import Bench
from pathgen.reckon.tapers import sine_bar_height

SINE_BAR = 100.0  # mm between the rolls of the common bar, common practice, no source
STEEP_DEG = 45.0  # above this a sine bar is set to the complement


def refuse_by_hand(slot: Slot, bench: Bench) -> None:
    """Refuse a slot at an angle where the slides do not move together.

    Raises:
        Refusal: says by what height of gauge blocks the work is set over.
    """
    if slot.turned is None or bench.machine.interpolates:
        return
    angle = slot.turned.angle_deg
    way = "clockwise" if angle > 0 else "anticlockwise"
    raise Refusal(
        slot.where,
        f"{slot.name!r} lies {abs(angle):.3f} degrees off x, and {bench.machine.title} moves one "
        "slide at a time: it would cut steps",
        "use a machine that interpolates; or cut this slot by itself, with the work set over "
        f"{abs(angle):.3f} degrees {way}, seen from above, by {_set_by(abs(angle), bench)}: a job "
        f"of its own, its blank the box that the work then fills ({_filled(abs(angle), bench)}), "
        'the slot along = "x", zeroed by indicator at a hole that is there',
    )


def _filled(angle_deg: float, bench: Bench) -> str:
    """Return how long and wide a box the blank fills when it is set over."""
    low, high = bench.job.blank_box(bench.setup)
    x, y = high[0] - low[0], high[1] - low[1]
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return f"{bench.say(x * cos + y * sin)} by {bench.say(x * sin + y * cos)}"


def _set_by(angle_deg: float, bench: Bench) -> str:
    """Return by what the work is set over: a sine bar and its blocks, or a protractor."""
    steep = angle_deg > STEEP_DEG
    blocks = sine_bar_height(SINE_BAR, 90 - angle_deg if steep else angle_deg)
    against = " set to the complement, from y," if steep else ""
    return (
        f"a sine bar{against} ({bench.say(blocks)} of gauge blocks under one of "
        f"{bench.say(SINE_BAR)}) or a protractor"
    )
