"""From where on a cutter cuts wider than stated, by what was found measuring its work."""

from __future__ import annotations

from pathgen.moves.actions import Measure
from pathgen.moves.plan import Run, Wider


def widenings(run: Run) -> tuple[tuple[int, Wider], ...]:
    """Return what is found wider, each with the item of the run from which on it counts.

    What was found of a feature counts from its own first cut by that cutter. What the cutter
    finished before says nothing of itself: it was measured, or not, by its own.
    """
    return tuple((_begin(run, each), each) for each in run.wider)


def wider_at(run: Run, index: int, cutter: int) -> float:
    """Return how much wider a cutter cuts at an item of a run, mm."""
    return sum(
        each.much for begin, each in widenings(run) if begin <= index and each.cutter == cutter
    )


def _begin(run: Run, wider: Wider) -> int:
    """Return the first item under the first heading of the feature and the cutter.

    The very first, if no heading tells: then all that the cutter makes is taken to be wider.
    """
    words = [e.what for e in run.items if isinstance(e, Measure) and e.name == wider.measure]
    headings = [each for each in run.headings if each.cutter == wider.cutter]
    of = [each for each in headings if any(f" of {each.feature}" in what for what in words)]
    longest = max((len(each.feature) for each in of), default=0)  # 'slot 2' is no 'slot'
    first = min((each.number for each in of if len(each.feature) == longest), default=0)
    return next((at for at, number in enumerate(run.numbers) if number >= first), 0)
