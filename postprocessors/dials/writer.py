"""Turn a planned setup into the steps of a sheet of handwheel readings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TypeAlias, assert_never

from pathgen.input.units import Units
from pathgen.moves.actions import (
    ChangeWheels,
    Clamp,
    Coolant,
    Dwell,
    FitCutter,
    FitTouching,
    HalfNuts,
    Lock,
    Measure,
    Note,
    Pause,
    SetAngle,
    SetDiameter,
    SetHeight,
    SetStop,
    SetSweep,
    Spindle,
    SwingSlide,
    Unlock,
    WorkBy,
    Zero,
    ZeroByMeasure,
)
from pathgen.moves.moves import AXES, Arc, Axis, Drill, Feed, Rapid, ThreadCut, TurnedArc, TurnWork
from pathgen.moves.plan import Item, Pass, PlannedSetup
from pathgen.shop.machines import Machine
from postprocessors.dials.handles import Handle
from postprocessors.dials.heights import height_by_eye
from postprocessors.dials.moving import write_drill, write_feed, write_rapid
from postprocessors.dials.scribe import Scribe, off_half_way
from postprocessors.dials.steps import (
    ClampStep,
    CoolantStep,
    DwellStep,
    FitStep,
    FitTouchingStep,
    HeightStep,
    MeasureStep,
    NoteStep,
    Operation,
    PauseStep,
    SetHeadStep,
    Sheet,
    SpindleStep,
    Step,
)
from postprocessors.dials.tilting import write_tilting
from postprocessors.dials.turning import write_turned
from postprocessors.dials.zeroing import write_zero

FINE = 4  # decimals of a mm that a heading tells


def write_sheet(setup: PlannedSetup, machine: Machine, job_units: Units = "mm") -> Sheet:
    """Return the sheet for a setup on a machine that is worked by its handles.

    Args:
        setup: what is to be done, in the setup's frame.
        machine: the machine, with a slide for each axis.
        job_units: the units the job speaks, printed beside those of the dials.

    Raises:
        Refusal: if the setup wants what handles cannot do: an arc, two slides at once, a dial that
            cannot be set and whose figure at the datum is not known.
        ValueError: if the setup contradicts itself, say moves an axis before its zero.
    """
    if not machine.manual:
        raise ValueError(f"{machine.name} reads programs; its slides have no dials")
    machine = machine.with_slides(setup.slides)
    handles = {
        axis: Handle(slide=machine.slide(axis), side=setup.side(axis)) for axis in machine.axes
    }
    used = [handle.slide.name for handle in handles.values()]
    idle = [
        Handle(slide=slide, side=setup.side(slide.axis))
        for slide in machine.slides
        if slide.name not in used
    ]
    scribe = Scribe(
        handles=handles,
        idle=idle,
        clear=setup.clear,
        by_eye=None if machine.lathe is not None else height_by_eye(setup.clear, job_units),
        where=machine.where,
        lathe=machine.lathe is not None,
    )
    dials = tuple(handle.dial() for handle in (*handles.values(), *idle))
    operations = _write_all(scribe, setup)
    return Sheet(
        head=setup.head,
        units=job_units,
        clear=setup.clear,
        dials=dials,
        operations=operations,
        steps=tuple(scribe.steps),
        lathe=scribe.lathe,
    )


def _write_all(scribe: Scribe, setup: PlannedSetup) -> tuple[Operation, ...]:
    """Put down all steps of a setup; return the headings they stand under."""
    groups: list[tuple[Operation, Iterable[Item]]] = [
        (Operation(first=0, title="Set up"), setup.before),
        *((_operation(each), each.items) for each in setup.passes),
        (Operation(first=0, title="To end with"), setup.after),
    ]
    operations = []
    for operation, items in groups:
        first = scribe.number
        for item in items:
            write_item(scribe, item)
        if scribe.number > first:
            operations.append(replace(operation, first=first))
    return tuple(operations)


def _operation(planned: Pass) -> Operation:
    """Return the heading of a pass."""
    return Operation(
        first=0,
        title=f"{planned.purpose}: {planned.feature}",
        why=planned.why,
        cutter=planned.cutter.number,
        rpm=planned.rpm,
        feed=planned.feed,
        depth_of_cut=round(planned.depth_of_cut, FINE),
        width_of_cut=round(planned.width_of_cut, FINE),
    )


def write_item(scribe: Scribe, item: Item) -> None:
    """Put down the steps of one move or action, as a mill or a lathe wants them."""
    if not (scribe.lathe and write_turned(scribe, item)):
        _write_item(scribe, item)


def _write_item(scribe: Scribe, item: Item) -> None:
    """Put down the steps of one move or action."""
    match item:
        case Rapid() | Feed() | Drill() | Arc() | TurnedArc():
            _write_move(scribe, item)
        case Zero():
            write_zero(scribe, item)
        case SetAngle() | SetSweep() | TurnWork():
            write_tilting(scribe, item)
        case Lock() | Unlock():
            _write_lock(scribe, item)
        case FitTouching() | FitCutter() | Measure() | SetDiameter() | SetHeight():
            _write_change(scribe, item)
        case (
            WorkBy()
            | SwingSlide()
            | ZeroByMeasure()
            | ThreadCut()
            | ChangeWheels()
            | HalfNuts()
            | SetStop()
        ):
            raise ValueError(f"{type(item).__name__} is for lathes")
        case _:
            scribe.add(_words(scribe.number, item))


def _write_move(scribe: Scribe, move: Rapid | Feed | Drill | Arc | TurnedArc) -> None:
    """Put down the steps of a move of the slides."""
    match move:
        case Rapid():
            write_rapid(scribe, move)
        case Feed():
            write_feed(scribe, move)
        case Drill():
            write_drill(scribe, move)
        case Arc() | TurnedArc():
            raise scribe.refusal(
                "an arc needs two handles wound at once",
                "use a rotary table, or a machine whose control interpolates",
            )
        case _:
            assert_never(move)


def _write_lock(scribe: Scribe, item: Lock | Unlock) -> None:
    """Put down a lock to nip or to free, unless it is so already."""
    handles = [each for each in scribe.handles.values() if each.slide.name == item.slide]
    if not handles:
        raise ValueError(f"the machine has no slide {item.slide!r}")
    if isinstance(item, Lock):
        scribe.lock(handles)
    else:
        scribe.free(handles)


def _write_height(scribe: Scribe, item: SetHeight) -> None:
    """Put down the setting of a height, by which places are lost."""
    scribe.add(
        HeightStep(
            number=scribe.number,
            by=item.by,
            above=item.above,
            of=item.of,
            within=item.within,
            swings=item.swings,
        )
    )
    lost: tuple[Axis, ...] = AXES if item.swings else ("z",)
    for axis in lost:
        scribe.handles[axis].lose_zero()
        scribe.handles[axis].forget_slack()


def _fit(scribe: Scribe, item: FitTouching | FitCutter) -> Step:
    """Return the step that puts something into the spindle."""
    if isinstance(item, FitTouching):
        return FitTouchingStep(
            number=scribe.number, name=item.name, diameter=item.diameter, height=scribe.by_eye
        )
    return FitStep(
        number=scribe.number,
        cutter=item.number,
        name=item.name,
        diameter=item.diameter,
        height=scribe.by_eye,
    )


Change: TypeAlias = FitTouching | FitCutter | Measure | SetDiameter | SetHeight


def _write_change(scribe: Scribe, item: Change) -> None:
    """Put down what alters what is known: a cutter, a size it is set to, a height, a measure."""
    if isinstance(item, SetHeight):
        _write_height(scribe, item)
    elif isinstance(item, SetDiameter):
        scribe.add(_set_head(scribe, item))
    elif isinstance(item, Measure):
        _write_measure(scribe, item)
    else:
        scribe.add(_fit(scribe, item))
        lost = list(scribe.handles.values()) if scribe.lathe else [scribe.handles["z"]]
        for handle in lost:
            handle.lose_zero()
            handle.forget_slack()


def _write_measure(scribe: Scribe, item: Measure) -> None:
    """Put down a size that is measured, for what follows it."""
    step = MeasureStep(
        number=scribe.number,
        name=item.name,
        what=item.what,
        expected=item.expected,
        low=item.low,
        high=item.high,
        found_by=item.found_by,
        advice=item.advice,
    )
    scribe.measures[item.name] = step
    scribe.add(step)


def _set_head(scribe: Scribe, item: SetDiameter) -> SetHeadStep:
    """Return the step that sets a boring head, in whole judged parts from where it stands."""
    exact = scribe.heads.exact(item)
    setting = scribe.heads.rounded(item)
    return SetHeadStep(
        number=scribe.number,
        head=item.head,
        diameter=setting.diameter,
        per_division=item.per_division,
        judged=item.judged,
        uncertainty=item.uncertainty,
        out=round(setting.turned / item.judged),
        touched=item.touched,
        measure=item.follows,
        expected=item.expected,
        base=off_half_way(exact) if item.follows else 0.0,
    )


def _words(number: int, item: Clamp | Note | Spindle | Coolant | Pause | Dwell) -> Step:
    """Return the step for an action that changes nothing the handles know of."""
    match item:
        case Clamp():
            return ClampStep(number=number, lines=item.lines)
        case Note():
            return NoteStep(number=number, text=item.text, caution=item.caution)
        case Spindle():
            return SpindleStep(number=number, rpm=item.rpm)
        case Coolant():
            return CoolantStep(number=number, coolant=item.kind)
        case Pause():
            return PauseStep(number=number, reason=item.reason)
        case Dwell():
            return DwellStep(number=number, seconds=item.seconds)
        case _:
            assert_never(item)
