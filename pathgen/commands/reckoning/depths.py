"""How deep a pass may go, beside the speed and feed of an operation."""

from __future__ import annotations

from collections.abc import Iterator
from typing import get_args

from pathgen.commands.reckoning.answer import Row
from pathgen.reckon.cutting import CuttingData, Rigidity, depth_share
from pathgen.reckon.turning_depths import turning_depth, turning_depth_source

MILLING = ("slotting", "end milling rough")  # finishing takes off what roughing left
SMALL = 2.0  # mm; below it the shares are too much: 0.8 mm broke in steel at a tenth


def depth_rows(data: CuttingData, diameter: float) -> Iterator[Row]:
    """Yield the depth of a pass: by kind of machine in milling, on the radius in turning; mm."""
    if data.operation in MILLING and diameter >= SMALL:
        for rigidity in get_args(Rigidity):
            share = depth_share(data.material, rigidity, data.operation)
            yield Row(
                quantity=f"depth, {rigidity} machine",
                value=share * diameter,
                unit="mm",
                note=f"{share:g} x the diameter",
            )
    depth = turning_depth(data.material)
    if data.operation == "turning" and depth is not None:
        yield Row(
            quantity="depth of cut",
            value=depth,
            unit="mm",
            note="on the radius, a firm lathe roughing; begin a small one at a third of it",
        )


def depth_sources(data: CuttingData, diameter: float) -> Iterator[str]:
    """Yield where the depths are from."""
    if any(depth_rows(data, diameter)):
        words = turning_depth_source()
        yield f"depth: {words if data.operation == 'turning' else 'common practice, no source'}"


def depth_cautions(data: CuttingData, diameter: float) -> Iterator[str]:
    """Yield why no depth is given."""
    if data.operation in MILLING and diameter < SMALL:
        yield (
            "no depth is given for mills under 2 mm: a 0.8 mm one breaks in steel at a tenth of "
            "its diameter; begin at a twentieth (common practice)"
        )
