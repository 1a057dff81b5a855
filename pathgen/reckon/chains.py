"""Chains of holes, which take out most of the metal of a cut-out or a slot; lengths in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, not_below_zero

__all__ = ["Chain", "chain_at_pitch", "chain_between", "overlap_crest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """A row of holes that takes out the metal of a cut-out or a slot; lengths in mm.

    `first_centre` is measured from the end of the cut-out; `web` is the metal between two holes,
    below zero where they overlap.
    """

    holes: int
    pitch: float
    first_centre: float
    web: float

    @property
    def moves(self) -> int:
        """Return how often to move on: one less than the holes."""
        return self.holes - 1


def chain_between(length: float, drill: float, web: float, allowance: float) -> Chain:
    """Return as many evenly spaced holes as go into a length, with an allowance at both ends.

    Args:
        length: of the cut-out, mm.
        drill: diameter, mm.
        web: the least metal to leave between holes, mm; minus where they may overlap by that.
        allowance: what to leave for finishing at each end, mm.

    >>> chain_between(60.0, 6.0, 0.5, 0.5)
    Chain(holes=9, pitch=6.625, first_centre=3.5, web=0.625)
    """
    above_zero(length=length, drill=drill)
    not_below_zero(allowance=allowance)
    above_zero(pitch=drill + web)
    span = length - 2 * allowance - drill
    if span < 0:
        raise ValueError(
            f"a {drill:g} drill does not go into {length:g} less {allowance:g} at each end; "
            f"give a drill of at most {max(length - 2 * allowance, 0):g}"
        )
    moves = math.floor(span / (drill + web) * (1 + 1e-12))
    pitch = span / moves if moves else 0.0
    return Chain(
        holes=moves + 1,
        pitch=pitch,
        first_centre=allowance + drill / 2 + (0 if moves else span / 2),
        web=pitch - drill if moves else 0.0,
    )


def chain_at_pitch(length: float, drill: float, pitch: float) -> Chain:
    """Return as many holes of a given pitch as go into a length, what is left shared by the ends.

    The published case takes the number of holes as the length by the pitch, and half of what is
    left for each end; that leaves half a web less at the start than at the end. Here the ends are
    equal.

    >>> chain = chain_at_pitch(107.95, 6.35, 6.604)
    >>> chain.holes, round(chain.first_centre / 25.4, 3)
    (16, 0.175)
    """
    above_zero(length=length, drill=drill, pitch=pitch)
    if drill > length:
        raise ValueError(f"a {drill:g} drill does not go into {length:g}; give a smaller one")
    moves = math.floor((length - drill) / pitch * (1 + 1e-12))
    return Chain(
        holes=moves + 1,
        pitch=pitch,
        first_centre=(length - moves * pitch) / 2,
        web=pitch - drill,
    )


def overlap_crest(drill: float, pitch: float) -> float:
    """Return the crest, in mm, that overlapping holes leave on the wall; half the drill if apart.

    Source: h = d/2 - sqrt((d/2)^2 - (p/2)^2).

    >>> round(overlap_crest(6.0, 5.0), 6)
    1.341688
    """
    above_zero(drill=drill, pitch=pitch)
    if pitch >= drill:
        return drill / 2
    return (drill - math.sqrt((drill - pitch) * (drill + pitch))) / 2
