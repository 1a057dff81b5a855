"""Single values as TOML gives them, taken for what they are wanted to be or refused.

Each function returns the value in the wanted type or raises `WrongValue`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from pathgen.input.where import FEW, WrongValue, listed, nearest, quoted

Word = TypeVar("Word", bound=str)
SHOWN = 40  # characters of a text that a message repeats


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a number has to keep to; None sets no limit."""

    above: float | None = None
    least: float | None = None
    most: float | None = None

    def __str__(self) -> str:
        return self.within("")

    def within(self, unit: str) -> str:
        """Return the limits in words, each with its unit: ` above 0 mm and at most 5 mm`."""
        named = (("above", self.above), ("at least", self.least), ("at most", self.most))
        parts = [f"{name} {plain(limit)}{unit}" for name, limit in named if limit is not None]
        return f" {' and '.join(parts)}" if parts else ""

    def allow(self, value: float) -> bool:
        """Tell whether a value keeps to the limits."""
        return (
            (self.above is None or value > self.above)
            and (self.least is None or value >= self.least)
            and (self.most is None or value <= self.most)
        )

    def harmless(self) -> float:
        """Return some value within the limits, to go on reading with after an error."""
        over = None if self.above is None else self.above + 1
        candidates = (1.0, self.least, over, self.most)
        allowed = (each for each in candidates if each is not None and self.allow(each))
        return float(next(allowed, 1.0))


def as_text(value: object) -> str:
    """Return a text that is not blank."""
    if not isinstance(value, str):
        raise WrongValue(f"{shown(value)} is not text", 'write text in quotes, "like this"')
    if not value.strip():
        raise WrongValue("the text is empty", "write something between the quotes")
    return value


def as_choice(value: object, options: Sequence[Word]) -> Word:
    """Return a text that is one of the options."""
    for option in options:
        if option == value:
            return option
    all_of_them = f"use {listed(options)}"
    right = (nearest(value, options) if isinstance(value, str) else "") or all_of_them
    if len(options) <= FEW and right != all_of_them:
        right = f"{right} {all_of_them}"
    raise WrongValue(f"{shown(value)} is none of the choices", right)


def as_flag(value: object) -> bool:
    """Return a truth value."""
    if not isinstance(value, bool):
        raise WrongValue(f"{shown(value)} is neither yes nor no", "write true or false, no quotes")
    return value


def as_number(value: object, limits: Limits) -> float:
    """Return a number that is neither nan nor infinite and keeps to the limits."""
    right = f"give a number{limits}"
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise WrongValue(f"{shown(value)} is not a number", right)
    try:
        number = float(value)
    except OverflowError:
        raise WrongValue("the number is too large", right) from None
    if not math.isfinite(number):
        raise WrongValue(f"{number} is not a number to work with", right)
    if not limits.allow(number):
        raise WrongValue(plain(number), right)
    return number


def as_whole(value: object, limits: Limits) -> int:
    """Return a whole number that keeps to the limits."""
    right = f"give a whole number{limits}"
    if isinstance(value, bool) or not isinstance(value, int):
        raise WrongValue(f"{shown(value)} is not a whole number", right)
    if not limits.allow(value):
        raise WrongValue(shown(value), right)
    return value


def as_list(value: object, right: str, count: int | None = None) -> list[object]:
    """Return a list, of so many entries if a count is given; `right` says what it should be."""
    if not isinstance(value, list):
        raise WrongValue(f"{shown(value)} is not a list", right)
    if count is not None and len(value) != count:
        raise WrongValue(f"{len(value)} given", right)
    return value


def as_names(value: object, right: str) -> dict[str, object]:
    """Return a table with an entry at least; `right` says what it should be."""
    if not isinstance(value, dict):
        raise WrongValue(f"{shown(value)} is not a table", right)
    if not value:
        raise WrongValue("the table is empty", right)
    return value


def shown(value: object) -> str:
    """Return a value as a message shows it.

    >>> shown("slot"), shown(True), shown([1, 2]), shown({})
    ('"slot"', 'true', 'a list of 2', 'a table')
    """
    match value:
        case str():
            return quoted(value if len(value) <= SHOWN else f"{value[:SHOWN]}...")
        case bool():
            return str(value).lower()
        case int() | float():
            return plain(value)
        case list():
            return f"a list of {len(value)}"
        case dict():
            return "a table"
        case _:
            return str(value)  # a date or a time


def plain(number: float) -> str:
    """Return a number without a needless `.0`: 6, 0.05."""
    if isinstance(number, int):
        return str(number) if number.bit_length() < 128 else "a very large number"
    return str(number).removesuffix(".0")
