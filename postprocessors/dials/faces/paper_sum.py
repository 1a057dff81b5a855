"""A sum on paper whose rounded figures give the very reading that was replayed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen import INCH
from pathgen.input.units import Units
from postprocessors.dials.faces import figures
from postprocessors.dials.readings import nearest_count
from postprocessors.dials.steps import Correction, Dial

MOST_DECIMALS = 8
NEARLY = 1e-6  # of a judged part, or of the last decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """How a found value is written down: as it is read off the dial, or in the job's units."""

    length: float  # mm
    least: float  # the least step that is written, in the unit
    decimals: int  # of the factor, at least

    def written(self, found: float) -> float:
        """Return a found value as it is written, to the nearest step."""
        return round(found / self.length / self.least) * self.least

    def first_from(self, found: float) -> float:
        """Return the first written value that is not below a found one."""
        return math.ceil(found / self.length / self.least - NEARLY) * self.least

    def between(self, low: float, high: float) -> Iterator[float]:
        """Yield each value that may be written within a band, rising."""
        first = math.ceil(low / self.length / self.least - NEARLY)
        last = math.floor(high / self.length / self.least + NEARLY)
        yield from (number * self.least for number in range(first, last + 1))


def as_read(dial: Dial) -> Unit:
    """Return the unit of a reading that is noted: divisions of a dial, or as a readout shows it."""
    return Unit(length=dial.count / dial.shown, least=dial.shown, decimals=1)


def in_lengths(units: Units) -> Unit:
    """Return the unit of a size that is measured."""
    return Unit(
        length=INCH if units == "in" else 1.0,
        least=10.0 ** -figures.SUM_DECIMALS[units],
        decimals=2,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperSum:
    """What is printed: start + factor x (found - expected), as it is read, found in its unit.

    The figures are rounded as they are printed. ``turn`` is the turn, in judged parts, that the
    result is counted from; ``shown`` is what one count is in the figures that are read.
    """

    start: float
    start_decimals: int
    factor: float
    factor_decimals: int
    expected: float
    turn: int
    shown: float

    def reading(self, written: float) -> int:
        """Return the reading for a written value, worked as it is printed, in judged parts."""
        result = self.start + self.factor * (written - self.expected)
        return self.turn + nearest_count(result / self.shown)


def paper_sum(rule: Correction, dial: Dial, unit: Unit) -> PaperSum:
    """Return the sum with the fewest decimals that agrees with a rule for all that may be written.

    The rule rounds its own result to a judged part. Rounded figures on the way to it would now and
    then give the next one, and where that is across 0 the count of passes would be a turn off. So
    the start is put in the middle of all that give the rule's reading for each value in the band.

    Args:
        rule: what is replayed.
        dial: the one that is wound.
        unit: how the found value is written.

    Raises:
        ValueError: if no sum of so few decimals agrees.
    """
    turn = 0 if dial.readout else int(rule.base // dial.counts_per_turn) * dial.counts_per_turn
    expected = unit.written(rule.expected)
    rows = [
        (each - expected, _reading(rule, each * unit.length) - turn)
        for each in unit.between(rule.low, rule.high)
    ]
    exact = rule.per_mm * unit.length * dial.shown
    for decimals in range(unit.decimals, MOST_DECIMALS):
        factor = round(exact, decimals)
        parts = [(wanted, factor * off / dial.shown) for off, wanted in rows]
        least = max(wanted - 0.5 - part for wanted, part in parts)
        most = min(wanted + 0.5 - part for wanted, part in parts)
        for start_decimals in range(2, MOST_DECIMALS):
            start = round((least + most) / 2 * dial.shown, start_decimals)
            if least + NEARLY < start / dial.shown < most - NEARLY:
                return PaperSum(
                    start=start,
                    start_decimals=start_decimals,
                    factor=factor,
                    factor_decimals=decimals,
                    expected=expected,
                    turn=turn,
                    shown=dial.shown,
                )
    raise ValueError(f"no sum on paper agrees with the rule that follows {rule.measure}")


def _reading(rule: Correction, found: float) -> int:
    """Return the rule's own reading for a found value."""
    return nearest_count(rule.base + rule.per_mm * (found - rule.expected))
