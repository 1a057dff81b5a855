"""Mates by a thread: what has it inside, and the screw, or the holes of another part for it.

What goes in is a screw by its name, one that another job cuts, or what clears the screw in a part
that is screwed on.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.where import Where
from pathgen.job.holes import Holes
from pathgen.job.mates import RoomRef
from pathgen.reckon.threads import Thread

THREAD = "thread"  # what stands for the size in "FEATURE: thread"


@dataclass(frozen=True, slots=True, kw_only=True)
class TappedFor:
    """How parts go together, by a thread: "tapped for M6"."""

    said: str
    thread: Thread


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedScrew:
    """What goes in, where that is a screw by its name: "M6 screw"."""

    said: str
    thread: Thread
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearingRef:
    """What is screwed on: the holes of another job that clear the screw."""

    job: str
    feature: str
    said: str
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewRef:
    """What goes in, where that is a thread cut outside in another job."""

    job: str
    feature: str
    said: str
    where: Where = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedThread:
    """A mate by a thread as a file has it, before the holes it names are looked up."""

    name: str
    inside: RoomRef
    outside: NamedScrew | ScrewRef | ClearingRef
    go: TappedFor
    where: Where = field(compare=False, repr=False)  # of how they go together


@dataclass(frozen=True, slots=True, kw_only=True)
class HolesAt:
    """The holes of one part of a mate: of which job, by its own name, and which setup."""

    job: str
    setup: str
    holes: Holes


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadMate:
    """A mate by a thread: the tapped holes, and those that clear the screw, if they are told."""

    name: str
    tapped: HolesAt
    cleared: HolesAt | None  # None: the screw alone is named
    thread: Thread
    outside: str  # what goes in, in the words of the file
    turned_over: bool  # whether the part screwed on lies with its drilled face on the tapped part
    where: Where = field(compare=False, repr=False)
