"""What stock weighs, and work off the middle of a face plate."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, plain
from pathgen.commands.reckoning.inputs import LENGTH, MASS, SIZES
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.materials import material_name
from pathgen.reckon.tables import table
from pathgen.reckon.weights import (
    block_volume,
    counterweight,
    density,
    hexagon_volume,
    mass,
    round_volume,
    safe_speed,
    tube_volume,
    unbalanced_force,
    weight_n,
)

RADII = (50.0, 75.0, 100.0, 125.0, 150.0)  # mm: where a counterweight may find a slot
BALANCE_CAUTIONS = (
    (
        "work thrown off a face plate kills: three clamps at least, each independent; turn "
        "it round by "
        "hand first; begin at the lowest speed and stop raising it when the machine starts to shake"
    ),
    "the machine's manual, local rules and trained supervision come before these figures",
)


# ---------------------------------------------------------------- weight


@topic(
    "weight",
    Example(
        typed='weight "mild steel" --block "50 x 20" --length 100',
        prints=("it weighs  0.785 kg  1.731 lb",),
    ),
)
@click.argument("material", metavar="MATERIAL")
@click.option("--round", "across", type=LENGTH, help="Diameter of round bar.")
@click.option("--tube", type=SIZES, metavar="OUTxIN", help='Outside and bore: "50 x 40".')
@click.option("--block", type=SIZES, metavar="WIDTHxHEIGHT", help='Of flat or square: "50 x 20".')
@click.option("--hexagon", type=LENGTH, help="Across the flats.")
@click.option("--length", type=LENGTH, required=True)
def weight(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    material: str,
    across: float | None,
    tube: tuple[float, ...] | None,
    block: tuple[float, ...] | None,
    hexagon: float | None,
    length: float,
) -> Answer:
    """Find what a piece of MATERIAL weighs: round, tube, block or hexagon."""
    shapes: list[tuple[str, float]] = []
    if across is not None:
        shapes.append(("round bar", round_volume(across, length)))
    if hexagon is not None:
        shapes.append(("hexagon", hexagon_volume(hexagon, length)))
    if tube is not None:
        shapes.append(("tube", tube_volume(*_two(tube, "a tube"), length)))
    if block is not None:
        shapes.append(("block", block_volume(length, *_two(block, "a block"))))
    if len(shapes) != 1:
        raise ValueError("it has one shape; give one of --round, --tube, --block, --hexagon")
    name, volume = shapes[0]
    kg = mass(material, volume)
    return Answer(
        title=f"{name} of {material_name(material)}, {say.both(length)} long",
        rows=(
            Row(quantity="it weighs", value=kg, unit="kg", places=3),
            Row(quantity="weight as force", value=weight_n(kg), unit="N", places=1),
            Row(quantity="volume", value=volume / 1000, unit="cm3", places=2),
        ),
        formula=(
            (
                f"weight = volume x density = {plain(volume / 1000, 3)} cm3 x "
                f"{plain(density(material) / 1000, 3)} g/cm3 = {plain(kg, 4)} kg"
            ),
        ),
        cautions=("alloys differ by a few parts in a hundred, cast iron by more",),
        sources=(str(table("densities")["source"]),),
    )


def _two(sizes: tuple[float, ...], what: str) -> tuple[float, float]:
    if len(sizes) != 2:
        raise ValueError(f'{what} is told by two sizes; write "50 x 20"')
    return sizes[0], sizes[1]


# ---------------------------------------------------------------- balance


@topic(
    "balance",
    Example(
        typed="balance --mass 1.2 --radius 60 --at 95 --rpm 200",
        prints=("counterweight  0.758 kg  1.671 lb", "throws with  31.6 N  7.10 lbf"),
    ),
)
@click.option("--mass", "kg", type=MASS, required=True, help="Off the middle: 1.2, '2.6 lb'.")
@click.option("--radius", type=LENGTH, required=True, help="Of its centre of gravity.")
@click.option("--at", "counter", type=LENGTH, help="Radius at which the counterweight goes.")
@click.option("--rpm", type=float, help="Speed wanted: tells the force with nothing opposite.")
@click.option("--lathe", type=MASS, help="Weight of the lathe: tells a speed not to pass.")
@click.option("--marked", type=float, help="Speed marked on the chuck or face plate.")
def balance(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    kg: float,
    radius: float,
    counter: float | None,
    rpm: float | None,
    lathe: float | None,
    marked: float | None,
) -> Answer:
    """Find the counterweight for work off the middle of a face plate, and what it throws with.

    The counterweight goes right opposite and in the same plane.
    """
    radii = RADII if counter is None else (counter,)
    weights = [(each, counterweight(kg, radius, each)) for each in radii]
    rows = [Row(quantity="weight x radius", value=kg * radius, unit="kg mm", places=1)]
    if counter is not None:
        rows.append(Row(quantity="counterweight", value=weights[0][1], unit="kg", places=3))
    rows += _throw_rows(kg, radius, rpm, lathe, marked)
    each, one = weights[0]
    return Answer(
        title=f"Balancing {plain(kg, 3)} kg at {say.both(radius)}",
        rows=tuple(rows),
        tables=() if counter is not None else (_counter_table(weights),),
        formula=(
            (
                f"counterweight = weight x radius / its radius = {plain(kg, 4)} kg x "
                f"{say.figure(radius)} / {say.figure(each)} = {plain(one, 3)} kg"
            ),
        ),
        advice=(
            "spindle out of gear, turn it to several places: balanced, it stays where it is put",
            "at twice the speed it throws four times as hard",
        ),
        cautions=BALANCE_CAUTIONS,
        sources=("equal products of weight and radius; F = m r w^2",),
    )


def _counter_table(weights: list[tuple[float, float]]) -> Table:
    return Table(
        title="Counterweight right opposite",
        columns=(
            Column(heading="at radius", unit="mm"),
            Column(heading="weight", unit="kg", places=3),
        ),
        lines=tuple(weights),
    )


def _throw_rows(
    kg: float, radius: float, rpm: float | None, lathe: float | None, marked: float | None
) -> Iterator[Row]:
    if rpm is not None:
        force = unbalanced_force(kg, radius, rpm)
        note = f"at {rpm:g} rev/min with nothing opposite"
        yield Row(quantity="throws with", value=force, unit="N", places=1, note=note)
    if lathe is None and marked is None:
        return
    if lathe is None:
        limit, why = marked or 0.0, "as marked; the lathe's own limit: give --lathe"
    else:
        safe = safe_speed(kg, radius, lathe, marked)
        limit, why = safe.rpm, safe.reasons[0]
    yield Row(quantity="never faster than", value=limit, unit="rev/min", places=0, note=why)
