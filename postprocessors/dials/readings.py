"""Readings of a dial in whole judged parts, and how often its 0 passes between two of them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from postprocessors.dials.steps import Correction, Dial, PassesFrom, WindStep


def nearest_count(counts: float) -> int:
    """Return the whole number of judged parts nearest to a reading; halves go up.

    >>> nearest_count(12.5), nearest_count(-12.5), nearest_count(12.4999)
    (13, -12, 12)
    """
    return math.floor(counts + 0.5)


def passes_between(start: int, end: int, turn: int) -> int:
    """Return how often 0 comes to the index line on the way between two readings.

    The 0 on which one stops counts, the one on which one starts does not.

    Args:
        start: reading before, in judged parts from the dial's zero.
        end: reading after.
        turn: judged parts in a turn.

    >>> passes_between(0, 500, 100), passes_between(0, -500, 100), passes_between(20, 95, 100)
    (5, 5, 0)
    """
    if end >= start:
        return end // turn - start // turn
    return -(-start // turn) - -(-end // turn)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A reading before it is rounded, which may follow a found value."""

    base: float  # judged parts from the dial's zero, where nothing or the expected value is found
    rule: Correction | None = None

    def at(self, found: float | None = None) -> int:
        """Return the reading for a found value; without one, for the expected value."""
        if self.rule is None or found is None:
            return nearest_count(self.base)
        return nearest_count(self.base + self.rule.per_mm * (found - self.rule.expected))

    @property
    def measure(self) -> str:
        """Return the name of what the reading follows, empty for nothing."""
        return "" if self.rule is None else self.rule.measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """Where a wind stops, as it follows from what was found."""

    reading: int  # judged parts from the dial's zero
    dial: int  # the figure
    passes: int  # of 0
    place: float  # of the tool in the setup's frame, mm


def stop_of(step: WindStep, dial: Dial, found: float | None = None) -> Stop:
    """Return where a wind stops; without a found value, where it does with the expected one.

    Args:
        step: the wind.
        dial: of its slide.
        found: of the quantity that the step follows, mm; of a noted reading, mm on the dial.
    """
    if found is None or not step.measure:
        return Stop(reading=step.reading, dial=step.dial, passes=step.passes, place=step.place)
    reading, place = step.reading, step.place
    if step.rule is not None:
        off = found - step.rule.expected
        reading = nearest_count(step.rule.base + step.rule.per_mm * off)
        place += step.rule.factor * off
    reached = [each.passes for each in step.passes_from if found >= each.found]
    return Stop(
        reading=reading,
        dial=reading % dial.counts_per_turn,
        passes=reached[-1] if reached else step.passes,
        place=place,
    )


def common_rule(*readings: Reading) -> Correction | None:
    """Return the rule that readings follow, None when they follow none.

    Raises:
        ValueError: if they follow found values of different names.
    """
    rules = [reading.rule for reading in readings if reading.rule is not None]
    if len({rule.measure for rule in rules}) > 1:
        raise ValueError(f"one wind follows both {rules[0].measure} and {rules[1].measure}")
    return rules[0] if rules else None


def passes_by_found(start: Reading, end: Reading, turn: int) -> tuple[PassesFrom, ...]:
    """Return how often 0 passes for each stretch of the found value; empty if it is all one.

    The stretches begin exactly where the rounded readings change, so that a count and a figure
    worked out from one found value never disagree.
    """
    rule = common_rule(start, end)
    if rule is None:
        return ()

    def passes(found: float) -> int:
        return passes_between(start.at(found), end.at(found), turn)

    entries = [PassesFrom(found=rule.low, passes=passes(rule.low))]
    for edge in sorted(_edges(start, turn) | _edges(end, turn)):
        first = _first_after(edge, lambda found: (start.at(found), end.at(found)))
        if rule.low < first <= rule.high and passes(first) != entries[-1].passes:
            entries.append(PassesFrom(found=first, passes=passes(first)))
    return tuple(entries) if len(entries) > 1 else ()


def _edges(reading: Reading, turn: int) -> set[float]:
    """Return the found values near which a reading comes to a 0 or leaves it."""
    rule = reading.rule
    if rule is None or rule.per_mm == 0:
        return set()
    ends = sorted((reading.at(rule.low), reading.at(rule.high)))
    zeros = range(ends[0] // turn, ends[1] // turn + 2)
    wholes = [zero * turn + beside for zero in zeros for beside in (0, 1)]
    return {rule.expected + (whole - 0.5 - reading.base) / rule.per_mm for whole in wholes}


def _first_after(edge: float, read: Callable[[float], tuple[int, int]]) -> float:
    """Return the least float about an edge for which the readings are those beyond it."""
    low, high = edge - 1e-9, edge + 1e-9
    beyond = read(high)
    while (middle := (low + high) / 2) not in (low, high):
        low, high = (low, middle) if read(middle) == beyond else (middle, high)
    return high
