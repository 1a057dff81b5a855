"""What readers ask of a table, found out by letting them read tables that are not there.

`watch` gives a reader an `Asking` in place of a `Table`. It has the same getters, answers them with
invented values, and notes each key asked for with its shape. A reader takes other ways when a key
is absent or a word another, so it is run many times with other answers: all keys there, none, each
alone, all but each, and many subsets. In every other run all is taken as faulty from the
start, so that readers stop short of building anything; in the others what they read seems sound.
The same reader always gives the same notes.

A new key, table or kind of feature needs nothing here: what a getter of `Table` is asked for is
noted. Three habits of readers make that work:

* ask for every key before looking at `faulty`, else a key that must be there is taken as optional;
* ask `says` for a word that may stand in place of a length, `text_like` and `is_list` where other
  values may stand, and `words` for a list of known words;
* a new getter of `Table` goes through `_get` or `_list`, with a shape in `kinds`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import TypeAlias, TypeVar

from pathgen.input.entries import Source
from pathgen.input.getters import Table
from pathgen.input.inventing import INVENTED, drawn, invent, read_invention
from pathgen.input.kinds import (
    EntryKind,
    Kind,
    ListOf,
    OneOf,
    Shape,
    Spelled,
)
from pathgen.input.where import Faults, JobError

T = TypeVar("T")
Keys: TypeAlias = tuple[str, ...]  # the path of a table or key, without the numbers of entries
BATCH = 100  # so many runs at a time, in which each key is there or not at random
OFTEN = 100  # more batches are run until each word that was chosen was chosen so often,
MOST = 4000  # or there were so many runs
ENTRIES = 4  # lists have fewer entries than that, unless more are wanted
NO_SOURCE = Source(file="", path=None, lines={}, faults=Faults(), named=None)


@dataclass(slots=True)
class Seen:
    """What one reading asked of one table, and what it was told."""

    at: Keys
    there: dict[str, bool] = field(default_factory=dict)  # every key asked for, in order
    shapes: dict[str, dict[Shape, None]] = field(default_factory=dict)
    defaults: dict[str, object] = field(default_factory=dict)  # of keys that need not be there
    chosen: dict[str, str] = field(default_factory=dict)  # the words of choices that must be there
    inner: dict[str, list[Seen]] = field(default_factory=dict)  # tables in this one
    least: dict[str, int] = field(default_factory=dict)  # of arrays of tables: how many
    lacking: bool = False  # something was missed, so no file that is in order looks like this
    closed: bool = False  # further keys are refused
    kinds: Kinds | None = None  # readers of which a word chooses one


@dataclass(frozen=True, slots=True)
class Kinds:
    """The readers of which a key's word chooses the one that reads the rest of a table."""

    key: str
    readers: Mapping[str, Callable[[Table], object]]


@dataclass(frozen=True, slots=True)
class Answers:
    """Tells which keys are there, and draws what is in them."""

    there: Callable[[Keys], bool]
    draw: Random
    faulty: bool  # from the start, so that nothing is made of the inventions
    known: dict[Shape, Shape]  # one of all equal shapes, for it to be told by which it is


