"""Beginning again at a pass of turned work after a stop: its tool's zeros are found again first.

A tool that the pass fits anyhow finds them as it always does. The knife that goes on after roughing
finds them on what was roughed: measured first, touched, skimmed and measured.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pathgen.input.where import Refusal, Where
from pathgen.job.turned import Turned
from pathgen.job.turned_edges import TurnedEdge
from pathgen.moves.actions import Clamp, Measure, Note, SwingSlide, Zero, ZeroByMeasure
from pathgen.moves.moves import Feed, Rapid
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.shop.turning_tools import TurningTool

AT = Where("--begin-at", 0, "")
HELD = (
    "The work is still held as the passes before were cut, and was not taken out since: look"
    " whether it is tight. Once it was out it does not run true again: then make it anew, or set it"
    " true by an indicator on what was turned, to less than the limits leave."
)
PROVE = (
    "The zeros are found again first. A zero that is still set should read so already; one that is"
    " off by more than the touching leaves open means that work, tool or dial has moved: find out"
    " why before a cut."
)
THREAD = (
    "Nothing of this thread may have been cut yet: the passes begin where the spindle and the"
    " leadscrew happen to stand now, and would cross one that was begun. One that was begun is not"
    " picked up by this; do it as you were taught, the point led into the groove with the drive"
    " engaged and the spindle turned by hand, or take a new blank."
)
ROUGHED = (
    "Where some of this pass is roughed already, the skim measures otherwise than it should: out"
    " of its band the work does not go on by this. Rough it by hand and go on at the pass after, or"
    " take a new blank."
)


def told_before(
    operations: Sequence[TurnedOperation], begins_at: int, before: Sequence[Item]
) -> tuple[Item, ...]:
    """Return what is told before work goes on at a pass: that it stays held, not how to hold it.

    Args:
        operations: of the setup, in the order of doing them.
        begins_at: the pass, from 1; 0 for the beginning.
        before: what is told where the work begins.
    """
    if not begins_at:
        return tuple(before)
    operation = operations[begins_at - 1]
    begins = (
        f"This begins at pass {begins_at} of {len(operations)}, {operation.purpose}:"
        f" {operation.feature}. What the passes before it cut is taken as cut, and nothing of it"
        " and of those after: measure whether it is so, else begin elsewhere."
    )
    said = [begins, PROVE]
    if operation.purpose == "thread":
        said.append(THREAD)
    if operation.purpose == "rough" and _zeroed_by_skim(operation):
        said.append(ROUGHED)
    cautions = [Note(text=text, caution=True) for text in said]
    kept = [Clamp(lines=(HELD,)) if isinstance(item, Clamp) else item for item in before]
    return (*cautions, *kept)


def begun_with(
    operations: Sequence[TurnedOperation], begins_at: int, bench: TurningBench
) -> TurnedOperation:
    """Return the operation that work goes on with, as it is done when its tool is fitted for it.

    Raises:
        Refusal: the tool cannot find its zeros there, or goes by what was measured before.
    """
    operation, before = operations[begins_at - 1], operations[begins_at - 2]
    _guard_measured(operations, begins_at)
    if operation.tool.name != before.tool.name:
        return replace(operation, anew=None)
    if operation.anew is not None:
        return replace(
            operation,
            touched=operation.anew.touched,
            zeros=operation.anew.zeros,
            items=(*operation.anew.skim, *operation.items),
        )
    if operation.zeros is None and (_edge(operation, bench) or _skims_bar(operation, bench)):
        return operation
    later = _fits_next(operations, begins_at)
    raise Refusal(
        AT,
        f"begin at pass {begins_at}, {operation.purpose}: {operation.feature}: where its tool, the"
        f" {operation.tool.name}, stands is known from the passes before, and these left no place"
        " to find it again as truly",
        "begin earlier, if what is cut then is not cut yet; or do it by hand"
        + (f" and go on at pass {later}, which fits another tool" if later else "")
        + "; else take a new blank",
    )


def _fits_next(operations: Sequence[TurnedOperation], begins_at: int) -> int:
    """Return the next pass that fits another tool; 0 where none does."""
    tool = operations[begins_at - 1].tool.name
    later = enumerate(operations[begins_at:], start=begins_at + 1)
    return next((number for number, each in later if each.tool.name != tool), 0)


def found_later(operation: TurnedOperation, zeros: Sequence[Item]) -> Iterator[Item]:
    """Yield how zeros are found, that across told by what an operation measures later."""
    names = [e.measure for e in operation.items if isinstance(e, ZeroByMeasure) and e.axis == "x"]
    for item in zeros:
        if names and isinstance(item, Zero) and item.axis == "x":
            touch = replace(item.touches[-1], found_as=names[0])
            yield replace(item, touches=(touch,))
        else:
            yield item


def _edge(operation: TurnedOperation, bench: TurningBench) -> bool:
    """Return whether it cuts an edge by the slides that cut outside, its tool touched outside."""
    if not isinstance(operation.tool, TurningTool) or operation.tool.inside:
        return False
    swung = any(isinstance(item, SwingSlide) for item in operation.items)
    edges = [each for each in bench.setup.features if isinstance(each, TurnedEdge)]
    own = [each for each in edges if each.name == operation.feature]
    return not swung and any(not bench.manual or each.way != "compound" for each in own)


def _skims_bar(operation: TurnedOperation, bench: TurningBench) -> bool:
    """Return whether an operation sets its zero across by a skim of the bar as it comes."""
    turned = [each.name for each in bench.setup.features if isinstance(each, Turned)]
    return operation.feature in turned and _zeroed_by_skim(operation)


def _zeroed_by_skim(operation: TurnedOperation) -> bool:
    return any(isinstance(item, ZeroByMeasure) and item.axis == "x" for item in operation.items)


def _guard_measured(operations: Sequence[TurnedOperation], begins_at: int) -> None:
    """Refuse what goes by something that was measured in a pass that is left out.

    Raises:
        Refusal: it does; names the pass in which it is measured.
    """
    later = operations[begins_at - 1 :]
    known = {name for each in later for name in _measured(each)}
    for number, operation in enumerate(later, start=begins_at):
        for name in _goes_by(operation):
            if name in known:
                continue
            numbered = enumerate(operations, start=1)
            measured = next((n for n, each in numbered if name in _measured(each)), 1)
            raise Refusal(
                AT,
                f"begin at pass {begins_at}: pass {number}, {operation.purpose}:"
                f" {operation.feature}, goes by {name}, which is measured in pass {measured}",
                f"begin at pass {measured}, if what is cut from there on is not cut yet; else go on"
                f" by hand by what {name} was found to be",
            )


def _measured(operation: TurnedOperation) -> list[str]:
    return [item.name for item in operation.items if isinstance(item, Measure)]


def _goes_by(operation: TurnedOperation) -> Iterator[str]:
    """Yield the measurements that moves and settings of an operation follow."""
    for item in (*operation.items, *(operation.zeros or ())):
        match item:
            case Rapid() | Feed() if item.how is not None:
                yield from (rule.measure for rule in item.how.rules)
            case SwingSlide(follows=name) if name:
                yield name
            case Zero():
                yield from (touch.found_as for touch in item.touches if touch.found_as)
            case _:
                pass
