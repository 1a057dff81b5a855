"""Which drill of several that would do: one in the job's units, where it does as well."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pathgen.plan.bench import Bench
from pathgen.reckon.drill_series import Drill
from pathgen.reckon.drilling import DrillStep
from pathgen.shop.cutters import Cutter

# How much a drill in the job's units may be behind another and still be taken: in parts of its
# diameter where the largest is wanted, of the wanted size where the nearest is, and how many times
# as thick a pilot may be (choices of ours).
BEHIND_LARGEST = 0.05
BEHIND_NEAREST = 0.01
BEHIND_PILOT = 1.5

Steps = Callable[[Sequence[Drill]], Sequence[DrillStep]]


def speaks(cutter: Cutter, bench: Bench) -> bool:
    """Return whether a drill is named in the job's units: "3 mm drill" in millimetres."""
    metric = " mm" in cutter.name
    return metric == (bench.job.units == "mm")


def as_drills(cutters: Sequence[Cutter]) -> list[Drill]:
    """Return cutters as drills to reckon with, smallest first; their series is not asked for."""
    drills = [Drill(name=c.name, series="metric", diameter=c.diameter) for c in cutters]
    return sorted(drills, key=lambda drill: drill.diameter)


def largest_drill(bench: Bench, most: float, suits: Callable[[Cutter], bool]) -> Cutter | None:
    """Return the largest drill not above a diameter that suits, None when there is none."""
    fitting = [c for c in bench.of_kind("drill") if c.diameter <= most and suits(c)]
    if not fitting:
        return None
    enough = (1 - BEHIND_LARGEST) * fitting[-1].diameter
    own = [c for c in fitting if speaks(c, bench) and c.diameter >= enough]
    return (own or fitting)[-1]


def nearest_drill(bench: Bench, wanted: float, fitting: Sequence[Cutter]) -> Cutter | None:
    """Return the drill of those that fit that is nearest to a diameter, None for none."""

    def off(cutter: Cutter) -> float:
        return abs(cutter.diameter - wanted)

    best = min(fitting, key=off, default=None)
    if best is None:
        return None
    own = [c for c in fitting if speaks(c, bench) and off(c) <= off(best) + BEHIND_NEAREST * wanted]
    return min(own, key=off, default=best)


def drills_of(bench: Bench, fitting: Sequence[Cutter], steps: Steps) -> tuple[Cutter, ...]:
    """Return the drills of the steps that are reckoned from those that fit, in their order.

    Args:
        bench: whose units are spoken.
        fitting: the drills that reach.
        steps: reckons them, from the drills that it is given.

    Raises:
        ValueError: none of them lead there; says which would.
    """
    known = {cutter.name: cutter for cutter in fitting}
    taken = _named(steps(as_drills(fitting)))
    try:
        own = _named(steps(as_drills([c for c in fitting if speaks(c, bench)])))
    except ValueError:
        own = []
    as_good = len(own) == len(taken) and all(
        known[mine].diameter <= BEHIND_PILOT * known[other].diameter
        for mine, other in zip(own, taken, strict=True)
    )
    return tuple(known[name] for name in (own if as_good else taken))


def _named(steps: Sequence[DrillStep]) -> list[str]:
    return [step.drill.name for step in steps if step.drill is not None]
