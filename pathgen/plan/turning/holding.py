"""How the work is held and supported: what is told of it, in the order of doing it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from pathgen.job.turning.faceplate import FaceplateHold
from pathgen.job.turning.holding import CentresHold, ChuckHold
from pathgen.job.turning.indicated import is_indicated, run_out_left
from pathgen.plan.turning.bench import TurningBench
from pathgen.plan.turning.guard_hold import slender, spans
from pathgen.plan.turning.on_faceplate import FACEPLATE, faceplate_lines
from pathgen.shop.holding import INDEPENDENT, RUNS_TRUE, Centre, Chuck, Collets, Faceplate

NEEDLE = (
    "Spindle stopped and out of gear, turned by hand; the indicator taken away and the key out of"
    " the chuck before it starts."
)
CENTRE_TRUE = 0.01  # mm, in all, of the spindle's centre; common practice, no source
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
