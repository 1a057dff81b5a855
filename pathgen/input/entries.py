"""The values of one table of a TOML file with their places, units and errors."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Self

from pathgen.input.scan import KeyPath
from pathgen.input.units import UNITS, Units, between, spoken
from pathgen.input.where import Faults, JobError, Where, nearest, quoted

Named = Callable[[str], float | None]
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What all tables of one file share."""

    file: str
    path: Path | None  # None for a text that is in no file
    lines: Mapping[KeyPath, int]
    faults: Faults
    named: Named | None  # returns the diameter of a drill, mm, from its name


class Entries:
    """The values of one table, where they stand, which were asked for and what is wrong."""

    def __init__(
        self,
        entries: Mapping[str, object],
        source: Source,
        at: KeyPath = (),
        parent: Entries | None = None,
        *,
        stand_in: bool = False,
    ) -> None:
        self.entries = entries
        self.source = source
        self.at = at
        self._parent = parent
        self._stand_in = stand_in  # for a table that is not there: its errors would be noise
        self._units: Units | None = None
        self._known: dict[str, None] = {}
        self._faulty = stand_in

    @property
    def units(self) -> Units:
        """What bare lengths are in, "mm" or "in": set here, or as in the table around this one."""
        if self._units is None:
            return self._parent.units if self._parent else "mm"
        return self._units

    @units.setter
    def units(self, units: Units) -> None:
        if units not in UNITS:
            raise ValueError(f"{units!r}: units are mm or in")
        self._units = units

    def with_units(self, units: Units) -> Self:
        """Set the units of this table and those in it; return this same table."""
        self.units = units
        return self

    def say(self, length: float, to: float | None = None) -> str:
        """Return a length in mm, or one and another it goes to, in this table's units."""
        return spoken(length, self.units) if to is None else between(length, to, self.units)

    @property
    def path(self) -> Path | None:
        """The file this was read from, if it was one."""
        return self.source.path

    @property
    def faulty(self) -> bool:
        """Whether an error was gathered through this table or one in it."""
        return self._faulty

    def keys(self) -> tuple[str, ...]:
        """Return the keys that are there, in their order, without taking them as asked for."""
        return tuple(self.entries)

    def has(self, key: str) -> bool:
        """Tell whether a key is there."""
        self._known[key] = None
        return key in self.entries

    def raw(self, key: str) -> object:
        """Return a value as TOML gave it, unchecked; None if it is not there."""
        self._known[key] = None
        return self.entries.get(key)

    def where(self, key: str = "") -> Where:
        """Return the place of a key, or of the table if the key is absent or empty."""
        return self.place((*self.at, key) if key else self.at)

    def wrong(self, key: str, wrong: str, right: str) -> None:
        """Gather an error that the caller has found in a key, or in the table if that is empty."""
        self.record(JobError(self.where(key), wrong, right))

    def record(self, error: JobError) -> None:
        """Gather an error made elsewhere from values of this table."""
        if not self._stand_in:
            self.source.faults.extend([error])
        self.spoil()

    def spoil(self) -> None:
        """Mark this table and those around it as faulty."""
        self._faulty = True
        if self._parent:
            self._parent.spoil()

    def no_more(self) -> None:
        """Gather an error for every key that no getter has asked for."""
        for key in self.entries:
            if key not in self._known:
                self.wrong(key, "unknown key", nearest(key, self._known) or "take it out")

    def place(self, at: KeyPath) -> Where:
        """Return the place of a path; the line is that of the nearest path around it."""
        known = (
            at[:length] for length in range(len(at), 0, -1) if at[:length] in self.source.lines
        )
        return Where(self.source.file, self.source.lines.get(next(known, ()), 0), _spelled(at))


def _spelled(at: KeyPath) -> str:
    """Return a path as messages have it, entries counted from 1: `setup[1].feature[2].width`."""
    spelled = ""
    for part in at:
        if isinstance(part, int):
            spelled += f"[{part + 1}]"
        else:
            name = part if _BARE_KEY.fullmatch(part) else quoted(part)
            spelled += f".{name}" if spelled else name
    return spelled
