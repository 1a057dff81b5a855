"""The scanner finds the line of every key, whatever stands around it."""

from __future__ import annotations

import json
import math
import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pathgen.input.scan import KeyPath, lines_of


def paths(value: object, at: KeyPath = ()) -> Iterator[KeyPath]:
    """Yield the path of everything within a value."""
    inner: list[tuple[str | int, object]] = []
    if isinstance(value, dict):
        inner = list(value.items())
    elif isinstance(value, list):
        inner = list(enumerate(value))
    for key, each in inner:
        yield (*at, key)
        yield from paths(each, (*at, key))


PLAIN = """\
# a comment with [brackets] and key = "value"
units = "mm"   # [not.a.header]
title = "fence # bar = [1, 2]"
'literal key' = 'C:\\no\\escapes # here'
"say \\"x\\" = 1" = 4
"" = 5
"a.b" = 6
a . "b" . 'c' = 7
a.d=8
when = 1979-05-27 07:32:00
"""


def test_keys_stand_in_their_lines() -> None:
    assert lines_of(PLAIN) == {
        ("units",): 2,
        ("title",): 3,
        ("literal key",): 4,
        ('say "x" = 1',): 5,
        ("",): 6,
        ("a.b",): 7,
        ("a",): 8,
        ("a", "b"): 8,
        ("a", "b", "c"): 8,
        ("a", "d"): 9,
        ("when",): 10,
    }
    assert set(lines_of(PLAIN)) == set(paths(tomllib.loads(PLAIN)))


STRINGS = '''\
one = """
[not]
a = 1
\\""" still "" inside """
two = """ends in quotes"""""
three = \'\'\'
b = 2 # not a comment
\\\'\'\'
four = \'\'\'ends in a quote\'\'\'\'
five = "\\\\"
six = '\\'
seven = """\\
   folded"""
eight = ""
nine = \'\'
ten = """"""
last = "]"
'''


def test_strings_hide_what_looks_like_keys() -> None:
    assert lines_of(STRINGS) == {
        ("one",): 1,
        ("two",): 5,
        ("three",): 6,
        ("four",): 9,
        ("five",): 10,
        ("six",): 11,
        ("seven",): 12,
        ("eight",): 14,
        ("nine",): 15,
        ("ten",): 16,
        ("last",): 17,
    }
    assert set(lines_of(STRINGS)) == set(paths(tomllib.loads(STRINGS)))


ARRAYS = """\
points = [ # the corners ]
  [0, 1], [2,
  3],  # ] [
  # "
  [],
]
mixed = ["a]", 'b,', { x = 1, "y" = [
  4 ] }, 1979-05-27 07:32:00, -1.5e3, true]
inline = { a.b = 1, a."c d" = { e = "}" }, f = [] }
after = 1
"""


def test_entries_of_arrays_have_lines_of_their_own() -> None:
    assert lines_of(ARRAYS) == {
        ("points",): 1,
        ("points", 0): 2,
        ("points", 0, 0): 2,
        ("points", 0, 1): 2,
        ("points", 1): 2,
        ("points", 1, 0): 2,
        ("points", 1, 1): 3,
        ("points", 2): 5,
        ("mixed",): 7,
        ("mixed", 0): 7,
        ("mixed", 1): 7,
        ("mixed", 2): 7,
        ("mixed", 2, "x"): 7,
        ("mixed", 2, "y"): 7,
        ("mixed", 2, "y", 0): 8,
        ("mixed", 3): 8,
        ("mixed", 4): 8,
        ("mixed", 5): 8,
        ("inline",): 9,
        ("inline", "a"): 9,
        ("inline", "a", "b"): 9,
        ("inline", "a", "c d"): 9,
        ("inline", "a", "c d", "e"): 9,
        ("inline", "f"): 9,
        ("after",): 10,
    }
    assert set(lines_of(ARRAYS)) == set(paths(tomllib.loads(ARRAYS)))


