"""What comes before the first cut of turned work, and after the last."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.turned import OVERHANG
from pathgen.moves.actions import Clamp, Note
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.turning.bench import TurningBench

FOUR = 4  # jaws of a chuck that is set by an indicator
RUNS_TRUE = 0.02  # mm, in all, of work that is set by an indicator; common practice, no source
STARTING = (
    "Take the chuck key out before letting go of it, and turn the spindle by hand once round: "
    "jaws, work, tool and slides clear of one another. Never measure or touch turning work."
)
SWARF = (
    "Long curling chips cut deep: stop the lathe, then pull them off with a hook; never with the "
    "fingers or a rag."
)
LOCKED = "Nip the locks of slides that stand still; wind one handle at a time."


def guard_overhang(bench: TurningBench) -> None:
    """Refuse work that stands out too far without a centre."""
    most = OVERHANG * bench.job.held(bench.setup)
    if bench.setup.hold.stick_out > most:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"turn work that stands out {bench.say(bench.setup.hold.stick_out)} without a centre:"
            f" more than {OVERHANG:g} diameters",
            f"let no more than {bench.say(most)} stand out",
        )


def guard_chuck(bench: TurningBench) -> None:
    """Refuse a bar that the chuck does not hold, or that the lathe does not swing."""
    diameter, chuck = bench.job.held(bench.setup), bench.chuck
    assert bench.machine.lathe is not None
    if not chuck.least <= diameter <= chuck.most:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"hold a bar of {bench.say(diameter)} in the {chuck.name} chuck, which takes"
            f" {bench.say(chuck.least)} to {bench.say(chuck.most)}",
            "use another chuck",
        )
    inside = bench.job.blank.length - bench.setup.hold.stick_out
    if inside > chuck.jaw_length and diameter > bench.machine.lathe.spindle_bore:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"put {bench.say(inside)} of a bar of {bench.say(diameter)} into the chuck: it does not"
            f" go into the spindle, and the jaws are {bench.say(chuck.jaw_length)} long",
            f"saw the bar to {bench.say(bench.setup.hold.stick_out + chuck.jaw_length)} or less",
        )


def before_items(bench: TurningBench) -> tuple[Item, ...]:
    """Return the cautions and the clamping."""
    told = [cautions.INSTRUCTION, cautions.DRESS, STARTING, SWARF]
    told.append(LOCKED if bench.manual else cautions.PROGRAM)
    blank, hold = bench.job.blank, bench.setup.hold
    what = (
        f"Blank: {blank.material} bar, {bench.say(blank.diameter)} across and"
        f" {bench.say(blank.length)} long as measured."
    )
    held: tuple[str, ...] = (f"Hold it in the {hold.chuck} chuck, running true.",)
    if bench.setup.round is not None:
        what = f"The part as it came from the setup before, about {bench.say(blank.length)} long."
        held = _held_round(bench)
    lines = [
        what,
        *(hold.lines or held),
        f"Let {bench.say(hold.stick_out)} stand out of the jaws.",
        *(_slide_lines(bench) if bench.manual else ()),
    ]
    return (
        *(Note(text=text, caution=True) for text in told),
        Clamp(lines=tuple(lines)),
    )


def _held_round(bench: TurningBench) -> tuple[str, ...]:
    """Return how a part is held that was turned round."""
    packing = "Soft packing of even thickness, copper or aluminium, between the jaws and the work."
    true = (
        "Turn it by hand against an indicator on a finished diameter: what is turned now lies off"
        " the axis of what was turned before by half of what the needle goes from end to end."
    )
    if bench.chuck.jaws == FOUR:
        true = (
            "Set the four jaws by an indicator on a finished diameter, opposite jaws in turn, until"
            f" the needle goes {bench.say(RUNS_TRUE)} or less in a turn of the work."
        )
    hold = f"Turn it round; hold it in the {bench.chuck.name} chuck on"
    return (
        f"{hold} the diameter of {bench.say(bench.job.held(bench.setup))}.",
        packing,
        true,
    )


def _slide_lines(bench: TurningBench) -> Iterator[str]:
    """Yield how the slides are set that the setup is done without."""
    used = bench.machine.slide("z").name
    yield (
        f"Lengths are set by the {used}: whatever else goes along the axis is locked where it"
        " stands, the compound set along the axis, until all is done or the steps say otherwise."
    )


def after_items(bench: TurningBench) -> tuple[Item, ...]:
    """Return what is done once the last cut is made."""
    return (
        Note(text=cautions.BURRS, caution=True),
        Note(
            text="Break every edge: a file with its handle on, held in the left hand, or a scraper;"
            f" {bench.say(0.2)} is enough."
        ),
    )
