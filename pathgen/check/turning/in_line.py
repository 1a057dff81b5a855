"""Whether the tailstock is in line, by what a run measures of work that its centre holds."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.check.findings import Finding
from pathgen.job.turning.turned import Turned, TurnedSetup
from pathgen.moves.actions import Measure
from pathgen.moves.plan import Run

LONG = 25.0  # mm of one diameter: what is shorter tells nothing of the line
FAR_OFF = 0.1  # mm: more than that over the length is no line; our choice


def taper_left(run: Run) -> float:
    """Return how much thicker one end may be than the other when the work goes on, mm; 0: none."""
    told = [e for e in run.items if isinstance(e, Measure) and e.expected == 0]
    return min((max(abs(e.low), abs(e.high)) for e in told), default=0.0)


def about_the_line(run: Run, setup: TurnedSetup) -> Iterator[Finding]:
    """Yield that nothing is measured which tells of the line, or that too much is let pass."""
    if not setup.hold.centre or not any(_long(each) for each in _turned(setup)):
        return
    left = taper_left(run)
    if 0 < left <= FAR_OFF:
        return
    lets = f"{left:.3f} mm" if left else "anything"
    yield Finding(
        code="in line",
        what=f"work held by the tailstock's centre may be thicker at one end by {lets}",
        where="job",
        remedy="measure both ends of what is roughed before it is finished",
        file=run.file,
    )


def _turned(setup: TurnedSetup) -> Iterator[Turned]:
    return (each for each in setup.features if isinstance(each, Turned))


def _long(turned: Turned) -> bool:
    """Return whether one of the diameters is long enough to tell of the line."""
    ends = [step.to.middle for step in turned.steps]
    return any(to - begins >= LONG for begins, to in zip([0.0, *ends], ends, strict=False))