class Asking(Table):
    """A table that is not there: it notes what it is asked for and answers with inventions."""

    def __init__(self, answers: Answers, at: Keys = (), parent: Asking | None = None) -> None:
        super().__init__({}, NO_SOURCE, at, parent, stand_in=answers.faulty)
        self.answers = answers
        self.seen = Seen(at)
        self._samples: dict[tuple[str, Shape], object] = {}
        self._tables: dict[str, tuple[Asking, ...]] = {}

    # ------------------------------------------------------------------ keys

    def keys(self) -> Keys:
        """Return the keys told to be there so far."""
        return tuple(key for key, there in self.seen.there.items() if there)

    def has(self, key: str) -> bool:
        """Tell whether a key is there; the answer stays the same."""
        return self._there(key, needed=False)

    def raw(self, key: str) -> object:
        """Return a text, whatever the key holds; None if it is not there."""
        return INVENTED if self.has(key) else None

    def says(self, key: str, word: str) -> bool:
        """Tell that a key holds the word, or that it does not."""
        if not self.has(key) or self._one_of((True, False)):
            return False
        self._note(key, OneOf((word,)))
        return True

    def text_like(self, key: str, shape: OneOf | Spelled) -> str | None:
        """Return a text of the shape, or tell that a key holds something else."""
        if not self.has(key) or self._one_of((True, False)):
            return None
        self._note(key, shape)
        return str(invent(shape, self.answers.draw))

    def is_list(self, key: str) -> bool:
        """Tell that a key holds a list, or that it does not."""
        return self.has(key) and self._one_of((True, False))

    def wrong(self, key: str, wrong: str, right: str) -> None:
        """Note that a key was missed; what is wrong with a value says nothing of the shape."""
        if key and not self.seen.there.get(key, False):
            self.seen.lacking = True
        self.spoil()

    def record(self, error: JobError) -> None:
        """Take no notice but that it is one: the values are inventions."""
        self.spoil()

    def no_more(self) -> None:
        """Note that further keys are refused."""
        self.seen.closed = True

    # ------------------------------------------------------------------ tables

    def table(self, key: str) -> Table:
        """Return a table that has to be there."""
        if not self._there(key, needed=True):
            self._miss()
            return Asking(self.answers, (*self.seen.at, key), self)
        return self._inner_tables(key, 1)[0]

    def optional_table(self, key: str) -> Table | None:
        """Return a table, or None if it is not there."""
        return self._inner_tables(key, 1)[0] if self.has(key) else None

    def tables(self, key: str, least: int = 0) -> tuple[Table, ...]:
        """Return some tables of an array of tables."""
        self.seen.least[key] = least
        if not self._there(key, needed=least > 0):
            if least > 0:
                self._miss()
            return ()
        return self._inner_tables(key, max(least, self._one_of(range(ENTRIES))))

    def _inner_tables(self, key: str, count: int) -> tuple[Asking, ...]:
        if key not in self._tables:
            at = (*self.seen.at, key)
            self._tables[key] = tuple(Asking(self.answers, at, self) for _ in range(count))
            self.seen.inner[key] = [table.seen for table in self._tables[key]]
        return self._tables[key]

    def read_by(self, key: str, readers: Mapping[str, Callable[[Table], T]]) -> T | None:
        """Note the readers to choose from; each is watched by itself."""
        self.seen.kinds = Kinds(key, readers)
        self.choice(key, tuple(readers))
        return None

    # ------------------------------------------------------------------ values

    def _get(self, key: str, kind: Kind[T], default: T | None) -> T:
        self._note(key, kind.shape)
        if not self._there(key, needed=default is None):
            return self._absent(key, kind.harmless, default)
        if default is not None:
            self.seen.defaults[key] = default
        sample = self._sample(key, kind.shape)
        if default is None and isinstance(kind.shape, OneOf) and INVENTED not in str(sample):
            self.seen.chosen[key] = str(sample)
        return read_invention(kind, sample)

    def _list(
        self, key: str, kind: EntryKind[T], default: Sequence[T] | None, count: int | None
    ) -> tuple[T, ...]:
        self._note(key, ListOf(kind.shape, count))
        if not self._there(key, needed=default is None):
            harmless = (kind.harmless,) * (count or 0)
            return self._absent(key, harmless, None if default is None else tuple(default))
        if default is not None:
            self.seen.defaults[key] = tuple(default)
        several = self._one_of(range(ENTRIES)) if count is None else count
        return tuple(
            read_invention(kind, invent(kind.drawn or kind.shape, self.answers.draw))
            for _ in range(several)
        )

    def _absent(self, key: str, harmless: T, default: T | None) -> T:
        """Return the default, or what is harmless when the key is missed."""
        if default is None:
            self._miss()
            return harmless
        self.seen.defaults[key] = default
        return default

    # ------------------------------------------------------------------ answers

    def _there(self, key: str, *, needed: bool) -> bool:
        if key not in self.seen.there:
            self.seen.there[key] = needed or self.answers.there((*self.seen.at, key))
        return self.seen.there[key]

    def _miss(self) -> None:
        """Note that a key that has to be there is not."""
        self.seen.lacking = True
        self.spoil()

    def _note(self, key: str, shape: Shape) -> None:
        self.seen.shapes.setdefault(key, {})[self.answers.known.setdefault(shape, shape)] = None

    def _sample(self, key: str, shape: Shape) -> object:
        """Return what a key holds: the same whenever it is asked for alike."""
        if (key, shape) not in self._samples:
            self._samples[key, shape] = invent(shape, self.answers.draw)
        return self._samples[key, shape]

    def _one_of(self, options: Sequence[T]) -> T:
        return drawn(options, self.answers.draw)


def watch(read: Callable[[Table], object], at: Keys = ()) -> tuple[Seen, ...]:
    """Return what a reader asks of a table, once for each of many readings.

    Args:
        read: the reader.
        at: the path of its table; empty for the root.
    """
    readings: list[Seen] = []
    chosen: Counter[tuple[Keys, str, str]] = Counter()
    known: dict[Shape, Shape] = {}

    def run(there: Callable[[Keys], bool]) -> None:
        number = len(readings)
        draw = Random(f"values {number}")
        table = Asking(Answers(there, draw, faulty=number % 2 == 0, known=known), at)
        read(table)
        readings.append(table.seen)
        chosen.update(_chosen(table.seen))

    def rarest() -> int:
        return min(chosen.values(), default=OFTEN)

    run(lambda _: True)
    run(lambda _: False)
    while len(readings) < BATCH or (rarest() < OFTEN and len(readings) < MOST):
        for _ in range(BATCH):
            run(_at_random(len(readings)))
    done: dict[Keys, None] = {}
    while new := [key for reading in readings for key in paths(reading) if key not in done]:
        for key in dict.fromkeys(new):
            run(_only(key))
            run(_all_but(key))
        done |= dict.fromkeys(new)
    return tuple(readings)


def _chosen(seen: Seen) -> Iterator[tuple[Keys, str, str]]:
    """Yield the words that were chosen, in tables that lack nothing: where, of which key."""
    for each in _all_tables(seen):
        if not each.lacking:
            yield from ((each.at, key, word) for key, word in each.chosen.items())


def _all_tables(seen: Seen) -> Iterator[Seen]:
    """Yield what was asked of a table and of those within."""
    yield seen
    for inner in seen.inner.values():
        for each in inner:
            yield from _all_tables(each)


def paths(seen: Seen) -> list[Keys]:
    """Return the paths of all keys that were asked for, in a table and those within."""
    return [(*each.at, key) for each in _all_tables(seen) for key in each.there]


def _at_random(seed: int) -> Callable[[Keys], bool]:
    """Return a way to answer by which half of the keys are there."""
    draw = Random(f"keys {seed}")  # never the series that the values come from
    return lambda _: draw.random() < 0.5


def _only(at: Keys) -> Callable[[Keys], bool]:
    """Return a way to answer by which one key is there, and the tables around it."""
    return lambda key: at[: len(key)] == key


def _all_but(at: Keys) -> Callable[[Keys], bool]:
    """Return a way to answer by which one key is not there."""
    return lambda key: key != at
