"""What came of a replay so far: moves, actions and troubles, each with its step."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from pathgen.moves.plan import Item, Trouble

Code = Literal[
    "machine-changed",
    "no-slide",
    "no-zero",
    "locked",
    "unlocked",
    "miscounted",
    "not-raised",
    "not-lowered",
    "out-of-range",
    "zero",
    "figure",
    "wrong-way",
    "spindle",
    "wheels",
    "swung",
    "stop",
]


@dataclass(slots=True)
class Record:
    """The moves and actions in order, the step of each, and the troubles met."""

    items: list[Item] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)
    heights: list[tuple[int, float]] = field(default_factory=list)
    step: int = 0

    def put(self, item: Item) -> None:
        """Record a move or an action of the present step."""
        self.items.append(item)
        self.numbers.append(self.step)

    def stands_above(self, height: float) -> None:
        """Record that from here on the tool stands at least so high, until its z is known."""
        self.heights.append((len(self.items), height))

    def trouble(self, code: Code, what: str, remedy: str) -> None:
        """Record a trouble of the present step."""
        self.troubles.append(Trouble(number=self.step, what=what, remedy=remedy, code=code))

    def out_of_range(self, name: str, found: float, low: float, high: float) -> None:
        """Record a found value with which the work must not go on."""
        self.trouble(
            "out-of-range",
            f"{name} found {found:.3f}, outside {low:.3f} to {high:.3f}",
            "stop and find out why",
        )
