"""The feed of a cutter, down to the pace of a handle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.commands.reckoning.answer import Row, Wording, plain
from pathgen.reckon.cutting import CuttingData
from pathgen.reckon.speeds import drill_feed, handle_pace, table_feed


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """The feed of a cutter at a speed; lengths in mm."""

    data: CuttingData
    diameter: float
    teeth: int | None
    rpm: float

    @property
    def by_tooth(self) -> bool:
        """Whether the feed counts by the tooth."""
        return self.data.feed_basis == "tooth"

    def per_minute(self) -> float | None:
        """Return the feed, mm/min; None where the teeth are not known or a thread sets it."""
        if self.data.feed_basis == "pitch" or (self.by_tooth and self.teeth is None):
            return None
        each = self.data.feed(self.diameter)
        if self.by_tooth and self.teeth is not None:
            return table_feed(self.rpm, self.teeth, each)
        return drill_feed(self.rpm, each)

    def rows(self, per_turn: float | None) -> Iterator[Row]:
        """Yield the feed per tooth or rev, per minute, and the pace of the handle."""
        if self.data.feed_basis == "pitch":
            yield Row(quantity="feed", value="the pitch of the thread, each rev")
            return
        each = self.data.feed(self.diameter)
        unit = f"mm/{self.data.feed_basis}"
        yield Row(quantity=f"feed per {self.data.feed_basis}", value=each, unit=unit, places=3)
        per_minute = self.per_minute()
        if per_minute is None:
            yield Row(quantity="feed per minute", value="give --teeth")
            return
        yield Row(quantity="feed per minute", value=per_minute, unit="mm/min", places=0)
        if per_turn is not None:
            pace = handle_pace(per_minute, per_turn)
            yield Row(
                quantity="turns of the handle",
                value=pace,
                unit="a minute",
                places=1,
                note=f"one turn in {plain(60 / pace, 1)} s",
            )

    def sums(self, say: Wording, per_turn: float | None) -> Iterator[str]:
        """Yield the sums of the feed."""
        per_minute = self.per_minute()
        if per_minute is None:
            return
        each = say.figure(self.data.feed(self.diameter))
        teeth = f"{self.teeth} teeth x " if self.by_tooth else ""
        yield f"feed = {self.rpm:.0f} rev/min x {teeth}{each} = {say.length(per_minute, 1)}/min"
        if per_turn is not None:
            yield (
                f"turns of the handle = {say.figure(per_minute, 1)} / {say.figure(per_turn)} = "
                f"{plain(handle_pace(per_minute, per_turn), 1)} a minute"
            )
