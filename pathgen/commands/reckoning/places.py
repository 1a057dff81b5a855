"""Places of holes as tables of co-ordinates, with the readings of a dial where one is told."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

import click

from pathgen.commands.reckoning.answer import Column, Table, plain
from pathgen.commands.reckoning.inputs import LENGTH
from pathgen.reckon.dials import dial_count
from pathgen.reckon.holes import Position

DECIMALS = 3  # of a co-ordinate, mm
PLACE_ADVICE = (
    "every place is from the datum, never from the last hole: errors do not add up",
    "come up to every place from the same side, so that the slack is out",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """A dial to give the co-ordinates on: travel of one turn, mm, and lines of the dial."""

    per_turn: float
    divisions: float

    def reading(self, distance: float) -> str:
        """Return turns and divisions of a co-ordinate, to half a division."""
        if distance < -1e-9:
            return "below zero"
        count = dial_count(max(distance, 0.0), self.per_turn, self.divisions, judged=0.5)
        return f"{count.turns} turns + {plain(count.divisions, 1)}"


def handle_of(turn: float | None, divisions: float | None) -> Handle | None:
    """Return the dial that --turn and --divisions tell, None where neither is given.

    Raises:
        ValueError: only one of the two is given.
    """
    if (turn is None) != (divisions is None):
        raise ValueError(
            "a dial is told by its turn and its divisions; give --turn and --divisions"
        )
    if turn is None or divisions is None:
        return None
    return Handle(per_turn=turn, divisions=divisions)


def place_table(
    title: str,
    holes: Iterable[Position],
    angles: tuple[float, ...],
    handle: Handle | None,
    what: str = "hole",
) -> Table:
    """Return holes or other places with their angles, where they have any, and dial readings."""
    columns = [Column(heading=what, places=0)]
    columns += [Column(heading="angle deg", places=4)] if angles else []
    columns += [Column(heading=axis, unit="mm", places=DECIMALS) for axis in "XY"]
    columns += [Column(heading=f"{axis} dial") for axis in "XY"] if handle else []
    lines = []
    for number, (x, y) in enumerate(holes, 1):
        angle = angles[number - 1 : number]
        dials = (handle.reading(x), handle.reading(y)) if handle else ()
        lines.append((float(number), *angle, x, y, *dials))
    return Table(title=title, columns=tuple(columns), lines=tuple(lines))


def dial_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options that tell a dial: the travel of one turn, and its lines."""
    lines = click.option("--divisions", type=float, help="Lines on the dials.")
    turn = click.option("--turn", type=LENGTH, help="How far the handles go in one turn.")
    return turn(lines(function))
