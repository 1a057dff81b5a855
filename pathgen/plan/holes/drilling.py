"""Putting a drill, a spot, a reamer down at places: what slots and holes share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pathgen.input.where import Refusal
from pathgen.moves.moves import Axis, Drill, How, Move, Rapid, Term
from pathgen.moves.plan import Purpose
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cutting import cutting
from pathgen.plan.heights import just_above
from pathgen.reckon.drilling import even_peck
from pathgen.shop.cutters import Cutter

BREAKTHROUGH = 1.0  # mm that a drill's full diameter goes below the underside
SPOT_SHARE = 0.5  # of the drill: what the spot measures across (common practice, no source)
CYCLE_CLEAR = 1.0  # mm above the top face from which a control feeds
WORTH_A_LINE_MIN = 0.25  # minutes of feeding through air that a line more saves (a guess)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where a cutter is put down, and how the sum of its place goes; mm."""

    x: float
    y: float
    sums: tuple[tuple[Axis, tuple[Term, ...]], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sink:
    """One cutter put down at some places; ``trade`` names the operation in the figures.

    ``peck`` is the depth of one peck, mm; 0 for none. ``across`` is the diameter that is cut, where
    it is not the cutter's own; ``width`` that of the cut, a side, where there was a hole before.
    """

    purpose: Purpose
    trade: str
    cutter: Cutter
    targets: tuple[Target, ...]
    bottom: float
    why: str
    peck: float = 0.0
    dwell_s: float = 0.0
    feed_out: bool = False
    across: float | None = None
    width: float = 0.0
    notes: tuple[str, ...] = ()


def through_bottom(bench: Bench, drill: Cutter) -> float:
    """Return the z of a drill's or a reamer's end when its full diameter is through, mm."""
    return bench.bottom - BREAKTHROUGH - drill.point_length


def refuse_beneath(bench: Bench, ends: Mapping[str, float], instead: str) -> None:
    """Refuse to drill or ream into what lies beneath the blank.

    Args:
        bench: what there is.
        ends: z of the lowest point of each cutter, mm, by what the refusal calls it.
        instead: what would do it, with a place for how much air it takes.

    Raises:
        Refusal: one of them comes out of the underside by more than the air there.
    """
    what = min(ends, key=lambda each: ends[each])
    below = bench.bottom - ends[what]
    if below > bench.setup.hold.beneath:
        raise Refusal(
            bench.setup.where.at("hold.beneath"),
            f"{what} comes {bench.say(below)} out of the underside, with "
            f"{bench.say(bench.setup.hold.beneath)} of air there",
            instead.format(bench.say(below)),
        )


def spot_across(spot: Cutter, leader: Cutter, drill: Cutter) -> float:
    """Return how wide a spot is, mm: as the first drill at least, less than the hole."""
    across = max(SPOT_SHARE * drill.diameter, leader.diameter)
    return min(across, 0.9 * spot.diameter, 0.8 * drill.diameter)


def spotting_drill(bench: Bench) -> Cutter | None:
    """Return the crib's largest spotting drill, None when it has none."""
    return next(iter(reversed(bench.of_kind("spotting drill"))), None)


def spotted(
    bench: Bench, spot: Cutter, targets: tuple[Target, ...], across: float, deepest: float
) -> Operation:
    """Return the spotting of some places, so wide across but not below ``deepest``, mm."""
    return sunk(
        bench,
        Sink(
            purpose="spot",
            trade="spotting",
            cutter=spot,
            targets=targets,
            bottom=max(-across / 2 / spot.spread, deepest),
            why=f"so that the drills start where they should; {bench.say(across)} across",
        ),
    )


def _fed_from(bench: Bench, feed: float) -> float:
    """Return the z from which a hole is fed, mm.

    By hand that is the clear plane, unless the air below it would take long at a feed in mm/min:
    then it is gone through fast, a line more on the sheet.
    """
    if not bench.machine.manual:
        return min(CYCLE_CLEAR, bench.clear)
    near = just_above(bench.machine, 0.0)
    return near if (bench.clear - near) / feed > WORTH_A_LINE_MIN else bench.clear


def sunk(bench: Bench, sink: Sink) -> Operation:
    """Return the operation that puts a cutter down at each place."""
    across = replace(sink.cutter, diameter=sink.across or sink.cutter.diameter)
    figures = cutting(bench.machine, across, bench.material, sink.trade)
    drilled = even_peck(-sink.bottom, sink.cutter.diameter) if sink.trade == "drilling" else None
    clear = _fed_from(bench, figures.feed)
    moves: list[Move] = []
    for number, target in enumerate(sink.targets, start=1):
        what = f"hole {number} of {len(sink.targets)}" if len(sink.targets) > 1 else "the hole"
        over = How(makes="size", what=f"over {what}", sums=target.sums)
        moves.append(Rapid(target.x, target.y, bench.clear, over))
        moves.append(
            Drill(
                target.x,
                target.y,
                sink.bottom,
                clear,
                figures.feed,
                peck=drilled or sink.peck,
                dwell_s=sink.dwell_s,
                feed_out=sink.feed_out,
                back_to=bench.clear,
                how=How(makes="size", what=f"{sink.purpose} {what}"),
            )
        )
    return Operation(
        purpose=sink.purpose,
        cutter=sink.cutter,
        cutting=figures,
        why=sink.why,
        moves=tuple(moves),
        depth_of_cut=-sink.bottom,
        width_of_cut=sink.width,
        notes=sink.notes,
    )
