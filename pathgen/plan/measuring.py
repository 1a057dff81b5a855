"""Names of what is measured: each measuring of a setup has its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from pathgen.moves.actions import Measure
from pathgen.moves.moves import How, Move
from pathgen.plan.bench import Operation
from pathgen.plan.sharing import Planned


def with_own_names(planned: Iterable[Planned]) -> Iterator[Planned]:
    """Yield operations whose measurings are named M1, M2 and on, in the order of the setup.

    Planners name their own M1 each; the moves that follow it are renamed with it.
    """
    count = 0
    for feature, operation in planned:
        names = {}
        for action in operation.before:
            if isinstance(action, Measure):
                count += 1
                names[action.name] = f"M{count}"
        yield Planned(feature, _renamed(operation, names))


def _renamed(operation: Operation, names: dict[str, str]) -> Operation:
    if all(old == new for old, new in names.items()):
        return operation
    before = tuple(
        replace(action, name=names[action.name]) if isinstance(action, Measure) else action
        for action in operation.before
    )
    moves = tuple(_follows(move, names) for move in operation.moves)
    return replace(operation, before=before, moves=moves)


def _follows(move: Move, names: dict[str, str]) -> Move:
    if move.how is None or not move.how.rules:
        return move
    rules = tuple(replace(rule, measure=names[rule.measure]) for rule in move.how.rules)
    how: How = replace(move.how, rules=rules)
    return move._replace(how=how)
