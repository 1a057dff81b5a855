"""Refusals that every reckoning shares: each says what was given and what would be right."""

from __future__ import annotations

import math
from collections.abc import Iterable

__all__ = ["above_zero", "finite", "nearest_words", "not_below_zero", "within"]


def finite(**values: float) -> None:
    """Refuse what is not a number or has no end.

    >>> finite(depth=float("nan"))
    Traceback (most recent call last):
    ValueError: depth nan is no figure; give a finite number
    """
    for name, value in values.items():
        if not math.isfinite(value):
            raise ValueError(f"{_words(name)} {value:g} is no figure; give a finite number")


def above_zero(**values: float) -> None:
    """Refuse what is not a finite figure above zero.

    >>> above_zero(diameter=0.0)
    Traceback (most recent call last):
    ValueError: diameter 0 is out of reach; give a figure above zero
    """
    finite(**values)
    for name, value in values.items():
        if value <= 0:
            raise ValueError(f"{_words(name)} {value:g} is out of reach; give a figure above zero")


def not_below_zero(**values: float) -> None:
    """Refuse what is not a finite figure of zero or more.

    >>> not_below_zero(slack=-0.1)
    Traceback (most recent call last):
    ValueError: slack -0.1 is out of reach; give zero or a figure above it
    """
    finite(**values)
    for name, value in values.items():
        if value < 0:
            raise ValueError(
                f"{_words(name)} {value:g} is out of reach; give zero or a figure above it"
            )


def within(lowest: float, highest: float, **values: float) -> None:
    """Refuse what does not lie between two figures, both left out.

    >>> within(0, 180, angle_deg=180.0)
    Traceback (most recent call last):
    ValueError: angle deg 180 is out of reach; give a figure above 0 and below 180
    """
    for name, value in values.items():
        if not lowest < value < highest:
            raise ValueError(
                f"{_words(name)} {value:g} is out of reach; "
                f"give a figure above {lowest:g} and below {highest:g}"
            )


def nearest_words(word: str, known: Iterable[str]) -> str:
    """Return the known words nearest to a word, as text for a refusal.

    >>> nearest_words("bras", ("brass", "bronze", "copper"))
    "nearest: 'brass'"
    >>> nearest_words("wood", ("brass", "copper"))
    "known: 'brass', 'copper'"
    """
    names = tuple(known)
    import difflib  # noqa: PLC0415 - for what is wrong only

    found = difflib.get_close_matches(word.casefold(), [n.casefold() for n in names], 3, 0.5)
    near = [next(n for n in names if n.casefold() == match) for match in found]
    label = "nearest" if near else "known"
    return f"{label}: " + ", ".join(repr(name) for name in near or names)


def _words(name: str) -> str:
    """Return an argument's name as words."""
    return name.replace("_", " ")
