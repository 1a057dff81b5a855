"""A screw-cut thread, outside or in a bore: which one, how long, and what room it has to run out.

It begins at the right end of its diameter: outside at the finished right face or at a shoulder,
inside at the face, on the first diameter of a bore. A left-hand one is cut from a groove at its
left end to the right, away from the chuck.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from pathgen.input.where import Where
from pathgen.job.grooves import Groove
from pathgen.job.sizes import Size
from pathgen.reckon.threads import Thread


@dataclass(frozen=True, slots=True, kw_only=True)
class Screwed:
    """A thread cut with a pointed tool; lengths in mm."""

    name: str
    thread: Thread
    of: str = ""  # the bore that it is cut in; none: it is cut outside
    step: int = 1  # which diameter of the profile or the bore it is cut on, from the right
    begins: float = 0.0  # where that diameter begins, from the right face
    length: float  # of full thread, from there
    run_out: float  # beyond that, where the tool is drawn clear, or begins left-handed
    pitch: Size  # the pitch diameter
    crest: tuple[float, float]  # what the diameter that it is cut on has to lie between
    root: float  # outside the largest diameter at the root, that a nut goes over; inside the least
    wire: float  # of the three that it is measured over outside
    by_compound: bool = False  # by handles: in along its flank by the compound, not straight in
    where: Where = field(compare=False, repr=False)

    @property
    def inside(self) -> bool:
        """Return whether it is cut in a bore."""
        return bool(self.of)

    @property
    def way(self) -> int:
        """Return which way passes go deeper: +1 away from the axis, as inside, or -1 towards it."""
        return 1 if self.inside else -1

    @property
    def along(self) -> int:
        """Return which way a pass goes: -1 towards the chuck, or +1 away from it, left-handed."""
        return 1 if self.thread.left_hand else -1

    @property
    def end(self) -> float:
        """Return the z to which the thread may run out, mm."""
        return -(self.full_to + self.run_out)

    @property
    def full_to(self) -> float:
        """Return how far from the right face full thread goes, mm."""
        return self.begins + self.length

    @property
    def lead_error_most(self) -> float:
        """Return by how much an error of the lead may thicken it for its mate, mm.

        A quarter of the limits of the pitch diameter: common practice, no source.
        """
        return (self.pitch.high - self.pitch.low) / 4


def starting_groove(screwed: Screwed, features: Iterable[object]) -> Groove | None:
    """Return the groove that a left-hand thread is begun in: at the end of its full thread."""
    grooves = (each for each in features if isinstance(each, Groove))
    return next((e for e in grooves if e.step == screwed.step and e.right.low < -screwed.end), None)
