"""How a flat piece is held on the faceplate: in the order of doing it, with its cautions."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.turning.faceplate import LAID, FaceplateHold, Flat
from pathgen.plan.turning.balance import BALANCED, balance_of, throws
from pathgen.plan.turning.bench import TurningBench
from pathgen.shop.holding import Faceplate

SWING_CLEAR = 5.0  # mm that stay between what goes round and the bed; common practice, no source
FACEPLATE = (
    "Work on the faceplate is out of balance and cut in blows: lowest speed, three or more clamps"
    " each with its own stud, nuts tried again after the first cut and whenever the spindle stands."
    " Thrown work kills: stand to the side, never in line with the plate, a guard over it, nobody"
    " else near. Stop at once if it shakes, and slow down or balance it better."
)
BY_HAND = (
    "Before power: drive out of gear, tool and slides at their leftmost place and that of the"
    " deepest cut, and the plate turned by hand once round: clamps, studs, weights and corners"
    " clear of tool, slides and bed."
)


def guard_faceplate(bench: TurningBench, plate: Faceplate) -> None:
    """Refuse what does not lie on the plate, or goes round further out than the lathe swings.

    Raises:
        Refusal: says what would do.
    """
    hold, (lathe, flat) = bench.setup.hold, (bench.machine.lathe, bench.job.flat)
    assert isinstance(hold, FaceplateHold)
    assert lathe is not None
    assert flat is not None
    out = max(hold.furthest(flat), plate.diameter / 2)
    if out + SWING_CLEAR > lathe.swing / 2:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"turn what reaches {bench.say(out)} from the axis: the lathe swings"
            f" {bench.say(lathe.swing / 2)} over the bed",
            "use a larger lathe, or turn a smaller radius",
        )
    if hold.hollow and hold.clamps_to >= plate.diameter / 2:
        raise Refusal(
            bench.setup.where.at("hold").at("clamps_in"),
            f"clamp what begins {bench.say(hold.clamps_to)} from the axis on a plate that ends at"
            f" {bench.say(plate.diameter / 2)}",
            "use a larger plate, or bore a smaller radius",
        )
    _guard_counter(bench, hold, flat, plate.diameter / 2)


def _guard_counter(bench: TurningBench, hold: FaceplateHold, flat: Flat, rim: float) -> None:
    """Refuse weights that lie beyond the plate's rim, or none where some are wanted."""
    where = bench.setup.where.at("hold").at("counterweight")
    if hold.counter is None:
        balance = balance_of(flat, hold, bench.job.blank.material)
        if balance.counter_at(rim) >= BALANCED:
            raise Refusal(
                where,
                f"turn the plate with {balance.counter_at(rim):.2f} kg at its rim missing on the"
                f" side of {balance.beside}",
                "say where counterweights go, or give the piece opposite another length",
            )
    elif hold.counter.at > rim:
        raise Refusal(
            where,
            f"bolt weights {bench.say(hold.counter.at)} from the axis on a plate that ends at"
            f" {bench.say(rim)}",
            "bolt them on further in",
        )


def faceplate_lines(bench: TurningBench, hold: FaceplateHold) -> Iterator[str]:
    """Yield how the piece is clamped, laid and balanced."""
    flat = bench.job.flat
    assert flat is not None
    say = bench.say
    yield (
        f"Blank: {bench.job.blank.material} flat, {say(flat.width)} wide, {say(flat.thickness)}"
        f" thick and {say(flat.length)} long as measured; and a piece of the same bar"
        f" {say(hold.dummy)} long, to lie opposite and be cut with it."
    )
    yield (
        "Faceplate on the spindle's nose, both wiped; a scribed line across it through its middle,"
        " and circles to lay by."
    )
    yield from hold.lines or _clamped(bench, hold, flat)
    yield from _balanced(bench, hold, flat)


def _clamped(bench: TurningBench, hold: FaceplateHold, flat: Flat) -> Iterator[str]:
    """Yield how the two pieces are laid and clamped."""
    say = bench.say
    reach = "come no nearer" if hold.hollow else "reach no further"
    from_axis = "to the axis than {}" if hold.hollow else "than {} from the axis"
    end, as_far = ("its end, turned to the axis,", "near") if hold.hollow else ("its end", "out")
    yield (
        f"Both pieces on equal parallels {say(hold.packing)} thick, which {reach}"
        f" {from_axis.format(say(hold.packing_to))}: the tool runs out in the gap behind the work."
    )
    yield (
        f"Lay the work with its middle line on the scribed line, {end} {say(hold.end_at)} from"
        f" the axis within {say(LAID)}: its corners come {say(flat.furthest(hold.end_at))} from the"
        f" axis, the same for both. Lay the other piece right opposite, its end as far {as_far}."
    )
    yield (
        f"Clamp each by two clamps at least, studs close to the work: clamps {reach}"
        f" {from_axis.format(say(hold.clamps_to))} and stand no higher than {say(hold.clamps_high)}"
        " above the work. A stop bolted against the back of each takes the blows."
    )


def _balanced(bench: TurningBench, hold: FaceplateHold, flat: Flat) -> Iterator[str]:
    """Yield how it is balanced, and tried."""
    balance = balance_of(flat, hold, bench.job.blank.material)
    counter = hold.counter
    if counter is not None and balance.counter_at(counter.at) >= BALANCED / 2:
        force = throws(balance, bench.chuck.most_rpm)
        near = f" no nearer to the axis than {bench.say(counter.inner)}," if hold.hollow else ""
        yield (
            f"Counterweights of about {balance.counter_at(counter.at):.2f} kg,"
            f" {bench.say(counter.at)} from the axis on the side of {balance.beside},"
            f" reaching{near} no further out than {bench.say(counter.out)} and no higher than"
            f" {bench.say(counter.high)} above the plate (the work weighs {balance.work:.2f} kg,"
            f" the other {balance.dummy:.2f} kg; without them it throws with {force:.1f} N at"
            f" {bench.chuck.most_rpm:.0f} rev/min)."
        )
    yield (
        "Balance it by hand, drive out of gear: turned to several places it stays where it is put;"
        " else shift the weights and try again."
    )
