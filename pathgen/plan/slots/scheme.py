"""How a slot is to be cut: which cutters, how much is left for which, what is refused."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.input.where import Refusal
from pathgen.job.slot import HolesWanted, Slot
from pathgen.plan.bench import Bench
from pathgen.plan.heights import FLUTES_ABOVE, OVERCUT, reaches
from pathgen.plan.slots.reaming import end_reamer
from pathgen.plan.words import span
from pathgen.reckon.chains import usual_allowance
from pathgen.shop.cutters import MILLS, Cutter

Method: TypeAlias = Literal["arcs", "full width", "walls"]

FINISH_ALLOWANCE = 0.25  # mm a side that roughing leaves (practice: 0.2 to 0.5)
SHARE_DRILL = 0.08  # of the width, in narrow slots
SHARE_FINISH = 0.04
MOST_LEFT_FULL_WIDTH = 0.5  # mm a side that a full-width finishing cutter may find
LEAST_LOOP = 0.5  # mm off the centre line: on tighter arcs the slides of a small machine stall
BLIND_HOLE_ABOVE = 0.3  # mm between the points of a chain's drills and a floor


@dataclass(frozen=True, slots=True, kw_only=True)
class Scheme:
    """The choices made for a slot before any move is worked out; lengths in mm."""

    slot: Slot
    method: Method
    finish: Cutter
    rough: Cutter | None  # None: the finishing cutter does it all
    reamer: Cutter | None  # for the round ends, where one handle at a time cannot make them
    holes: HolesWanted
    width: float  # aimed at
    low: float  # outermost places aimed at, along the slot
    high: float
    floor: float  # z of the last pass
    faces: tuple[str, str]  # what the blank's faces at the low and the high end are called
    drill_allowance: float
    finish_allowance: float

    @property
    def wall(self) -> float:
        """Return how far from the centre line a wall lies, mm."""
        return self.width / 2

    @property
    def round_ends(self) -> tuple[float, ...]:
        """Return the places of the closed ends' centres, along the slot, mm."""
        low = () if self.slot.open_low else (self.low + self.wall,)
        high = () if self.slot.open_high else (self.high - self.wall,)
        return low + high

    def centre_span(self, cutter: Cutter, left: float) -> tuple[float, float]:
        """Return how far a cutter's centre may go along the slot, leaving an allowance at the ends.

        At an open end it runs out past the face, by its radius and 2 mm.
        """
        inside = cutter.radius + left
        outside = cutter.radius + 2.0
        low = self.low - outside if self.slot.open_low else self.low + inside
        high = self.high + outside if self.slot.open_high else self.high - inside
        return low, high


def choose_scheme(slot: Slot, bench: Bench) -> Scheme:
    """Return how a slot is to be cut on a bench.

    Raises:
        Refusal: no cutter, machine or drill that could do it; says what would.
    """
    method, finish, width = _finish(slot, bench)
    allowance = slot.ways.allowance or min(FINISH_ALLOWANCE, SHARE_FINISH * slot.width.nominal)
    floor = bench.bottom - OVERCUT if slot.depth is None else -slot.depth.middle
    if slot.through and bench.setup.hold.beneath < OVERCUT:
        raise Refusal(
            bench.setup.where.at("hold.beneath"),
            f"cutting through with {bench.say(bench.setup.hold.beneath)} of air beneath",
            f"hold the blank with at least {bench.say(OVERCUT)} under the slot, and say so",
        )
    low, high = _aimed_ends(slot)
    scheme = Scheme(
        slot=slot,
        method=method,
        finish=finish,
        rough=_rough(slot, bench, finish, method, width - 2 * allowance),
        reamer=end_reamer(slot, bench) if method == "walls" else None,
        holes=slot.ways.holes or "all",
        width=width,
        low=low,
        high=high,
        floor=floor,
        faces=_faces_at_ends(slot, bench),
        drill_allowance=_drill_allowance(slot, allowance),
        finish_allowance=allowance,
    )
    _refuse_reach(scheme, bench)
    return scheme


