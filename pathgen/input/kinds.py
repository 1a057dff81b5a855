"""Kinds of values that getters ask for: how each is read, and its shape as data.

The shape says what would be taken, for whoever describes a file without having one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeAlias, TypeVar

from pathgen.input import values
from pathgen.input.values import Limits
from pathgen.input.where import listed

T = TypeVar("T")
Word = TypeVar("Word", bound=str)


@dataclass(frozen=True, slots=True)
class AnyText:
    """A text that is not blank."""


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of these words."""

    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spelled:
    """A text that a regular expression, one that JSON Schema knows too, fits from end to end."""

    pattern: str
    example: str

    def fits(self, value: str) -> bool:
        """Tell whether a text is so spelled."""
        return re.fullmatch(self.pattern, value) is not None


@dataclass(frozen=True, slots=True)
class TextsByName:
    """A table of texts, one at least, under names that the file chooses."""


@dataclass(frozen=True, slots=True)
class TrueOrFalse:
    """A truth value."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number within limits."""

    limits: Limits
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """A length, as a number in the table's units or as text; its limits are in mm."""

    limits: Limits


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list, of so many entries if a count is given."""

    entry: Single
    count: int | None = None


@dataclass(frozen=True, slots=True)
class Points:
    """A point as two lengths, x and y, or a list of such points."""


Single: TypeAlias = AnyText | OneOf | Spelled | Figure | Measure
Shape: TypeAlias = Single | TrueOrFalse | ListOf | Points | TextsByName


@dataclass(frozen=True, slots=True)
class Kind(Generic[T]):
    """How a kind of value is read, and what to do without it."""

    read: Callable[[object], T]  # raises WrongValue
    harmless: T  # to go on reading with after an error
    right: str  # what a message asks for
    shape: Shape


@dataclass(frozen=True, slots=True)
class EntryKind(Generic[T]):
    """How the entries of a list are read."""

    read: Callable[[object], T]  # raises WrongValue
    harmless: T
    plural: str  # what a message calls them
    shape: Single
    drawn: Single | None = None  # what inventions are drawn from, where that is less than the shape


TEXT: Kind[str] = Kind(values.as_text, "unknown", "give a text", AnyText())
TEXTS: EntryKind[str] = EntryKind(values.as_text, "unknown", "texts", AnyText())
NUMBERS: EntryKind[float] = EntryKind(
    lambda value: values.as_number(value, Limits()), 1.0, "numbers", Figure(Limits())
)


def choice_kind(options: Sequence[Word]) -> Kind[Word]:
    """Return the kind of a word out of the options."""
    return Kind(
        lambda value: values.as_choice(value, options),
        options[0],
        f"use {listed(options)}",
        OneOf(tuple(options)),
    )


def words_kind(options: Sequence[Word], among: Sequence[Word] = ()) -> EntryKind[Word]:
    """Return the kind of the words of a list, each out of the options.

    Args:
        options: those that may stand here.
        among: those that may stand in other files, these among them; none given: no others.
    """
    kind = choice_kind(options)
    drawn, shape = OneOf(tuple(options)), OneOf(tuple(among or options))
    return EntryKind(kind.read, kind.harmless, "words", shape, drawn)


def flag_kind(*, default: bool) -> Kind[bool]:
    """Return the kind of a truth value."""
    return Kind(values.as_flag, default, "give true or false", TrueOrFalse())


def number_kind(limits: Limits) -> Kind[float]:
    """Return the kind of a number within limits."""
    return Kind(
        lambda value: values.as_number(value, limits),
        limits.harmless(),
        f"give a number{limits}",
        Figure(limits),
    )


def whole_kind(limits: Limits) -> Kind[int]:
    """Return the kind of a whole number within limits."""
    return Kind(
        lambda value: values.as_whole(value, limits),
        int(limits.harmless()),
        f"give a whole number{limits}",
        Figure(limits, whole=True),
    )
