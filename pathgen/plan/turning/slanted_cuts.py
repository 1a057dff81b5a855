"""The two operations of a taper by the compound: tried with a little left, then put right, to size.

They are the same outside and in a bore; how the tool is set, cuts and is drawn off is not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Protocol

from pathgen.moves.actions import Note, Spindle, WorkBy
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import TurnedOperation
from pathgen.plan.turning.slanted import SWUNG, TO_SIZE, Slanted, measured, put_right, swung
from pathgen.plan.turning.ways import along


class Manner(Protocol):
    """How a taper is cut where it is: outside, or in a bore."""

    @property
    def taper(self) -> Slanted:
        """Return the taper."""
        ...

    @property
    def called(self) -> str:
        """Return the taper in words."""
        ...

    @property
    def deepest(self) -> float:
        """Return how deep a cut is at most, mm."""
        ...

    @property
    def touched(self) -> float:
        """Return the diameter that a tool fitted for it would be touched on outside, mm."""
        ...

    @property
    def by(self) -> WorkBy | None:
        """Return the slides that it is worked by; None: those of outside work."""
        ...

    def before_swung(self) -> Iterator[Item]:
        """Yield what is done before the compound is swung, the spindle stopped."""
        ...

    def after_swung(self) -> Iterator[Item]:
        """Yield what is done once it is swung, the spindle stopped still."""
        ...

    def indicated(self) -> str:
        """Return how an indicator is set up to measure the angle."""
        ...

    def zeros(self, found_as: str) -> Iterator[Item]:
        """Yield how the tool finds its zeros, the compound at 0."""
        ...

    def skim(self, name: str) -> Iterator[Item]:
        """Yield a light cut by the carriage on what the taper takes off, measured as ``name``."""
        ...

    def cut(self, over: float, what: str, *, last: bool = False) -> Iterator[Item]:
        """Yield one cut along the taper that leaves so much on the radius, and the way back."""
        ...

    def blue(self) -> str:
        """Return how the taper is tried against what it goes with."""
        ...


def by_compound(manner: Manner) -> Iterator[TurnedOperation]:
    """Yield the cuts with which a taper is tried, and those that take it to size."""
    yield _tried(manner)
    yield _to_size(manner)


def _tried(manner: Manner) -> TurnedOperation:
    """Return the swinging of the compound, and the cuts down to what is left for the last ones."""
    taper = manner.taper
    bench, edge, left = taper.bench, taper.edge, taper.over
    stock = edge.out - edge.foot
    count = max(1, math.ceil((stock - left) / manner.deepest - 1e-9))
    items: list[Item] = [
        Spindle(rpm=0.0),
        Note(text=SWUNG, caution=True),
        *manner.before_swung(),
        swung(taper),
        *manner.after_swung(),
        Spindle(rpm=taper.figures.rpm),
        *manner.zeros(""),
        along(taper.right, "the carriage stays here, locked", makes_size=True),
    ]
    for number in range(1, count + 1):
        over = stock - (stock - left) * number / count
        what = f"cut {number} of {count}, {bench.say(2 * left)} left at the last"
        items += manner.cut(over, what, last=number == count)
    return TurnedOperation(
        purpose="rough",
        feature=edge.name,
        tool=taper.tool,
        figures=taper.figures,
        why=f"{manner.called}, by the {taper.compound.name}, tried before it is cut to size;"
        f" {taper.figures.why}",
        items=tuple(items),
        depth_of_cut=(stock - left) / count,
        touched=manner.touched,
        zeros=(),
        by=manner.by,
    )


def _to_size(manner: Manner) -> TurnedOperation:
    """Return the angle measured and put right, zeros found anew, and the cuts to the line."""
    taper = manner.taper
    bench, edge = taper.bench, taper.edge
    found_as = f"D{taper.name[1:]}" if taper.skimmed else ""
    items: list[Item] = [
        Spindle(rpm=0.0),
        Note(text=manner.indicated()),
        *measured(taper),
        put_right(taper),
        *manner.after_swung(),
        Spindle(rpm=taper.figures.rpm),
        *manner.zeros(found_as),
        *(manner.skim(found_as) if found_as else ()),
        along(taper.right, "the carriage stays here, locked", makes_size=True),
    ]
    for number in range(1, TO_SIZE + 1):
        over = taper.over * (TO_SIZE - number) / TO_SIZE
        what = f"cut {number} of {TO_SIZE} to the line"
        items += manner.cut(over, what, last=number == TO_SIZE)
    return TurnedOperation(
        purpose="finish",
        feature=edge.name,
        tool=taper.tool,
        figures=taper.figures,
        why=f"{manner.called}, its angle measured and put right, the nose of"
        f" {bench.say(taper.tool.nose_radius)} allowed for; {taper.figures.why}",
        items=(*items, Note(text=manner.blue())),
        depth_of_cut=taper.over / TO_SIZE,
        touched=manner.touched,
        zeros=(),
        by=manner.by,
    )
