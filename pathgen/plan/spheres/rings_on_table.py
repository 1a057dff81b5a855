"""A dish or dome in level rings by hand, the work turned on a rotary table under the mill.

Each ring is a pair of readings and one whole turn. The last rings of a dish go from the rim
inwards, those of a dome from the top outwards: so the mill always goes deeper from ring to ring,
and both slides come to each reading the way that they always do. It goes across first, where the
surface still lies away from it, and then down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pathgen.input.where import Refusal
from pathgen.job.on_table import turned_radius
from pathgen.job.spheres import Sphere
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Term, TurnWork
from pathgen.moves.plan import Item
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cutting import Cutting, cutting
from pathgen.plan.heights import just_above
from pathgen.plan.holes.circling import edge_feed
from pathgen.plan.places import touch_place
from pathgen.plan.reaching import raised
from pathgen.plan.setting import depth_zero
from pathgen.plan.spheres.ring_work import ALLOWANCE, RoundEnded, Work, work_for
from pathgen.plan.table.setting import NO_LOCK, TURNED_UNDER_IT, once_round, rotary_of
from pathgen.reckon.sphere_rings import Ring
from pathgen.shop.rotary import RotaryTable

NAN = math.nan
OVER_THE_MIDDLE = How(makes="size", what="over the middle of the work")
ON_THE_AXIS = 1e-6  # mm off it: there the work turns under the mill without a feed


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTable:
    """A dish or dome on a rotary table; lengths in mm."""

    work: Work
    rotary: RotaryTable
    outwards: bool  # whether x goes from the axis outwards, from ring to ring

    @property
    def bench(self) -> Bench:
        """Return what is at hand."""
        return self.work.bench

    def x(self, off: float) -> float:
        """Return where x stands so far off the axis, so that it goes on the way it comes."""
        way = self.bench.side("x") * (1 if self.outwards else -1)
        return self.work.sphere.at[0] + way * off


def plan_rings_on_table(sphere: Sphere, bench: Bench, kind: RoundEnded) -> tuple[Operation, ...]:
    """Return the operations that cut a dish or dome about the table's axis.

    Args:
        sphere: what is wanted.
        bench: what is at hand.
        kind: of mill, "ball-nose" or "round-nose".

    Raises:
        Refusal: what cannot be done, and what would do it.
    """
    rotary = rotary_of(bench.setup, bench.machine)
    if turned_radius(bench.setup, sphere) is None:
        x, y = bench.setup.table.centre if bench.setup.table is not None else (0.0, 0.0)
        raise Refusal(
            sphere.where.at("at"),
            f"turn {sphere.name!r} about the axis of the {rotary.name}, which lies at x "
            f"{bench.say(x)} y {bench.say(y)}",
            "put it there, or say in hold.centre where its middle is",
        )
    work = work_for(sphere, bench, kind)
    rough = OnTable(work=work, rotary=rotary, outwards=work.dish)
    last = OnTable(work=work, rotary=rotary, outwards=not work.dish)
    return _roughed(rough), _finished(last)


def _notes(table: OnTable) -> tuple[str, ...]:
    return (TURNED_UNDER_IT, *(() if table.rotary.lock else (NO_LOCK,)))


def _roughed(table: OnTable) -> Operation:
    """Return the roughing in level steps, each cleared ring by ring."""
    bench, work = table.bench, table.work
    figures = cutting(bench.machine, work.cutter, bench.material, "slotting")
    levels = work.levels
    moves: list[Move] = []
    above = 0.0
    for number, z in enumerate(levels, start=1):
        label = f"step {number} of {len(levels)}"
        moves.extend(_level(table, figures, (above, z), label))
        above = z if work.dish else 0.0
    if not any(isinstance(move, TurnWork) for move in moves):  # so narrow that it only goes down
        figures = replace(figures, feed=figures.plunge)
    place = touch_place(bench.job, bench.setup, work.cutter.diameter)
    in_the_middle = place is None  # the face goes all round it, and is whole there as yet
    return Operation(
        purpose="rough",
        cutter=work.cutter,
        cutting=figures,
        why=f"{len(levels)} level steps, {bench.say(ALLOWANCE)} left all over: x sets the ring, "
        "the work is turned once round",
        moves=tuple(moves),
        depth_of_cut=abs(levels[0]),
        width_of_cut=work.rough_pitch,
        before=(Rapid(*work.sphere.at, NAN, OVER_THE_MIDDLE),) if in_the_middle else (),
        zeroed=_zeroed_in_the_middle(table) if in_the_middle else (),
        notes=_notes(table),
    )


def _zeroed_in_the_middle(table: OnTable) -> tuple[Item, ...]:
    """Return how a mill's depth zero is found where the axis goes through the face."""
    bench = table.bench
    return (
        *raised(bench.machine, bench.hand),
        depth_zero(bench.setup, table.work.cutter.name, table.work.sphere.at),
        Rapid(NAN, NAN, bench.clear, How(what="clear of the work")),
    )


