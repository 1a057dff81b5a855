"""A thread cut outside by a die, by hand: which one, how long, on what; and reading it.

It begins at the finished right face, on the first diameter of its profile.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from pathgen.input.where import Where
from pathgen.reckon.threads import Thread

LEADS = 2.5  # threads that a die leaves unfinished before a shoulder: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class DieThread:
    """A thread cut by a die; lengths in mm."""

    name: str
    of: str  # the profile, on the first diameter of which it is
    thread: Thread
    length: float  # of full thread, from the right face
    before: tuple[float, float]  # what the diameter has to lie between before the die
    where: Where = field(compare=False, repr=False)

    @property
    def step(self) -> int:
        """Return which diameter of its profile it is on, from 1 at the right: the first."""
        return 1

    @property
    def end(self) -> float:
        """Return the z to which the front of the die comes, mm: its lead is not finished there."""
        return -(self.length + LEADS * self.thread.pitch)

    @property
    def root(self) -> float:
        """Return the radius under which the end has to be for the die to begin, mm."""
        return self.thread.minor_external / 2
