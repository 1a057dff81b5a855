"""JSON Schema of single values: texts, words, numbers, lengths, lists of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import TypeAlias, TypeVar

from pathgen.input.inventing import INVENTED
from pathgen.input.kinds import (
    AnyText,
    Figure,
    ListOf,
    Measure,
    OneOf,
    Points,
    Shape,
    Spelled,
    TextsByName,
    TrueOrFalse,
)
from pathgen.input.lengths import BARE, spelling
from pathgen.input.values import Limits

Schema: TypeAlias = dict[str, object]
T = TypeVar("T")
NOT_BLANK = r"\S"
NOT_BELOW_ZERO = r"(?!\s*-[0.\s]*[1-9])"


def shape_schema(shape: Shape, *, named: bool) -> Schema:
    """Return the schema of a shape.

    Args:
        shape: what a getter takes.
        named: lengths may be names of drills.
    """
    match shape:
        case AnyText() | OneOf() | Spelled() | TextsByName():
            return _texts(shape)
        case TrueOrFalse():
            return {"type": "boolean"}
        case Figure(limits, whole):
            return {"type": "integer" if whole else "number", **_limits(limits)}
        case Measure(limits):
            return _length(limits, named=named)
        case ListOf() | Points():
            return _listed(shape, named=named)


def _listed(shape: ListOf | Points, *, named: bool) -> Schema:
    """Return the schema of a list; of points also that of a single one."""
    if isinstance(shape, Points):
        pair = _listed(ListOf(Measure(Limits()), 2), named=named)
        return {"anyOf": [pair, {"type": "array", "minItems": 1, "items": pair}]}
    number = {} if shape.count is None else {"minItems": shape.count, "maxItems": shape.count}
    return {"type": "array", **number, "items": shape_schema(shape.entry, named=named)}


def _texts(shape: AnyText | OneOf | Spelled | TextsByName) -> Schema:
    match shape:
        case AnyText():
            return {"type": "string", "pattern": NOT_BLANK}
        case OneOf(options):
            return {"enum": list(options)}
        case Spelled(pattern):
            return {"type": "string", "pattern": f"^(?:{pattern})$"}
        case TextsByName():
            text = _texts(AnyText())
            return {"type": "object", "additionalProperties": text, "minProperties": 1}


def common(shapes: Sequence[Shape]) -> Shape:
    """Return what shapes of one class have in common; limits and counts that vary are left out."""
    first = shapes[0]
    if all(shape == first for shape in shapes):
        return first
    match first:
        case AnyText() | TrueOrFalse() | TextsByName() | Spelled() | Points():
            return first  # a form that is spelled otherwise is told of by itself
        case OneOf():
            return _all_words(shape for shape in shapes if isinstance(shape, OneOf))
        case Figure():
            figures = [shape for shape in shapes if isinstance(shape, Figure)]
            whole = all(figure.whole for figure in figures)
            return Figure(_common_limits([figure.limits for figure in figures]), whole)
        case Measure():
            limits = [shape.limits for shape in shapes if isinstance(shape, Measure)]
            return Measure(_common_limits(limits))
        case ListOf():
            lists = [shape for shape in shapes if isinstance(shape, ListOf)]
            entry = common([each.entry for each in lists])
            if isinstance(entry, ListOf | TrueOrFalse | TextsByName | Points):
                raise TypeError("lists hold single values")
            return ListOf(entry, _same([each.count for each in lists]))


def plain(default: object, *, is_length: bool) -> object:
    """Return a default as a file would have it: a length with its unit, a whole number as such.

    >>> plain(0.02, is_length=True), plain(118.0, is_length=False), plain(0.0, is_length=True)
    ('0.02 mm', 118, 0)
    """
    if isinstance(default, float):
        number = _number(default)
        return f"{number} mm" if is_length and number else number
    return list(default) if isinstance(default, tuple) else default


def _length(limits: Limits, *, named: bool) -> Schema:
    """Return the schema of a length: a number in mm or inches, or text."""
    sign = "" if (_least(limits) or 0) < 0 or _least(limits) is None else NOT_BELOW_ZERO
    ways = "|".join([spelling(), *_DRILL_NAMES] if named else [spelling()])
    return {
        "type": ["number", "string"],
        **_limits(_in_any_unit(limits)),
        "pattern": rf"^{sign}\s*(?:{ways})\s*$",
    }


def _least(limits: Limits) -> float | None:
    return limits.least if limits.above is None else limits.above


def _in_any_unit(limits: Limits) -> Limits:
    """Return limits in mm as they are for a bare number whose unit is not known: the looser."""
    factors = list(BARE.values())

    def written(limit: float | None) -> list[float]:
        return [] if limit is None else [float(Fraction(str(limit)) / each) for each in factors]

    return Limits(
        above=min(written(limits.above), default=None),
        least=min(written(limits.least), default=None),
        most=max(written(limits.most), default=None),
    )


def _limits(limits: Limits) -> Schema:
    named = (
        ("exclusiveMinimum", limits.above),
        ("minimum", limits.least),
        ("maximum", limits.most),
    )
    return {name: _number(limit) for name, limit in named if limit is not None}


def _number(value: float) -> float | int:
    return int(value) if value == int(value) else value


def _all_words(choices: Iterable[OneOf]) -> AnyText | OneOf:
    """Return all options there were, or any text if some came from what else is in the file."""
    words = tuple(sorted({word for choice in choices for word in choice.options}))
    return AnyText() if any(INVENTED in word for word in words) else OneOf(words)


def _common_limits(limits: Sequence[Limits]) -> Limits:
    return Limits(
        above=_same([each.above for each in limits]),
        least=_same([each.least for each in limits]),
        most=_same([each.most for each in limits]),
    )


def _same(values: Sequence[T | None]) -> T | None:
    """Return the value that all of them are, or None."""
    return values[0] if all(value == values[0] for value in values) else None


def _any_case(word: str) -> str:
    """Return a pattern of a word in capitals or not."""
    return "".join(f"[{letter.lower()}{letter.upper()}]" for letter in word)


# Looser than how the names are read, which would tell of each wrong one what is wrong with it.
_DRILL_NAMES = (
    r"[\s\S]*" + _any_case("drill"),
    rf"(?:{'|'.join(map(_any_case, ('letter', 'no', 'nr', 'number')))})[\s\S]*",
)
