"""Names of what is measured: each measuring of a setup has its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from pathgen.moves.actions import Action, Measure, SetDiameter
from pathgen.moves.moves import How, Move
from pathgen.moves.plan import Item
from pathgen.plan.bench import Operation
from pathgen.plan.sharing import Planned


def with_own_names(planned: Iterable[Planned]) -> Iterator[Planned]:
    """Yield operations whose measurings are named M1, M2 and on, in the order of the setup.

    Planners name their own M1 each; what follows it is renamed with it.
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
    before = tuple(_named(item, names) for item in operation.before)
    moves = tuple(_named(item, names) for item in operation.moves)
    return replace(operation, before=before, moves=moves)


def _named(item: Item, names: dict[str, str]) -> Item:
    """Return a move or an action with measurings under their own names."""
    return _follows(item, names) if isinstance(item, Move) else _called(item, names)


def _called(action: Action, names: dict[str, str]) -> Action:
    """Return a measuring under its own name, or the setting of a head that follows one."""
    if isinstance(action, Measure):
        return replace(action, name=names[action.name])
    if isinstance(action, SetDiameter) and action.follows:
        return replace(action, follows=names[action.follows])
    return action


def _follows(move: Move, names: dict[str, str]) -> Move:
    if move.how is None or not move.how.rules:
        return move
    rules = tuple(replace(rule, measure=names[rule.measure]) for rule in move.how.rules)
    how: How = replace(move.how, rules=rules)
    return move._replace(how=how)
