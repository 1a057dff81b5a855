"""Planning the facing of a whole top: parallel passes, each the same way against the cutter."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from pathgen.input.where import Refusal
from pathgen.job.areas import Facing
from pathgen.moves.actions import Measure
from pathgen.moves.moves import Feed, How, Move, Rapid
from pathgen.plan import cautions
from pathgen.plan.areas.measures import BAND, TOO_NEAR
from pathgen.plan.areas.region import BEYOND
from pathgen.plan.areas.strips import LARGEST
from pathgen.plan.bench import Bench, Operation, even_depths
from pathgen.plan.cutting import Cutting, cutting, slot_depth
from pathgen.plan.heights import just_above
from pathgen.plan.slots.paths import widening_offsets
from pathgen.shop.cutters import MILLS, Cutter

LAST_CUT = 0.25  # mm that stay for it where the thickness has limits of its own
FACE_SHARE = 0.7  # of the diameter between two passes over a face


def plan_facing(facing: Facing, bench: Bench) -> tuple[Operation, ...]:
    """Return the passes that take the whole top face down to a thickness.

    Raises:
        Refusal: something stands above the floor, or there is no mill.
    """
    floor = -facing.off
    high = [each for each in bench.setup.hold.keepouts if each.high[2] > floor]
    if high:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"{high[0].name} stands above the face that is to be cut",
            f"hold the blank so that all is below {bench.say(-floor)} under its top",
        )
    named = facing.ways.finish or facing.ways.rough
    cutter = (
        bench.named(named, MILLS, facing.where.at("ways"))
        if named
        else bench.largest(MILLS, LARGEST)
    )
    if cutter is None:
        raise Refusal(facing.where, "the crib has no mill", "put an end mill into it")
    figures = cutting(bench.machine, cutter, bench.material, "end milling rough")
    most = facing.at_most or slot_depth(bench.machine, cutter, bench.material)
    if not facing.thickness.own or facing.off <= 2 * LAST_CUT:
        return (_cuts(bench, cutter, figures, even_depths(0.0, floor, most)),)
    to_last = floor + LAST_CUT
    rough = _cuts(bench, cutter, figures, even_depths(0.0, to_last, most))
    last = _cuts(bench, cutter, figures, (floor,), start=to_last)
    return (
        replace(rough, purpose="rough"),
        # A heading's depth counts from the top face; this cut begins where the others ended.
        replace(last, before=(_measure(facing, bench),), depth_of_cut=0.0),
    )


def _cuts(
    bench: Bench, cutter: Cutter, figures: Cutting, depths: tuple[float, ...], start: float = 0.0
) -> Operation:
    """Return cuts over the whole top, from where it was cut down to already, z."""
    count = "cut" if len(depths) == 1 else "equal cuts"
    return Operation(
        purpose="finish",
        cutter=cutter,
        cutting=figures,
        why=f"the whole top, {bench.say(start - depths[-1])} off in {len(depths)} {count}",
        moves=tuple(_face_passes(bench, cutter, figures, (start, *depths))),
        depth_of_cut=start - depths[0],
        width_of_cut=FACE_SHARE * cutter.diameter,
        notes=(cautions.CONVENTIONAL,),
    )


def _measure(facing: Facing, bench: Bench) -> Measure:
    """Return the measuring of the thickness before the last cut."""
    expected = facing.thickness.middle + LAST_CUT
    hand = bench.machine.manual
    return Measure(
        name="M1",
        what=f"thickness of {facing.name}, at both ends",
        expected=expected,
        low=max(expected - BAND, facing.thickness.middle + TOO_NEAR),
        high=expected + BAND,
        advice="if it is off by more than the limits allow, the blank was not as thick as told: "
        + (
            "set the dial of the depth anew, by so much, before the last cut"
            if hand
            else "put the real one into the job, and make the program again"
        ),
    )


def _face_passes(
    bench: Bench, cutter: Cutter, figures: Cutting, depths: tuple[float, ...]
) -> Iterator[Move]:
    """Yield the passes over a face along its longer side, each so far from the one before.

    By hand all go the same way, the metal still to be cut on the left: against the cutter's turn.

    Args:
        bench: the machine it is cut on.
        cutter: what cuts.
        figures: its speed and feeds.
        depths: where the face is, then that of each cut, z falling; mm.
    """
    (x0, y0, _), (x1, y1, _) = bench.job.blank_box(bench.setup)
    along_x = x1 - x0 >= y1 - y0
    first, last = (x0, x1) if along_x else (y0, y1)
    near, far = (y0, y1) if along_x else (x0, x1)
    reach = cutter.radius + BEYOND
    start, end = first - reach, last + reach
    places = _lines(near, far, cutter)
    if not along_x:  # going plus along y, what lies to the left is at minus x
        places = tuple(near + far - place for place in places)
    for number, (above, z) in enumerate(pairwise(depths), start=1):
        yield from _one_face(
            bench, (start, end, along_x), places, (above, z, number, len(depths) - 1), figures
        )


def _lines(near: float, far: float, cutter: Cutter) -> tuple[float, ...]:
    """Return where the passes lie across, from the near edge on; mm."""
    step = FACE_SHARE * cutter.diameter
    first = near - cutter.radius + step
    last = far - cutter.radius + min(BEYOND, cutter.radius / 2)
    if last <= first:
        return ((near + far) / 2,)
    return (first, *widening_offsets(first, last, step))


def _one_face(
    bench: Bench,
    run: tuple[float, float, bool],
    places: tuple[float, ...],
    depth: tuple[float, float, int, int],
    figures: Cutting,
) -> Iterator[Move]:
    """Yield the passes over the face at one depth."""
    start, end, along_x = run
    above, z, number, count = depth

    def point(along: float, across: float) -> tuple[float, float]:
        return (along, across) if along_x else (across, along)

    for row, place in enumerate(places, start=1):
        what = f"cut {number} of {count}, pass {row} of {len(places)}"
        yield Rapid(*point(start, place), bench.clear, How(makes="size", what=f"{what}: start"))
        yield Rapid(*point(start, place), min(just_above(bench.machine, above), bench.clear))
        down = How(makes="size", what=f"{what}: down, outside the work")
        yield Feed(*point(start, place), z, figures.plunge, down)
        yield Feed(*point(end, place), z, figures.feed, How(makes="air", what=f"{what}: along"))
        yield Rapid(*point(end, place), bench.clear)
