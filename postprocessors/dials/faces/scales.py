"""What figures are read off: a dial with its turns, a readout, the dial of a boring head."""

from __future__ import annotations

from dataclasses import dataclass

from postprocessors.dials.faces import figures
from postprocessors.dials.faces.head_words import FEWEST
from postprocessors.dials.readings import Following
from postprocessors.dials.steps import Dial, SetHeadStep, Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How whole counts are shown as a figure."""

    shown: float  # what one count is in the figure
    decimals: int
    unit: str  # "divisions", or that of a readout
    turn: int = 0  # counts in a turn, 0 where no turns are counted

    def figure(self, counts: int) -> str:
        """Return counts as the figure that is read, without whole turns."""
        return figures.fixed(counts * self.shown, self.decimals)

    def split(self, reading: int) -> tuple[int, int]:
        """Return the turn and the figure of a reading, in counts."""
        return divmod(reading, self.turn) if self.turn else (0, reading)

    def whole(self, reading: int) -> str:
        """Return a reading with its whole turns, if they are counted."""
        turn, counts = self.split(reading)
        return f"{turn} t {self.figure(counts)}" if self.turn else self.figure(counts)


def scale_of_dial(dial: Dial) -> Scale:
    """Return how a slide's dial or readout is read."""
    return Scale(
        shown=dial.shown,
        decimals=figures.dial_decimals(dial),
        unit=figures.unit_of_figures(dial),
        turn=0 if dial.readout else dial.counts_per_turn,
    )


def scale_of(step: Following, sheet: Sheet) -> Scale:
    """Return what the figure of a step is read off."""
    if isinstance(step, SetHeadStep):
        decimals = figures.decimals_of(step.judged, FEWEST)
        return Scale(shown=step.judged, decimals=decimals, unit="divisions")
    return scale_of_dial(sheet.dial(step.slide))
