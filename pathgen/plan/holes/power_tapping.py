"""Tapping by the spindle, where the machine's control keeps the slide in step with it."""

from __future__ import annotations

from pathgen.job.holes import Holes, Tapping
from pathgen.moves.moves import Drill, How, Move, Rapid
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cutting import Cutting, tapping
from pathgen.plan.holes.drilling import Target
from pathgen.plan.holes.tapping import in_the_way
from pathgen.shop.cutters import Cutter

RUN_IN = 3.0  # leads above the work from which the slide goes in step (common practice, no source)
RUN_ON = 1.0  # turns that the spindle may go on as it turns back (common practice, no source)


def spindle_tap(holes: Holes, bench: Bench) -> Cutter | None:
    """Return the tap that the spindle drives in holes, None where they are tapped by hand.

    By hand: where the machine does not keep step, the crib has no such tap, the thread is left
    hand, the machine turns too fast, the tap's end would meet the bottom or what lies beneath, or
    the floor that the holes begin in is milled only after them.
    """
    control, wanted = bench.machine.control, holes.tapping
    if control is None or control.tapping == "none" or wanted is None or wanted.thread.left_hand:
        return None
    if holes.floor is not None:
        return None
    for tap in bench.of_kind("tap"):
        named = tap.thread is not None and tap.thread.designation == wanted.thread.designation
        if named and _reaches(holes, wanted, tap, bench) and _figures(tap, bench) is not None:
            return tap
    return None


def _figures(tap: Cutter, bench: Bench) -> Cutting | None:
    return tapping(bench.machine, tap, bench.material)


def tap_bottom(wanted: Tapping, tap: Cutter, bench: Bench) -> float:
    """Return the z of a tap's end when its full thread is as deep as wanted, or through; mm."""
    return (bench.bottom if wanted.depth is None else -wanted.depth) - tap.lead


def _reaches(holes: Holes, wanted: Tapping, tap: Cutter, bench: Bench) -> bool:
    """Return whether a tap goes deep enough and meets nothing."""
    lowest = tap_bottom(wanted, tap, bench) - RUN_ON * wanted.thread.lead
    if tap.flute_length < -lowest:
        return False
    if holes.depth is not None:
        return -lowest <= holes.depth.middle
    below = bench.bottom - lowest
    free = in_the_way(holes, wanted, bench, below) is None
    return free and below <= bench.setup.hold.beneath


def tapped_in_step(holes: Holes, targets: tuple[Target, ...], bench: Bench) -> Operation | None:
    """Return the operation that taps holes by the spindle, None where they are tapped by hand."""
    tap, wanted = spindle_tap(holes, bench), holes.tapping
    figures = None if tap is None else _figures(tap, bench)
    if tap is None or wanted is None or figures is None:
        return None
    bottom, lead = tap_bottom(wanted, tap, bench), wanted.thread.lead
    clear = min(RUN_IN * lead, bench.clear)
    moves: list[Move] = []
    for number, target in enumerate(targets, start=1):
        what = f"hole {number} of {len(targets)}" if len(targets) > 1 else "the hole"
        over = How(makes="size", what=f"over {what}", sums=target.sums)
        moves.append(Rapid(target.x, target.y, bench.clear, over))
        moves.append(
            Drill(
                target.x,
                target.y,
                bottom,
                clear,
                figures.feed,
                feed_out=True,
                back_to=bench.clear,
                lead=lead,
                how=How(makes="size", what=f"tap {what}"),
            )
        )
    depth = "through" if wanted.depth is None else f"{bench.say(wanted.depth)} of full thread"
    return Operation(
        purpose="tap",
        cutter=tap,
        cutting=figures,
        why=f"{wanted.thread.designation}, {depth}, the tap's lead beyond",
        moves=tuple(moves),
        depth_of_cut=-bottom,
    )
