"""From a job and the shop to the plan: one planner a feature, then passes with their actions."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import takewhile
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.job.areas import Facing, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot
from pathgen.moves.actions import FitCutter, Note, Spindle
from pathgen.moves.moves import Drill, How, Move, Rapid, end_of
from pathgen.moves.plan import Head, HeadCutter, Item, Pass, PlannedSetup, Point3
from pathgen.plan import cautions
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.by_file import areas_filed, filed_in_the_end, scribed
from pathgen.plan.fluid import fluid_off, fluid_on
from pathgen.plan.holes.holes import plan_holes
from pathgen.plan.holes.order import floors_last
from pathgen.plan.holes.power_tapping import spindle_tap
from pathgen.plan.holes.tapping import before_tapping, tapping_items
from pathgen.plan.measuring import with_own_names
from pathgen.plan.places import touch_place
from pathgen.plan.reaching import cutter_stands, noses, raised
from pathgen.plan.restarting import begins_again, proving_the_zeros
from pathgen.plan.set_over import as_set_over
from pathgen.plan.setting import (
    clear_plane,
    depth_zero,
    hand_plane,
    setting_items,
    sides,
    zeros_across,
)
from pathgen.plan.sharing import Planned, shared
from pathgen.plan.slots.slot import plan_slot
from pathgen.plan.slots.t_slot import plan_t_slot
from pathgen.plan.travelling import guard_travel
from pathgen.plan.wording import sizes_in_words
from pathgen.shop.crib import Crib
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine

NAN = float("nan")
UP_FOR_HANDS = How(what="up, to make room for hands")


def plan_feature(  # noqa: PLR0911 - a case a kind
    feature: Feature, bench: Bench
) -> tuple[Operation, ...]:
    """Return the operations that make a feature.

    Raises:
        Refusal: something cannot be done; says what would do it.
    """
    match feature:
        case Slot():
            return plan_slot(feature, bench)
        case TSlot():
            return plan_t_slot(feature, bench)
        case Holes(finish="bored"):
            from pathgen.plan.bores.bores import plan_bore  # noqa: PLC0415 - only jobs with bores need it

            return plan_bore(feature, bench)
        case Holes():
            return plan_holes(feature, bench)
        case Pocket() | Outside() | Step() | Facing():
            from pathgen.plan.areas.areas import plan_area  # noqa: PLC0415 - only jobs with areas need it

            return plan_area(feature, bench)
        case Sphere():
            from pathgen.plan.spheres.spheres import plan_sphere  # noqa: PLC0415 - only these need it

            return plan_sphere(feature, bench)
        case Chamfer():
            from pathgen.plan.chamfer import plan_chamfer  # noqa: PLC0415 - only jobs with chamfers

            return plan_chamfer(feature, bench)
        case _:
            assert_never(feature)


def by_hand(feature: Feature, bench: Bench) -> Iterator[Item]:
    """Yield what is done to a feature by hand once all the cutting is done."""
    match feature:
        case Slot() | TSlot() | Pocket() | Outside() | Step() | Facing() | Chamfer() | Sphere():
            return
        case Holes():
            if spindle_tap(feature, bench) is None:
                yield from tapping_items(feature, bench)
        case _:
            assert_never(feature)


def plan_setup(
    job: Job, setup: JobSetup, machine: Machine, crib: Crib, begins_at: int = 0
) -> PlannedSetup:
    """Return the plan of one setup on a machine with the crib's cutters and taps.

    Args:
        job: what is wanted.
        setup: which of its setups.
        machine: the one it is done on.
        crib: what is at hand.
        begins_at: the pass, from 1, with which to begin after a stop, those before it being made:
            its cutter is fitted anew and the zeros are proved first. 0 to begin at the beginning.

    Raises:
        Refusal: something cannot be done; says what would do it.
    """
    setup = as_set_over(setup, machine)
    clear = clear_plane(setup, machine)
    come_from = sides(setup, machine)
    bench = Bench(
        job=job,
        setup=setup,
        machine=machine,
        cutters=crib.cutters,
        taps=crib.taps,
        clear=clear,
        hand=hand_plane(machine, clear),
        sides=come_from,
    )
    operations = _operations(bench)
    hand = hand_plane(machine, clear, _lowest(operations))
    if hand < bench.hand:  # so deep that the machine does not reach as high besides
        bench = replace(bench, hand=hand)
        operations = _operations(bench)
    numbers = _number(operations)
    heights = noses(operations, bench)
    first = heights[max(begins_at - 1, 0)] if heights else None
    plan = PlannedSetup(
        head=Head(
            title=job.title,
            digest=job.digest,
            setup=setup.name,
            machine=machine.name,
            cutters=tuple(numbers.values()),
            begins_at=begins_at,
        ),
        origin=Point3(*setup.origin),
        clear=clear,
        sides=come_from,
        before=(
            *(begins_again(operations, begins_at) if begins_at else scribed(bench)),
            *setting_items(job, setup, machine, zeros_across(bench, first)),
        ),
        passes=tuple(_passes(operations, numbers, bench, begins_at)),
        after=(*_by_hand(operations, bench), *_after(bench)),
    )
    guard_travel(plan, bench)
    return plan


def _operations(bench: Bench) -> list[Planned]:
    """Return the operations of all features, in the order of doing them."""
    planned = [
        Planned(feature, operation)
        for feature in floors_last(bench.setup.features)
        for operation in plan_feature(feature, bench)
    ]
    return list(shared(with_own_names(planned)))


def _lowest(operations: list[Planned]) -> float:
    """Return the lowest place that a cutter goes to, z; mm."""
    heights = (
        move.bottom if isinstance(move, Drill) else end_of(move)[2]
        for _, operation in operations
        for move in operation.moves
        if isinstance(move, Move)
    )
    return min((height for height in heights if not math.isnan(height)), default=0.0)


def _number(operations: list[Planned]) -> dict[str, HeadCutter]:
    """Return the cutters by name, numbered in the order of their first use."""
    numbers: dict[str, HeadCutter] = {}
    for _, operation in operations:
        cutter = operation.cutter
        if cutter.name not in numbers:
            numbers[cutter.name] = HeadCutter(
                number=len(numbers) + 1, name=cutter.name, diameter=cutter.diameter
            )
    return numbers


def _passes(
    operations: list[Planned], numbers: dict[str, HeadCutter], bench: Bench, begins_at: int
) -> Iterator[Pass]:
    """Yield the passes: each operation with the actions that it needs before and after it.

    Those before the one to begin at are left out.
    """
    fitted: str | None = None
    heights = noses(operations, bench)
    said: set[str] = set()
    at: tuple[float, float] | None = None  # where the last operation ended, seen from above
    for index, (feature, operation) in enumerate(operations):
        if index < begins_at - 1:
            continue
        cutter = numbers[operation.cutter.name]
        changes = cutter.name != fitted
        items: list[Item] = []
        stands = operation.before or operation.ready
        if at is not None and (stands or changes):
            items.append(Rapid(*at, bench.hand, UP_FOR_HANDS))
        items.extend(operation.before)
        if changes:
            if heights:
                again = fitted is not None and heights[index].group != heights[index - 1].group
                items.extend(zeros_across(bench, heights[index]) if again else ())
                items.append(cutter_stands(heights[index], *_fit_of(operations, index), bench))
            items.extend(_held(operation.cutter, bench))
            items.extend(_fit(cutter, bench, operation, first=fitted is None))
            if fitted is None and begins_at:
                items.extend(proving_the_zeros(bench.setup, bench.machine, bench.clear))
            fitted = cutter.name
        elif operation.before and at is not None:
            items.append(Rapid(*at, bench.clear, How(what="down again, clear of the work")))
        items.extend(operation.ready)
        fresh = [text for text in _cautions(feature, operation) if text not in said]
        said.update(fresh)
        items.extend(Note(text=text, caution=True) for text in fresh)
        items.append(Spindle(rpm=operation.cutting.rpm))
        items.extend(fluid_on(operation.purpose, bench))
        items.extend(operation.moves)
        items.extend(_lift(operation, bench))
        items.extend(fluid_off(bench))
        items.append(Spindle(rpm=0.0))
        at = operation.end[:2]
        yield Pass(
            purpose=operation.purpose,
            feature=feature.name,
            cutter=cutter,
            rpm=operation.cutting.rpm,
            feed=operation.cutting.feed,
            why=f"{operation.why} ({operation.cutting.why})",
            items=tuple(items),
            depth_of_cut=operation.depth_of_cut,
            width_of_cut=operation.width_of_cut,
        )


def _fit_of(operations: list[Planned], index: int) -> tuple[Cutter, tuple[Move, ...]]:
    """Return the cutter that an operation begins with, and all its moves until it is changed."""
    cutter = operations[index].operation.cutter
    own = takewhile(lambda each: each.operation.cutter.name == cutter.name, operations[index:])
    return cutter, tuple(
        move for each in own for move in each.operation.moves if isinstance(move, Move)
    )


def _held(cutter: Cutter, bench: Bench) -> Iterator[Item]:
    """Yield in what a cutter is held and how far it stands out, where the crib tells."""
    if cutter.holder is not None:
        yield Note(
            text=f"The {cutter.name} in the {cutter.holder.name}, its end "
            f"{bench.say(cutter.stands_out)} out of it, no less: that is what was checked."
        )


def _fit(cutter: HeadCutter, bench: Bench, operation: Operation, *, first: bool) -> Iterator[Item]:
    """Yield the change of cutter, its depth zero where lengths are not kept, and the way up.

    The depth zero is taken at a solid place of the top face. The cutter goes there before it is
    changed, for the next one may be longer; only a program cannot the first time, when the height
    is not known yet.
    """
    control = bench.machine.control
    fit = FitCutter(number=cutter.number, name=cutter.name, diameter=cutter.diameter)
    if operation.zeroed:
        yield from (fit, *operation.zeroed)
        return
    if control is not None and control.tool_length:
        yield from (fit, Rapid(NAN, NAN, bench.clear))
        return
    place = _solid_place(cutter, bench)
    if control is None or not first:
        yield Rapid(*place, NAN, How(what=f"over a solid place of the {bench.upper}"))
    yield fit
    yield from raised(bench.machine, bench.hand)
    yield depth_zero(bench.setup, cutter.name, place)
    yield Rapid(NAN, NAN, bench.clear, How(what="clear of the work"))


def _solid_place(cutter: HeadCutter, bench: Bench) -> tuple[float, float]:
    """Return where the depth zero of a cutter is taken.

    Raises:
        Refusal: there is no such place.
    """
    place = touch_place(bench.job, bench.setup, cutter.diameter)
    if place is None:
        raise Refusal(
            bench.setup.where.at("datum.z"),
            f"no solid place on the {bench.upper} is wide enough to touch {cutter.name} down on, "
            "for its depth zero",
            "cut what it cuts in a setup of its own, or name a narrower cutter under `ways`",
        )
    return place


def _lift(operation: Operation, bench: Bench) -> Iterator[Item]:
    """Yield a last move up, where the operation did not end clear of the work."""
    x, y, z = operation.end
    if z < bench.clear:
        yield Rapid(x, y, bench.clear)


def _cautions(feature: Feature, operation: Operation) -> tuple[str, ...]:
    """Return the cautions that fit an operation."""
    own = operation.notes
    if operation.cutting.too_fast:
        own = (*own, "The machine's lowest speed is above the wanted one: feed slowly, with oil.")
    if operation.purpose == "ream":
        return (cautions.REAMING, *own)
    if operation.purpose == "tap":
        return (cautions.TAPPING_IN_STEP, *own)
    if operation.purpose in ("pilot", "drill", "chain drill"):
        through = (cautions.BREAKING_THROUGH,) if feature.through else ()
        return (cautions.DRILLING, *through, *own)
    if operation.purpose in ("spot", "countersink"):
        return own
    return (cautions.MILLING, *own)


def _by_hand(operations: list[Planned], bench: Bench) -> Iterator[Item]:
    """Yield the way up after the last cut, to make room for hands, and what they do there."""
    x, y, _ = operations[-1].operation.end
    yield Rapid(x, y, bench.hand, UP_FOR_HANDS)
    items = [item for feature in bench.setup.features for item in by_hand(feature, bench)]
    if items:
        yield from before_tapping(bench)
        yield from items


def _after(bench: Bench) -> tuple[Item, ...]:
    """Return what is done once the last cut is made."""
    filed = areas_filed(bench)
    sizes = "; ".join(
        sizes_in_words(feature, bench.job.units) + (" once it is filed" if feature in filed else "")
        for feature in bench.setup.features
    )
    through = any(feature.through for feature in bench.setup.features)
    faces = ", on both faces," if through else ""
    return (
        Note(text=cautions.BURRS, caution=True),
        Note(text=f"Brush the chips away and measure before the part is unclamped: {sizes}."),
        Note(text=f"Break every edge{faces} with a fine file: {bench.say(0.2)} is enough."),
        *filed_in_the_end(bench),
    )
