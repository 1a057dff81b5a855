"""What the comments of a TOML text say of its keys, and the values they have there."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass

from pathgen.input.scan import KeyPath, lines_of

Keys = tuple[str, ...]
PLACEHOLDER = "@"  # begins and ends what a starter has filled in
_LINE = re.compile(
    r"""(?P<waits>\#\ )? (?:[^"'=\#]*=)?
    (?P<written>(?:[^"'\#] | "(?:[^"\\]|\\.)*" | '[^']*')*)
    (?:\#(?P<said>.*))?""",
    re.VERBOSE,
)
_OUT_OF_USE = re.compile(r"^# (?=\w+ = |\[+[\w.]+\]+)")  # a key or header that waits to be wanted


@dataclass(frozen=True, slots=True)
class Remark:
    """What is said of a key, and the values that show what it can hold."""

    said: str = ""
    examples: tuple[object, ...] = ()


def remarks_of(texts: Iterable[str]) -> dict[Keys, Remark]:
    r"""Return what the comments at the ends of lines say of the keys in those lines.

    The numbers of entries are left out of the paths. Keys that are commented out count too.

    >>> remarks_of(['units = "mm"   # or "in"\n# paper = 0.05  # if any'])[("paper",)]
    Remark(said='if any', examples=(0.05,))
    """
    found: dict[Keys, Remark] = {}
    for text in texts:
        lines = text.splitlines()
        in_use = "\n".join(_OUT_OF_USE.sub("", line) for line in lines)
        values = tomllib.loads(in_use)
        for path, number in lines_of(in_use).items():
            if isinstance(path[-1], str):
                keys = tuple(part for part in path if isinstance(part, str))
                remark = _remark(lines[number - 1], _value(values, path))
                found[keys] = _both(found.get(keys, Remark()), remark)
    return found


def _remark(line: str, value: object) -> Remark:
    """Return what a line says of the value in it."""
    found = _LINE.fullmatch(line)
    said = (found["said"] or "").strip() if found else ""
    if found and said.startswith("or "):  # beside what stands there
        said = f"{found['written'].strip()}, {said}"
    elif found and said and found["waits"] and isinstance(value, bool):  # of this very value
        said = f"{found['written'].strip()}: {said}"
    return Remark(said, (value,) if _shows_something(value) else ())


def _shows_something(value: object) -> bool:
    """Tell whether a value is worth showing: no truth value, table, empty list or placeholder."""
    if isinstance(value, list):
        return bool(value) and not isinstance(value[0], dict)
    return not isinstance(value, bool | dict) and PLACEHOLDER not in str(value)


def _both(one: Remark, other: Remark) -> Remark:
    """Return two remarks as one, with nothing said twice."""
    said = dict.fromkeys(part for part in (one.said, other.said) if part)
    examples = list(one.examples)
    examples += [each for each in other.examples if each not in examples]
    return Remark("; ".join(said), tuple(examples))


def _value(values: object, path: KeyPath) -> object:
    for part in path:
        values = values[part]  # type: ignore[index]  # the path was found in these values
    return values
