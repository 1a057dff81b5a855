"""How far work may stand out, and what holds it: what is refused, with what would do."""

from __future__ import annotations

from itertools import pairwise
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.job.turning.holding import CentresHold
from pathgen.job.turning.turned import Turned
from pathgen.plan.turning.bench import JAWS_CLEAR, PAST_CONE, TurningBench
from pathgen.plan.turning.on_faceplate import guard_faceplate
from pathgen.reckon.spring import support_for
from pathgen.shop.holding import Chuck, Collets, DrivingPlate, Faceplate

OUT = 4.0  # diameters that may stand out beyond the last support: common practice, 3 to 4
BETWEEN = 10.0  # diameters between two supports: common practice, no source


def guard_hold(bench: TurningBench) -> None:
    """Refuse work that what is named does not hold, or that stands out too far.

    Raises:
        Refusal: says what would do.
    """
    match bench.held.holder:
        case Chuck() as chuck:
            _guard_grip(bench, chuck)
            _guard_spindle(bench, chuck.name, chuck.jaw_length)
        case Collets() as collets:
            _guard_collet(bench, collets)
            _guard_spindle(bench, collets.name, collets.grip)
        case DrivingPlate():
            _guard_dog(bench)
        case Faceplate() as plate:
            guard_faceplate(bench, plate)
            return
        case _:
            assert_never(bench.held.holder)
    _guard_steady(bench)
    _guard_bed(bench)
    _guard_rim(bench)
    _guard_spans(bench)


def _refusal(bench: TurningBench, cannot: str, instead: str) -> Refusal:
    return Refusal(bench.setup.where.at("hold"), cannot, instead)


def _guard_grip(bench: TurningBench, chuck: Chuck) -> None:
    """Refuse a diameter that the jaws do not take."""
    diameter = bench.job.held(bench.setup)
    if not chuck.least <= diameter <= chuck.most:
        raise _refusal(
            bench,
            f"hold a bar of {bench.say(diameter)} in the {chuck.name} chuck, which takes"
            f" {bench.say(chuck.least)} to {bench.say(chuck.most)}",
            "use another chuck",
        )


def _guard_collet(bench: TurningBench, collets: Collets) -> None:
    """Refuse a diameter for which there is no collet: one is never closed on a smaller bar."""
    diameter = bench.job.held(bench.setup)
    if collets.collet_for(diameter) is None:
        sizes = ", ".join(bench.say(bore) for bore in collets.bores)
        raise _refusal(
            bench,
            f"hold {bench.say(diameter)} in the {collets.name}: they take a bar up to"
            f" {bench.say(collets.closes)} under their bores of {sizes}",
            "use a chuck, or bar that fits one",
        )


def _guard_spindle(bench: TurningBench, name: str, grip: float) -> None:
    """Refuse work that neither ends in the jaws nor goes into the spindle."""
    lathe = bench.machine.lathe
    assert lathe is not None
    stick_out = bench.setup.hold.stick_out
    inside = bench.job.blank.length - stick_out
    back = bench.setup.jaws_at - grip
    behind = [2 * r for left, _, r in bench.job.comes(bench.setup) if left < back]
    across = max(behind, default=0.0)
    if inside > grip and across > lathe.spindle_bore:
        raise _refusal(
            bench,
            f"put {bench.say(inside)} of a bar of {bench.say(across)} into the {name}: it does not"
            f" go into the spindle, and {bench.say(grip)} of it are held",
            f"saw the bar to {bench.say(stick_out + grip)} or less",
        )


def _guard_dog(bench: TurningBench) -> None:
    """Refuse a dog that does not go on, or that is wider than the end that it is given."""
    dog, hold = bench.held.dog, bench.setup.hold
    assert dog is not None, "a driving plate drives a dog"
    assert isinstance(hold, CentresHold)
    diameter = bench.job.held(bench.setup)
    if not dog.least <= diameter <= dog.most:
        raise _refusal(
            bench,
            f"put the {dog.name} on {bench.say(diameter)}: it takes {bench.say(dog.least)} to"
            f" {bench.say(dog.most)}",
            "use another dog",
        )
    if dog.width > hold.driven:
        raise _refusal(
            bench,
            f"put the {dog.name}, {bench.say(dog.width)} wide, on {bench.say(hold.driven)} of the"
            " left end",
            f"give it {bench.say(dog.width)} or more as driven",
        )


