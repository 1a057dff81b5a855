"""Taps and dies of a crib: they are turned by hand, so they are no cutters of a machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import Thread

TapLead: TypeAlias = Literal["taper", "second", "bottoming"]
LEADS: tuple[TapLead, ...] = ("taper", "second", "bottoming")  # in the order in which they are used
# How many threads do not cut in full at a tap's end, at most (DIN 2197, from memory). A plug tap is
# the bottoming one in Britain and the second one in America, so that word is not used.
LEAD_THREADS: dict[TapLead, float] = {"taper": 8.0, "second": 5.0, "bottoming": 3.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """A hand tap: its thread by its designation, and how far it tapers in."""

    thread: str
    lead: TapLead


@dataclass(frozen=True, slots=True, kw_only=True)
class Die:
    """A die: its thread by its designation."""

    thread: str


def read_taps(table: Table) -> tuple[Tap, ...]:
    """Read one ``[[taps]]``: threads, and which taps of a set there are of each."""
    names = _threads(table)
    leads = table.words("leads", LEADS) if table.has("leads") else LEADS
    table.no_more()
    if table.faulty:
        return ()
    return tuple(Tap(thread=name, lead=lead) for name in names for lead in leads)


def read_dies(table: Table) -> tuple[Die, ...]:
    """Read one ``[[dies]]``: threads that there are dies of."""
    names = _threads(table)
    table.no_more()
    return tuple(Die(thread=name) for name in names)


def _threads(table: Table) -> list[str]:
    """Return the designations of the threads of a list, as they are written everywhere."""
    found = []
    for name in table.texts("threads", default=None):
        try:
            found.append(thread(name).designation)
        except ValueError as error:
            wrong, _, right = str(error).partition("; ")
            table.wrong("threads", wrong, right or "write a thread as `pathgen reckon` takes it")
    return found


def taps_for(wanted: Thread, taps: Sequence[Tap]) -> tuple[TapLead, ...]:
    """Return which taps of a thread there are, in the order in which they are used."""
    held = {tap.lead for tap in taps if tap.thread == wanted.designation}
    return tuple(lead for lead in LEADS if lead in held)
