"""Turning the cutting fluid on and off, or brushing it on, or leaving it out."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import Coolant, Note
from pathgen.moves.plan import Item, Purpose
from pathgen.plan.bench import Bench
from pathgen.reckon.fluids import Work, fluid_for

WORKS: dict[Purpose, Work] = {"ream": "ream", "tap": "tap"}


def fluid_on(purpose: Purpose, bench: Bench) -> Iterator[Item]:
    """Yield the cutting fluid that the material wants: by the control, or with a brush; or none."""
    fluid = fluid_for(bench.material, WORKS.get(purpose, "cut"))
    control = bench.machine.control
    if control is not None:
        if control.coolant and fluid.flood:
            yield Coolant(kind=control.coolant[0])
    elif fluid.name:
        yield Note(
            text=f"{fluid.name.capitalize()} on the cutter and the work, with a brush kept clear "
            "of the cutter."
        )
    else:
        yield Note(
            text=f"Dry: {bench.material} is cut without oil; brush the chips away, never blow them."
        )


def fluid_off(bench: Bench) -> Iterator[Item]:
    """Yield the cutting fluid's turning off, where a control has it."""
    control = bench.machine.control
    if control is not None and control.coolant and fluid_for(bench.material).flood:
        yield Coolant(kind="off")