TABLES = """\
[ setup.'work holding' ]  # ]
jaws = 2

[setup]
name = "first"
[[feature]]
[[feature.hole]]
depth = 3
[[feature.hole]]
[feature.hole.drill]
size = 4
[[ feature ]]
kind = "slot"
[[feature.hole]]
[feature.hole.drill]
[feature.end.left]
x = 1
"""


def test_tables_stand_at_their_headers() -> None:
    assert lines_of(TABLES) == {
        ("setup",): 4,  # its own header, though it is meant in line 1 already
        ("setup", "work holding"): 1,
        ("setup", "work holding", "jaws"): 2,
        ("setup", "name"): 5,
        ("feature",): 6,
        ("feature", 0): 6,
        ("feature", 0, "hole"): 7,
        ("feature", 0, "hole", 0): 7,
        ("feature", 0, "hole", 0, "depth"): 8,
        ("feature", 0, "hole", 1): 9,
        ("feature", 0, "hole", 1, "drill"): 10,
        ("feature", 0, "hole", 1, "drill", "size"): 11,
        ("feature", 1): 12,
        ("feature", 1, "kind"): 13,
        ("feature", 1, "hole"): 14,
        ("feature", 1, "hole", 0): 14,
        ("feature", 1, "hole", 0, "drill"): 15,
        ("feature", 1, "end"): 16,
        ("feature", 1, "end", "left"): 16,
        ("feature", 1, "end", "left", "x"): 17,
    }
    assert set(lines_of(TABLES)) == set(paths(tomllib.loads(TABLES)))


@pytest.mark.parametrize("text", [PLAIN, STRINGS, ARRAYS, TABLES])
def test_line_ends_of_two_characters_count_once(text: str) -> None:
    assert lines_of(text.replace("\n", "\r\n")) == lines_of(text)


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment", "# one\n\n  # two\n"])
def test_a_text_without_keys_has_no_lines(text: str) -> None:
    assert lines_of(text) == {}


@pytest.mark.parametrize(
    ("text", "line"), [("a = 1\nb", 2), ("\n= 1", 2), ("[a", 1), ("a = [1", 1), ('a = "', 1)]
)
def test_what_is_not_toml_is_refused(text: str, line: int) -> None:
    with pytest.raises(ValueError, match=f"^not TOML in line {line}"):
        lines_of(text)


# ---------------------------------------------------------------- generated documents

NASTY = "ab01_- .#=[]{}\"'\\\n\t,é"
TEXTS = st.text(NASTY, max_size=8)
SCALARS = st.one_of(
    TEXTS, st.integers(-999, 999), st.booleans(), st.floats(-9, 9), st.just(math.inf)
)
VALUES: st.SearchStrategy[Any] = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(TEXTS, inner, max_size=3),
        st.lists(st.dictionaries(TEXTS, inner, max_size=2), max_size=3),
    ),
    max_leaves=12,
)
DOCUMENTS = st.dictionaries(TEXTS, VALUES, max_size=5)


