"""Planning a bore: drilled out of the solid or a hole there already, then led round or bored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pathgen.input.where import Refusal
from pathgen.job.holes import BORED_OUT, Holes
from pathgen.job.meeting import hole_opened_out
from pathgen.job.sizes import Size
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.bores.circles import led_round, mill_for
from pathgen.plan.bores.head import bored, head_for, heads_of, reached, unfit
from pathgen.plan.bores.steps import Step, steps_of
from pathgen.plan.heights import reaches
from pathgen.plan.holes.counterbore import counterbore, plunger
from pathgen.plan.holes.cutters import CHIPS, LEFT_BENEATH
from pathgen.plan.holes.drill_choice import as_drills, drills_of, largest_drill
from pathgen.plan.holes.drilling import (
    Sink,
    Target,
    refuse_beneath,
    spot_across,
    spotted,
    spotting_drill,
    sunk,
    through_bottom,
)
from pathgen.plan.words import span
from pathgen.reckon.drilling import opening_steps
from pathgen.shop.cutters import Cutter

ABOVE_FLOOR = 0.3  # mm that a drill's point stays above a flat floor (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How one step of a bore is cut: by a mill led round, or by a boring head; or by a plunge."""

    step: Step
    mill: Cutter | None = None
    head: Cutter | None = None


