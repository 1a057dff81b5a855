"""The last cuts to a diameter, outside or in a bore: the last of all from the size measured last.

Cuts of equal depth by the dial, and before the last of them the work is measured where the dial
stands at a whole judged part. What that dial then makes is known, so that nothing but the one
setting of the last cut is rounded.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal, Where
from pathgen.job.sizes import Size
from pathgen.moves.actions import Measure, Note, Spindle
from pathgen.moves.moves import How, Rule, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import (
    ALLOWANCE,
    CUTS_TO_SIZE,
    LITTLE_ROOM,
    MEASURED,
    SPRING,
)
from pathgen.plan.turning.bench import TurningBench

ROUNDINGS = 3  # judged parts of the radius that two settings and a zero may be off on the diameter
EXACT = 1e-6  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class LastCuts:
    """A diameter that is cut to size, mm: outside the cuts come in to it, in a bore they go out."""

    size: Size
    bench: TurningBench
    name: str  # of its measurement; empty where it is not measured
    outwards: bool  # in a bore

    @property
    def count(self) -> int:
        """Return how many cuts there are."""
        return CUTS_TO_SIZE if self.name else 1

    @property
    def called(self) -> str:
        """Return what it is, in words."""
        return "bore" if self.outwards else "diameter"

    def left(self, number: int) -> float:
        """Return what a cut, counted from 1, leaves for those after it: with sign, on the radius.

        Before the measurement the tool is set to a whole judged part of its dial.
        """
        even = ALLOWANCE * (self.count - number) / self.count * (-1 if self.outwards else 1)
        if not self.name or number != self.count - 1:
            return even
        return self.bench.on_dial(self.size.middle / 2 + even) - self.size.middle / 2

    def x(self, number: int) -> float:
        """Return where the tool is set for a cut, counted from 1, if all is as expected."""
        return self.size.middle / 2 + self.left(number)

    def measured_before(self, number: int, rpm: float) -> tuple[Item, ...]:
        """Return the measuring before a cut, counted from 1: nothing before all but the last.

        ``rpm`` is the speed at which the spindle is started again.
        """
        if not self.name or number != self.count:
            return ()
        expected = 2 * self.x(number - 1)
        measure = Measure(
            name=self.name,
            what=f"{self.called} that is to become {self.bench.say(self.size.nominal)}",
            expected=expected,
            low=expected - SPRING,
            high=expected + SPRING,
            found_by="spring",
            advice="a reading or a turn was missed: find out which before anything more is cut",
        )
        return Spindle(rpm=0.0), measure, Spindle(rpm=rpm)

    def how(self, number: int) -> How:
        """Return how a cut, counted from 1, is set: the last by what was found before it."""
        left, last = self.left(number), number == self.count
        terms = [Term(f"half of the {self.called} wanted", self.size.middle / 2)]
        if not last:
            terms.append(Term("left for the cuts after this", left))
        rules = (Rule(axis="x", measure=self.name, factor=-1 / 2),) if self.name and last else ()
        what = f"cut {number} of {self.count} to size" if self.count > 1 else "to size"
        what += ", going out" if self.outwards else ""
        return How(makes="size", what=what, sums=(("x", tuple(terms)),), rules=rules)

    def why(self) -> str:
        """Return why it is taken to size in so many cuts."""
        way = "out" if self.outwards else "down"
        to = f"{way} to {self.bench.say(self.size.middle)} across"
        if not self.name:
            return f"one cut {to}"
        return f"{self.count} equal cuts, the last set by the size measured before it, {to}"

    def after(self, rpm: float) -> Iterator[Item]:
        """Yield the measuring after the last cut of a size that the dial may just miss.

        ``rpm`` is the speed at which the spindle is started again.
        """
        size, bench = self.size, self.bench
        if not self.name or (size.high - size.low) / 2 >= holds(bench) + open_besides(bench):
            return
        yield Spindle(rpm=0.0)
        yield Note(
            text=f"Measure it once more: {bench.say(size.low)} to {bench.say(size.high)} is wanted,"
            " and the dial, measuring and the eye may just miss that. Still"
            f" {'under' if self.outwards else 'over'} it: take the last cut once more, to the same"
            " figure."
        )
        yield Spindle(rpm=rpm)


def measured_by(size: Size, name: str, bench: TurningBench) -> str:
    """Return the name of a size's measurement; empty where it needs none."""
    if not bench.manual:
        return ""
    most = max(LITTLE_ROOM, SPRING + ROUNDINGS * bench.machine.slide("x").count)
    if not size.own and (size.high - size.low) / 2 >= most:
        return ""
    return name


def holds(bench: TurningBench) -> float:
    """Return by how much a diameter may miss what is aimed at, mm: half of a judged part."""
    return bench.machine.slide("x").count


def open_besides(bench: TurningBench) -> float:
    """Return what measuring and the eye leave open of a diameter besides, mm, half width."""
    return 2 * MEASURED + bench.machine.slide("x").count


def guard_limits(size: Size, where: Where, bench: TurningBench) -> None:
    """Refuse limits of a diameter between which the dial across cannot surely be set.

    Args:
        size: the diameter.
        where: of its feature, should the size not say where its limits are from.
        bench: with the lathe.
    """
    if not bench.manual:
        return
    slide, miss = bench.machine.slide("x"), holds(bench)
    between = size.high - size.low
    if between >= 2 * miss - EXACT:
        return
    least = math.ceil(2 * miss * 1000 - EXACT) / 1000
    raise Refusal(
        size.where or where,
        f"hold limits {between:.3f} mm apart by the {slide.name} of {bench.machine.title}: read to"
        f" {2 * miss:.4f} mm of diameter, it comes within {miss:.4f} mm of what is aimed at, and"
        f" measuring and the eye leave open {open_besides(bench):.3f} mm besides",
        f"give limits {least:.3f} mm apart or more, use a lathe with a finer dial or a control, set"
        " the compound over to a fine angle for the last cut yourself, or give limits that leave"
        " metal for emery, a lap or a hone",
    )
