"""What every rule of the check is given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from pathgen.check.findings import At, Finding, Severity
from pathgen.check.limits import Limits
from pathgen.check.metal.legs import Legs
from pathgen.check.metal.prismatic import Metal
from pathgen.check.metal.strokes import Stroke
from pathgen.check.metal.tools import Tool
from pathgen.job.frame import Box
from pathgen.job.job import Job, JobSetup
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item, Run
from pathgen.shop.machines import Machine

PLAIN = (Rapid, Feed, Arc, Drill)  # the moves of which a long run has many


class Numbered(NamedTuple):
    """An item of a run that is no plain move."""

    at: int  # which item of the run
    item: Item
    number: int  # its line or step


def actions_of(run: Run) -> tuple[Numbered, ...]:
    """Return the items of a run that are no plain moves, in order: few, however long it is."""
    return tuple(
        Numbered(index, item, run.numbers[index])
        for index, item in enumerate(run.items)
        if type(item) not in PLAIN
    )


def depth_doubt(run: Run, setup: JobSetup) -> float:
    """Return what is open of a depth: its zero's doubt and that of one setting, mm.

    A run that says of its zero that it is better than the datum can be touched is not believed.
    """
    return max(run.doubt.zero[2], setup.datum_z.uncertainty) + run.doubt.setting[2]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Context:
    """A run, what it is for, where it is done, and its moves made ready to be asked."""

    run: Run
    job: Job
    setup: JobSetup
    machine: Machine
    limits: Limits
    legs: Legs
    actions: tuple[Numbered, ...]
    strokes: list[Stroke]
    metal: Metal
    box: Box  # of the blank, setup's frame, mm
    clearance: float  # of a rapid above the work and what holds it, at least, mm

    @property
    def depth_doubt(self) -> float:
        """Return what is open of a depth: its zero's doubt and that of one setting, mm."""
        return depth_doubt(self.run, self.setup)

    def tool(self, leg: int) -> Tool | None:
        """Return the cutter of a leg; None before the first was fitted."""
        index = int(self.legs.tool[leg])
        return self.legs.tools[index] if index >= 0 else None

    def finding(
        self, code: str, what: str, leg: int | None, remedy: str, amount: float | None = None
    ) -> Finding:
        """Return a finding at the end of a leg, or of the job when there is no leg."""
        at = None if leg is None else self.end(leg)
        return self.finding_at(code, what, (leg, at), remedy, amount)

    def end(self, leg: int) -> At:
        """Return where a leg ends, mm."""
        x, y, z = self.legs.end[leg].tolist()
        return x, y, z

    def finding_at(
        self,
        code: str,
        what: str,
        place: tuple[int | None, At | None],
        remedy: str,
        amount: float | None = None,
    ) -> Finding:
        """Return a finding of a leg at a place of its own."""
        leg, at = place
        number = None if leg is None else int(self.legs.number[leg])
        return self.finding_by(code, what, number, remedy, amount=amount, at=at)

    def finding_by(  # noqa: PLR0913  # one value of a finding each
        self,
        code: str,
        what: str,
        number: int | None,
        remedy: str,
        *,
        amount: float | None = None,
        at: At | None = None,
        severity: Severity = "finding",
    ) -> Finding:
        """Return a finding of a line or step, or of the job when it has no number."""
        return Finding(
            code=code,
            what=what,
            place=number,
            where="job" if number is None else self.run.where,
            amount=None if amount is None else round(amount, 6),
            at=at,
            remedy=remedy,
            file=self.run.file,
            severity=severity,
        )
