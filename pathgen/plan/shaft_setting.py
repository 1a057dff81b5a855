"""How a round shaft is laid along x for a keyway, and how its zeros are touched, in words."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.units import spoken
from pathgen.job.job import Blank, Job, JobSetup
from pathgen.job.shaft import VICE
from pathgen.moves.actions import Note

PAST = 1.5  # mm below the middle: a corner's rounding and a rough eye (common practice, no source)
BY_HOLD = {
    VICE: (
        "Grip it along x in the vice, down on a parallel, the jaws higher than its middle and "
        "lower than its crown, soft packing between; it stands out where its flanks are touched."
    ),
}
IN_BLOCKS = (
    "Lay it along x in two vee blocks that were made as a pair, one of them under the keyway or "
    "close beside it, and clamp it down in both: clear of the cut, tight enough that it neither "
    "turns nor creeps."
)
LEVEL = (
    "Run an indicator in the spindle along the crown, the line that lies highest, by x alone: it "
    "reads alike at both ends. Then along a flank, likewise. Both before anything is touched."
)


def shaft_lines(job: Job, setup: JobSetup) -> Iterator[str]:
    """Yield what the blank is, how it is laid in blocks or vice, and made level."""
    blank, units = job.blank, job.units
    yield (
        f"Shaft: {blank.material}, round, {spoken(blank.thickness, units)} across and "
        f"{spoken(blank.length, units)} long. Measure its diameter where the key is to sit: "
        "another one makes another depth."
    )
    if setup.hold.lines:
        yield from setup.hold.lines
    else:
        yield BY_HOLD.get(setup.hold.how, IN_BLOCKS)
    yield LEVEL


def past_the_middle(blank: Blank) -> float:
    """Return how far below the crown the end of what touches a flank has to be, mm; 0 for a bar.

    >>> past_the_middle(Blank(length=90, width=15, thickness=15, material="brass", is_shaft=True))
    9.0
    """
    return blank.thickness / 2 + PAST if blank.is_shaft else 0.0


def touching_notes(job: Job) -> tuple[Note, ...]:
    """Return how deep the flanks are touched, and where the depth zero is."""
    blank, units = job.blank, job.units
    return (
        Note(
            text="The shaft is widest at half its height: touch front and back with the end of "
            f"what touches at least {spoken(past_the_middle(blank), units)} below the crown, "
            "clear of blocks, jaws and clamps. Higher up the shaft is narrower.",
        ),
        Note(
            text="What is called the top is the crown: the depth zero is touched with y at 0, and "
            "depths count from there.",
        ),
        Note(
            text="Scribe a line across shaft and block: it shows a shaft that has turned under the "
            "cut. Then stop, and find the middle anew; a keyway that has turned is scrap.",
            caution=True,
        ),
    )
