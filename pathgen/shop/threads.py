"""Reading the name of a thread, wherever a file has one."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import Thread


def thread_named(table: Table, key: str, name: str) -> Thread | None:
    """Return the thread that a key names; record a name that is none, and return None."""
    try:
        return thread(name)
    except ValueError as error:
        table.wrong(key, str(error), "write a thread as `pathgen reckon` takes it")
        return None


def read_thread(table: Table) -> Thread | None:
    """Read the thread of a key of that name, which has to be there."""
    name = table.text("thread")
    return thread_named(table, "thread", name) if name else None
