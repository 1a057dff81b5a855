"""Change wheels for screw-cutting: which give a lead, how far off, and where half-nuts may close.

A pair is a driver and the wheel that it drives; the first driver goes with the spindle, the last
driven wheel with the leadscrew. One pair is a simple train (an idler between does not count), two
are a compound one.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations
from typing import TypeAlias

Pairs: TypeAlias = tuple[tuple[int, int], ...]

FINEST = 10**5  # of the denominators that a lead in mm is taken to have: 25.4/13 is 127/65
CLEAR_OF_STUDS = 15  # teeth by which wheels must clear the studs; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Train:
    """Change wheels and the lead that they give; mm."""

    pairs: Pairs
    lead: float
    error: float  # of the lead, as a share of it


def exactly(length: float) -> Fraction:
    """Return a lead or a pitch as the fraction of a millimetre that it stands for.

    >>> exactly(25.4 / 13), exactly(3.175)
    (Fraction(127, 65), Fraction(127, 40))
    """
    return Fraction(length).limit_denominator(FINEST)


def lead_of(leadscrew: float, pairs: Pairs) -> Fraction:
    """Return the lead that change wheels give, mm.

    Source: the leadscrew turns driver/driven as often as the spindle in each pair.

    >>> lead_of(3.0, ((40, 60),))
    Fraction(2, 1)
    """
    return math.prod((Fraction(a, b) for a, b in pairs), start=exactly(leadscrew))


def goes_together(pairs: Pairs) -> bool:
    """Return whether a train can be put up: each wheel of a middle stud clears the next stud.

    A drives B, which turns C on its own stud, and C drives D: C clears the stud of A, and B that of
    D. Common practice, no source: A + B and C + D are 15 teeth more than the wheel in the way.

    >>> goes_together(((63, 40), (20, 50))), goes_together(((20, 50), (63, 40)))
    (True, False)
    """
    if len(pairs) == 1:
        return True
    (a, b), (c, d) = pairs
    return a + b >= c + CLEAR_OF_STUDS and c + d >= b + CLEAR_OF_STUDS


def wheels_are_there(pairs: Pairs, wheels: Iterable[int]) -> bool:
    """Return whether a list of wheels holds all those of a train, each as often as it is used."""
    return Counter(teeth for pair in pairs for teeth in pair) <= Counter(wheels)


def train_for(lead: float, leadscrew: float, wheels: Sequence[int]) -> Train:
    """Return the change wheels that come nearest to a lead; of those alike, the simplest train.

    Args:
        lead: wanted, mm.
        leadscrew: its pitch, mm.
        wheels: teeth of each wheel at hand.

    Raises:
        ValueError: there are fewer than two wheels.

    >>> train_for(1.5, 3.0, [20, 30, 40, 60]).pairs
    ((20, 40),)
    """
    wanted = exactly(lead)
    ratio = wanted / exactly(leadscrew)
    best: tuple[Fraction, int, int, Pairs] | None = None
    for pairs in _trains(wheels):
        made = math.prod((Fraction(a, b) for a, b in pairs), start=Fraction(1))
        teeth = sum(a + b for a, b in pairs)
        found = (abs(made / ratio - 1), len(pairs), teeth, pairs)
        if best is None or found < best:
            best = found
    if best is None:
        raise ValueError(f"{len(wheels)} change wheels, two make the least train")
    made = lead_of(leadscrew, best[-1])
    return Train(pairs=best[-1], lead=float(made), error=float(made / wanted - 1))


def _trains(wheels: Sequence[int]) -> Iterator[Pairs]:
    """Yield every train that can be put up."""
    yield from (((a, b),) for a, b in set(permutations(wheels, 2)))
    for a, b, c, d in set(permutations(wheels, 4)):
        pairs = ((a, b), (c, d))
        if goes_together(pairs):
            yield pairs


def every_mark(lead: Fraction, leadscrew: float, teeth: int, marks: int) -> int | None:
    """Return at every how many marks of a thread dial the half-nuts may be closed.

    Source: from one mark to the next the carriage stands ``teeth`` / ``marks`` pitches of the
    leadscrew further on; the tool meets its groove again where that is a whole number of leads.

    Args:
        lead: that the change wheels give, mm.
        leadscrew: its pitch, mm.
        teeth: of the dial's wheel on the leadscrew.
        marks: on the dial, numbered.

    Returns:
        1 at any, 2 at every second one, ``marks`` at one and the same; None where not even that
        brings the tool back into its groove: the half-nuts stay closed then.

    >>> inch = 25.4
    >>> [every_mark(exactly(inch / tpi), inch / 8, 16, 8) for tpi in (16, 10, 11, 11.5)]
    [1, 2, 4, 8]
    >>> every_mark(exactly(1.75), inch / 8, 16, 8) is None
    True
    """
    step = exactly(leadscrew) * teeth / marks
    for every in range(1, marks + 1):
        if marks % every == 0 and (step * every / lead).denominator == 1:
            return every
    return None


def marks_of_starts(
    lead: Fraction, starts: int, leadscrew: float, teeth: int, marks: int
) -> tuple[int, ...] | None:
    """Return the mark of a thread dial, numbered from 1, at which each start of a thread begins.

    Source: as `every_mark`; start by start the carriage has to stand a pitch further on, or any
    number of leads beside that.

    Returns:
        One mark a start, to which every so many others belong; None where the dial has not one for
        each start.

    >>> eight_tpi = 25.4 / 8
    >>> marks_of_starts(exactly(25.4 / 5), 2, eight_tpi, 16, 8), marks_of_starts(
    ...     exactly(25.4 / 4), 2, eight_tpi, 16, 8
    ... )
    ((1, 3), None)
    """
    step = exactly(leadscrew) * teeth / marks
    found: list[int] = []
    for start in range(starts):
        beside = lead * start / starts
        fitting = (m for m in range(marks) if ((step * m - beside) / lead).denominator == 1)
        first = next(fitting, None)
        if first is None:
            return None
        found.append(first + 1)
    return tuple(found)