def _guard_bed(bench: TurningBench) -> None:
    """Refuse work that is too long for what the tailstock leaves."""
    lathe, hold = bench.machine.lathe, bench.setup.hold
    assert lathe is not None
    if bench.held.centre is None:
        return
    holder = bench.held.holder
    behind = holder.jaw_length if isinstance(holder, Chuck) else 0.0
    long = bench.job.blank.length if isinstance(hold, CentresHold) else hold.stick_out + behind
    if long > lathe.between_centres:
        raise _refusal(
            bench,
            f"bring up the tailstock to {bench.say(long)}: there are"
            f" {bench.say(lathe.between_centres)} between centres",
            "use a longer lathe",
        )


def _guard_rim(bench: TurningBench) -> None:
    """Refuse a diameter so small that no tool gets at the rim beside the centre."""
    least = bench.about_the_axis + PAST_CONE
    if bench.held.centre is not None and bench.outside < least:
        raise _refusal(
            bench,
            f"turn {bench.say(2 * bench.outside)} up to the end with the {bench.held.centre.name}"
            " in it: no tool gets in beside the centre",
            f"take a smaller centre hole, or turn no less than {bench.say(2 * least)} there",
        )


def _guard_steady(bench: TurningBench) -> None:
    """Refuse a steady that does not go round its place, or stands where something is turned."""
    steady, place = bench.held.steady, bench.setup.hold.steady
    if steady is None or place is None:
        return
    across = 2 * bench.job.radius_at(bench.setup, -place.at)
    if not steady.least <= across <= steady.most:
        raise _refusal(
            bench,
            f"run {bench.say(across)} in the {steady.name}, which takes {bench.say(steady.least)}"
            f" to {bench.say(steady.most)}",
            "use another steady",
        )
    ends = [each.end for each in bench.setup.features if isinstance(each, Turned)]
    right = -place.at + steady.width / 2 + JAWS_CLEAR
    if any(end < right for end in ends) or -place.at - steady.width / 2 < bench.setup.jaws_at:
        raise _refusal(
            bench,
            f"set the {steady.name}, {bench.say(steady.width)} wide, {bench.say(place.at)} from the"
            " right face: what is turned, or what holds the work, is in its way",
            "set it between the two",
        )


def spans(bench: TurningBench) -> tuple[tuple[float, ...], float]:
    """Return the ways between supports, and how far the work stands out beyond the last; mm."""
    place = bench.setup.hold.steady
    ways = [bench.setup.jaws_at, *([] if place is None else [-place.at]), bench.setup.facing]
    lengths = [right - left for left, right in pairwise(ways)]
    return (tuple(lengths), 0.0) if bench.setup.hold.centre else (tuple(lengths[:-1]), lengths[-1])


def slender(bench: TurningBench) -> float:
    """Return the diameter by which the work is judged for how far it stands out, mm."""
    return min(bench.job.held(bench.setup), bench.job.blank.diameter)


def _guard_spans(bench: TurningBench) -> None:
    """Refuse work that stands out too far, or goes on too long between two supports."""
    between, out = spans(bench)
    diameter = slender(bench)
    most = OUT * diameter
    if out > most:
        need = support_for(bench.setup.hold.stick_out, diameter)
        raise _refusal(
            bench,
            f"turn work that stands out {bench.say(out)} with nothing at its end: more than"
            f" {OUT:g} diameters",
            f"let no more than {bench.say(most)} stand out, or face and centre its end in a setup"
            " before and say centre"
            + (", and steady too, on a place that is turned before" if need == "steady" else ""),
        )
    if between and max(between) > BETWEEN * diameter:
        raise _refusal(
            bench,
            f"turn {bench.say(max(between))} of {bench.say(diameter)} between two supports: more"
            f" than {BETWEEN:g} diameters",
            "set a fixed steady between them, on a place that is turned before",
        )
