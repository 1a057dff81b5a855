"""Objects of JSON read into frozen values, by the types of their fields, all errors gathered."""

from __future__ import annotations

import math
from dataclasses import MISSING, fields, is_dataclass
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from pathgen.input.where import Faults, Where, nearest
from pathgen.moves.moves import Term

T = TypeVar("T")
NAMED = {int: "a whole number", float: "a number", str: "text", bool: "true or false"}


def read_object(
    wanted: type[T],
    raw: Any,
    where: Where,
    faults: Faults,
    known: dict[str, Any] | None = None,
) -> T | None:
    """Return a dataclass from an object of JSON; None, with the errors gathered, if any is wrong.

    Args:
        wanted: the dataclass.
        raw: what was parsed.
        where: its place, for messages.
        faults: gathers the errors.
        known: fields that were read elsewhere.
    """
    if not isinstance(raw, dict):
        faults.add(where, f"{raw!r:.40} is no object", "write {...}")
        return None
    before = len(faults.errors)
    as_hashable: Any = wanted
    hints = _hints(as_hashable)
    values = dict(known or {})
    wanted_fields = [each for each in fields(as_hashable) if each.name not in values]
    for each in wanted_fields:
        if each.name in raw:
            hint = hints[each.name]
            values[each.name] = read_value(hint, raw[each.name], where.at(each.name), faults)
        elif each.default is MISSING:
            faults.add(where.at(each.name), "missing", "give it")
    names = [each.name for each in wanted_fields]
    for name in raw:
        if name not in names:
            faults.add(where.at(str(name)), "unknown", nearest(str(name), names))
    return None if len(faults.errors) > before else wanted(**values)


def read_value(hint: Any, raw: Any, where: Where, faults: Faults) -> Any:
    """Return a value of the type that a field wants; None, with an error gathered, if it is not."""
    origin = get_origin(hint)
    if origin is Literal:
        return _choice(get_args(hint), raw, where, faults)
    if origin is tuple:
        return _list(get_args(hint)[0], raw, where, faults)
    if origin in (Union, UnionType):
        inner = next(each for each in get_args(hint) if each is not NoneType)
        return None if raw is None else read_value(inner, raw, where, faults)
    if hint is Term:
        return _term(raw, where, faults)
    if is_dataclass(hint) and isinstance(hint, type):
        return read_object(hint, raw, where, faults)
    return _plain(hint, raw, where, faults)


def _plain(hint: Any, raw: Any, where: Where, faults: Faults) -> Any:
    """Return a number, a text or a truth value."""
    if hint is float and isinstance(raw, int) and not isinstance(raw, bool):
        raw = float(raw) if abs(raw) < 1e300 else math.inf
    if type(raw) is not hint or (isinstance(raw, float) and not math.isfinite(raw)):
        faults.add(where, f"{raw!r:.40}", f"give {NAMED[hint]}")
        return None
    return raw


def _choice(options: tuple[Any, ...], raw: Any, where: Where, faults: Faults) -> Any:
    """Return one of the words that a field allows."""
    if isinstance(raw, str) and raw in options:
        return raw
    faults.add(where, f"{raw!r:.40}", f"one of {', '.join(map(repr, options))}")
    return None


def _list(inner: Any, raw: Any, where: Where, faults: Faults) -> Any:
    """Return a tuple of values of one type."""
    if not isinstance(raw, list):
        faults.add(where, f"{raw!r:.40} is no list", "write [...]")
        return None
    return tuple(
        read_value(inner, each, where.at(str(index)), faults) for index, each in enumerate(raw)
    )


def _term(raw: Any, where: Where, faults: Faults) -> Term | None:
    """Return a term of a sum."""
    if not isinstance(raw, dict) or set(raw) != {"label", "value"}:
        faults.add(where, f"{raw!r:.40}", "a term has a label and a value")
        return None
    label = read_value(str, raw["label"], where.at("label"), faults)
    value = read_value(float, raw["value"], where.at("value"), faults)
    return None if label is None or value is None else Term(label, value)


@cache
def _hints(wanted: Any) -> dict[str, Any]:
    """Return the types of a dataclass' fields."""
    return get_type_hints(wanted)
