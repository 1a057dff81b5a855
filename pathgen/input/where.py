"""Where in a file something stands, and what is said when it cannot be used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

FEW = 12  # so many words can still be listed in one line of a message


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a file: its line, counted from 1 (0: no line known), and the key there.

    >>> str(Where("bush.toml", 7, "blank").at("width"))
    'bush.toml:7: blank.width'
    """

    file: str
    line: int
    key: str

    def at(self, key: str) -> Where:
        """Return the place of a key below this one, taken to be in the same line."""
        return Where(self.file, self.line, f"{self.key}.{key}" if self.key else key)

    def __str__(self) -> str:
        line = f":{self.line}" if self.line else ""
        key = f": {self.key}" if self.key else ""
        return f"{self.file}{line}{key}"


class InputError(Exception):
    """What a person wrote cannot be used; the command line ends with `exit_code`."""

    exit_code = 2


class JobError(InputError):
    """One thing that is wrong in a file, where it stands, and what would be right.

    >>> print(JobError(Where("bush.toml", 7, "width"), "0 mm", "give a length above 0 mm"))
    bush.toml:7: width: 0 mm; give a length above 0 mm
    """

    def __init__(self, where: Where, wrong: str, right: str) -> None:
        self.where = where
        self.wrong = wrong
        self.right = right
        super().__init__(where, wrong, right)

    def __str__(self) -> str:
        return _message(self.where, self.wrong, self.right)


class JobErrors(InputError):  # noqa: N818 - they are many
    """Many errors, in the order of their files and lines, each of them once."""

    def __init__(self, errors: Iterable[JobError]) -> None:
        self.errors: tuple[JobError, ...] = _in_order(errors)
        super().__init__(self.errors)

    def __str__(self) -> str:
        return "\n".join(str(error) for error in self.errors)


class Refusal(InputError):  # noqa: N818 - the input is in order
    """Something well formed that cannot be done, and what would do it instead.

    >>> print(Refusal(Where("bush.toml", 7, "dish"), "no arcs by hand", "use a rotary table"))
    bush.toml:7: dish: no arcs by hand; use a rotary table
    """

    def __init__(self, where: Where, cannot: str, instead: str) -> None:
        self.where = where
        self.cannot = cannot
        self.instead = instead
        super().__init__(where, cannot, instead)

    def __str__(self) -> str:
        return _message(self.where, self.cannot, self.instead)


class WrongValue(ValueError):  # noqa: N818 - an error once its place is known
    """A value that cannot be used, told before it is known where the value stands."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong = wrong
        self.right = right
        super().__init__(wrong, right)

    def __str__(self) -> str:
        return f"{self.wrong}; {self.right}" if self.right else self.wrong


class Faults:
    """Gathers the errors of one reading, so that all of them come out at once."""

    def __init__(self) -> None:
        self._errors: list[JobError] = []

    @property
    def errors(self) -> tuple[JobError, ...]:
        """What was gathered so far, in the order of files and lines, each once."""
        return _in_order(self._errors)

    def add(self, where: Where, wrong: str, right: str) -> None:
        """Gather one error."""
        self._errors.append(JobError(where, wrong, right))

    def extend(self, errors: Iterable[JobError]) -> None:
        """Gather errors that were made elsewhere."""
        self._errors.extend(errors)

    def __bool__(self) -> bool:
        return bool(self._errors)

    def raise_any(self) -> None:
        """Raise what was gathered; return if that is nothing.

        Raises:
            JobErrors: all errors gathered, in the order of files and lines, each once.
        """
        if self._errors:
            raise JobErrors(self._errors)


def nearest(word: str, words: Iterable[str]) -> str:
    """Return advice for a word that is none of the valid ones.

    It names the one or two words that look alike; else all words, if they are few; else nothing.

    >>> nearest("widht", ["width", "depth", "where"])
    'did you mean "width"?'
    >>> nearest("length", ["width", "depth", "where"])
    'use "width", "depth" or "where"'
    """
    import difflib  # noqa: PLC0415 - for what is wrong only, and reading starts with this module

    valid = list(dict.fromkeys(words))
    by_lower = {name.lower(): name for name in reversed(valid)}
    alike = difflib.get_close_matches(word.lower(), by_lower, n=2, cutoff=0.65)
    if alike:
        return f"did you mean {listed([by_lower[name] for name in alike])}?"
    return f"use {listed(valid)}" if 0 < len(valid) <= FEW else ""


def listed(words: Iterable[str]) -> str:
    """Return words in quotes as a choice: `"a", "b" or "c"`."""
    *front, last = [quoted(word) for word in words]
    return f"{', '.join(front)} or {last}" if front else last


def quoted(text: str) -> str:
    r"""Return a text in quotes, on one line and without marks that nobody can see.

    >>> print(quoted("a\nb"))
    "a\nb"
    """
    seen = (mark if mark.isprintable() else mark.encode("unicode_escape").decode() for mark in text)
    return f'"{"".join(seen)}"'


def _message(where: Where, wrong: str, right: str) -> str:
    return f"{where}: {wrong}; {right}" if right else f"{where}: {wrong}"


def _in_order(errors: Iterable[JobError]) -> tuple[JobError, ...]:
    once: dict[tuple[Where, str, str], JobError] = {}
    for error in errors:
        once.setdefault((error.where, error.wrong, error.right), error)
    return tuple(sorted(once.values(), key=lambda error: (error.where.file, error.where.line)))