def _faces_at_ends(slot: Slot, bench: Bench) -> tuple[str, str]:
    """Return what the blank's faces are called at which the slot may be open."""
    lie = bench.setup.lie
    low, high = lie.faces(0 if slot.along == "x" else 1)
    return lie.called(low), lie.called(high)


def _drill_allowance(slot: Slot, finish_allowance: float) -> float:
    """Return what the chain leaves a side, mm: never less than what is left for finishing."""
    if slot.ways.allowance is not None:
        return slot.ways.allowance
    return max(finish_allowance, min(usual_allowance(), SHARE_DRILL * slot.width.nominal))


def _aimed_ends(slot: Slot) -> tuple[float, float]:
    """Return the outermost places aimed at: the middle of the limits of length and place, mm."""
    if slot.open_low and slot.open_high:
        return slot.low_end, slot.high_end
    length = slot.length.middle
    if slot.open_low:
        return slot.low_end, slot.low_end + length
    if slot.open_high:
        return slot.high_end - length, slot.high_end
    return slot.middle.middle - length / 2, slot.middle.middle + length / 2


def _finish(slot: Slot, bench: Bench) -> tuple[Method, Cutter, float]:
    """Return the way to finish, the cutter and the width aimed at, mm."""
    if slot.ways.finish is not None:
        return _named_finish(slot, bench, slot.ways.finish)
    full = _full_width(slot, bench)
    loop = _smaller(slot, bench, slot.width.middle - 2 * LEAST_LOOP)
    if bench.machine.interpolates and loop is not None:
        return "arcs", loop, slot.width.middle
    if full is not None:
        return "full width", full, full.diameter
    walls = _walls_cutter(slot, bench)
    if walls is not None:
        return "walls", walls, slot.width.middle
    raise Refusal(
        slot.where.at("width"),
        f"no cutter finishes a slot {span(slot.width, bench.job.units)} wide on "
        f"{bench.machine.title}",
        _what_would(slot, bench),
    )


def _what_would(slot: Slot, bench: Bench) -> str:
    """Return what would make the slot possible, for a refusal."""
    wanted = span(slot.width, bench.job.units)
    flutes = f"with flutes of {bench.say(_depth(slot, bench) + FLUTES_ABOVE)} or more"
    if bench.machine.interpolates:
        return f"put into the crib a slot drill that measures {wanted}, or a smaller mill, {flutes}"
    full = f"put into the crib a slot drill that measures {wanted}, {flutes}"
    if slot.through:
        full += (
            ", or a reamer of that size for the round ends, the drill before it, both long enough "
            "to go through, and a smaller end mill"
        )
    return f"{full}; or use a machine that interpolates"


def _named_finish(slot: Slot, bench: Bench, name: str) -> tuple[Method, Cutter, float]:
    """Return the way to finish with the cutter that the job names."""
    where = slot.where.at("ways.finish")
    cutter = bench.named(name, MILLS, where)
    if slot.width.low <= cutter.diameter <= slot.width.high:
        return "full width", cutter, cutter.diameter
    if cutter.diameter > slot.width.high:
        raise Refusal(
            where,
            f"{cutter.name} measures {bench.say(cutter.diameter)}, the slot is at most "
            f"{bench.say(slot.width.high)} wide",
            "name a smaller cutter",
        )
    if bench.machine.interpolates and cutter.diameter <= slot.width.middle - 2 * LEAST_LOOP:
        return "arcs", cutter, slot.width.middle
    if not bench.machine.interpolates and _ends_can_be_made(slot, bench):
        return "walls", cutter, slot.width.middle
    raise Refusal(
        where, f"{cutter.name} alone cannot make the round ends", _what_would(slot, bench)
    )


def _reaches(slot: Slot, bench: Bench, cutter: Cutter) -> bool:
    """Return whether a mill's flutes reach the floor."""
    return reaches(cutter, -_depth(slot, bench))


