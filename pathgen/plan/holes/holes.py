"""Planning holes: spot, drill, counterbore, countersink, ream, in the order of the trade."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.areas import Pocket
from pathgen.job.holes import Holes
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.gone import breaking_cautions
from pathgen.plan.holes.counterbore import counterbore
from pathgen.plan.holes.cutters import (
    HoleCutters,
    choose_cutters,
    countersink_bottom,
    drill_bottom,
    reamer_bottom,
)
from pathgen.plan.holes.drilling import (
    Sink,
    Target,
    refuse_beneath,
    spot_across,
    spotted,
    sunk,
)
from pathgen.plan.holes.order import in_order
from pathgen.plan.holes.power_tapping import tapped_in_step
from pathgen.plan.holes.tapping import drill_words, no_tap
from pathgen.shop.cutters import Cutter


def plan_holes(holes: Holes, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make holes on a bench; tapping by hand comes after them all.

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    _refuse_other_floor(holes, bench)
    cutters = choose_cutters(holes, bench)
    _refuse_beneath(holes, cutters, bench)
    targets = _targets(holes, bench)
    return tuple(_operations(holes, cutters, targets, bench))


def _operations(
    holes: Holes, cutters: HoleCutters, targets: tuple[Target, ...], bench: Bench
) -> Iterator[Operation]:
    """Yield the operations in order; the mouth before the reamer, which then leaves no burr."""
    if cutters.spot is not None:
        yield _spot(holes, cutters, cutters.spot, (targets, bench))
    for drill in cutters.drills:
        yield _drilled(holes, cutters, drill, (targets, bench))
    if holes.counterbore is not None:
        yield counterbore(holes, holes.counterbore, targets, bench)
    if cutters.countersink is not None:
        yield _countersunk(holes, cutters.countersink, targets, bench)
    if cutters.reamer is not None:
        yield _reamed(holes, cutters.reamer, targets, bench)
    tapped = tapped_in_step(holes, targets, bench)
    if tapped is not None:
        yield tapped


def _targets(holes: Holes, bench: Bench) -> tuple[Target, ...]:
    """Return where the holes are, in the order of making them."""
    places = in_order([place.at for place in holes.places], bench)
    return tuple(Target(x=x, y=y) for x, y in places)


def _refuse_other_floor(holes: Holes, bench: Bench) -> None:
    """Refuse holes in a floor whose depth is not the one that they were reckoned from."""
    floor = holes.floor
    pockets = [each for each in bench.setup.features if isinstance(each, Pocket)]
    for pocket in pockets:
        if floor is not None and pocket.name == floor.of and pocket.depth != floor.depth:
            raise Refusal(
                holes.where.at("in_floor_of"),
                f"the depth of {pocket.name!r} comes from a mate, so that of its holes is open",
                "give the pocket its depth and limits, or make the holes in a setup of their own",
            )


def _refuse_beneath(holes: Holes, cutters: HoleCutters, bench: Bench) -> None:
    """Refuse to drill into what lies beneath the blank."""
    if holes.depth is not None:
        return
    ends = {
        f"the point of the {drill.name}": drill_bottom(holes, bench, drill)
        for drill in cutters.drills
    }
    if cutters.reamer is not None:
        ends[f"the {cutters.reamer.name}"] = reamer_bottom(holes, bench, cutters.reamer)
    refuse_beneath(bench, ends, "hold the blank with {} or more under the holes")


def _row(targets: tuple[Target, ...]) -> str:
    return f"{len(targets)} holes" if len(targets) > 1 else "one hole"


def _spot(
    holes: Holes, cutters: HoleCutters, spot: Cutter, at: tuple[tuple[Target, ...], Bench]
) -> Operation:
    """Return the spotting of each hole, not more than half as deep as it is to be."""
    targets, bench = at
    across = spot_across(spot, cutters.drills[0], cutters.last)
    deepest = 0.5 * (bench.bottom if holes.depth is None else -holes.depth.middle)
    return spotted(bench, spot, targets, across, deepest)


def _drilled(
    holes: Holes, cutters: HoleCutters, drill: Cutter, at: tuple[tuple[Target, ...], Bench]
) -> Operation:
    """Return the drilling with one drill."""
    targets, bench = at
    last = drill is cutters.last
    return sunk(
        bench,
        Sink(
            purpose="drill" if last else "pilot",
            trade="drilling",
            cutter=drill,
            targets=targets,
            bottom=drill_bottom(holes, bench, drill, cutters.reamer),
            why=_why(holes, cutters, bench, _row(targets)) if last else f"pilots, {_row(targets)}",
            notes=(
                *(() if holes.tapping is None else no_tap(holes.tapping, bench)),
                *breaking_cautions(holes, bench),
            ),
        ),
    )


def _why(holes: Holes, cutters: HoleCutters, bench: Bench, row: str) -> str:
    """Return what the last drill makes, how deep, and what it leaves."""
    depth = (
        "through"
        if holes.depth is None
        else f"{bench.say(holes.depth.middle)} deep at full diameter, the point deeper"
    )
    if holes.floor is not None and holes.own_depth is not None:
        own = f"{bench.say(holes.own_depth.middle)} of it below the floor of {holes.floor.of}"
        depth = f"{depth}; {own}, which is milled after"
    elif holes.floor is not None:
        depth = f"{depth}, before the floor of {holes.floor.of} is milled"
    if holes.tapping is not None:
        return f"{row}, {depth}, {drill_words(holes.tapping, cutters.last)}"
    if cutters.reamer is not None:
        left = cutters.reamer.diameter - cutters.last.diameter
        return f"{row}; leaves {bench.say(left)} on diameter for the {cutters.reamer.name}"
    return f"{row}, {depth}"


def _countersunk(
    holes: Holes, cutter: Cutter, targets: tuple[Target, ...], bench: Bench
) -> Operation:
    """Return the countersinking of each hole."""
    wanted = holes.countersink
    assert wanted is not None
    return sunk(
        bench,
        Sink(
            purpose="countersink",
            trade="countersinking",
            cutter=cutter,
            targets=targets,
            bottom=countersink_bottom(wanted, cutter),
            why=f"to {bench.say(wanted.diameter.middle)} across in the {bench.upper}, "
            f"{wanted.angle_deg:g} degrees",
        ),
    )


def _reamed(holes: Holes, cutter: Cutter, targets: tuple[Target, ...], bench: Bench) -> Operation:
    """Return the reaming of each hole: through, or to the depth of the full diameter."""
    return sunk(
        bench,
        Sink(
            purpose="ream",
            feed_out=True,
            trade="reaming",
            cutter=cutter,
            targets=targets,
            bottom=reamer_bottom(holes, bench, cutter),
            why=f"to size by the reamer's own {bench.say(cutter.diameter)}, its lead beyond",
        ),
    )
