"""Names that become names of files: which signs they may have, which two would be one file."""

from __future__ import annotations

from collections.abc import Iterable

from pathgen.input.entries import Entries
from pathgen.input.where import quoted

APART = "name them apart by more than blanks, hyphens and capitals"


def file_stem(name: str) -> str:
    """Return a name as it stands in the name of a file.

    >>> file_stem("slot one")
    'slot-one'
    """
    return name.replace(" ", "-")


def taken_for(stem: str) -> str:
    """Return what a file's name is taken for where capitals are not told apart."""
    return stem.casefold()


def guard_name(table: Entries, key: str, name: str) -> None:
    """Record a name with signs that a file's name should not have."""
    if not all(sign.isalnum() or sign in " -_" for sign in name):
        table.wrong(
            key, f"{quoted(name)} has signs that a file name should not", "use letters, figures, -"
        )


def guard_distinct(named: Iterable[tuple[Entries, str]]) -> None:
    """Record each name, under ``name`` in its table, whose files would overwrite another's."""
    first: dict[str, tuple[Entries, str]] = {}
    for table, name in named:
        before, known = first.setdefault(taken_for(file_stem(name)), (table, name))
        if before is not table:
            place = before.where("name")
            what = f"the files of {quoted(name)} would overwrite those of {quoted(known)}"
            table.wrong("name", f"{what}, {place.key} in line {place.line}", APART)
