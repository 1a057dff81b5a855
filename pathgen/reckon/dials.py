"""Dials: a distance as turns and divisions, and the infeed for a change of diameter.

Lengths in mm.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from pathgen.reckon.guards import above_zero, not_below_zero

__all__ = ["DialCount", "dial_count", "infeed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DialCount:
    """A distance from zero as whole turns of a handle and divisions of its dial.

    `error` is what the reading has too much, in mm, through what the eye can judge.
    """

    turns: int
    divisions: float
    error: float


def dial_count(
    distance: float, per_turn: float, divisions: float, judged: float | None = None
) -> DialCount:
    """Return whole turns and divisions for a distance from zero.

    Args:
        distance: from the dial's zero, mm, not below zero.
        per_turn: travel for one turn of the handle, mm.
        divisions: of the whole dial; not always a whole number.
        judged: the part of a division that the eye can tell; none for the exact figure.

    >>> dial_count(25.4, 2.0, 100.0)
    DialCount(turns=12, divisions=70.0, error=0.0)
    >>> count = dial_count(10.0, 2.54, 100.0, judged=0.5)
    >>> count.divisions, round(count.error, 4)
    (93.5, -0.0051)
    """
    not_below_zero(distance=distance)
    above_zero(per_turn=per_turn, divisions=divisions)
    total = distance / per_turn * divisions
    count = total
    if judged is not None:
        above_zero(judged=judged)
        count = round(total / judged) * judged
    turns = math.floor(count / divisions + 1e-9)  # 55 turns must not become 54 and a full dial
    return DialCount(
        turns=turns,
        divisions=max(0.0, round(count - turns * divisions, 9)),
        error=(count - total) * per_turn / divisions,
    )


def infeed(from_diameter: float, to_diameter: float, reads: Literal["slide", "diameter"]) -> float:
    """Return what a cross slide's dial moves on, in mm, between two diameters.

    Args:
        from_diameter: what is there, mm.
        to_diameter: what is wanted, mm.
        reads: "slide" where the dial shows the slide's travel, half the change of the diameter;
            "diameter" where it shows what comes off the diameter.

    Plus is towards the axis.

    >>> round(infeed(25.0, 22.4, "slide"), 9), round(infeed(25.0, 22.4, "diameter"), 9)
    (1.3, 2.6)
    """
    not_below_zero(from_diameter=from_diameter, to_diameter=to_diameter)
    if reads not in ("slide", "diameter"):
        raise ValueError(f"a dial does not read {reads!r}; give 'slide' or 'diameter'")
    change = from_diameter - to_diameter
    return change / 2 if reads == "slide" else change