def plan_bore(bore: Holes, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a bore on a bench, the narrowest step first.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    steps = steps_of(bore)
    widest = _widest_before(bore, bench)
    pairs = tuple(_pairs(steps, widest))
    ways = [_way(bore, step, before, bench) for step, before in pairs]
    ways = _with_one_head(bore, ways, [before for _, before in pairs], bench)
    start, drilled = _opened(bore, ways[0], bench)
    operations = [*drilled]
    if steps[0].flat:
        start = 0.0  # the point of its drill leaves metal above the floor
    before: Way | None = None
    for way in ways:
        goes_on = before is not None and before.head is not None and before.head is way.head
        done = before.step if before is not None and goes_on else None
        operations.extend(_cut(bore, way, start, bench, done))
        start, before = _opened_to(way, start), way
    return tuple(operations)


def _opened_to(way: Way, start: float) -> float:
    """Return the diameter that a way opens a hole to, mm."""
    if way.head is None or way.head.head is None:
        return way.step.size.middle
    return reached(start, way.step.size.middle, way.head.head)


def _with_one_head(bore: Holes, ways: list[Way], befores: list[float], bench: Bench) -> list[Way]:
    """Return the ways with one boring head for all that want one, if one does for all of them."""
    wanting = [
        (way.step, before)
        for way, before in zip(ways, befores, strict=True)
        if way.head is not None
    ]
    for head in heads_of(bore, bench):
        if not any(unfit(step, head, before, bench) for step, before in wanting):
            return [way if way.head is None else replace(way, head=head) for way in ways]
    return ways


def _pairs(steps: tuple[Step, ...], widest: float) -> Iterator[tuple[Step, float]]:
    """Yield each step with the widest hole that there can be before it, mm."""
    before = widest
    for step in steps:
        yield step, before
        before = step.size.middle


def _widest_before(bore: Holes, bench: Bench) -> float:
    """Return the widest hole that can be there before a bore is cut, mm."""
    there = hole_opened_out(bench.job, bench.setup, bore)
    if there is not None and _deep_enough(there, bore):
        return there.bore.low
    most = bore.bore.middle - 2 * BORED_OUT
    drill = largest_drill(bench, most, lambda each: _reaches(bore, bench, each))
    return 0.0 if drill is None else drill.diameter


def _target(bore: Holes) -> Target:
    x, y = bore.places[0].at
    return Target(x=x, y=y)


def _cut(
    bore: Holes, way: Way, start: float, bench: Bench, done: Step | None
) -> Iterator[Operation]:
    """Yield the operations that open one step from a diameter to its own.

    Args:
        bore: what is wanted.
        way: how the step is cut.
        start: diameter of the hole there is, mm.
        bench: what there is.
        done: the step that the same boring head has just bored; None: another did, or a drill.
    """
    target = _target(bore)
    if way.mill is not None:
        yield from led_round(way.step, start, (way.mill, target, bench))
    elif way.head is not None:
        yield from bored(way.step, start, (way.head, target, bench), done)
    else:
        assert way.step.counterbore is not None
        yield counterbore(bore, way.step.counterbore, (target,), bench)


def _way(bore: Holes, step: Step, widest: float, bench: Bench) -> Way:
    """Return how a step is cut: as the job says, else led round where the machine can, else bored.

    Raises:
        Refusal: there is nothing to cut it with; says what would do.
    """
    asked = None if bore.boring is None else bore.boring.way
    if asked == "boring head" or (bore.boring is not None and bore.boring.head is not None):
        return Way(step=step, head=_needed_head(bore, step, widest, bench))
    mill = mill_for(step, bench)
    if mill is not None:
        return Way(step=step, mill=mill)
    if asked == "led round":
        raise Refusal(
            bore.where.at("ways.way"),
            f"no mill of the crib can be led round in {span(step.size, bench.job.units)} on "
            f"{bench.machine.title}",
            'put a longer or smaller one into the crib, or say way = "boring head"',
        )
    if step.counterbore is not None and plunger(bore, step.counterbore, bench) is not None:
        return Way(step=step)
    return Way(step=step, head=_needed_head(bore, step, widest, bench))


def _needed_head(bore: Holes, step: Step, widest: float, bench: Bench) -> Cutter:
    head = head_for(bore, step, widest, bench)
    if isinstance(head, Cutter):
        return head
    raise Refusal(bore.where.at(step.key), head[0], head[1])


# ---------------------------------------------------------------- the hole before it


def _deep_enough(there: Holes, bore: Holes) -> bool:
    """Return whether a hole that is opened out goes as deep as the bore: none is drilled then."""
    if there.depth is None:
        return True
    return bore.depth is not None and not bore.flat and there.depth.low >= bore.depth.high


def _opened(bore: Holes, way: Way, bench: Bench) -> tuple[float, tuple[Operation, ...]]:
    """Return how wide the hole is that is opened out, mm, and the operations that drill it.

    Raises:
        Refusal: no drill leads there, or what is there already leaves nothing to cut.
    """
    there = hole_opened_out(bench.job, bench.setup, bore)
    most = bore.bore.middle - 2 * BORED_OUT
    least = 0.0 if way.head is None or way.head.head is None else way.head.head.least
    if there is not None:
        if there.bore.high > most or there.bore.low < least:
            raise Refusal(
                bore.where.at("diameter"),
                f"{there.name!r}, which is opened out, is {span(there.bore, bench.job.units)}; a "
                f"cut all round wants {bench.say(least)} to {bench.say(most)}",
                "drill it to that, or give another bore",
            )
        if _deep_enough(there, bore):
            return there.bore.low, ()
    drill = largest_drill(bench, most, lambda each: _reaches(bore, bench, each))
    if drill is None or drill.diameter < max(least, 0.0 if there is None else there.bore.high):
        raise Refusal(
            bore.where.at("diameter"),
            f"no drill of the crib from {bench.say(least)} to {bench.say(most)} goes deep enough "
            "before the bore is cut",
            "put one into the crib",
        )
    return drill.diameter, tuple(_drilling(bore, drill, bench, solid=there is None))


def _reaches(bore: Holes, bench: Bench, drill: Cutter) -> bool:
    """Return whether a drill's flutes are long enough, and its point stays where it may be."""
    bottom = _bottom(bore, bench, drill)
    inside = bore.depth is None or bottom >= bench.bottom + LEFT_BENEATH
    return inside and reaches(drill, bottom)


def _bottom(bore: Holes, bench: Bench, drill: Cutter) -> float:
    """Return the z of a drill's point: through, below the floor, or above one that is flat; mm."""
    if bore.depth is None:
        return through_bottom(bench, drill)
    if bore.flat:
        return -(bore.depth.middle - ABOVE_FLOOR)
    return -(bore.depth.middle + CHIPS + drill.point_length)


def _drilling(bore: Holes, last: Cutter, bench: Bench, *, solid: bool) -> Iterator[Operation]:
    """Yield the spot, the pilots and the last drill."""
    fitting = [c for c in bench.of_kind("drill") if _reaches(bore, bench, c)]
    (end,) = as_drills([last])
    pilots = drills_of(bench, fitting, lambda held: opening_steps(end, held)) if solid else ()
    drills = (*pilots, last)
    targets = (_target(bore),)
    if bore.depth is None:
        refuse_beneath(
            bench,
            {f"the point of the {each.name}": _bottom(bore, bench, each) for each in drills},
            "hold the blank with {} or more under the bore",
        )
    spot = spotting_drill(bench)
    if spot is not None and solid:
        across = spot_across(spot, drills[0], last)
        deepest = 0.5 * (bench.bottom if bore.depth is None else -bore.depth.middle)
        yield spotted(bench, spot, targets, across, deepest)
    for each in drills:
        final = each is last
        yield sunk(
            bench,
            Sink(
                purpose="drill" if final else "pilot",
                trade="drilling",
                cutter=each,
                targets=targets,
                bottom=_bottom(bore, bench, each),
                why=_why(bore.bore, each, bench) if final else "a pilot",
            ),
        )


def _why(size: Size, drill: Cutter, bench: Bench) -> str:
    left = (size.middle - drill.diameter) / 2
    return f"leaves {bench.say(left)} a side for the bore"
