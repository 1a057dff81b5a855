"""The drills that are made: their series, and those next to a wanted size."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal

from pathgen import INCH
from pathgen.reckon.exact import millimetres
from pathgen.reckon.tables import table

SAME_DIAMETER = 1e-6  # mm; only the noise of floats, so a near size never passes for an exact one

Series = Literal["metric", "fractional", "letter", "number"]
ALL_SERIES: tuple[Series, ...] = ("metric", "fractional", "letter", "number")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """A drill of a series, by the name that `drill_diameter` understands; diameter in mm."""

    name: str
    series: Series
    diameter: float


Neighbours = tuple[Drill | None, Drill | None]


# ---------------------------------------------------------------- the series


def drill_series(series: Series) -> tuple[Drill, ...]:
    """Return every drill of a series, smallest first.

    Source: number and letter drills as tabled in `data/drills.toml`; fractions by 64ths of an
    inch; metric by the rule of BS 328, beyond 25.75 mm and 1 in from memory.

    >>> [drill.name for drill in drill_series("letter")[:2]]
    ['letter A drill', 'letter B drill']
    """
    return _all_drills()[series]


@cache
def _all_drills() -> dict[Series, tuple[Drill, ...]]:
    made: dict[Series, Iterator[Drill]] = {
        "metric": _metric(),
        "fractional": _fractional(),
        "letter": _letters(),
        "number": _numbers(),
    }
    return {name: tuple(sorted(d, key=lambda drill: drill.diameter)) for name, d in made.items()}


def _metric() -> Iterator[Drill]:
    for run in table("drills")["metric"]["runs"]:
        for base in range(run["from"], run["to"] + 1, run["step"]):
            for plus in run["plus"]:
                diameter = (base + plus) / 100
                yield Drill(name=f"{diameter:g} mm drill", series="metric", diameter=diameter)


def _fractional() -> Iterator[Drill]:
    for run in table("drills")["fraction"]["runs"]:
        for count in range(run["from"], run["to"] + 1, run["step"]):
            inches = Fraction(count, 64)
            yield Drill(
                name=f"{_spelt(inches)} in drill",
                series="fractional",
                diameter=millimetres(inches),
            )


def _letters() -> Iterator[Drill]:
    for letter, inches in table("drills")["letter"]["inches"].items():
        yield Drill(name=f"letter {letter} drill", series="letter", diameter=inches * INCH)


def _numbers() -> Iterator[Drill]:
    for number, inches in table("drills")["number"]["inches"].items():
        yield Drill(name=f"No. {number} drill", series="number", diameter=inches * INCH)


def _spelt(inches: Fraction) -> str:
    whole, rest = divmod(inches.numerator, inches.denominator)
    parts = [str(whole)] if whole else []
    if rest:
        parts.append(f"{rest}/{inches.denominator}")
    return " ".join(parts)


# ---------------------------------------------------------------- the sizes that exist


def drill_name(diameter: float, series: Sequence[Series] = ALL_SERIES) -> str | None:
    """Return the name of the drill that has exactly this diameter, or None where none has.

    Two series may share a size (1/4 in is letter E); the first in `series` names it. A nearest
    size never borrows a name: 5.1 mm is not No. 7.

    Args:
        diameter: mm.
        series: where to look, in this order.

    >>> drill_name(6.35), drill_name(6.35, ("letter",)), drill_name(5.11)
    ('1/4 in drill', 'letter E drill', None)
    """
    for name in series:
        below, above = neighbours_among(diameter, drill_series(name))
        if below is not None and below is above:
            return below.name
    return None


def nearest_drills(diameter: float, series: Sequence[Series] = ALL_SERIES) -> Neighbours:
    """Return the drills below and above a diameter; both the same where one fits exactly.

    Args:
        diameter: mm.
        series: the series to choose from; of two drills alike the first named series wins.

    Returns:
        (the largest not above it, the smallest not below it); None past an end of the series.

    >>> [drill.name for drill in nearest_drills(10.67, ("metric", "fractional"))]
    ['10.6 mm drill', '10.7 mm drill']
    """
    return neighbours_among(diameter, _merged(tuple(series)))


@cache
def _merged(series: tuple[Series, ...]) -> tuple[Drill, ...]:
    drills = [drill for name in series for drill in drill_series(name)]
    return tuple(sorted(drills, key=lambda drill: drill.diameter))


def neighbours_among(diameter: float, drills: Sequence[Drill]) -> Neighbours:
    """Return the drills below and above a diameter out of those at hand.

    Args:
        diameter: mm.
        drills: those held, smallest first.
    """
    refuse_diameter(diameter)
    first_up = bisect_left(drills, diameter - SAME_DIAMETER, key=lambda drill: drill.diameter)
    first_over = bisect_right(drills, diameter + SAME_DIAMETER, key=lambda drill: drill.diameter)
    if first_up < first_over:
        return drills[first_up], drills[first_up]
    below = drills[first_up - 1] if first_up else None
    above = drills[first_up] if first_up < len(drills) else None
    return below, above


def refuse_diameter(diameter: float) -> None:
    """Refuse a diameter that is not a length above zero.

    Raises:
        ValueError: it is not.
    """
    if not 0 < diameter < math.inf:
        raise ValueError(f"diameter {diameter:g} mm: give a length above zero")
