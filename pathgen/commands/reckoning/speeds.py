"""Spindle speed and feed, down to how fast a handle is to be turned."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.crib import beside_option
from pathgen.commands.reckoning.depths import depth_cautions, depth_rows, depth_sources
from pathgen.commands.reckoning.feeds import Feed
from pathgen.commands.reckoning.inputs import LENGTH, NUMBERS
from pathgen.commands.reckoning.slowing import (
    SLOW_OPERATIONS,
    TURNING,
    lowering_sum,
    reductions,
    why_not_above,
)
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.cutting import CuttingData, cutting_data
from pathgen.reckon.exact import FOOT
from pathgen.reckon.reductions import ReducedSpeed, chuck_cap, reduced_speed
from pathgen.reckon.speeds import (
    ChosenSpeed,
    clamped_speed,
    nearest_speed,
    spindle_speed,
    surface_speed,
)

if TYPE_CHECKING:
    from pathgen.shop.machines import Machine

SIDE_WORDS = {
    "below": "the nearest the machine has, below the wanted one",
    "above": "the nearest the machine has, above the wanted one",
    "exact": "the wanted one",
    "lowest": "the slowest the machine has, and still FASTER than wanted",
}
FAST_HAND = 60  # turns a minute that a hand can keep up evenly (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spindle:
    """What the spindle can run at, where that is known, and how far a handle goes in a turn."""

    speeds: tuple[float, ...] = ()
    limits: tuple[float, float] | None = None
    per_turn: float | None = None

    def choose(self, wanted: float, *, never_above: bool) -> ChosenSpeed:
        """Return the speed to set for a wanted one, rev/min."""
        if self.speeds:
            return nearest_speed(wanted, self.speeds, never_above=never_above)
        if self.limits is not None:
            return clamped_speed(wanted, *self.limits)
        return ChosenSpeed(rpm=wanted, side="exact")


@topic(
    "speed",
    Example(
        typed='speed "mild steel" 16 --for slotting --teeth 4 '
        '--speeds "125 210 340 570 940 1550" --turn 4',
        prints=(
            "wanted speed  298 rev/min",
            "set the spindle to  340 rev/min  the nearest the machine has, above the wanted one",
        ),
    ),
)
@click.argument("material", metavar="MATERIAL")
@click.argument("diameter", metavar="DIAMETER", type=LENGTH)
@click.option(
    "--for",
    "operation",
    required=True,
    metavar="OPERATION",
    help="drilling, reaming, slotting, end milling rough, turning, tapping, ...",
)
@click.option("--teeth", type=click.IntRange(1, 40), help="Teeth of the mill or reamer.")
@click.option("--cutter", default="HSS", show_default=True, help="HSS, carbide or carbon steel.")
@click.option("--speeds", type=NUMBERS, metavar="LIST", help="The machine's speeds: '110 210 400'.")
@click.option("--machine", metavar="NAME", help="Take speeds and handle from a machine's file.")
@click.option("--turn", type=LENGTH, help="How far the feeding handle goes in one turn.")
@click.option(
    "--depth",
    type=LENGTH,
    help="Depth of the hole, or how far a long drill stands out: drilled slower.",
)
@click.option("--interrupted", is_flag=True, help="The cut meets gaps, corners or a rough skin.")
@click.option("--marked", type=float, help="Speed marked on the chuck: never passed.")
@beside_option
def speed(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    material: str,
    diameter: float,
    operation: str,
    teeth: int | None,
    cutter: str,
    speeds: tuple[float, ...] | None,
    machine: str | None,
    turn: float | None,
    depth: float | None,
    interrupted: bool,
    marked: float | None,
    beside: Path,
) -> Answer:
    """Find speed and feed for MATERIAL, and how fast to turn the handle.

    DIAMETER is that of the cutter in milling and drilling, of the work in turning. The speed is
    chosen among those of the machine: --speeds lists them, or --machine names its file.
    """
    data = cutting_data(material, operation, cutter)
    spindle = _spindle(machine, beside, data, speeds or (), turn)
    wanted = spindle_speed(data.surface_speed_m_min, diameter)
    lowered = reductions(data, diameter, depth, interrupted=interrupted)
    slowed = reduced_speed(wanted, lowered, [] if marked is None else [chuck_cap(marked)])
    slow = why_not_above(data, slowed)
    chosen = spindle.choose(slowed.rpm, never_above=slow is not None)
    if marked is not None and chosen.rpm > marked:
        chosen = spindle.choose(slowed.rpm, never_above=True)
    feed = Feed(data=data, diameter=diameter, teeth=teeth, rpm=chosen.rpm)
    return Answer(
        title=f"{data.operation} in {data.material}, {data.cutter_material}, "
        f"{say.both(diameter)} across",
        rows=(
            *_speed_rows(data, slowed),
            *_chosen_rows(chosen, spindle, diameter, slow),
            *feed.rows(spindle.per_turn),
            *depth_rows(data, diameter),
        ),
        formula=(
            _speed_sum(say, data, diameter),
            *lowering_sum(wanted, slowed),
            *feed.sums(say, spindle.per_turn),
        ),
        advice=tuple(_speed_advice(spindle, slowed.rpm, chosen)),
        cautions=(
            *_speed_cautions(feed, chosen, spindle.per_turn, marked),
            *depth_cautions(data, diameter),
        ),
        sources=(
            f"speed: {data.source}",
            f"feed: {data.feed_source}",
            *depth_sources(data, diameter),
            *(f"{each.reason}: {each.source}" for each in lowered if each.factor < 1),
        ),
    )


def _spindle(
    name: str | None,
    beside: Path,
    data: CuttingData,
    speeds: tuple[float, ...],
    turn: float | None,
) -> Spindle:
    """Return the spindle of a machine, if one is named; what was asked for stands before it."""
    found = Spindle() if name is None else _machine_spindle(name, beside, data)
    return Spindle(
        speeds=speeds or found.speeds,
        limits=None if speeds else found.limits,
        per_turn=found.per_turn if turn is None else turn,
    )


def _machine_spindle(name: str, beside: Path, data: CuttingData) -> Spindle:
    """Return the spindle of a machine by name, and the travel of the handle that feeds."""
    from pathgen.input.where import Faults, JobError, JobErrors, Where  # noqa: PLC0415 - not for --help
    from pathgen.shop.shop import find_shop  # noqa: PLC0415

    faults = Faults()
    shop = find_shop(beside, faults)
    try:
        machine = shop.machine(name, Where("reckon speed", 0, "--machine"))
    except JobError as error:
        faults.extend([error])  # a file that could not be read may be the one asked for
        raise JobErrors(faults.errors) from error
    spindle = machine.spindle
    return Spindle(
        speeds=spindle.speeds,
        limits=None if spindle.speeds else (spindle.lowest, spindle.highest),
        per_turn=_per_turn(machine, data.operation),
    )


def _per_turn(machine: Machine, operation: str) -> float | None:
    """Return how far the handle that feeds goes in a turn: down in a hole, else the table's."""
    if not machine.manual or operation in TURNING:
        return None
    down = ("drilling", "spotting", "countersinking", "counterboring", "reaming", "tapping")
    return machine.slide("z" if operation in down else "x").per_turn


