"""Follow the steps of a sheet on a simulated machine whose slides lag behind their screws."""

from __future__ import annotations

from pathgen.moves.plan import Run
from pathgen.shop.machines import Machine
from postprocessors.dials.cases import Case, replay_cases
from postprocessors.dials.follower import follow
from postprocessors.dials.hands import Hands
from postprocessors.dials.headings import headings_of
from postprocessors.dials.steps import Sheet

__all__ = ["Case", "replay", "replay_cases"]


def replay(sheet: Sheet, machine: Machine, case: Case, *, file: str) -> Run:
    """Return what following a sheet on a machine does in one case.

    Where the tool goes comes from what the hands do alone: the way, how often 0 passes, where the
    dial stops. The totals and places that the sheet states beside them are compared, not used.

    Args:
        sheet: the sheet, as read.
        machine: the machine as it is now; where its dials are not those of the sheet, that is a
            trouble, and the machine's own are used.
        case: where the slack is at first, how much it is, and what is found at each measurement.
        file: what the sheet is called in messages.
    """
    if sheet.lathe:
        machine = machine.with_slides([dial.slide for dial in sheet.dials])
    hands = Hands.at_the_start(sheet, machine, case)
    for step in sheet.steps:
        follow(hands, step)
    return Run(
        file=file,
        where="step",
        head=sheet.head,
        items=tuple(hands.record.items),
        numbers=tuple(hands.record.numbers),
        doubt=hands.doubt(),
        troubles=tuple(hands.record.troubles),
        case=case.title,
        wider=tuple(hands.wider),
        found=tuple(hands.found.items()),
        heights=tuple(hands.record.heights),
        headings=headings_of(sheet),
    )
