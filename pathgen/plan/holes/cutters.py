"""Which cutters make a hole: the drills in their order, a reamer, what makes the mouth."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.holes import Countersink, Holes, Tapping
from pathgen.plan.bench import Bench
from pathgen.plan.heights import reaches
from pathgen.plan.holes.drill_choice import as_drills, drills_of, nearest_drill
from pathgen.plan.holes.drilling import spotting_drill, through_bottom
from pathgen.plan.words import span
from pathgen.reckon.drilling import drilling_sequence, opening_steps
from pathgen.reckon.oversize import drilled_oversize
from pathgen.reckon.tapping import engagement, tapping_drills
from pathgen.shop.cutters import Cutter

CHIPS = 0.5  # mm that the drill goes on below the reamer in a blind hole (common practice)
LEFT_BENEATH = 0.5  # mm of metal that stays under the point of a blind hole's drill
SAME_ANGLE = 0.5  # degrees that a countersink's angle may be off


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleCutters:
    """The cutters of a hole, drills in the order of drilling; the last one sets the bore."""

    spot: Cutter | None
    drills: tuple[Cutter, ...]
    reamer: Cutter | None
    countersink: Cutter | None

    @property
    def last(self) -> Cutter:
        """Return the last drill."""
        return self.drills[-1]


def choose_cutters(holes: Holes, bench: Bench) -> HoleCutters:
    """Return the cutters of a hole; the counterbore's are chosen with its path.

    Raises:
        Refusal: the crib has none that would do; says what would.
    """
    reamer = _reamer(holes, bench)
    final = _final_drill(holes, bench) if reamer is None else None
    try:
        drills = _drills(holes, bench, final, reamer)
    except ValueError as error:
        raise Refusal(
            holes.where.at(_key(holes)),
            f"no drills of the crib lead to this hole: {error}",
            "put the drill that is named into the crib",
        ) from None
    return HoleCutters(
        spot=spotting_drill(bench),
        drills=drills,
        reamer=reamer,
        countersink=None if holes.countersink is None else _countersink(holes, bench),
    )


def _drills(
    holes: Holes, bench: Bench, final: Cutter | None, reamer: Cutter | None
) -> tuple[Cutter, ...]:
    """Return the drills in order: pilot, between, last."""
    fitting = [c for c in bench.of_kind("drill") if _reaches(holes, bench, c, reamer)]
    if reamer is not None:
        size = reamer.nominal
        return drills_of(bench, fitting, lambda d: drilling_sequence(size, drills=d, method="ream"))
    if final is None:
        raise AssertionError("a hole without a last drill")
    (last,) = as_drills([final])
    pilots = drills_of(bench, fitting, lambda held: opening_steps(last, held))
    return (*pilots, final)


# ---------------------------------------------------------------- how deep


def drill_bottom(holes: Holes, bench: Bench, drill: Cutter, reamer: Cutter | None = None) -> float:
    """Return the z of a drill's point at the bottom of a hole, mm; deeper below a reamer."""
    if holes.depth is None:
        return through_bottom(bench, drill)
    beyond = 0.0 if reamer is None else reamer.point_length + CHIPS
    return -(holes.depth.middle + beyond + drill.point_length)


def reamer_bottom(holes: Holes, bench: Bench, reamer: Cutter) -> float:
    """Return the z of a reamer's end, mm: its lead, which does not cut to size, goes beyond."""
    if holes.depth is None:
        return through_bottom(bench, reamer)
    return -(holes.depth.middle + reamer.point_length)


def _reaches(holes: Holes, bench: Bench, drill: Cutter, reamer: Cutter | None = None) -> bool:
    """Return whether a drill's flutes are long enough, and a blind hole's point stays inside."""
    bottom = drill_bottom(holes, bench, drill, reamer)
    inside = holes.depth is None or bottom >= bench.bottom + LEFT_BENEATH
    return inside and reaches(drill, bottom)


# ---------------------------------------------------------------- the bore


