"""Dividing heads and rotary tables: whole turns, then holes of a plate or minutes of a dial.

Angles and turns are exact fractions, so that what comes out evenly is known to, and what does not
carries its error. Every position is worked from zero, never from the last one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from pathgen.reckon.guards import above_zero

__all__ = [
    "Index",
    "IndexPosition",
    "RotaryReading",
    "exact_angle",
    "index_angle",
    "index_divisions",
    "index_positions",
    "nearest_index",
    "rotary_positions",
    "rotary_reading",
]

FULL_TURN = 360

Exact = Fraction | int


@dataclass(frozen=True, slots=True, kw_only=True)
class Index:
    """How to turn a dividing head's crank for one move, exactly.

    `choices` are the circles of holes that give the part of a turn, each with the *spaces* to
    count off (not holes: the hole that the plunger stands in is not counted). Empty where no
    circle serves; then `nearest_index` and `index_positions` tell what can be had.
    """

    turns: int
    part: Fraction
    choices: tuple[tuple[int, int], ...]

    @property
    def exact(self) -> bool:
        """Return whether some circle gives the move without error."""
        return bool(self.choices)


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexPosition:
    """One position of a dividing head, counted from zero, and by how much it is out.

    `turns` whole turns of the crank and `spaces` on a circle of `circle` holes; `error_deg` is
    what the work has turned too far.
    """

    turns: int
    circle: int
    spaces: int
    error_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RotaryReading:
    """One position of a rotary table from zero: whole turns of its handle and its dial.

    `degrees` and `minutes` are what the dial shows after the whole turns; `angle_deg` is what was
    wanted, `error_deg` what the reading has too much, through the dial's divisions.
    """

    angle_deg: float
    turns: int
    degrees: int
    minutes: float
    error_deg: float


def exact_angle(degrees: Exact, minutes: Exact = 0, seconds: Exact = 0) -> Fraction:
    """Return an angle in degrees as an exact fraction.

    >>> exact_angle(8, 50)
    Fraction(53, 6)
    """
    return Fraction(degrees) + Fraction(minutes) / 60 + Fraction(seconds) / 3600


# ---------------------------------------------------------------- dividing heads


def index_divisions(divisions: int, ratio: int, circles: Iterable[int]) -> Index:
    """Return the move of the crank for so many equal divisions of a full turn.

    Args:
        divisions: of the work.
        ratio: turns of the crank for one of the work, 40 on most heads.
        circles: the holes of each circle that the plates have.

    Source: turns = ratio / N; US Army subcourse OD1644.

    >>> index_divisions(6, 40, (18, 39))
    Index(turns=6, part=Fraction(2, 3), choices=((18, 12), (39, 26)))
    """
    above_zero(divisions=divisions, ratio=ratio)
    return _index(Fraction(ratio, divisions), circles)


def index_angle(angle_deg: Exact, ratio: int, circles: Iterable[int]) -> Index:
    """Return the move of the crank for an angle of the work.

    Args:
        angle_deg: exact, in degrees; see `exact_angle`.
        ratio: turns of the crank for one of the work.
        circles: the holes of each circle that the plates have.

    Source: at 40 to 1 a turn is 9 degrees, so two holes of 18 or three of 27 are one degree.

    >>> index_angle(1, 40, (18, 27)).choices
    ((18, 2), (27, 3))
    """
    above_zero(angle=float(angle_deg), ratio=ratio)
    return _index(Fraction(angle_deg) * ratio / FULL_TURN, circles)


def nearest_index(turns: Exact, ratio: int, circles: Sequence[int]) -> IndexPosition:
    """Return the position nearest to so many turns of the crank, and its error.

    Of equally near ones that on the smallest circle.

    >>> nearest_index(exact_angle(0, 24) * 40 / 360, 40, (23,)).spaces
    1
    """
    wanted = Fraction(turns)
    above_zero(ratio=ratio)
    offers = [_on_circle(wanted, ratio, circle) for circle in _checked(circles)]
    return min(offers, key=lambda p: (abs(_crank(p) - wanted), p.circle))


def index_positions(divisions: int, ratio: int, circle: int) -> tuple[IndexPosition, ...]:
    """Return all positions of a division on one circle of holes, each the nearest from zero.

    Where the division comes out the errors are nought; where not, none is over half a space. The
    same move repeated would add its error up at every step.

    >>> worst = max(abs(p.error_deg) for p in index_positions(51, 40, 18))
    >>> worst <= 360 / 40 / 18 / 2
    True
    """
    above_zero(divisions=divisions, ratio=ratio)
    (holes,) = _checked((circle,))
    step = Fraction(ratio, divisions)
    return tuple(_on_circle(step * i, ratio, holes) for i in range(divisions))


def _index(turns: Fraction, circles: Iterable[int]) -> Index:
    """Return whole turns, part of a turn and every circle that gives it."""
    whole, part = divmod(turns, 1)
    serving = [c for c in _checked(circles) if (part * c).denominator == 1]
    return Index(turns=whole, part=part, choices=tuple((c, int(part * c)) for c in serving))


def _on_circle(turns: Fraction, ratio: int, circle: int) -> IndexPosition:
    """Return the position on a circle of holes that is nearest to so many turns."""
    whole, spaces = divmod(round(turns * circle), circle)
    error = (whole + Fraction(spaces, circle) - turns) * FULL_TURN / ratio
    return IndexPosition(turns=whole, circle=circle, spaces=spaces, error_deg=float(error))


def _crank(position: IndexPosition) -> Fraction:
    """Return the turns of the crank that a position stands for."""
    return position.turns + Fraction(position.spaces, position.circle)


def _checked(circles: Iterable[int]) -> tuple[int, ...]:
    """Return the circles of holes in rising order, none double."""
    found = tuple(sorted(set(circles)))
    if not found or found[0] < 1:
        raise ValueError("a plate needs circles of holes; give at least one, of 1 hole or more")
    return found


# ---------------------------------------------------------------- rotary tables


def rotary_reading(
    angle_deg: Exact, degrees_per_turn: Exact, dial_minutes: Exact | None = None
) -> RotaryReading:
    """Return whole turns of a rotary table's handle and what its dial then shows.

    Args:
        angle_deg: from the table's zero, exact, not below zero.
        degrees_per_turn: what one turn of the handle turns the table, 4 at 90 to 1.
        dial_minutes: the least that can be set, in minutes of arc; none for an exact figure.

    Source: owner's manual of a rotary table, Grizzly Industrial: divide by the degrees per turn.

    >>> reading = rotary_reading(exact_angle(16, 42, 20), 4)
    >>> reading.turns, reading.degrees, round(reading.minutes, 4)
    (4, 0, 42.3333)
    """
    wanted = Fraction(angle_deg)
    above_zero(degrees_per_turn=float(degrees_per_turn))
    if wanted < 0:
        raise ValueError(f"angle {float(wanted):g} is below zero; count from 0 upwards")
    set_to = wanted
    if dial_minutes is not None:
        above_zero(dial_minutes=float(dial_minutes))
        least = Fraction(dial_minutes) / 60
        set_to = round(wanted / least) * least
    turns, left = divmod(set_to, Fraction(degrees_per_turn))
    degrees, part = divmod(left, 1)
    return RotaryReading(
        angle_deg=float(wanted),
        turns=turns,
        degrees=degrees,
        minutes=float(part * 60),
        error_deg=float(set_to - wanted),
    )


def rotary_positions(
    divisions: int, degrees_per_turn: Exact, dial_minutes: Exact | None = None
) -> tuple[RotaryReading, ...]:
    """Return the readings of a rotary table for equal divisions of a full turn, all from zero.

    >>> [(r.turns, r.degrees, round(r.minutes, 2)) for r in rotary_positions(7, 4)][1:3]
    [(12, 3, 25.71), (25, 2, 51.43)]
    """
    above_zero(divisions=divisions)
    step = Fraction(FULL_TURN, divisions)
    return tuple(rotary_reading(step * i, degrees_per_turn, dial_minutes) for i in range(divisions))
