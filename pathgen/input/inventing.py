"""Invented values of any shape, as TOML would give them."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import TypeVar

from pathgen.input.kinds import (
    AnyText,
    EntryKind,
    Figure,
    Kind,
    ListOf,
    Measure,
    OneOf,
    Points,
    Shape,
    Spelled,
    TextsByName,
    TrueOrFalse,
)
from pathgen.input.values import Limits
from pathgen.input.where import WrongValue

T = TypeVar("T")
INVENTED = "invented text"  # begins each text that is made up here


def read_invention(kind: Kind[T] | EntryKind[T], sample: object) -> T:
    """Return an invention as its kind reads it, or what is harmless if it goes beyond limits."""
    try:
        return kind.read(sample)
    except WrongValue:
        return kind.harmless


def invent(shape: Shape, draw: Random) -> object:
    """Return some value of a shape, as TOML would give it."""
    match shape:
        case AnyText() | OneOf() | Spelled() | TextsByName():
            return _invent_texts(shape, draw)
        case TrueOrFalse():
            return drawn((True, False), draw)
        case Figure(limits, whole):
            number = _within(limits, draw)
            return round(number) if whole else number
        case Measure(limits):
            return _within(limits, draw)
        case Points():
            return [[100 * draw.random(), 100 * draw.random()] for _ in range(2)]
        case ListOf():
            raise AssertionError("lists are invented entry by entry")


def _invent_texts(shape: AnyText | OneOf | Spelled | TextsByName, draw: Random) -> object:
    match shape:
        case AnyText():
            return f"{INVENTED} {draw.random()}"
        case OneOf(options):
            return drawn(options, draw)
        case Spelled(_, example):
            return example
        case TextsByName():
            return {INVENTED: INVENTED}


def _within(limits: Limits, draw: Random) -> float:
    """Return a number within the limits, if they have a sensible room between them."""
    low = next((each for each in (limits.above, limits.least) if each is not None), 0.0)
    high = low + 100 if limits.most is None else limits.most
    return low + (high - low) * draw.random()


def drawn(options: Sequence[T], draw: Random) -> T:
    """Return one of the options, at random."""
    return options[int(draw.random() * len(options))]
