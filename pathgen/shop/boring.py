"""Boring heads: what their dial does, and which bores their bar goes into."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.input.getters import Table

WHOLE_COUNTS = 1e-9  # how nearly a turn must hold a whole number of judged parts
# How far a steel bar may stand out, in its own diameters, before it chatters (common practice: two
# writers on boring agree, read in a summary of them).
MOST_OVERHANG = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BoringHead:
    """A boring head with the bar it is used with; lengths in mm, all that is cut by diameter."""

    least: float  # the smallest bore that bar and tool go into, the tool drawn in
    most: float  # the widest that it cuts
    bar: float  # diameter of the bar
    reach: float  # how far the bar stands out of the head
    per_division: float  # by how much one division of its dial changes the DIAMETER
    divisions: float  # lines on the dial
    judged: float  # the least part of a division that the eye can judge
    slack: float  # lost motion of its screw, in diameter; settings are come to going out
    flat: bool  # its tool is ground to cut a flat floor

    @property
    def count(self) -> float:
        """Return by how much one judged part of a division changes the diameter, mm."""
        return self.per_division * self.judged

    @property
    def side(self) -> float:
        """Return how far the tool stands out beyond the bar, mm: deeper cuts meet the bar."""
        return (self.least - self.bar) / 2

    @property
    def overhang(self) -> float:
        """Return how far the bar stands out, in its own diameters."""
        return self.reach / self.bar


def read_head(table: Table) -> BoringHead:
    """Read what is asked of a ``[[cutter]]`` that is a boring head."""
    head = BoringHead(
        least=table.length("least", above=0),
        most=table.length("most", above=0),
        bar=table.length("bar", above=0),
        reach=table.length("reach", above=0),
        per_division=table.length("per_division", above=0),
        divisions=table.number("divisions", least=1),
        judged=table.number("judged", default=0.5, above=0, most=1),
        slack=table.length("slack", default=0.0, least=0),
        flat=table.flag("flat", default=False),
    )
    if not table.faulty:
        _guard(table, head)
    return head


def _guard(table: Table, head: BoringHead) -> None:
    """Record what is wrong between the figures of a boring head."""
    if head.bar >= head.least:
        table.wrong(
            "least",
            f"a bar of {table.say(head.bar)} does not go into a bore of {table.say(head.least)}",
            "give the smallest bore that the bar goes into with its tool drawn in",
        )
    if head.most <= head.least:
        table.wrong(
            "most",
            f"{table.say(head.most)}, and the least is {table.say(head.least)}",
            "give the widest bore that it cuts",
        )
    if head.overhang > MOST_OVERHANG:
        table.wrong(
            "reach",
            f"a bar of {table.say(head.bar)} that stands out {table.say(head.reach)}, "
            f"{head.overhang:.1f} times its diameter",
            f"set it back to {table.say(MOST_OVERHANG * head.bar)} at most, or it chatters",
        )
    if head.slack >= head.per_division * head.divisions / 2:
        table.wrong(
            "slack",
            f"{table.say(head.slack)} is half a turn of its dial or more, by which one goes in",
            "measure it again, or take up the screw first",
        )
    counts = head.divisions / head.judged
    if not math.isclose(counts, round(counts), abs_tol=WHOLE_COUNTS):
        table.wrong(
            "judged",
            f"a turn of {head.divisions:g} divisions holds {counts:g} judged parts",
            "give a part that divides the turn into a whole number, such as 0.5 or 0.25",
        )
