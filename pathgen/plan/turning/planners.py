"""From a turned job and the shop to the plan: one planner a feature, then passes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal, assert_never

from pathgen.input.where import Refusal
from pathgen.job.ball_neck import BallNeck
from pathgen.job.bored_tapers import BoredTaper
from pathgen.job.centre_holes import CentreHole
from pathgen.job.dies import DieThread
from pathgen.job.faceplate import Segment
from pathgen.job.grooves import Groove
from pathgen.job.held_on import held_on
from pathgen.job.inside import AxialHole, Bored, Recess
from pathgen.job.knurls import Knurl
from pathgen.job.screwed import Screwed
from pathgen.job.turned import Parted, Turned, TurnedFeature, TurnedJob, TurnedSetup
from pathgen.job.turned_dish import TurnedDish
from pathgen.job.turned_edges import TurnedEdge
from pathgen.moves.actions import FitCutter, Spindle, SwingSlide, WorkBy
from pathgen.moves.plan import Head, HeadCutter, Item, Pass, PlannedSetup, Point3
from pathgen.plan.turning.axial import plan_axial_hole
from pathgen.plan.turning.ball_neck import plan_ball_neck
from pathgen.plan.turning.bench import TurnedOperation, TurningBench, head_cutter
from pathgen.plan.turning.bored_taper import plan_bored_taper
from pathgen.plan.turning.boring import plan_bored
from pathgen.plan.turning.centring import plan_centre_hole
from pathgen.plan.turning.dies import plan_die
from pathgen.plan.turning.dishing import plan_dish
from pathgen.plan.turning.edges import plan_edge
from pathgen.plan.turning.facing import facing_tool, plan_facing
from pathgen.plan.turning.grooves import plan_groove
from pathgen.plan.turning.guard_hold import guard_hold
from pathgen.plan.turning.in_line import measured_in_line
from pathgen.plan.turning.knurling import plan_knurl
from pathgen.plan.turning.outside import knife_tool, plan_turned
from pathgen.plan.turning.parting import blade_for, plan_parting
from pathgen.plan.turning.recess import plan_recess
from pathgen.plan.turning.restarting import begun_with, found_later, told_before
from pathgen.plan.turning.screwing import plan_screwed
from pathgen.plan.turning.segment import plan_segment
from pathgen.plan.turning.setting import after_items, before_items
from pathgen.plan.turning.slides import carriage_for, is_slanted, once_swung, slides_for
from pathgen.plan.turning.thread_tool import bore_goes_on
from pathgen.plan.turning.zeros import changed_over_items, fitted_items
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.crib import Crib
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide
from pathgen.shop.turning_tools import TurningTool

COMES_IN = -1  # which way the tool goes as it comes to a position: in, and towards the chuck


def plan_turned_setup(
    job: TurnedJob, setup: TurnedSetup, machine: Machine, crib: Crib, begins_at: int = 0
) -> PlannedSetup:
    """Return the plan of one turned setup on a lathe with the crib's tools.

    Args:
        job: with the blank as it comes to the setup.
        setup: the setup.
        machine: the lathe.
        crib: the tools.
        begins_at: the pass, from 1, with which to begin after a stop, those before it being made;
            0 for the beginning.

    Raises:
        Refusal: something cannot be done; says what would do it.
    """
    held = held_on(setup, machine)
    slides = slides_for(setup, machine)
    bench = TurningBench(
        job=job,
        setup=setup,
        machine=machine.with_slides(slides),
        chuck=replace(held.holder, most_rpm=held.most_rpm),
        held=held,
        tools=crib.turning_tools,
        axial=crib.axial_tools(),
        dies=crib.dies,
        quill=_named(machine, "tailstock"),
        compound=_named(machine, "compound"),
        carriage=carriage_for(setup, machine, slides),
    )
    bench = _with_threads(_with_parting(bench))
    guard_hold(bench)
    operations = list(measured_in_line(_operations(bench, machine), bench))
    tools = dict.fromkeys(operation.tool.name for operation in operations)
    by_name = {operation.tool.name: operation.tool for operation in operations}
    numbers = {name: head_cutter(i, by_name[name]) for i, name in enumerate(tools, start=1)}
    return PlannedSetup(
        head=Head(
            title=job.title,
            digest=job.digest,
            setup=setup.name,
            machine=machine.name,
            cutters=tuple(numbers.values()),
            begins_at=begins_at,
        ),
        origin=Point3(0.0, 0.0, 0.0),
        clear=bench.clear,
        sides=(("x", COMES_IN), ("z", COMES_IN)),
        before=told_before(operations, begins_at, before_items(bench)),
        passes=tuple(_passes(operations, numbers, bench, begins_at)),
        after=after_items(bench),
        slides=(*slides, *_others(operations, slides)),
    )


def _others(operations: list[TurnedOperation], slides: tuple[str, ...]) -> tuple[str, ...]:
    """Return the slides that some operation is done by besides those of outside work."""
    named = [name for each in operations if each.by is not None for name in each.by.slides]
    every = [item for each in operations for item in (*each.still, *each.items)]
    named += [item.slide for item in every if isinstance(item, SwingSlide)]
    return tuple(name for name in dict.fromkeys(named) if name not in slides)


def _named(machine: Machine, part: Literal["tailstock", "compound"]) -> Slide | None:
    """Return the quill of the tailstock, or the compound; None where the lathe has none."""
    name: str = "" if machine.lathe is None else getattr(machine.lathe, part)
    return machine.slide_named(name) if name else None


def _with_parting(bench: TurningBench) -> TurningBench:
    """Return the bench with where the part is cut off, if it is."""
    for feature in bench.setup.features:
        if isinstance(feature, Parted):
            right = -feature.length.middle
            return replace(bench, parted=(right, right - blade_for(feature, bench).width))
    return bench


def _with_threads(bench: TurningBench) -> TurningBench:
    """Return the bench with how deep a bore through the part has to go for a thread in it."""
    threads = [each for each in bench.setup.features if isinstance(each, Screwed)]
    deep = (bore_goes_on(each, bench.tools) for each in threads)
    return replace(bench, bored_on=max(deep, default=0.0))


def _operations(bench: TurningBench, machine: Machine) -> Iterator[TurnedOperation]:
    """Yield the operations of the setup, in the order of doing them."""
    turned = [each for each in bench.setup.features if isinstance(each, Turned)]
    if not turned and any(isinstance(each, Parted) for each in bench.setup.features):
        raise Refusal(
            bench.setup.where,
            "part off a bar of which nothing is turned",
            "give a feature of kind turned",
        )
    swung: WorkBy | None = None  # what works outside once the compound is swung
    fitted: TurningTool | AxialTool
    fitted = knife_tool(bench, turned[0]) if turned else facing_tool(bench)
    if bench.setup.facing:
        yield plan_facing(bench, fitted)
    for feature in bench.setup.features:
        largest = max((each.steps[-1].diameter.middle for each in turned[-1:]), default=0.0)
        if bench.manual and is_slanted(feature):
            bench = once_swung(bench, machine, feature)
            swung = WorkBy(slides=tuple(slide.name for slide in bench.machine.slides))
        for operation in _of_feature(feature, (bench, machine), largest, fitted):
            fitted = operation.tool
            yield replace(operation, by=operation.by or swung)


def _of_feature(  # noqa: C901, PLR0912 - a case a kind
    feature: TurnedFeature,
    at: tuple[TurningBench, Machine],
    largest: float,
    fitted: TurningTool | AxialTool,
) -> Iterator[TurnedOperation]:
    """Yield the operations of one feature.

    Args:
        feature: of the setup.
        at: what there is, and the lathe with all its slides.
        largest: the diameter beside the bar, mm.
        fitted: the tool that is in the post before.
    """
    bench, machine = at
    match feature:
        case Turned():
            yield from plan_turned(feature, bench)
        case Parted():
            yield plan_parting(feature, bench, largest)
        case AxialHole():
            yield from plan_axial_hole(feature, bench)
        case Bored():
            yield from plan_bored(feature, bench)
        case Recess():
            yield plan_recess(feature, bench)
        case TurnedEdge():
            yield from plan_edge(feature, bench)
        case Screwed():
            yield plan_screwed(feature, bench, machine)
        case Groove():
            yield from plan_groove(feature, bench)
        case Knurl():
            yield plan_knurl(feature, bench)
        case DieThread():
            yield plan_die(feature, bench, fitted)
        case CentreHole():
            yield from plan_centre_hole(feature, bench)
        case Segment():
            yield from plan_segment(feature, bench)
        case TurnedDish():
            yield from plan_dish(feature, bench)
        case BallNeck():
            yield from plan_ball_neck(feature, bench)
        case BoredTaper():
            yield from plan_bored_taper(feature, bench)
        case _:
            assert_never(feature)


def _passes(
    operations: list[TurnedOperation],
    numbers: dict[str, HeadCutter],
    bench: TurningBench,
    begins_at: int,
) -> Iterator[Pass]:
    """Yield each operation as a pass, with the change of tool and speed before it.

    Those before the one to begin at are left out.
    """
    if begins_at:
        operations = [begun_with(operations, begins_at, bench), *operations[begins_at:]]
    fitted, rpm = "", 0.0
    outside = WorkBy(slides=tuple(slide.name for slide in bench.machine.slides))
    by: WorkBy | None = None
    for operation in operations:
        cutter = numbers[operation.tool.name]
        items: list[Item] = []
        if operation.tool.name != fitted:
            if rpm:
                items.append(Spindle(rpm=0.0))
            if bench.manual and (operation.by or outside) != by:
                by = operation.by or outside
                items.append(by)
            items += _fitting(operation, cutter, bench, again=begins_at > 0 and not fitted)
        elif bench.manual and (operation.by or outside) != by:
            by = operation.by or outside
            items += [by, *_changed_over(operation, bench)]
        elif operation.figures.rpm != rpm and not _starts_still(operation):
            items.append(Spindle(rpm=operation.figures.rpm))
        fitted = operation.tool.name
        rpm = 0.0 if _ends_still(operation) else operation.figures.rpm
        yield Pass(
            purpose=operation.purpose,
            feature=operation.feature,
            cutter=cutter,
            rpm=operation.figures.rpm,
            feed=operation.figures.feed,
            why=operation.why,
            items=(*items, *operation.items, *_stopped(operation, operations)),
            depth_of_cut=operation.depth_of_cut,
        )


def _fitting(
    operation: TurnedOperation, cutter: HeadCutter, bench: TurningBench, *, again: bool
) -> Iterator[Item]:
    """Yield how a tool is fitted and finds its zeros; ``again`` to go on after a stop."""
    if again and operation.anew is not None:
        yield operation.anew.measured
    if operation.wheels is not None:
        yield operation.wheels
    yield FitCutter(number=cutter.number, name=cutter.name, diameter=cutter.diameter)
    yield from operation.still
    yield Spindle(rpm=operation.figures.rpm)
    zeros = operation.zeros
    zeros = tuple(fitted_items(operation, bench)) if zeros is None else zeros
    yield from found_later(operation, zeros) if again else zeros


def _changed_over(operation: TurnedOperation, bench: TurningBench) -> Iterator[Item]:
    """Yield how other slides find their zeros, unless the operation says that by itself."""
    if operation.zeros is None:
        yield Spindle(rpm=operation.figures.rpm)
        yield from changed_over_items(operation, bench)


def _starts_still(operation: TurnedOperation) -> bool:
    """Return whether an operation begins with the spindle stopped, to measure."""
    return bool(operation.items) and operation.items[0] == Spindle(rpm=0.0)


def _ends_still(operation: TurnedOperation) -> bool:
    """Return whether an operation ends with the spindle stopped, something having been measured."""
    turned = [item for item in operation.items if isinstance(item, Spindle)]
    return bool(turned) and turned[-1] == Spindle(rpm=0.0)


def _stopped(operation: TurnedOperation, operations: list[TurnedOperation]) -> tuple[Item, ...]:
    """Return the stop of the spindle after the last operation."""
    last = operation is operations[-1] and not _ends_still(operation)
    return (Spindle(rpm=0.0),) if last else ()