class Emitter:
    """Writes values as TOML, each in a way picked by chance, and notes the line of each."""

    def __init__(self, data: st.DataObject) -> None:
        self.data = data
        self.text = ""
        self.places: dict[KeyPath, int] = {}

    def pick(self, *ways: str) -> str:
        return str(self.data.draw(st.sampled_from(ways)))

    def note(self, at: KeyPath) -> None:
        self.places.setdefault(at, self.text.count("\n") + 1)

    def key(self, name: str) -> str:
        if name and all(letter in "ab01_-" for letter in name) and self.pick("bare", "") == "bare":
            return name
        if not set(name) & set("'\n\\") and self.pick("literal", "") == "literal":
            return f"'{name}'"
        return json.dumps(name)

    def table(self, table: dict[str, Any], at: KeyPath, keys: tuple[str, ...]) -> None:
        """Write what is in a table whose header stands already: values first, then tables."""
        below = []
        for name, value in table.items():
            is_tables = isinstance(value, list) and value and isinstance(value[0], dict)
            is_tables = is_tables and all(isinstance(each, dict) for each in value)
            if (is_tables or isinstance(value, dict)) and self.pick("header", "") == "header":
                below.append((name, value))
            else:
                self.pair(name, value, at, "")
        for name, value in below:
            inner = (*keys, self.key(name))
            if isinstance(value, dict):
                self.headed(value, (*at, name), inner)
                continue
            for index, each in enumerate(value):
                self.gap()
                self.note((*at, name))
                self.note((*at, name, index))
                self.text += f"[[{self.pick('.', ' . ').join(inner)}]] # ]\n"
                self.table(each, (*at, name, index), inner)

    def headed(self, table: dict[str, Any], at: KeyPath, keys: tuple[str, ...]) -> None:
        self.gap()
        self.note(at)
        self.text += f"[{' . '.join(keys)}]\n"
        self.table(table, at, keys)

    def gap(self) -> None:
        self.text += self.pick("", "\n", "# [x] = '''\n", "  ")

    def pair(self, name: str, value: Any, at: KeyPath, prefix: str) -> None:
        """Write `name = value`, or dotted names for what is in a table."""
        at = (*at, name)
        if isinstance(value, dict) and value and self.pick("dotted", "") == "dotted":
            dotted = f"{prefix}{self.key(name)}{self.pick('.', ' . ')}"
            for inner, each in value.items():
                self.pair(inner, each, at, dotted)
            return
        self.gap()
        for length in range(1, len(at) + 1):
            self.note(at[:length])
        self.text += f"{prefix}{self.key(name)} = "
        self.value(value, at)
        self.text += self.pick("\n", " # ] } \" '\n")

    def value(self, value: Any, at: KeyPath) -> None:
        match value:
            case bool():
                self.text += json.dumps(value)
            case str():
                self.string(value)
            case list():
                self.array(value, at)
            case dict():
                self.inline(value, at)
            case _:
                self.text += str(value)

    def string(self, value: str) -> None:
        ways = ["basic", "long"]
        if not set(value) & set("'\n"):
            ways.append("literal")
        if "'''" not in value and not value.endswith("'''"):
            ways.append("long literal")
        match self.pick(*ways):
            case "basic":
                self.text += json.dumps(value)
            case "literal":
                self.text += f"'{value}'"
            case "long":
                escaped = value.replace("\\", "\\\\").replace('"""', '""\\"')
                self.text += f'"""\n{escaped}"""'
            case _:
                self.text += f"'''\n{value}'''"

    def array(self, value: list[Any], at: KeyPath) -> None:
        self.text += "["
        for index, each in enumerate(value):
            self.text += self.pick("", " ", "\n", ' # ], "\n')
            self.note((*at, index))
            self.value(each, (*at, index))
            self.text += self.pick("", " ", "\n") + ("," if index + 1 < len(value) else "")
        self.text += self.pick("", ",", "\n", "# ]\n") if value else self.pick("", " ", "\n")
        self.text += "]"

    def inline(self, value: dict[str, Any], at: KeyPath) -> None:
        self.text += "{"
        for index, (name, each) in enumerate(value.items()):
            self.text += ", " if index else self.pick("", " ")
            self.note((*at, name))
            self.text += f"{self.key(name)} = "
            self.value(each, (*at, name))
        self.text += "}"


@given(document=DOCUMENTS, data=st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_everything_that_the_parser_yields_is_found_in_its_line(
    document: dict[str, Any], data: st.DataObject
) -> None:
    emitter = Emitter(data)
    emitter.table(document, (), ())
    assert tomllib.loads(emitter.text) == document
    lines = lines_of(emitter.text)
    assert set(lines) == set(paths(document))
    assert lines == emitter.places
