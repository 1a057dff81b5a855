"""Plunging with a blade, cut beside cut: where its left corner stands each time."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.moves.moves import How, Rapid, Term
from pathgen.plan.turning.ways import along
from pathgen.shop.turning_tools import TurningTool

OVERLAP = 0.8  # of the blade's width from one plunge to the next, at most
LEAST = 1e-9  # mm


def from_right_wall(start: float, tool: TurningTool, share: float, left: float) -> tuple[Term, ...]:
    """Return the sum for the left corner of a blade whose right corner is beside a right wall.

    Args:
        start: from the right face to that wall, mm.
        tool: the blade, by its width as the crib has it.
        share: how much further along, mm.
        left: what is left on the wall for a later cut, mm.
    """
    terms = (
        Term("the faced end", 0.0),
        Term("to the right wall", -start),
        Term("left on the wall", -left),
        Term("width of the blade", -tool.width),
        Term("further along", -share),
    )
    return tuple(term for term in terms if term.value or term.label == "the faced end")


def plunges_beside(
    start: float, tool: TurningTool, more: float, left: float = 0.0
) -> Iterator[tuple[float, Rapid]]:
    """Yield the z of each plunge, from the right wall on, with the way along to it.

    Args:
        start: from the right face to the right wall, mm.
        tool: the blade.
        more: how much further along the last plunge is than the first, mm.
        left: what is left on the right wall for a later cut, mm.
    """
    count = 1 + math.ceil(more / (OVERLAP * tool.width) - LEAST) if more > LEAST else 1
    for index in range(count):
        share = more * index / (count - 1) if count > 1 else 0.0
        terms = from_right_wall(start, tool, share, left)
        z = sum(term.value for term in terms)
        what = f"left corner of the blade, plunge {index + 1} of {count}"
        yield z, along(z)._replace(how=How(makes="size", what=what, sums=(("z", terms),)))