def _reamer(holes: Holes, bench: Bench) -> Cutter | None:
    """Return the reamer, None where the drill makes the size.

    Raises:
        Refusal: the hole is to be reamed, or too close for a drill, and there is no reamer.
    """
    if holes.finish in ("drilled", "tapped"):
        return None
    if holes.finish is None and _drill_for(holes, bench, with_room=True) is not None:
        return None
    depth = -bench.bottom if holes.depth is None else holes.depth.middle
    fitting = [
        cutter
        for cutter in bench.of_kind("reamer")
        if holes.bore.low <= cutter.diameter <= holes.bore.high
        and reaches(cutter, reamer_bottom(holes, bench, cutter))
        and (holes.depth is None or cutter.point_length + CHIPS <= holes.lead)
    ]
    if fitting:
        return min(fitting, key=lambda cutter: abs(cutter.diameter - holes.bore.middle))
    wanted = span(holes.bore, bench.job.units)
    raise Refusal(
        holes.where.at(_key(holes)),
        f"nothing in the crib makes holes of {wanted}: no reamer of that size long enough for "
        f"{bench.say(depth)} of depth"
        + ("" if holes.finish == "reamed" else ", no drill that does not cut too large for it"),
        f"put a reamer of {wanted} into the crib"
        + ("" if holes.finish == "reamed" else ', a fitting drill, or say finish = "drilled"'),
    )


def _final_drill(holes: Holes, bench: Bench) -> Cutter:
    """Return the drill that makes the bore.

    Raises:
        Refusal: the crib has none; says which would do.
    """
    found = _drill_for(holes, bench, with_room=True) or _drill_for(holes, bench, with_room=False)
    if found is not None:
        return found
    wanted = span(holes.bore, bench.job.units)
    depth = bench.say(-bench.bottom if holes.depth is None else holes.depth.middle)
    raise Refusal(
        holes.where.at(_key(holes)),
        f"no drill of {wanted} in the crib reaches {depth} deep and keeps its point within a "
        "blind hole's metal",
        f"put into the crib {_which(holes.tapping, wanted)}",
    )


def _key(holes: Holes) -> str:
    """Return the key by which a job says how wide holes are."""
    if holes.tapping is not None:
        return "tapped"
    return "diameter" if holes.screw is None else "screw"


def _which(tapping: Tapping | None, wanted: str) -> str:
    """Return which drill would do."""
    if tapping is None:
        return f"a drill of {wanted}"
    choice = tapping_drills(tapping.thread, tapping.engagement)
    names = " or ".join(each.drill.name for each in (choice.below, choice.above) if each)
    return f"{names}, or another of {wanted}"


def _drill_for(holes: Holes, bench: Bench, *, with_room: bool) -> Cutter | None:
    """Return the drill nearest to the wanted size between the limits, None if there is none.

    Args:
        holes: what is wanted.
        bench: what there is.
        with_room: leave room for what a drill cuts over its own size.
    """
    room = holes.tapping is None and with_room
    fitting = [
        cutter
        for cutter in bench.of_kind("drill")
        if holes.bore.low <= cutter.diameter
        and cutter.diameter + (drilled_oversize(cutter.diameter) if room else 0) <= holes.bore.high
        and _reaches(holes, bench, cutter)
    ]
    return nearest_drill(bench, holes.bore.nominal, fitting)


def engagement_of(tapping: Tapping, drill: Cutter) -> float:
    """Return the share of a full thread that a drill leaves, on the basis of tapping charts."""
    return engagement(tapping.thread, drill.diameter)


# ---------------------------------------------------------------- the mouth


def _countersink(holes: Holes, bench: Bench) -> Cutter:
    """Return the smallest countersink, else spotting drill, of the angle that is wide enough.

    Raises:
        Refusal: the crib has none.
    """
    wanted = holes.countersink
    assert wanted is not None
    for kind in ("countersink", "spotting drill"):
        fitting = [
            cutter
            for cutter in bench.of_kind(kind)
            if abs(cutter.point_angle_deg - wanted.angle_deg) <= SAME_ANGLE
            and cutter.diameter >= wanted.diameter.high
            and cutter.tip <= holes.bore.low
            and reaches(cutter, countersink_bottom(wanted, cutter))
        ]
        if fitting:
            return fitting[0]
    raise Refusal(
        holes.where.at("countersink"),
        f"no countersink of {wanted.angle_deg:g} degrees in the crib is "
        f"{bench.say(wanted.diameter.high)} wide or more and goes into a hole of "
        f"{bench.say(holes.bore.low)} with its end",
        "put one into the crib, or a spotting drill of that angle",
    )


def countersink_bottom(wanted: Countersink, cutter: Cutter) -> float:
    """Return the z of a countersink's end when its cone is as wide as wanted at the top, mm.

    The end is flat as a rule, so the cone begins with the width of that flat.
    """
    return -(wanted.diameter.middle - cutter.tip) / 2 / cutter.spread
