"""Beginning again at a pass after a stop: what is told, and how the zeros are proved first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pathgen.input.where import Refusal, Where
from pathgen.job.job import JobSetup
from pathgen.moves.actions import Note, Pause, SetDiameter
from pathgen.moves.moves import Axis, How, Rapid
from pathgen.moves.plan import Item
from pathgen.plan.bench import Operation
from pathgen.plan.sharing import Planned
from pathgen.shop.machines import Machine


def begins_again(operations: Sequence[Planned], begins_at: int) -> tuple[Item, ...]:
    """Return what must be known before work goes on at a pass; nothing where it begins.

    Args:
        operations: of the setup, in the order of doing them.
        begins_at: the pass, from 1; 0 for the beginning.

    Raises:
        Refusal: the pass goes on from where a boring head stood.
    """
    if not begins_at:
        return ()
    feature, operation = operations[begins_at - 1]
    _refuse_unset(operation, begins_at)
    return (
        Note(
            text=f"This begins at pass {begins_at} of {len(operations)}, {operation.purpose}: "
            f"{feature.name}. What the passes before it cut is taken as cut: look whether it is, "
            "and that the part has not stirred where it is held; else begin earlier.",
            caution=True,
        ),
        Note(
            text="The zeros are proved first: touch each face again as told. A zero that is still "
            "set should read so already; one that is off by more than the touching leaves open "
            "means that the part or the machine has moved: find out why before a cut.",
            caution=True,
        ),
    )


def _refuse_unset(operation: Operation, begins_at: int) -> None:
    """Refuse to begin where a boring head is set on from where it stood before the stop."""
    items = (*operation.before, *operation.ready)
    settings = [each for each in items if isinstance(each, SetDiameter)]
    if settings and not settings[0].touched:
        raise Refusal(
            Where("--begin-at", 0, ""),
            f"begin at pass {begins_at}, which sets the {settings[0].head} on from where it stood",
            "begin at the pass in which its tool touches the wall, or bore on from what is "
            "measured, by hand",
        )


def proving_the_zeros(setup: JobSetup, machine: Machine, clear: float) -> Iterator[Item]:
    """Yield the way over the zero and a stop to look, where a program relies on it.

    By handles the faces are touched in the sheet itself, which proves more.
    """
    if machine.manual:
        return
    axes: tuple[Axis, Axis] = ("x", "y")
    places = " and ".join(f"{axis} on the {_datum_in_words(setup, axis)}" for axis in axes)
    yield Rapid(0.0, 0.0, clear, How(what="over the zero, to prove it"))
    yield Pause(
        reason=f"Prove it: the axis is over the zero, {places}. If it is not, stop and find out why"
    )


def _datum_in_words(setup: JobSetup, axis: Axis) -> str:
    """Return where an axis has its zero."""
    datum = setup.datum(axis)
    if datum.picked is not None:
        return f"centre of {datum.picked.feature}"
    if len(datum.faces) > 1:
        return "middle"
    return setup.lie.called(datum.faces[0])
