"""How the work is held and supported: what is refused, what is told, in the order of doing it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.job.faceplate import FaceplateHold
from pathgen.job.holding import CentresHold, ChuckHold
from pathgen.job.indicated import is_indicated, run_out_left
from pathgen.job.turned import Turned
from pathgen.plan.turning.bench import JAWS_CLEAR, PAST_CONE, TurningBench
from pathgen.plan.turning.on_faceplate import FACEPLATE, faceplate_lines, guard_faceplate
from pathgen.reckon.spring import support_for
from pathgen.shop.holding import (
    INDEPENDENT,
    RUNS_TRUE,
    Centre,
    Chuck,
    Collets,
    DrivingPlate,
    Faceplate,
)

NEEDLE = (
    "Spindle stopped and out of gear, turned by hand; the indicator taken away and the key out of"
    " the chuck before it starts."
)
CENTRE_TRUE = 0.01  # mm, in all, of the spindle's centre; common practice, no source
OUT = 4.0  # diameters that may stand out beyond the last support: common practice, 3 to 4
BETWEEN = 10.0  # diameters between two supports: common practice, no source
OVERHUNG = (
    "Work stands out more than three diameters with nothing at its end: light cuts, and slower if"
    " it shakes; it springs away from the tool and comes out thicker at its end."
)
BACK = (
    "The bar stands out of the back of the spindle, where it whips and catches: support it and"
    " cover it all along before the spindle starts, and turn slowly."
)
DOG = (
    "The dog, its screw and its tail go round with the work, further out than it looks: a guard"
    " over the plate, sleeves and hands away from it. Wind the carriage to its leftmost place and"
    " turn the spindle by hand once round before it starts."
)
CENTRE = (
    "A centre that comes loose lets the work fly: before each start, and after each measuring, feel"
    " that it is home, quill and tailstock locked. It stands beside the tool: where a step winds"
    " that to the right by eye, go a millimetre or two past the end of the work and no further;"
    " before a slide is wound well to the right, draw the tool out past quill and tailstock."
    " Never part off, and never face to the middle, with a centre in the end."
)
STEADY = (
    "The fingers of the steady pinch and run hot: oil on them all the time, hands off while the"
    " work turns, and stop if it squeals or marks."
)


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


# ---------------------------------------------------------------------- what is told


def holding_cautions(bench: TurningBench) -> Iterator[str]:
    """Yield the cautions of how the work is held."""
    lathe = bench.machine.lathe
    assert lathe is not None
    if isinstance(bench.held.holder, Faceplate):
        yield FACEPLATE
        return
    inside = bench.job.blank.length - bench.setup.hold.stick_out
    in_chuck = isinstance(bench.setup.hold, ChuckHold)
    if in_chuck and lathe.spindle_length and inside > lathe.spindle_length:
        yield BACK
    if spans(bench)[1] > 3 * slender(bench):
        yield OVERHUNG
    if bench.held.dog is not None:
        yield DOG
    if bench.held.centre is not None:
        yield CENTRE
    if bench.held.steady is not None:
        yield STEADY


def holding_lines(bench: TurningBench) -> Iterator[str]:
    """Yield how the work is held, in the order of doing it."""
    hold = bench.setup.hold
    match hold:
        case FaceplateHold():
            yield from faceplate_lines(bench, hold)
        case ChuckHold():
            yield _what_comes(bench)
            yield from hold.lines or _in_chuck(bench)
            light = ", the jaws nipped lightly for now" if hold.centre else ""
            yield f"Let {bench.say(hold.stick_out)} stand out of {_front(bench)}{light}."
        case CentresHold():
            yield _what_comes(bench)
            yield from hold.lines or _on_plate(bench, hold)
        case _:
            assert_never(hold)
    if bench.held.centre is not None:
        yield from _centre_lines(bench, bench.held.centre)
    yield from _steady_lines(bench)


def _front(bench: TurningBench) -> str:
    return "the collet" if isinstance(bench.held.holder, Collets) else "the jaws"


def _what_comes(bench: TurningBench) -> str:
    """Return what is put into the lathe."""
    blank, carried = bench.job.blank, bench.setup.carried
    long = bench.say(blank.length)
    if carried is None:
        across = bench.say(blank.diameter)
        return f"Blank: {blank.material} bar, {across} across and {long} long as measured."
    end = " the other end to the right." if carried.turned_round else " the same end to the right."
    return f"The part as it came from the setup before, about {long} long;{end}"


def _in_chuck(bench: TurningBench) -> Iterator[str]:
    """Yield how the work is held in a chuck or a collet."""
    holder, held = bench.held.holder, bench.say(bench.job.held(bench.setup))
    carried = bench.setup.carried
    if isinstance(holder, Collets):
        bore = holder.collet_for(bench.job.held(bench.setup))
        yield (
            f"Hold it in the collet of {bench.say(bore or 0.0)}, its bore and taper wiped clean;"
            f" it runs true to {bench.say(holder.run_out)} or so. Never close an empty collet."
        )
        return
    if carried is None:
        yield f"Hold it in the {holder.name} chuck, running true."
        if isinstance(holder, Chuck) and holder.jaws == INDEPENDENT:
            yield _set_true(bench, "the bar, close to the jaws")
        return
    turned = "Turn it round; hold" if carried.turned_round else "Hold"
    true = "" if carried.turned else ", running true"
    yield f"{turned} it in the {holder.name} chuck on the diameter of {held}{true}."
    if carried.held_turned:
        yield "Soft packing of even thickness, copper or aluminium, between the jaws and the work."
    if is_indicated(bench.setup):
        yield _set_true(bench, "a finished diameter")


def _set_true(bench: TurningBench, on: str) -> str:
    """Return how work is set true by an indicator on a place of it."""
    holder = bench.held.holder
    asked = run_out_left(bench.setup, holder)
    if isinstance(holder, Chuck) and holder.jaws == INDEPENDENT:
        return (
            f"Indicator on {on}, over a jaw: note what it reads there and over the opposite jaw."
            " Where it reads more the work stands out: ease the jaw on the other side, tighten the"
            " one there, until the needle has gone back by half of the difference. Then the other"
            f" two jaws; and again, until it goes {bench.say(asked or RUNS_TRUE)} or less in a turn"
            f" with all four tight. {NEEDLE}"
        )
    most = (
        f" It may go {bench.say(asked)} in all: else turn the part in the jaws, or pack one of"
        " them, and try again."
        if asked is not None
        else ""
    )
    return (
        f"Turn it by hand against an indicator on {on}: what is turned now lies off the axis of"
        f" what was turned before by half of what the needle goes from end to end.{most}"
    )


def _on_plate(bench: TurningBench, hold: CentresHold) -> Iterator[str]:
    """Yield how the work is put between centres."""
    yield (
        "Driving plate on the spindle's nose, a centre in its taper, both wiped clean. Turn it by"
        f" hand against an indicator on the cone: {bench.say(CENTRE_TRUE)} or less in a turn, else"
        " seat it again or true it."
    )
    carried = bench.setup.carried
    copper = ""
    if carried is not None and carried.held_turned:
        copper = ", a strip of copper under its screw"
    yield (
        f"Nip the {hold.dog} on the left end{copper}, its front {bench.say(hold.driven)} from that"
        " end; nothing of it stands further to the right."
    )
    yield (
        "Its tail lies free in the slot of the plate: it drives, and neither binds nor lifts the"
        " work off its centre."
    )


def _centre_lines(bench: TurningBench, centre: Centre) -> Iterator[str]:
    """Yield how the tailstock's centre is brought up."""
    both = isinstance(bench.setup.hold, CentresHold)
    grease = ""
    if centre.kind == "dead":
        grease = "; grease on the hole and the point, and again whenever the spindle stands"
    yield (
        f"Wipe the taper of the {centre.name}, the quill's, and the centre"
        f" {'holes' if both else 'hole'}{grease}."
    )
    yield (
        "Bring up the tailstock so that the quill stands out no further than lets the carriage,"
        " the compound and the tool post pass on all their way; clamp it to the bed."
    )
    then = "" if both else " Tighten the chuck, ease the quill and wind it in again."
    felt = (
        "until the work, turned by hand, takes the centre round with it"
        if centre.kind == "live"
        else "until the work, turned by hand, just drags a little and has no shake"
    )
    yield f"Wind the centre into its hole.{then} Bring it up {felt}; lock the quill."
    yield _as_it_warms(bench, centre)


def _as_it_warms(bench: TurningBench, centre: Centre) -> str:
    """Return what is done about the work that grows as it is cut."""
    often = "After the roughing, and" if centre.kind == "live" else "Each time it was roughed, and"
    return (
        f"{often} whenever the work is warm: spindle stopped, ease the quill and bring the centre"
        " up anew, for the work grows in length as it warms and would bend, or burn the centre."
    )


def _steady_lines(bench: TurningBench) -> Iterator[str]:
    """Yield how the steady is set."""
    steady, place = bench.held.steady, bench.setup.hold.steady
    if steady is None or place is None:
        return
    across = bench.say(2 * bench.job.radius_at(bench.setup, -place.at))
    yield (
        f"The {steady.name}: its fingers run on {across} across, {bench.say(place.at)} from the"
        " right face. Set them where that place runs true, close to the jaws with the work held"
        " short, or with the tailstock's centre in the end: each just touches, and none pushes the"
        " work aside (an indicator on it stays still). Clamp them; then the work as it is held now,"
        " the steady at its place and clamped to the bed, oil on the fingers."
    )
