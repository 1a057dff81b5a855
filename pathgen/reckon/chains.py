"""Chains of holes: side by side along a slot or round an outline, to take its metal out.

Lengths in mm. The web is the metal between two neighbours, below zero where they overlap; the
allowance is what stays between the holes and the finished wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, finite, not_below_zero
from pathgen.reckon.tables import table

__all__ = [
    "NOISE",
    "Chain",
    "chain_at_pitch",
    "chain_between",
    "chain_over",
    "default_web",
    "ends_and_middle",
    "overlap_crest",
    "usual_allowance",
    "whole_spaces",
]

MOST = 10_000  # holes in a chain; more is a slip of the pen
NOISE = 1e-9  # of a count of holes, and mm; of float sums


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Centres of holes along a line, rising, and the least web between two of them; mm.

    `pitch` and `web` are zero where there is one hole only.
    """

    places: tuple[float, ...]
    pitch: float
    web: float

    @property
    def holes(self) -> int:
        """Return how many holes there are."""
        return len(self.places)

    @property
    def moves(self) -> int:
        """Return how often to move on: one less than the holes."""
        return self.holes - 1


# ---------------------------------------------------------------- what is usual


def default_web(drill: float) -> float:
    """Return the least web, mm, that keeps a drill of this diameter out of the hole before.

    Source: `data/drilling.toml`: common practice; a published case has 0.254 mm for a 1/4 in drill.

    >>> default_web(6.35), default_web(9.0)
    (0.25, 0.5)
    """
    above_zero(drill=drill)
    usual = table("drilling")["chain"]
    small: float = usual["web_small"]
    large: float = usual["web_large"]
    return small if drill <= usual["small_drill"] else large


def usual_allowance() -> float:
    """Return what a chain leaves on each finished wall, mm.

    Source: `data/drilling.toml`: common practice, no source.

    >>> usual_allowance()
    0.5
    """
    left: float = table("drilling")["chain"]["allowance"]
    return left


# ---------------------------------------------------------------- in a line


def chain_over(low: float, high: float, drill: float, web: float) -> Chain:
    """Return a chain whose first and last holes are centred on ``low`` and ``high``.

    The others stand between them at equal pitch, as many as leave at least the wanted web; what is
    over widens the webs. Where two do not fit there is one hole, in the middle.

    Args:
        low: centre of the first hole, mm.
        high: centre of the last one, not below ``low``.
        drill: diameter, mm.
        web: the least metal to leave between two, mm; minus where they may overlap by that.

    Source: workshop article on chain drilling (1/4 in drill at a pitch of 0.260 in): the number of
        holes by dividing the cut-out by the pitch, the left-over shared.

    >>> chain_over(30.0, 130.0, 9.0, 0.5).places[:2]
    (30.0, 40.0)
    """
    above_zero(drill=drill, pitch=drill + web)
    finite(low=low)
    not_below_zero(span=high - low)
    spaces = whole_spaces((high - low) / (drill + web))
    if spaces < 1:
        return Chain(places=((low + high) / 2,), pitch=0.0, web=0.0)
    span = high - low
    places = (*(low + span * hole / spaces for hole in range(spaces)), high)
    return Chain(places=places, pitch=span / spaces, web=span / spaces - drill)


def whole_spaces(spaces: float, most: int = MOST) -> int:
    """Return the whole spaces of a line of holes; refuse more than anyone drills.

    >>> whole_spaces(7.9999999999)
    8
    """
    if spaces > most:
        raise ValueError(f"that is a chain of over {most} holes; give a shorter one")
    return math.floor(spaces + NOISE)


def chain_between(length: float, drill: float, web: float, allowance: float) -> Chain:
    """Return as many evenly spaced holes as go into a length, with an allowance at both ends.

    Args:
        length: of the cut-out, mm; places are counted from its end.
        drill: diameter, mm.
        web: the least metal to leave between holes, mm; minus where they may overlap by that.
        allowance: what to leave for finishing at each end, mm.

    >>> chain = chain_between(60.0, 6.0, 0.5, 0.5)
    >>> chain.holes, chain.pitch, chain.places[0], chain.web
    (9, 6.625, 3.5, 0.625)
    """
    above_zero(length=length, drill=drill)
    not_below_zero(allowance=allowance)
    if drill > length - 2 * allowance:
        raise ValueError(
            f"a {drill:g} drill does not go into {length:g} less {allowance:g} at each end; "
            f"give a drill of at most {max(length - 2 * allowance, 0):g}"
        )
    end = allowance + drill / 2
    return chain_over(end, length - end, drill, web)


def chain_at_pitch(length: float, drill: float, pitch: float) -> Chain:
    """Return as many holes of a given pitch as go into a length, what is left shared by the ends.

    The published case takes the number of holes as the length by the pitch, and half of what is
    left for each end; that leaves half a web less at the start than at the end. Here the ends are
    equal.

    >>> chain = chain_at_pitch(107.95, 6.35, 6.604)
    >>> chain.holes, round(chain.places[0] / 25.4, 3)
    (16, 0.175)
    """
    above_zero(length=length, drill=drill, pitch=pitch)
    if drill > length:
        raise ValueError(f"a {drill:g} drill does not go into {length:g}; give a smaller one")
    moves = whole_spaces((length - drill) / pitch)
    first = (length - moves * pitch) / 2
    places = tuple(first + pitch * hole for hole in range(moves + 1))
    if not moves:
        return Chain(places=places, pitch=0.0, web=0.0)
    return Chain(places=places, pitch=pitch, web=pitch - drill)


def ends_and_middle(chain: Chain) -> Chain:
    """Return the first, the last and a middle hole of a chain, or what there is of them.

    >>> ends_and_middle(chain_over(30.0, 130.0, 9.0, 0.5)).places
    (30.0, 80.0, 130.0)
    """
    if chain.holes <= 3:
        return chain
    first, last = chain.places[0], chain.places[-1]
    pitch = (last - first) / 2
    return Chain(
        places=(first, (first + last) / 2, last), pitch=pitch, web=chain.web + pitch - chain.pitch
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
