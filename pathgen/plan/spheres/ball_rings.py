"""Dishes and domes by a round-ended mill on a machine that goes along arcs: steps, then rings."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.job.spheres import Sphere
from pathgen.moves.moves import Arc, Feed, How, Move, Rapid
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cutting import Cutting, cutting
from pathgen.plan.heights import ABOVE_CHIPS
from pathgen.plan.spheres.ring_work import ALLOWANCE, RoundEnded, Work, work_for
from pathgen.plan.spheres.spiral import finished_along_a_spiral
from pathgen.reckon.sphere_rings import Ring

SHALLOW = 1e-6  # mm: a ring with less radius is a place


def plan_ball_rings(sphere: Sphere, bench: Bench, kind: RoundEnded) -> tuple[Operation, ...]:
    """Return the operations that cut a dish or dome in rings, or at last along a spiral.

    Args:
        sphere: what is wanted.
        bench: what is at hand.
        kind: of mill, "ball-nose" or "round-nose".

    Raises:
        Refusal: the crib has no mill that does; says what would.
    """
    work = work_for(sphere, bench, kind)
    along_a_spiral = sphere.ways.way == "spiral"
    return (_roughed(work), finished_along_a_spiral(work) if along_a_spiral else _finished(work))


def _roughed(work: Work) -> Operation:
    """Return the roughing in level steps, each cleared in rings."""
    bench, cutter = work.bench, work.cutter
    figures = cutting(bench.machine, cutter, bench.material, "slotting")
    moves: list[Move] = []
    levels = work.levels
    for number, z in enumerate(levels, start=1):
        moves.extend(_level(work, z, (figures, f"step {number} of {len(levels)}")))
    return Operation(
        purpose="rough",
        cutter=cutter,
        cutting=figures,
        why=f"{len(levels)} level steps, {bench.say(ALLOWANCE)} left all over",
        moves=tuple(moves),
        depth_of_cut=abs(levels[0]),
        width_of_cut=work.rough_pitch,
    )


def _level(work: Work, z: float, told: tuple[Cutting, str]) -> Iterator[Move]:
    """Yield one step: down at its first ring, then ring by ring."""
    figures, label = told
    radii = work.level_radii(z)
    x, y = work.sphere.at
    yield Rapid(x + radii[0], y, work.bench.clear, How(what=f"{label}: over its first ring"))
    above = min(work.bench.clear, z + ABOVE_CHIPS + work.step)
    yield Rapid(x + radii[0], y, max(above, ABOVE_CHIPS))
    yield Feed(x + radii[0], y, z, figures.plunge, How(what=f"{label}: down"))
    for radius in radii:
        yield from _ring(work, (radius, z), figures.feed, label)
    yield Rapid(x + radii[-1], y, work.bench.clear)


def _ring(work: Work, ring: Ring, feed: float, label: str) -> Iterator[Move]:
    """Yield the way to a ring, by the radius and the tip's height, and once round it.

    Against the cutter's turn: clockwise within a dish, anticlockwise round a dome.
    """
    radius, z = ring
    x, y = work.sphere.at
    how = How(makes="size", what=label)
    yield Feed(x + radius, y, z, feed, how)
    if radius > SHALLOW:
        yield Arc(x + radius, y, z, x, y, clockwise=work.dish, feed=feed, how=how)


def _finished(work: Work) -> Operation:
    """Return the finishing, ring by ring from the axis outwards, a cusp apart."""
    bench = work.bench
    figures = cutting(bench.machine, work.cutter, bench.material, "end milling finish")
    rings = work.rings
    x, y = work.sphere.at
    begins = rings[0][0]
    moves: list[Move] = [
        Rapid(x + begins, y, bench.clear, How(what="over the axis")),
        Rapid(x + begins, y, min(bench.clear, rings[0][1] + ABOVE_CHIPS + ALLOWANCE)),
    ]
    before = rings[0]
    for number, ring in enumerate(rings, start=1):
        label = f"ring {number} of {len(rings)}"
        if not work.dish and ring is not before:  # outwards first, clear of the dome
            moves.append(Feed(x + ring[0], y, before[1], figures.feed))
        moves.extend(_ring(work, ring, figures.feed, label))
        before = ring
    moves.append(Rapid(x + rings[-1][0], y, bench.clear))
    end = "the ball" if work.end.flat == 0 else "the cutter"
    return Operation(
        purpose="finish",
        cutter=work.cutter,
        cutting=figures,
        why=f"{len(rings)} rings {bench.say(work.pitch)} apart for a cusp of "
        f"{bench.say(work.cusp)}; z is that of the tip of {end}",
        moves=tuple(moves),
        width_of_cut=work.pitch,
    )