def _depth(slot: Slot, bench: Bench) -> float:
    """Return how deep a mill goes, mm: through the blank and a little more, or to the floor."""
    return OVERCUT - bench.bottom if slot.depth is None else slot.depth.middle


def _enters(slot: Slot, cutter: Cutter) -> bool:
    """Return whether a mill can come down into the slot: by its centre, a hole, or from outside."""
    opened = slot.open_low or slot.open_high
    drilled = slot.through and slot.ways.holes != "none"
    return cutter.cuts_at_centre or opened or drilled


def _full_width(slot: Slot, bench: Bench) -> Cutter | None:
    """Return the mill of the slot's own width nearest to the middle of its limits."""
    fitting = [
        cutter
        for cutter in bench.of_kind(*MILLS)
        if slot.width.low <= cutter.diameter <= slot.width.high
        and _reaches(slot, bench, cutter)
        and _enters(slot, cutter)
    ]
    return min(
        fitting,
        key=lambda cutter: (not cutter.cuts_at_centre, abs(cutter.diameter - slot.width.middle)),
        default=None,
    )


def _smaller(slot: Slot, bench: Bench, most: float) -> Cutter | None:
    """Return the largest mill up to a diameter that reaches the floor and can come down."""
    return bench.largest(
        MILLS, most, lambda c: _reaches(slot, bench, c) and _enters(slot, c) and _covers(slot, c)
    )


def _covers(slot: Slot, cutter: Cutter) -> bool:
    """Return whether a loop along the walls leaves no ridge on a floor's centre line."""
    return slot.through or cutter.diameter > slot.width.high / 2


def _walls_cutter(slot: Slot, bench: Bench) -> Cutter | None:
    """Return the mill for going down each wall by hand, if the round ends can be made."""
    if not _ends_can_be_made(slot, bench):
        return None
    return _smaller(slot, bench, slot.width.middle - 2 * FINISH_ALLOWANCE)


def _ends_can_be_made(slot: Slot, bench: Bench) -> bool:
    """Return whether one handle at a time can make the ends: none round, or reamed."""
    return (slot.open_low and slot.open_high) or end_reamer(slot, bench) is not None


def _rough(slot: Slot, bench: Bench, finish: Cutter, method: Method, most: float) -> Cutter | None:
    """Return the roughing cutter: as named, else the largest inside the allowance."""
    named = slot.ways.rough
    if named == "none":
        return None
    if named is not None:
        where = slot.where.at("ways.rough")
        cutter = bench.named(named, MILLS, where)
        if cutter.diameter > most + 1e-9:
            raise Refusal(
                where,
                f"{cutter.name} measures {bench.say(cutter.diameter)}; with the allowance left on "
                f"each side it may be {bench.say(most)}",
                "name a smaller one, or a smaller allowance",
            )
        return cutter
    if method == "walls" or finish.diameter <= most:
        return finish  # the finding at the measure step then tells how wide this very cutter cuts
    return _smaller(slot, bench, most)


def _refuse_reach(scheme: Scheme, bench: Bench) -> None:
    """Refuse cutters that the job named but whose flutes do not reach, or that cannot enter."""
    for key, cutter in (("rough", scheme.rough), ("finish", scheme.finish)):
        if cutter is None:
            continue
        where = scheme.slot.where.at(f"ways.{key}")
        if not _reaches(scheme.slot, bench, cutter):
            raise Refusal(
                where,
                f"{cutter.name} has flutes of {bench.say(cutter.flute_length)}, the slot is "
                f"{bench.say(-scheme.floor)} deep",
                "name a cutter with longer flutes",
            )
        if not _enters(scheme.slot, cutter):
            raise Refusal(
                where,
                f"{cutter.name} does not cut at its centre and finds no hole to come down in",
                "name a slot drill, or have the chain of holes drilled",
            )
