"""What a page is made of: what a form of work gives for it, and what a trade has to show."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import NamedTuple

from pathgen.moves.plan import Heading, Run
from postprocessors.drawing.stages import Stand
from postprocessors.drawing.strip import Stage
from postprocessors.page.pages import Follow, Group, Pictures

LAST = 10**9  # beyond every step and line


class Parts(NamedTuple):
    """What a form of work gives for its page."""

    groups: tuple[Group, ...]
    cutters: tuple[tuple[str, str, str], ...]
    reading: tuple[str, ...]
    dials: tuple[dict[str, str], ...]
    follow: Follow
    headings: tuple[Heading, ...]  # of the passes, by step or line
    ends: tuple[int, ...] | None  # the last line of each card; None where a card is a step

    def card_of(self, number: int) -> int:
        """Return the card that a step or a line belongs to."""
        if self.ends is None:
            return number
        return min(bisect_left(self.ends, number) + 1, len(self.ends))

    def stages(self, run: Run) -> list[Stage]:
        """Return the passes of a run by their headings, numbered in order."""
        return stages_of_run(self.headings, run)


def stages_of_run(headings: Sequence[Heading], run: Run) -> list[Stage]:
    """Return the passes of a run by their headings, numbered in order."""
    names = {cutter.number: cutter.name for cutter in run.head.cutters}
    ends = [heading.number for heading in headings[1:]] + [LAST]
    first = run.head.passes_before + 1
    return [
        Stage(
            number=number,
            title=f"{heading.purpose}: {heading.feature}",
            cutter=names.get(heading.cutter, ""),
            first=heading.number,
            end=end,
        )
        for number, (heading, end) in enumerate(
            zip(headings, ends, strict=bool(headings)), start=first
        )
    ]


class Shown(NamedTuple):
    """What a trade has to show of a setup."""

    blank: str
    held: str
    pictures: Pictures
    stands: tuple[Stand, ...]  # where the tool is, step by step or line by line
