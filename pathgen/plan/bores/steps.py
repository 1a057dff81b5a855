"""The steps of a bore, one axis: the bore itself, and the wider ones above it."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.job.holes import Counterbore, Holes
from pathgen.job.sizes import Size
from pathgen.moves.actions import FoundBy, Measure
from pathgen.moves.plan import Purpose


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One diameter of a bore down to one floor; mm."""

    name: str  # for people: what is measured
    size: Size
    floor: float | None  # z, middle of its limits; None: through
    flat: bool  # its floor has to be flat to the middle, or out to what is beneath
    counterbore: Counterbore | None  # None: the bore itself

    def purpose(self, cut: Purpose) -> Purpose:
        """Return what a cut is for: in the bore itself as it is, else it counterbores."""
        return cut if self.counterbore is None else "counterbore"

    @property
    def key(self) -> str:
        """Return the key of the job that it comes from."""
        return "diameter" if self.counterbore is None else "counterbore"


def steps_of(bore: Holes) -> tuple[Step, ...]:
    """Return the steps of a bore in the order of cutting: the narrowest first."""
    own = Step(
        name=f"diameter of {bore.name}",
        size=bore.bore,
        floor=None if bore.depth is None else -bore.depth.middle,
        flat=bore.flat,
        counterbore=None,
    )
    wider = tuple(
        Step(
            name=f"{quantity_of(bore, each)} of {bore.name}",
            size=each.diameter,
            floor=-each.depth.middle,
            flat=True,
            counterbore=each,
        )
        for each in reversed(bore.counterbores)
    )
    return (own, *wider)


def quantity_of(bore: Holes, wider: Counterbore) -> str:
    """Return what a counterbore's diameter is called among the sizes of a bore.

    The widest is the counterbore; those beneath it are counted from it.
    """
    row = bore.counterbores.index(wider)
    return "counterbore" if row == 0 else f"counterbore {row + 1}"


# How far a bore may be off what is expected of it, mm in diameter: by a touch or by what a cutter
# cuts over its size; and where the cut before was set by a measurement (choices of ours).
BAND = 0.2
CLOSER_BAND = 0.06
TOO_NEAR = 0.04  # nearer to the size aimed at there is nothing left to cut


def finished(step: Step, diameter: float) -> Measure:
    """Return the measuring of a step that is bored to size, while its head still stands at that.

    Args:
        step: what was bored.
        diameter: what the head stands at, mm.
    """
    return Measure(
        name="M1",
        what=f"{step.name}, finished, before the head is opened further",
        expected=diameter,
        low=step.size.low,
        high=step.size.high,
        advice="too small: open the head by what is missing, bore it once more and measure again;"
        " too large: it is spoilt, stop here",
    )


def measured(
    step: Step, row: int, diameters: tuple[float, float], found_by: FoundBy, advice: str
) -> Measure:
    """Return the measuring of a step before a cut.

    Args:
        step: what is bored.
        row: which measuring of it, from 1.
        diameters: what it should have, and what comes next; mm.
        found_by: what makes it differ.
        advice: what to do outside the range.
    """
    expected, most = diameters
    band = BAND if row == 1 else CLOSER_BAND
    return Measure(
        name="M1",
        what=step.name,
        expected=expected,
        low=expected - band,
        high=min(expected + band, most - TOO_NEAR),
        found_by=found_by,
        advice=advice,
    )