def _level(
    table: OnTable, figures: Cutting, heights: tuple[float, float], label: str
) -> Iterator[Move]:
    """Yield one step: down at its first ring, then ring by ring, and up."""
    above, z = heights
    work, bench = table.work, table.bench
    y = work.sphere.at[1]
    radii = work.level_radii(z)
    x = table.x(radii[0])
    yield Rapid(x, y, bench.clear, How(makes="size", what=f"{label}: over its first ring"))
    if above < 0:
        yield Rapid(x, y, just_above(bench.machine, above))
    yield Feed(x, y, z, figures.plunge, How(makes="size", what=f"{label}: down"))
    for number, radius in enumerate(radii, start=1):
        ring = f"{label}, ring {number} of {len(radii)}"
        off = (Term("off it", table.x(radius) - work.sphere.at[0]),)
        if number > 1:
            yield Feed(table.x(radius), y, z, figures.feed, _across(table, ring, off))
        if radius > ON_THE_AXIS:
            yield once_round(work.sphere, table.rotary, _rate(table, figures, radius), ring)
    yield Rapid(table.x(radii[-1]), y, bench.clear)


def _across(table: OnTable, what: str, off: tuple[Term, ...]) -> How:
    """Return what a reading of x is for, and the sum that gives it."""
    axis = Term("axis of the rotary table", table.work.sphere.at[0])
    return How(makes="size", what=what, sums=(("x", (axis, *off)),))


def _rate(table: OnTable, figures: Cutting, radius: float) -> float:
    """Return how fast the cutter would have the work turned at a ring, degrees a minute."""
    if radius <= ON_THE_AXIS:
        return table.rotary.most_rate
    dish = table.work.dish
    feed = edge_feed(figures, table.work.cutter, radius) if dish else figures.feed
    return math.degrees(feed / radius)


def _finished(table: OnTable) -> Operation:
    """Return the last rings, each deeper than the one before."""
    bench, work = table.bench, table.work
    figures = cutting(bench.machine, work.cutter, bench.material, "end milling finish")
    rings = work.rings[::-1] if work.dish else work.rings
    y = work.sphere.at[1]
    first = table.x(rings[0][0])
    above = just_above(bench.machine, rings[0][1] + ALLOWANCE)
    over = How(makes="size", what="over the first ring")
    moves: list[Move] = [Rapid(first, y, bench.clear, over)]
    if above < bench.clear:
        moves.append(Rapid(first, y, above))
    moves.extend(_pairs_and_turns(table, figures, rings))
    moves.append(Rapid(table.x(rings[-1][0]), y, bench.clear))
    order = "from the rim inwards" if work.dish else "from the top outwards"
    return Operation(
        purpose="finish",
        cutter=work.cutter,
        cutting=figures,
        why=f"{len(rings)} rings {order}, {bench.say(round(work.pitch, 3))} apart for a cusp of "
        f"{bench.say(work.cusp)}; each a pair of readings and one whole turn of the work",
        moves=tuple(moves),
        width_of_cut=work.pitch,
        notes=_notes(table),
    )


def _pairs_and_turns(table: OnTable, figures: Cutting, rings: tuple[Ring, ...]) -> Iterator[Move]:
    """Yield each ring: across at the height of the one before, down, and once round."""
    sphere = table.work.sphere
    y, height = sphere.at[1], rings[0][1]
    for number, ring in enumerate(rings, start=1):
        label, x = f"ring {number} of {len(rings)}", table.x(ring[0])
        if number > 1:
            yield Feed(x, y, height, figures.feed, _place(table, ring, label))
        height = ring[1]
        down = How(makes="size", what=f"{label}: then down", sums=_height(table.work, ring))
        yield Feed(x, y, height, figures.feed, down)
        touch = _touch(table.work, ring, rim=table.work.dish and number == 1)
        rate = _rate(table, figures, ring[0])
        yield once_round(sphere, table.rotary, rate, f"{label}: {touch}")


def _place(table: OnTable, ring: Ring, label: str) -> How:
    """Return what a ring's reading of x is for: across first, then down."""
    off = Term("off it", table.x(ring[0]) - table.work.sphere.at[0])
    return _across(table, f"{label}: across first", (off,))


def _height(work: Work, ring: Ring) -> tuple[tuple[Axis, tuple[Term, ...]], ...]:
    """Return the sum that gives a ring's reading of z."""
    say, corner = work.bench.say, work.end.corner
    middle = ring[1] + corner - work.centre
    lean = math.degrees(math.acos(min(abs(middle) / work.path, 1.0)))
    terms = (
        Term("middle of the sphere", work.centre),
        Term(f"{say(work.path)} x cos {lean:.2f} degrees", middle),
        Term("radius of the round end", -corner),
    )
    return (("z", terms),)


def _touch(work: Work, ring: Ring, *, rim: bool) -> str:
    """Return where a ring touches the surface, in words; at the rim, the chord after it."""
    say = work.bench.say
    off, deep = work.place(ring)
    if rim:
        return f"the chord is {say(round(2 * off, 2))} after it"
    if off < ON_THE_AXIS:
        return f"in the middle, {say(round(deep, 3))} deep"
    return f"it touches {say(round(2 * off, 2))} across, {say(round(deep, 3))} below the face"
