"""Readings of a dial in whole judged parts, and how often its 0 passes between two of them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias, assert_never

from postprocessors.dials.steps import (
    Correction,
    PassesFrom,
    SetDialStep,
    SetHeadStep,
    WindStep,
)


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


Following: TypeAlias = WindStep | SetDialStep | SetHeadStep  # their figure may follow what is found


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """What a step stops at or sets, as it follows from what was found."""

    reading: int  # counts from the zero; of a boring head from where it stands
    passes: int  # of 0
    place: float  # of the tool in the setup's frame, mm; nan where a figure is set


def measure_of(step: Following) -> str:
    """Return the quantity that a step follows, by its figure or its count; empty for none."""
    if isinstance(step, SetDialStep):
        return "" if step.rule is None else step.rule.measure
    return step.measure


def figure_follows(step: Following) -> bool:
    """Return whether the figure itself follows what is found, and not a count alone."""
    return bool(step.measure) if isinstance(step, SetHeadStep) else step.rule is not None


def base_of(step: Following) -> float:
    """Return the reading by the expected value, before rounding; 0 where nothing is followed."""
    if isinstance(step, SetHeadStep):
        return step.base
    return 0.0 if step.rule is None else step.rule.base


def counts_off(step: Following, found: float) -> float:
    """Return by how many counts the figure moves as a value is found; 0 where it does not."""
    if isinstance(step, SetHeadStep):
        return -(found - step.expected) / step.count
    return 0.0 if step.rule is None else step.rule.per_mm * (found - step.rule.expected)


def stop_of(step: Following, turn: int, found: float | None = None) -> Stop:
    """Return where a wind stops, or what is set; by the expected value where none was found.

    Args:
        step: the step.
        turn: counts in a turn of what it is read off, 0 where no turns are counted.
        found: of the quantity that the step follows, mm; of a noted reading, mm on the dial.
    """
    stop = _as_expected(step, turn)
    if found is None or not measure_of(step):
        return stop
    if figure_follows(step):
        stop = replace(stop, reading=nearest_count(base_of(step) + counts_off(step, found)))
    if not isinstance(step, WindStep):
        return stop
    if step.rule is not None:
        stop = replace(stop, place=step.place + step.rule.factor * (found - step.rule.expected))
    reached = [each.passes for each in step.passes_from if found >= each.found]
    return replace(stop, passes=reached[-1]) if reached else stop


def _as_expected(step: Following, turn: int) -> Stop:
    """Return where a wind stops, or what is set, by the expected value."""
    match step:
        case WindStep():
            return Stop(reading=step.reading, passes=step.passes, place=step.place)
        case SetDialStep():
            return Stop(reading=step.turn * turn + step.dial, passes=0, place=math.nan)
        case SetHeadStep():
            return Stop(reading=step.out, passes=0, place=math.nan)
        case _:
            assert_never(step)


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
