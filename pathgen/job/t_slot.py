"""A T-slot: a straight slot, and a wider head along its floor, cut in from an open end."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from pathgen.input.where import Where
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot


@dataclass(frozen=True, slots=True, kw_only=True)
class TSlot:
    """A T-slot sunk from the top face; lengths in mm, positions in the setup's frame.

    At a closed end the head goes round the centre of the slot's round end.
    """

    neck: Slot  # the throat, down to the whole depth
    head_width: Size
    head_height: Size  # from the floor up
    cutter: str | None  # that the job names for the head
    where: Where = field(compare=False, repr=False)

    through = False

    @property
    def name(self) -> str:
        """Return what the job calls it."""
        return self.neck.name

    @property
    def depth(self) -> Size:
        """Return its whole depth."""
        assert self.neck.depth is not None
        return self.neck.depth

    @property
    def lip(self) -> float:
        """Return how much metal is left over the head at least, mm."""
        return self.depth.low - self.head_height.high

    @property
    def head_ends(self) -> tuple[float, float]:
        """Return how far the axis of a cutter goes along, to either end, as it cuts the head."""
        neck, half = self.neck, self.neck.width.nominal / 2
        low = neck.low_end + (0.0 if neck.open_low else half)
        high = neck.high_end - (0.0 if neck.open_high else half)
        return low, high

    @property
    def head(self) -> Slot:
        """Return what the head takes up seen from above, as a slot at nominal width."""
        (low, high), half = self.head_ends, self.head_width.nominal / 2
        return replace(
            self.neck,
            width=self.head_width,
            low_end=low - (0.0 if self.neck.open_low else half),
            high_end=high + (0.0 if self.neck.open_high else half),
        )

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return the box of its head seen from above: least x and y, greatest x and y; mm."""
        return self.head.box
