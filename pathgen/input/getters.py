"""Tables of a TOML file whose getters check what they hand out and gather all that is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TypedDict, TypeVar, Unpack

from pathgen.input import kinds, values
from pathgen.input.documents import parse, read_text
from pathgen.input.entries import Entries, Named, Source
from pathgen.input.kinds import EntryKind, Kind
from pathgen.input.lengths import length
from pathgen.input.scan import KeyPath
from pathgen.input.values import Limits
from pathgen.input.where import Faults, JobError, WrongValue

T = TypeVar("T")
Word = TypeVar("Word", bound=str)


class Bounds(TypedDict, total=False):
    """What a getter of numbers or lengths (in mm) keeps to; what is absent sets no limit."""

    above: float | None
    least: float | None
    most: float | None


def read_toml(path: Path, faults: Faults, named: Named | None = None) -> Table | None:
    """Return the root table of a TOML file; None, with the error gathered, if there is none.

    Args:
        path: the file; messages name it as it is given here.
        faults: gathers this error and all those of the getters.
        named: returns the diameter, in mm, of a drill from its name, or None for any other text.
    """
    text = read_text(path, faults)
    return None if text is None else parse_toml(text, str(path), faults, path, named)


def parse_toml(
    text: str, file: str, faults: Faults, path: Path | None = None, named: Named | None = None
) -> Table | None:
    """Return the root table of a TOML text; None, with the error gathered, if it is not TOML.

    Args:
        text: the document.
        file: what messages call it.
        faults: gathers this error and all those of the getters.
        path: where the text was read from, if it was.
        named: returns the diameter, in mm, of a drill from its name, or None for any other text.

    >>> faults = Faults()
    >>> table = parse_toml('width = "3/8 in"', "plate.toml", faults)
    >>> table.length("width"), table.length("depth"), table.faulty
    (9.525, 1.0, True)
    >>> print(*faults.errors)
    plate.toml: depth: missing; give a length
    """
    found = parse(text, file, faults)
    if found is None:
        return None
    entries, lines = found
    return Table(entries, Source(file=file, path=path, lines=lines, faults=faults, named=named))


class Table(Entries):
    """The values of one table, with their places.

    A getter whose value is missing or wrong gathers an error and returns something harmless of the
    right type, so that reading goes on; build nothing from a table that is `faulty`. A getter with
    a default of None wants the key to be there. Limits of lengths are in mm.
    """

    # ------------------------------------------------------------------ words

    def text(self, key: str, default: str | None = None) -> str:
        """Return a text that is not blank."""
        return self._get(key, kinds.TEXT, default)

    def optional_text(self, key: str) -> str | None:
        """Return a text that is not blank, or None if it is not there."""
        return self.text(key) if self.has(key) else None

    def choice(self, key: str, options: Sequence[Word], default: Word | None = None) -> Word:
        """Return one of the options."""
        return self._get(key, kinds.choice_kind(options), default)

    def texts(self, key: str, default: Sequence[str] | None = ()) -> tuple[str, ...]:
        """Return the texts of a list."""
        return self._list(key, kinds.TEXTS, default, None)

    def words(
        self, key: str, options: Sequence[Word], among: Sequence[Word] = ()
    ) -> tuple[Word, ...]:
        """Return the words of a list, each out of the options; none if the list is not there.

        Where the options follow from other keys, ``among`` are all words that may ever stand here.
        """
        return self._list(key, kinds.words_kind(options, among), (), None)

    def says(self, key: str, word: str) -> bool:
        """Tell whether a key holds this very word, where some other kind of value can stand."""
        return self.raw(key) == word

    def text_like(self, key: str, shape: kinds.OneOf | kinds.Spelled) -> str | None:
        """Return a text of this shape, where others can stand too; None if it is of another."""
        value = self.raw(key)
        if not isinstance(value, str):
            return None
        fits = value in shape.options if isinstance(shape, kinds.OneOf) else shape.fits(value)
        return value if fits else None

    def texts_by_name(self, key: str) -> dict[str, str]:
        """Return the texts of a table, one at least, by the names that the file gives them."""
        right = f'write {key} = {{ name = "text" }}'
        kind: Kind[dict[str, object]] = Kind(
            lambda value: values.as_names(value, right), {}, right, kinds.TextsByName()
        )
        return {
            name: self._checked((*self.at, key, name), kinds.TEXT.read, entry, kinds.TEXT.harmless)
            for name, entry in self._get(key, kind, None).items()
        }

    def flag(self, key: str, default: bool) -> bool:  # noqa: FBT001 - the value itself, no switch
        """Return a truth value."""
        return self._get(key, kinds.flag_kind(default=default), default)

    # ------------------------------------------------------------------ numbers

    def number(self, key: str, default: float | None = None, **limits: Unpack[Bounds]) -> float:
        """Return a number within the limits."""
        return self._get(key, kinds.number_kind(Limits(**limits)), default)

    def optional_number(self, key: str, **limits: Unpack[Bounds]) -> float | None:
        """Return a number within the limits, or None if it is not there."""
        return self.number(key, None, **limits) if self.has(key) else None

    def numbers(
        self, key: str, count: int | None = None, default: Sequence[float] | None = None
    ) -> tuple[float, ...]:
        """Return the numbers of a list, which has `count` of them if that is given."""
        return self._list(key, kinds.NUMBERS, default, count)

    def whole(self, key: str, default: int | None = None, **limits: Unpack[Bounds]) -> int:
        """Return a whole number within the limits."""
        return self._get(key, kinds.whole_kind(Limits(**limits)), default)

    # ------------------------------------------------------------------ lengths

    def length(self, key: str, default: float | None = None, **limits: Unpack[Bounds]) -> float:
        """Return a length in mm; default and limits are in mm too."""
        kept_to = Limits(**limits)
        right = f"give a length{kept_to.within(' mm')}"

        def read(value: object) -> float:
            found = self._read_length(value)
            if not kept_to.allow(found):
                raise WrongValue(self._spoken(value, found), right)
            return found

        kind = Kind(read, kept_to.harmless(), right, kinds.Measure(kept_to))
        return self._get(key, kind, default)

    def optional_length(self, key: str, **limits: Unpack[Bounds]) -> float | None:
        """Return a length in mm, or None if it is not there; the limits are in mm."""
        return self.length(key, None, **limits) if self.has(key) else None

    def lengths(
        self, key: str, count: int | None = None, default: Sequence[float] | None = None
    ) -> tuple[float, ...]:
        """Return the lengths of a list, in mm, which has `count` of them if that is given."""
        kind = EntryKind(self._read_length, 1.0, "lengths", kinds.Measure(Limits()))
        return self._list(key, kind, default, count)

    def points(self, key: str) -> tuple[tuple[float, float], ...]:
        """Return points, in mm, from one, `[x, y]`, or a list of them, `[[x, y], [x, y]]`."""
        right = "write a point, [x, y], or a list of points, [[x, y], [x, y]]"

        def read(value: object) -> tuple[tuple[float, float], ...]:
            found = values.as_list(value, right)
            single = found and not any(isinstance(each, list) for each in found)
            pairs = [values.as_list(each, right, 2) for each in ([found] if single else found)]
            if not pairs:
                raise WrongValue("no points", right)
            return tuple((self._read_length(x), self._read_length(y)) for x, y in pairs)

        harmless: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
        return self._get(key, Kind(read, harmless, right, kinds.Points()), None)

    def is_list(self, key: str) -> bool:
        """Tell whether a key holds a list, where a single value can stand too."""
        return isinstance(self.raw(key), list)

    # ------------------------------------------------------------------ tables

    def table(self, key: str) -> Table:
        """Return a table that has to be there."""
        found = self.optional_table(key)
        if found is None:
            self.wrong(key, "missing", f"write a table [{self._header(key)}]")
            return self._stand_in_for(key)
        return found

    def optional_table(self, key: str) -> Table | None:
        """Return a table, or None if it is not there."""
        value = self.raw(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.wrong(
                key, f"{values.shown(value)} is not a table", f"write a table [{self._header(key)}]"
            )
            return self._stand_in_for(key)
        return self._inner(value, key)

    def tables(self, key: str, least: int = 0) -> tuple[Table, ...]:
        """Return the tables of an array of tables, of which there are to be at least so many."""
        value = self.entries.get(key, [])
        self._known[key] = None
        if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
            self.wrong(
                key,
                f"{values.shown(value)}, not tables",
                f"write [[{self._header(key)}]] above each of them",
            )
            return ()
        if len(value) < least:
            found = f"{len(value)} given" if value else "missing"
            self.wrong(key, found, f"write [[{self._header(key)}]] tables, at least {least}")
        return tuple(self._inner(each, key, index) for index, each in enumerate(value))

    def read_by(self, key: str, readers: Mapping[str, Callable[[Table], T]]) -> T | None:
        """Return what the reader that a key's word chooses makes of this table.

        The readers' keys have nothing to do with one another but for what they are called; so where
        the word is none of them, nothing more can be said of the table, and None comes back.
        """
        chosen = self.choice(key, tuple(readers))
        return readers[chosen](self) if self.says(key, chosen) else None

    # ------------------------------------------------------------------ within

    def _get(self, key: str, kind: Kind[T], default: T | None) -> T:
        """Return a value, the default if it is absent, or after an error what is harmless."""
        harmless = kind.harmless if default is None else default
        if self.has(key):
            return self._checked((*self.at, key), kind.read, self.entries[key], harmless)
        if default is None:
            self.wrong(key, "missing", kind.right)
        return harmless

    def _list(
        self, key: str, kind: EntryKind[T], default: Sequence[T] | None, count: int | None
    ) -> tuple[T, ...]:
        """Return the values of a list; an error names the very entry."""
        at = (*self.at, key)
        right = f"write {'a list of' if count is None else count} {kind.plural}, [..., ...]"
        whole: Kind[list[object]] = Kind(
            lambda value: values.as_list(value, right, count),
            [],
            right,
            kinds.ListOf(kind.shape, count),
        )
        if not self.has(key) and default is not None:
            return tuple(default)
        entries = self._get(key, whole, None) or [kind.harmless] * (count or 0)
        return tuple(
            self._checked((*at, index), kind.read, entry, kind.harmless)
            for index, entry in enumerate(entries)
        )

    def _checked(self, at: KeyPath, read: Callable[[object], T], value: object, harmless: T) -> T:
        """Return a value as it is read, or gather its error and return what is harmless."""
        try:
            return read(value)
        except WrongValue as error:
            self.record(JobError(self.place(at), error.wrong, error.right))
            return harmless

    def _read_length(self, value: object) -> float:
        return length(value, self.units, self.source.named)

    def _spoken(self, value: object, found: float) -> str:
        """Return a length as it was written and in mm."""
        written = values.shown(value) if isinstance(value, str) else f"{value} {self.units}"
        in_mm = f"{values.plain(found)} mm"
        return in_mm if written in (in_mm, f"{found} mm") else f"{written} is {in_mm}"

    def _header(self, key: str) -> str:
        """Return what stands between the brackets above the table of a key."""
        return ".".join(part for part in (*self.at, key) if isinstance(part, str))

    def _inner(self, entries: Mapping[str, object], *at: str | int) -> Table:
        return Table(entries, self.source, (*self.at, *at), self)

    def _stand_in_for(self, key: str) -> Table:
        """Return an empty table whose errors nobody needs to hear of."""
        return Table({}, self.source, (*self.at, key), self, stand_in=True)