# ---------------------------------------------------------------- the speed in words


def _speed_rows(data: CuttingData, slowed: ReducedSpeed) -> Iterator[Row]:
    yield Row(quantity="cutting speed", value=data.surface_speed_m_min, unit="m/min", places=1)
    yield Row(
        quantity="wanted speed",
        value=slowed.rpm,
        unit="rev/min",
        places=0,
        note="; ".join(slowed.reasons),
    )


def _chosen_rows(
    chosen: ChosenSpeed, spindle: Spindle, diameter: float, slow: str | None
) -> Iterator[Row]:
    if not (spindle.speeds or spindle.limits):
        return
    why = slow if slow is not None and chosen.side == "below" else SIDE_WORDS[chosen.side]
    yield Row(quantity="set the spindle to", value=chosen.rpm, unit="rev/min", places=0, note=why)
    yield Row(
        quantity="cutting speed then",
        value=surface_speed(chosen.rpm, diameter),
        unit="m/min",
        places=1,
    )


def _speed_sum(say: Wording, data: CuttingData, diameter: float) -> str:
    wanted = spindle_speed(data.surface_speed_m_min, diameter)
    if say.units == "in":
        feet = plain(data.surface_speed_m_min / FOOT, 1)
        return (
            f"speed = 12 x {feet} ft/min / (3.1416 x {say.figure(diameter)}) = {wanted:.0f} rev/min"
        )
    return (
        f"speed = 1000 x {plain(data.surface_speed_m_min, 1)} m/min / (3.1416 x "
        f"{say.figure(diameter)}) = {wanted:.0f} rev/min"
    )


def _speed_advice(spindle: Spindle, wanted: float, chosen: ChosenSpeed) -> Iterator[str]:
    if not spindle.speeds:
        if spindle.limits is None:
            yield "give --speeds or --machine to choose among the speeds that the machine has"
        return
    around = [max((s for s in spindle.speeds if s < wanted), default=None)]
    around.append(min((s for s in spindle.speeds if s > wanted), default=None))
    words = " and ".join(f"{each:g}" for each in around if each is not None)
    if chosen.side in ("below", "above") and None not in around:
        yield f"{words} rev/min stand on either side of the wanted {wanted:.0f}"
    if chosen.side == "above":
        yield "watch edge and chips: if the edge dulls or chips turn blue, take the next slower"


def _speed_cautions(
    feed: Feed, chosen: ChosenSpeed, per_turn: float | None, marked: float | None
) -> Iterator[str]:
    if marked is not None and chosen.rpm > marked:
        yield f"{chosen.rpm:.0f} rev/min is over the chuck's {marked:g}: do not run it"
    if chosen.too_fast:
        yield (
            "the machine cannot go slowly enough: take a smaller diameter, a cutter that "
            "stands more speed (--cutter carbide), or another machine"
        )
    if feed.data.operation in SLOW_OPERATIONS:
        yield SLOW_OPERATIONS[feed.data.operation]
    per_minute = feed.per_minute()
    if feed.by_tooth and per_minute is None:
        yield "the feed per minute needs the teeth of the cutter: --teeth"
    if per_minute is not None and per_turn is not None and per_minute / per_turn > FAST_HAND:
        yield "that is faster than a hand turns evenly: a slower speed keeps the feed per tooth"
    yield "figures to start from, for a sharp cutter and firm work; slower if it chatters or sings"
