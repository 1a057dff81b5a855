"""At what height spindle and work stand to one another, so that the depth's slide reaches all."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from pathgen.input.where import Refusal
from pathgen.moves.actions import Note, SetHeight
from pathgen.moves.moves import Drill, Move, end_of
from pathgen.moves.plan import Item
from pathgen.plan.bench import Bench
from pathgen.plan.sharing import Planned
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import BY_EYE, Machine

IN_THE_CHUCK = ("drill", "spotting drill", "countersink", "reamer", "tap")
TOUCHES_AT = 5.0  # mm below the top edge that what touches a face has to reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Nose:
    """A height of the spindle's nose above z 0, the depth's slide right up; mm."""

    height: float
    within: float  # half width of what does as well
    group: int  # heights of one number are one setting of the head


def lowest_of(moves: Sequence[Move]) -> float:
    """Return the lowest place that moves go to, z; mm, at most 0.

    >>> lowest_of([Drill(0.0, 0.0, -8.0, 1.0, 60.0)])
    -8.0
    """
    places = [move.bottom if isinstance(move, Drill) else end_of(move)[2] for move in moves]
    return min([0.0, *(z for z in places if not math.isnan(z))])


def raised(machine: Machine, hand: float) -> tuple[Item, ...]:
    """Return the setting of a knee for what is in the spindle; nothing where there is none."""
    height = machine.height
    if height is None or height.swings:
        return ()
    return (SetHeight(by=height.name, above=hand + BY_EYE, of="end", within=BY_EYE),)


def noses(operations: Sequence[Planned], bench: Bench) -> tuple[Nose, ...]:
    """Return the height of the nose for each operation, changed as seldom as their order allows.

    A change of cutter needs another height where one is so much longer or shorter that the slide,
    over its whole travel, does not do for both. Empty for a machine without such a head.

    Raises:
        Refusal: even alone a cutter's work is too deep for the slide's travel.
    """
    height = bench.machine.height
    if height is None or not height.swings:
        return ()
    found: list[Nose] = []
    rows: list[tuple[int, float, float]] = []  # how many operations, and between which heights
    for name, run in groupby(operations, key=lambda each: each.operation.cutter.name):
        fit = list(run)
        low = lowest_of(
            [move for each in fit for move in each.operation.moves if isinstance(move, Move)]
        )
        least, most = _between(fit[0].operation.cutter, low, bench)
        if least > most:
            raise Refusal(
                bench.machine.where.at("slide"),
                f"go from {bench.say(bench.hand)} above the work to {bench.say(-low)} below with "
                f"the {name}: the travel is too short",
                "give less hand_room, or cut it in two setups",
            )
        if rows and max(rows[-1][1], least) <= min(rows[-1][2], most):
            count, before_least, before_most = rows[-1]
            rows[-1] = count + len(fit), max(before_least, least), min(before_most, most)
        else:
            rows.append((len(fit), least, most))
    for group, (count, least, most) in enumerate(rows):
        height_of_it = float(round((least + most) / 2))  # that a rule shows
        room = max(0, math.floor(min(height_of_it - least, most - height_of_it)))
        nose = Nose(height=height_of_it, within=room + BY_EYE, group=group)
        found.extend([nose] * count)
    return tuple(found)


def _between(cutter: Cutter, low: float, bench: Bench) -> tuple[float, float]:
    """Return the least and most height of the nose for a cutter's work, a rule's error off, mm."""
    reach = reach_of(cutter, bench.machine)
    return bench.hand + reach + BY_EYE, low + bench.machine.travel[2] + reach - BY_EYE


def reach_of(cutter: Cutter, machine: Machine) -> float:
    """Return how far a cutter's end stands below the spindle's nose, mm."""
    height = machine.height
    assert height is not None
    if cutter.holder is not None:
        return cutter.holder.length + cutter.stands_out
    holder = height.chuck if cutter.kind in IN_THE_CHUCK else height.collet
    return holder + cutter.stands_out


def head_set(nose: Nose, bench: Bench, tool: str) -> Iterator[Item]:
    """Yield the setting of the head, and how long what touches may then stand out."""
    height, travel = bench.machine.height, bench.machine.travel[2]
    assert height is not None
    yield SetHeight(
        by=height.name, above=nose.height, of="nose", within=nose.within, swings=height.swings
    )
    least = max(0.0, nose.height + nose.within - travel + TOUCHES_AT)
    yield _stands_out(f"the {tool}", (least, nose.height - nose.within - bench.clear), bench)


def cutter_stands(nose: Nose, cutter: Cutter, moves: Sequence[Move], bench: Bench) -> Item:
    """Return between what a cutter may stand out, so that the slide reaches its work."""
    low, travel = lowest_of(moves), bench.machine.travel[2]
    least = max(0.0, nose.height + BY_EYE - travel - low)
    return _stands_out(f"the {cutter.name}", (least, nose.height - BY_EYE - bench.hand), bench)


def _stands_out(what: str, span: tuple[float, float], bench: Bench) -> Note:
    least, most = span
    if least > most:
        raise Refusal(
            bench.machine.where.at("slide"),
            f"reach the work with {what} at one height of the head",
            "give less hand_room, or a crib with cutters of more even lengths",
        )
    return Note(
        text=f"Put {what} in so that its end stands between {bench.say(least)} and "
        f"{bench.say(most)} below the spindle's nose; one that cannot be is not for this sheet."
    )
