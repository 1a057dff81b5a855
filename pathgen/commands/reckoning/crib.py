"""The drills of the nearest crib, for topics that name the real tool to take."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathgen.reckon.drill_series import Drill, Neighbours, neighbours_among

if TYPE_CHECKING:
    from pathgen.shop.taps import Tap


@dataclass(frozen=True, slots=True, kw_only=True)
class Crib:
    """The drills held, smallest first, the taps, their file, and what was wrong in it."""

    drills: tuple[Drill, ...]
    taps: tuple[Tap, ...]
    file: str
    cautions: tuple[str, ...] = ()

    def around(self, diameter: float) -> Neighbours:
        """Return the drills held below and above a diameter, mm."""
        return neighbours_among(diameter, self.drills)


def find_crib(beside: Path) -> Crib:
    """Return the drills and taps of the crib that a job in this folder would be given."""
    from pathgen.input.where import Faults  # noqa: PLC0415 - not for --help
    from pathgen.shop.shop import find_shop  # noqa: PLC0415

    faults = Faults()
    shop = find_shop(beside, faults)
    drills = (
        Drill(name=cutter.name, series="metric", diameter=cutter.diameter)
        for cutter in shop.cutters
        if cutter.kind == "drill"
    )
    return Crib(
        drills=tuple(sorted(drills, key=lambda drill: drill.diameter)),
        taps=shop.crib.taps,
        file=shop.crib.file,
        cautions=tuple(f"in the shop's files: {error}" for error in faults.errors),
    )


def beside_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add the option that says where the crib and the machines are looked for."""
    return click.option(
        "--beside",
        metavar="FOLDER",
        type=click.Path(path_type=Path, exists=True, file_okay=False),
        default=Path(),
        show_default="here",
        help="Look for the crib and the machines as for a job in this folder.",
    )(function)
