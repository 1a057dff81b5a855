"""The rotary table of a machine worked by hand: it turns the work about an upright axis."""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.getters import Table
from pathgen.input.where import Where

WHOLE_DEG = 360.0
MINUTES = 60.0  # of arc, in a degree
EASY_TURNS = 40.0  # of a handle in a minute while metal is cut (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class RotaryTable:
    """A rotary table, and how well it is set; angles of the dial in minutes of arc."""

    name: str
    per_turn_deg: float  # that the work turns for one turn of the handle
    division_min: float
    judged: float  # the part of a division that the eye can judge
    slack_min: float  # lost motion at a reversal
    lock: bool
    turned_by: str  # "its handle"
    where: Where = field(compare=False, repr=False)

    @property
    def turns(self) -> float:
        """Return how many turns of the handle turn the work once round."""
        return WHOLE_DEG / self.per_turn_deg

    @property
    def most_rate(self) -> float:
        """Return how fast a hand turns the work while metal is cut, degrees a minute."""
        return self.per_turn_deg * EASY_TURNS


def read_rotary(table: Table) -> RotaryTable | None:
    """Read ``[rotary]`` of a machine file; None when anything in it was wrong."""
    per_turn = table.number("per_turn_deg", above=0, most=WHOLE_DEG)
    rotary = RotaryTable(
        name=table.text("name", default="rotary table"),
        per_turn_deg=per_turn,
        division_min=table.number("division_min", above=0, most=WHOLE_DEG * MINUTES),
        judged=table.number("judged", default=0.5, above=0, most=1),
        slack_min=table.number("slack_min", least=0, most=WHOLE_DEG * MINUTES),
        lock=table.flag("lock", default=True),
        turned_by=table.text("turned_by", default="its handle"),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and not _whole(rotary.turns):
        table.wrong(
            "per_turn_deg",
            f"{per_turn:g} degrees are no whole part of a turn",
            "give the degrees for one turn of its handle, such as 4 or 6",
        )
    if not table.faulty and not _whole(per_turn * MINUTES / rotary.division_min):
        table.wrong(
            "division_min",
            f"{rotary.division_min:g} minutes of arc do not go into {per_turn:g} degrees",
            "give the minutes of arc of one division of its handle's dial",
        )
    return None if table.faulty else rotary


def _whole(number: float) -> bool:
    """Return whether a number is whole, to rounding."""
    return abs(number - round(number)) < 1e-6
