"""The cautions that work calls for, compared with those that a sheet still has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from pathgen.check.findings import Finding, gathered
from pathgen.commands.workplace import Proof, trade_of
from pathgen.input.where import Refusal
from pathgen.moves.actions import Note
from pathgen.moves.plan import Item, PlannedSetup

SHOWN = 60  # characters of a caution that tell which one it is


def with_cautions(proof: Proof) -> Proof:
    """Return the proof of a sheet in which each caution that it has lost is a finding.

    The work is planned anew for this: the cautions are those of its operations. Of a program they
    are comments, and believed; a sheet that begins in the middle has those of its passes alone.
    """
    place = proof.place
    if not place.machine.manual or proof.run.head.begins_at:
        return proof
    try:
        plan = trade_of(place.job).planned(place)
    except Refusal:  # nothing is known of what it would call for
        return proof
    wanted, told = _cautions(_items(plan)), _cautions(proof.run.items)
    missing = [_finding(words, proof.run.file) for words in (wanted - told)]
    if not missing:
        return proof
    findings = gathered((*proof.report.findings, *missing))
    return replace(proof, report=replace(proof.report, findings=findings))


def _items(plan: PlannedSetup) -> list[Item]:
    """Return all that is planned, in order."""
    return [*plan.before, *(item for each in plan.passes for item in each.items), *plan.after]


def _cautions(items: Iterable[Item]) -> Counter[str]:
    """Return how often each caution stands among items."""
    return Counter(item.text for item in items if isinstance(item, Note) and item.caution)


def _finding(words: str, file: str) -> Finding:
    short = words if len(words) <= SHOWN else f"{words[:SHOWN].rstrip()}..."
    return Finding(
        code="caution gone",
        what=f"a caution that this work calls for is not on the sheet: {short}",
        where="step",
        file=file,
        remedy="put it back where it stood, or make the sheet anew",
    )
