"""Sheets of changed plans: what the check finds once items of a proved plan are other ones."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from pathgen.commands.as_sheet import written
from pathgen.commands.proving import prove_text
from pathgen.commands.workplace import Proof
from pathgen.moves.plan import Item, Pass, PlannedSetup

Change = Callable[[PlannedSetup], PlannedSetup]


def planned(proof: Proof) -> PlannedSetup:
    """Return the plan of a proof."""
    assert proof.plan is not None
    return proof.plan


def found_once(proof: Proof, change: Change) -> set[str]:
    """Return the codes of what is found once a plan is changed, and its sheet written anew."""
    other = change(planned(proof))
    assert other != proof.plan
    report = prove_text(
        proof.place, written(proof.place, other), "changed.json", lambda _: None
    ).report
    return {each.code for each in report.findings if each.severity == "finding"}


def each_item(change: Callable[[Item], Item | None], purpose: str = "") -> Change:
    """Return what changes, or leaves out, the items of the passes of a purpose, or of all."""
    return each_pass(
        lambda items: tuple(new for old in items if (new := change(old))),
        purpose,
    )


def each_pass(change: Callable[[tuple[Item, ...]], tuple[Item, ...]], purpose: str = "") -> Change:
    """Return what changes all the items of each pass of a purpose, or of all."""

    def one(each: Pass) -> Pass:
        return (
            each if purpose not in ("", each.purpose) else replace(each, items=change(each.items))
        )

    return lambda plan: replace(plan, passes=tuple(one(each) for each in plan.passes))
