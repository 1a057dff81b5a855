"""Counterbores: a mill put straight down, or led round where the machine interpolates."""

from __future__ import annotations

from pathgen.input.where import Refusal, Where
from pathgen.job.holes import Counterbore, Holes
from pathgen.moves.moves import Feed, How, Move, Rapid
from pathgen.plan import cautions
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cutting import cutting, side_depth, slot_depth
from pathgen.plan.heights import just_above, reaches
from pathgen.plan.holes.circling import LEAST_CIRCLE, once_round
from pathgen.plan.holes.drilling import Sink, Target, sunk
from pathgen.plan.words import span
from pathgen.shop.cutters import MILLS, Cutter

UNCUT_CENTRE = 0.5  # of the diameter: what an end mill without centre teeth leaves under it
DWELL_S = 1.0  # at the floor, a turn or more, so that it comes out flat (common practice)


def counterbore(
    holes: Holes, wanted: Counterbore, targets: tuple[Target, ...], bench: Bench
) -> Operation:
    """Return the operation that makes the counterbores.

    Raises:
        Refusal: no mill makes them on this machine; says what would.
    """
    mill = plunger(holes, wanted, bench)
    if mill is not None:
        return sunk(
            bench,
            Sink(
                purpose=wanted.word,
                trade="counterboring",
                cutter=mill,
                targets=targets,
                bottom=-wanted.depth.middle,
                why=f"flat floor, {bench.say(wanted.depth.middle)} deep, by the cutter's own "
                f"{bench.say(mill.diameter)}",
                peck=_peck(holes, wanted, mill, bench),
                dwell_s=DWELL_S,
                notes=(cautions.counterboring(bench.machine),),
            ),
        )
    led = _led_round(holes, wanted, bench)
    if led is None:
        raise Refusal(
            _where(holes, wanted),
            f"no cutter makes {wanted.word}s of {span(wanted.diameter, bench.job.units)} on "
            f"{bench.machine.title}",
            _what_would(wanted, bench),
        )
    return _circles(wanted, targets, bench, led)


def _peck(holes: Holes, wanted: Counterbore, mill: Cutter, bench: Bench) -> float:
    """Return how far a mill goes down before it draws up, mm; 0: all the way.

    Over a hole of half its diameter the chips fall through; over a smaller one it takes no more at
    a time than a cut may be deep.
    """
    if holes.bore.low >= UNCUT_CENTRE * mill.diameter:
        return 0.0
    most = slot_depth(bench.machine, mill, bench.material)
    return -even_depths(0.0, -wanted.depth.middle, most)[0]


def _where(holes: Holes, wanted: Counterbore) -> Where:
    """Return the place of what wants a counterbore."""
    if wanted.spotface:
        return holes.where.at("spotface.diameter")
    return holes.where.at("counterbore.diameter" if holes.screw is None else "head")


def _what_would(wanted: Counterbore, bench: Bench) -> str:
    """Return what would make a counterbore possible."""
    own = f"put into the crib a slot drill that measures {span(wanted.diameter, bench.job.units)}"
    if bench.machine.interpolates:
        return f"{own}, or a smaller one that leaves nothing standing in the middle"
    return f"{own}; or use a machine that interpolates"


def _comes_down(holes: Holes, cutter: Cutter) -> bool:
    """Return whether a mill can come down over the drilled hole."""
    return cutter.cuts_at_centre or holes.bore.low >= UNCUT_CENTRE * cutter.diameter


def plunger(holes: Holes, wanted: Counterbore, bench: Bench) -> Cutter | None:
    """Return the mill of the counterbore's own size, slot drills first; None for none."""
    fitting = [
        cutter
        for cutter in bench.of_kind(*MILLS)
        if wanted.diameter.low <= cutter.diameter <= wanted.diameter.high
        and reaches(cutter, -wanted.depth.middle)
        and _comes_down(holes, cutter)
    ]
    return min(
        fitting,
        key=lambda c: (not c.cuts_at_centre, abs(c.diameter - wanted.diameter.middle)),
        default=None,
    )


def _led_round(holes: Holes, wanted: Counterbore, bench: Bench) -> Cutter | None:
    """Return the largest mill to be led round, which leaves nothing standing in the middle."""
    if not bench.machine.interpolates:
        return None
    return bench.largest(
        MILLS,
        wanted.diameter.middle - 2 * LEAST_CIRCLE,
        lambda c: (
            reaches(c, -wanted.depth.middle)
            and _comes_down(holes, c)
            and wanted.diameter.high / 2 - c.diameter < max(c.radius, holes.bore.low / 2)
        ),
    )


def _circles(
    wanted: Counterbore, targets: tuple[Target, ...], bench: Bench, cutter: Cutter
) -> Operation:
    """Return the operation that leads a mill round in each counterbore, down pass by pass."""
    figures = cutting(bench.machine, cutter, bench.material, "end milling rough")
    offset = wanted.diameter.middle / 2 - cutter.radius
    most = min(
        side_depth(bench.machine, cutter, bench.material, offset),
        slot_depth(bench.machine, cutter, bench.material),
    )
    depths = even_depths(0.0, -wanted.depth.middle, most)
    moves: list[Move] = []
    for number, target in enumerate(targets, start=1):
        what = f"hole {number} of {len(targets)}" if len(targets) > 1 else "the hole"
        over = How(makes="size", what=f"over {what}", sums=target.sums)
        moves.append(Rapid(target.x, target.y, bench.clear, over))
        moves.append(Rapid(target.x, target.y, just_above(bench.machine, 0.0)))
        for z in depths:
            down = How(makes="size", what=f"{wanted.word} {what}")
            moves.append(Feed(target.x, target.y, z, figures.plunge, down))
            moves.extend(once_round(target, z, offset, (cutter, figures)))
        moves.append(Rapid(target.x, target.y, bench.clear))
    return Operation(
        purpose=wanted.word,
        cutter=cutter,
        cutting=figures,
        why=f"led round to {bench.say(wanted.diameter.middle)}, floor at "
        f"{bench.say(wanted.depth.middle)}",
        moves=tuple(moves),
        depth_of_cut=-depths[0],
        width_of_cut=cutter.diameter,
    )
