"""Whether a wanted thread is stopped over for its die, and what the die then meets.

The thread itself is cut by hand and cannot be judged; what it is cut on can: the diameter, the
lead-in at its end and the room before the shoulder, as the bar stands at the stop.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from shapely.geometry import box

from pathgen.check.findings import Finding
from pathgen.check.turning.grooves import whole_stretches
from pathgen.check.turning.metal import Bar, extent_out
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.turned import TurnedSetup

HOLDER = 22.0  # mm from the axis that a die-holder takes up; common practice, no source
EDGE = 0.05  # mm off an edge, where nothing is judged
FINE = 0.004  # mm

Found = tuple[str, str, str, float | None]  # code, what, remedy, amount


@dataclass(slots=True)
class DieStops:
    """The stops at which a die was named so far."""

    setup: TurnedSetup
    done: set[str] = field(default_factory=set)

    @property
    def wanted(self) -> tuple[DieThread, ...]:
        """Return the threads that are cut by dies."""
        return tuple(each for each in self.setup.features if isinstance(each, DieThread))

    def stop(self, reason: str, rpm: float, x: float, bar: Bar) -> Iterator[Found]:
        """Yield what is wrong with a stop at which a die is named.

        Args:
            reason: what is said there.
            rpm: of the spindle.
            x: of the tool, from the axis, mm.
            bar: what there is.
        """
        for each in self.wanted:
            name = re.escape(each.thread.designation)
            if not re.search(rf"\b[Dd]ie {name}(?![\w./-])", reason):
                continue
            self.done.add(each.name)
            if rpm:
                yield "spindle", "a die by hand, the spindle turning", "stop it first", None
            if not x >= HOLDER:
                yield (
                    "die",
                    f"the tool stands {x:.1f} mm from the axis, a die-holder takes {HOLDER:g}",
                    "take it further out",
                    None,
                )
            yield from self._on(each, bar)

    def _on(self, wanted: DieThread, bar: Bar) -> Iterator[Found]:
        """Yield a diameter, an end or a shoulder that the die does not suit."""
        low, high = wanted.before
        edges = [each for each in self.setup.features if isinstance(each, TurnedEdge)]
        bevel = [e.along for e in edges if (e.of, e.step) == (wanted.of, 1)]
        right = -max(bevel, default=0.0) - EDGE
        for stretch in whole_stretches(self.setup, -wanted.length, right):
            least, most = (2 * each for each in extent_out(bar.metal, stretch))
            if least < low - FINE or most > high + FINE:
                said = f"{least:.3f} to {most:.3f} mm across before the die"
                yield (
                    "die",
                    f"{said}, {low:.3f} to {high:.3f} suits it",
                    "turn it to that first",
                    max(low - least, most - high),
                )
        _, end = extent_out(bar.metal, (-2 * EDGE, 0.0))
        if end > wanted.root + _left_over(self.setup, wanted) + 2 * EDGE:
            yield (
                "die",
                f"the end is {2 * end:.2f} mm across, the root of the thread {2 * wanted.root:.2f}",
                "chamfer it first: the die does not begin",
                end - wanted.root,
            )
        ahead = box(wanted.end, high / 2 + FINE, 0.0, bar.metal.bounds[3] + 1.0)
        if bar.metal.intersection(ahead).area > FINE:
            yield (
                "die",
                f"a shoulder within the {-wanted.end:.2f} mm that the die takes",
                "give it more room",
                None,
            )


def _left_over(setup: TurnedSetup, wanted: DieThread) -> float:
    """Return how far the lead-in may stand over its line, mm: what is filed off it."""
    edges = [each for each in setup.features if isinstance(each, TurnedEdge)]
    return max((e.most_left for e in edges if (e.of, e.step) == (wanted.of, 1)), default=0.0)


def unthreaded(stops: DieStops, file: str) -> Iterator[Finding]:
    """Yield each thread for which no stop names the die, in a program or sheet of a name."""
    for each in stops.wanted:
        if each.name not in stops.done:
            yield Finding(
                code="left",
                what=f"{each.name}: no stop for the die {each.thread.designation}",
                where="job",
                remedy="stop for it once its diameter is turned",
                file=file,
            )
