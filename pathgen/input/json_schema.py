"""JSON Schema (draft 2020-12) of a TOML file, from what its reader asks for.

The schema takes every file that the reader takes. The reader is the stricter of the two: it also
weighs the values against each other.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import reduce
from itertools import combinations, cycle
from operator import and_
from typing import TypeAlias

from pathgen.input.asking import Keys, Kinds, Seen, watch
from pathgen.input.getters import Table
from pathgen.input.inventing import INVENTED
from pathgen.input.kinds import ListOf, Measure, Shape, Spelled
from pathgen.input.remarks import Remark
from pathgen.input.shape_schema import common, plain, shape_schema

Schema: TypeAlias = dict[str, object]
DRAFT = "https://json-schema.org/draft/2020-12/schema"
ENOUGH = 30  # readings, before something is concluded from what none of them did


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """What goes into a schema besides the shapes."""

    named: bool  # lengths may be names of drills
    remarks: Mapping[Keys, Remark] = field(default_factory=dict)
    full: bool = True  # with remarks, defaults and what depends on what
    watched: dict[Keys, tuple[Seen, ...]] = field(default_factory=dict)  # tables read by a word

    @property
    def bare(self) -> Style:
        """Return the style in which only what a file has to keep to is told."""
        return Style(named=self.named, full=False, watched=self.watched)


def schema_of(read: Callable[[Table], object], title: str, comment: str, style: Style) -> Schema:
    """Return the schema of the files that a reader reads.

    Args:
        read: reads a root table; what it returns is of no interest.
        title: what the files are.
        comment: where the schema comes from.
        style: whether lengths may be names of drills, and what to say of the keys.
    """
    head: Schema = {"$schema": DRAFT, "$comment": comment, "title": title}
    return head | _table(watch(read), style)


def _table(seen: Sequence[Seen], style: Style) -> Schema:
    """Return the schema of a table from all readings of it."""
    kinds = next((each.kinds for each in seen if each.kinds is not None), None)
    if kinds is not None:
        return _by_kind(seen, kinds, style)
    keys = list(dict.fromkeys(key for each in seen for key in each.there))
    schema: Schema = {
        "type": "object",
        "properties": {key: _property(key, seen, style) for key in keys},
        "additionalProperties": not all(each.closed for each in seen),
    }
    required = _required(seen)
    if required:
        schema["required"] = required
    if style.full:
        usual = _rules(keys, seen, required)
        rules = usual + _choices(seen, required, usual, style)
        if rules:
            schema["allOf"] = rules
    return schema


def _by_kind(seen: Sequence[Seen], kinds: Kinds, style: Style) -> Schema:
    """Return the schema of a table whose keys are others for each word of one of them."""
    at = seen[0].at
    rules: list[Schema] = []
    keys = dict.fromkeys(key for each in seen for key in each.there if key != kinds.key)
    shared = {key: _property(key, seen, style) for key in keys}  # asked for whatever the word
    # What a reader asks may hang on what was read around its table, so all that were met are asked.
    met = [each.kinds.readers for each in seen if each.kinds is not None]
    for word in dict.fromkeys(word for readers in met for word in readers):
        here = (*at, kinds.key, word)
        if here not in style.watched:
            style.watched[here] = watch(
                _in_turn([readers[word] for readers in met if word in readers]), at
            )
        found = _table(style.watched[here], style)
        properties = found["properties"]
        assert isinstance(properties, dict)
        found["properties"] = {kinds.key: {"const": word}, **shared, **properties}
        rules.append({"if": {"properties": {kinds.key: {"const": word}}}, "then": found})
    return {
        "type": "object",
        "properties": {kinds.key: _property(kinds.key, seen, style)},
        "required": [kinds.key],
        "allOf": rules,
    }


def _in_turn(readers: Sequence[Callable[[Table], object]]) -> Callable[[Table], object]:
    """Return a reader that has each of several read in turn."""
    turns = cycle(readers)

    def read(table: Table) -> object:
        reader = next(turns)
        return reader(table)

    return read


def _property(key: str, seen: Sequence[Seen], style: Style) -> Schema:
    """Return the schema of what a key holds."""
    tables = [inner for each in seen for inner in each.inner.get(key, ())]
    least = {each.least[key] for each in seen if key in each.least}
    if least:
        schema: Schema = {"type": "array"}
        if min(least) > 0:
            schema["minItems"] = min(least)
        schema["items"] = _table(tables, style)
    elif tables:
        schema = _table(tables, style)
    else:
        schema = _value(key, seen, style)
    return _annotations(key, seen, schema, style) | schema if style.full else schema


def _value(key: str, seen: Sequence[Seen], style: Style) -> Schema:
    """Return the schema of a key that holds no table.

    What one reading asks of the key holds together, what different readings ask is alternative.
    """
    alike: dict[tuple[str, ...], list[tuple[Shape, ...]]] = {}
    for shapes in _different([each.shapes[key] for each in seen if key in each.shapes]):
        alike.setdefault(tuple(map(_class_of, shapes)), []).append(shapes)
    ways = [_together(alike[kinds], style) for kinds in sorted(alike, reverse=True)]
    return {"anyOf": ways} if len(ways) > 1 else ways[0] if ways else {}


def _different(readings: Sequence[Mapping[Shape, None]]) -> Iterable[tuple[Shape, ...]]:
    """Return what readings ask of a key, each way of asking once.

    Of thousands of readings nearly all ask alike, and for the very same shapes (see `Asking`), so
    these are told apart by which they are: much quicker than by what is in them.
    """
    found: dict[tuple[int, ...], tuple[Shape, ...]] = {}
    for shapes in readings:
        found.setdefault(tuple(map(id, shapes)), tuple(shapes))
    return found.values()


def _together(readings: Sequence[tuple[Shape, ...]], style: Style) -> Schema:
    """Return the schema of what readings ask that ask for the same kinds."""
    parts = [
        shape_schema(common(shapes), named=style.named) for shapes in zip(*readings, strict=True)
    ]
    return parts[0] if len(parts) == 1 else {"allOf": parts}


def _class_of(shape: Shape) -> str:
    """Return what shapes must have in common to be told as one."""
    if isinstance(shape, Spelled):
        return f"Spelled {shape.pattern}"
    inner = f" of {_class_of(shape.entry)}" if isinstance(shape, ListOf) else ""
    return type(shape).__name__ + inner


def _annotations(key: str, seen: Sequence[Seen], schema: Schema, style: Style) -> Schema:
    """Return the remarks on a key, and its default if that does not depend on anything."""
    at = (*seen[0].at, key)
    remark = style.remarks.get(at) or Remark()
    said = remark.said
    if not said and '"enum"' not in json.dumps(schema) and "properties" not in schema:
        said = _said_beside(at, style.remarks)
    found: Schema = {"description": said} if said else {}
    defaults = [each.defaults.get(key) for each in seen if key in each.there]
    shape = next((shape for each in seen for shape in each.shapes.get(key, ())), None)
    known = defaults[0] is not None and not _invented(defaults[0])
    if known and all(each == defaults[0] for each in defaults) and not _always(key, seen):
        found["default"] = plain(defaults[0], is_length=isinstance(shape, Measure))
    if remark.examples and not {"enum", "properties"} & schema.keys():
        found["examples"] = list(remark.examples)
    return found


def _said_beside(at: Keys, remarks: Mapping[Keys, Remark]) -> str:
    """Return what is said of the same key of a table beside: of datum.x.paper for datum.y.paper."""
    beside = (
        remark.said
        for other, remark in remarks.items()
        if len(other) == len(at) > 1 and (other[:-2], other[-1]) == (at[:-2], at[-1])
    )
    return next(filter(None, beside), "")


def _invented(default: object) -> bool:
    return isinstance(default, str) and INVENTED in default


# ---------------------------------------------------------------- which keys have to be there


class _Sound:
    """Which keys were there in the readings that missed nothing: a number each, a bit a key.

    Many questions are asked of thousands of readings, so they are asked of numbers.
    """

    def __init__(self, seen: Iterable[Seen]) -> None:
        sound = [each.there for each in seen if not each.lacking]
        names = dict.fromkeys(key for there in sound for key in there)
        self.bits = {key: 1 << place for place, key in enumerate(sorted(names))}
        self.rows = [sum(self.bits[key] for key, there in each.items() if there) for each in sound]

    def required(self, *, there: str | None = None, absent: Iterable[str] = ()) -> list[str]:
        """Return the keys that were there in all of some readings, by the alphabet.

        Args:
            there: a key that was there in them; any readings where there is none.
            absent: keys that were not there in them.
        """
        with_bit = self.bits.get(there, 0) if there is not None else 0
        if there is not None and not with_bit:
            return []
        without = sum(self.bits.get(key, 0) for key in absent)
        rows = [row for row in self.rows if row & with_bit == with_bit and not row & without]
        if len(rows) < ENOUGH:
            return []
        always = reduce(and_, rows)
        return [key for key, bit in self.bits.items() if always & bit]


def _always(key: str, seen: Iterable[Seen]) -> bool:
    """Return whether a key was there whenever nothing was missed."""
    sound = [each.there.get(key, False) for each in seen if not each.lacking]
    return len(sound) >= ENOUGH and all(sound)


def _required(seen: Iterable[Seen]) -> list[str]:
    """Return the keys that were there whenever nothing was missed, by the alphabet."""
    return _Sound(seen).required()


def _without(keys: Iterable[str], known: Collection[str]) -> list[str]:
    """Return keys less the known ones."""
    return [key for key in keys if key not in known]


def _rules(keys: Sequence[str], seen: Sequence[Seen], required: Sequence[str]) -> list[Schema]:
    """Return rules for keys that have to be there, or not, where others are."""
    sound = _Sound(seen)
    return [*_dependent(keys, sound, required), *_alternatives(keys, sound, required)]


def _dependent(keys: Sequence[str], sound: _Sound, required: Sequence[str]) -> Iterator[Schema]:
    """Yield which keys have to be there once some other one is."""
    for key in keys:
        more = _without(sound.required(there=key), (*required, key))
        if more:
            yield {"dependentRequired": {key: more}}


def _alternatives(keys: Sequence[str], sound: _Sound, required: Sequence[str]) -> list[Schema]:
    """Return rules for keys of which one or others have to be there."""
    rules: list[tuple[str, list[str]]] = []
    for key in keys:
        more = _without(sound.required(absent=[key]), required)
        told = any([one] == more and key in others for one, others in rules)
        if more and not told:
            rules.append((key, more))
    ways = [[[key], more] for key, more in rules]
    told_of = {each for way in ways for side in way for each in side}
    ways += _threefold([key for key in keys if key not in told_of], sound, required)
    return [{"anyOf": [{"required": side} for side in way]} for way in ways]


def _threefold(
    keys: Sequence[str], sound: _Sound, required: Sequence[str]
) -> Iterator[list[list[str]]]:
    """Yield three alternatives each: where neither of two keys is there, others have to be."""
    told: set[str] = set()
    for pair in combinations(keys, 2):
        more = _without(sound.required(absent=pair), required)
        if more and not told.intersection((*pair, *more)):
            told.update((*pair, *more))
            yield [[pair[0]], [pair[1]], more]


# ---------------------------------------------------------------- what depends on a word


def _choices(
    seen: Sequence[Seen], among: Sequence[str], usual: Sequence[Schema], style: Style
) -> list[Schema]:
    """Return rules for what is asked for differently where a choice falls differently.

    A choice that has to be made only where another fell some way is told of within that.

    Args:
        seen: the readings.
        among: the keys whose words are looked at.
        usual: rules that hold whatever is chosen.
        style: how much to tell.
    """
    keys = list(dict.fromkeys(key for each in seen for key in each.there))
    bare = {key: _property(key, seen, style.bare) for key in keys}
    required = _required(seen)
    rules: list[Schema] = []
    for key in among:
        for word in sorted({each.chosen[key] for each in seen if key in each.chosen}):
            chosen = [each for each in seen if each.chosen.get(key) == word]
            more = _without(_required(chosen), required)
            if len(chosen) < ENOUGH:
                continue
            found = _rules(keys, chosen, [*required, *more])
            within = _choices(chosen, more, [*usual, *found], style)
            then = {
                "properties": _changes(bare, chosen, style),
                "required": more,
                "allOf": [rule for rule in found if rule not in usual] + within,
            }
            if any(then.values()):
                where = {"properties": {key: {"const": word}}, "required": [key]}
                rules.append({"if": where, "then": {name: it for name, it in then.items() if it}})
    return rules


def _changes(bare: Mapping[str, Schema], chosen: Sequence[Seen], style: Style) -> Schema:
    """Return the keys whose schema, by some of the readings, differs from that by all."""
    asked = {key for each in chosen for key in each.there}
    properties: Schema = {}
    for key, usual in bare.items():
        found = _property(key, chosen, style.bare) if key in asked else False
        if found not in (usual, {}):
            properties[key] = found
    return properties
