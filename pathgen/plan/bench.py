"""What a planner has at hand: the job, the setup, the machine, the cutters, and its figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pathgen.input.units import spoken
from pathgen.input.where import Refusal, Where, nearest
from pathgen.job.job import Job, JobSetup
from pathgen.moves.moves import Axis, Move, end_of
from pathgen.moves.plan import Item, Purpose
from pathgen.plan.cutting import Cutting
from pathgen.plan.places import touch_place
from pathgen.shop.cutters import Cutter, CutterKind
from pathgen.shop.machines import Machine
from pathgen.shop.taps import Tap


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """The job's setup on a machine, with what is in the crib; lengths in mm."""

    job: Job
    setup: JobSetup
    machine: Machine
    cutters: tuple[Cutter, ...]
    taps: tuple[Tap, ...]
    clear: float  # the z at which the cutter may cross anything
    hand: float  # the z to go up to for hands
    sides: tuple[tuple[Axis, int], ...]  # which way the tool goes as it comes to a position

    @property
    def material(self) -> str:
        """Return what the blank is made of."""
        return self.job.blank.material

    def say(self, length: float) -> str:
        """Return a length in words, in the job's units."""
        return spoken(length, self.job.units)

    @property
    def upper(self) -> str:
        """Return what the face that lies up is called."""
        return self.setup.lie.called(self.setup.lie.up)

    @property
    def bottom(self) -> float:
        """Return the z of the blank's underside, mm."""
        return self.job.blank_box(self.setup)[0][2]

    def side(self, axis: Axis) -> int:
        """Return +1 when positions on the axis are reached going the plus way, else -1."""
        return dict(self.sides)[axis]

    def of_kind(self, *kinds: CutterKind) -> list[Cutter]:
        """Return the crib's cutters of some kinds by diameter, then by number of flutes."""
        return sorted(
            (cutter for cutter in self.cutters if cutter.kind in kinds),
            key=lambda cutter: (cutter.diameter, cutter.flutes, cutter.name),
        )

    def named(self, name: str, kinds: tuple[CutterKind, ...], where: Where) -> Cutter:
        """Return the cutter that the job names.

        Raises:
            Refusal: the crib has none of that name, or it is of another kind.
        """
        found = next((cutter for cutter in self.cutters if cutter.name == name), None)
        known = [cutter.name for cutter in self.of_kind(*kinds)]
        if found is None:
            right = nearest(name, known) or "`pathgen shop` lists the cutters"
            raise Refusal(where, f"the crib has no cutter called {name!r}", right)
        if found.kind not in kinds:
            raise Refusal(
                where,
                f"{name} is no {kinds[0]} but {_a(found.kind)}",
                f"name {' or '.join(_a(kind) for kind in kinds)}",
            )
        return found

    def largest(
        self,
        kinds: tuple[CutterKind, ...],
        most: float,
        suits: Callable[[Cutter], bool] = lambda _: True,
    ) -> Cutter | None:
        """Return the largest cutter not above a diameter that suits, None when there is none.

        One whose end can be touched down for its depth zero is rather taken than a larger one.
        """
        fitting = [c for c in self.of_kind(*kinds) if c.diameter <= most and suits(c)][::-1]
        return next(filter(self.touches_down, fitting), fitting[0] if fitting else None)

    def touches_down(self, cutter: Cutter) -> bool:
        """Return whether a cutter's end finds solid metal on the upper face, if it has to."""
        control = self.machine.control
        if control is not None and control.tool_length:
            return True  # it is measured off the machine
        return touch_place(self.job, self.setup, cutter.diameter) is not None


def _a(kind: str) -> str:
    """Return a kind of cutter with its article."""
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """What one cutter does in one go, before it is set into a pass with its actions."""

    purpose: Purpose
    cutter: Cutter
    cutting: Cutting
    why: str
    moves: tuple[Item, ...]  # and what is set between them; the last is a move
    before: tuple[Item, ...] = ()  # done with the spindle stopped and the cutter clear
    ready: tuple[Item, ...] = ()  # done with the spindle stopped once the cutter is in it
    zeroed: tuple[Item, ...] = ()  # how the cutter's zeros are found, where not on the upper face
    depth_of_cut: float = 0.0
    width_of_cut: float = 0.0
    notes: tuple[str, ...] = ()

    @property
    def end(self) -> tuple[float, float, float]:
        """Return (x, y, z) where it leaves the cutter, mm."""
        last = self.moves[-1]
        assert isinstance(last, Move)
        return end_of(last)


def even_depths(start: float, bottom: float, most: float) -> tuple[float, ...]:
    """Return the z of equal passes from ``start`` down to ``bottom``, none deeper than ``most``.

    The last is ``bottom`` itself, to the last bit.

    >>> even_depths(0.0, -8.5, 2.4)
    (-2.125, -4.25, -6.375, -8.5)
    """
    depth = start - bottom
    count = max(1, -int(-(depth - 1e-9) // most))
    return (*(start - depth * step / count for step in range(1, count)), bottom)
