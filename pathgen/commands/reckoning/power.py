"""What a cut asks of the motor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.inputs import LENGTH, POWER
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.materials import material_name, material_row
from pathgen.reckon.power import (
    BACK_GEAR_DRIVE,
    BELT_DRIVE,
    GEARED_DRIVE,
    WORN_TOOL,
    chip_thickness,
    cutting_power,
    greatest_removal_rate,
    material_force,
    milling_chip_thickness,
    motor_load,
    torque,
)
from pathgen.reckon.speeds import (
    drill_feed,
    drilling_removal_rate,
    removal_rate,
    table_feed,
    turning_removal_rate,
)

POINT_SIDE_DEG = 59.0  # half the angle of an ordinary drill's point
CUTS = ("milling", "drilling", "turning")
DRIVES = {"belt": BELT_DRIVE, "back gear": BACK_GEAR_DRIVE, "geared": GEARED_DRIVE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A cut as asked for; lengths in mm, the feed per tooth in milling, per rev otherwise."""

    kind: str
    diameter: float
    feed: float
    rpm: float
    depth: float | None
    width: float | None
    teeth: int | None
    pilot: float

    def thickness(self) -> float:
        """Return the thickness of the chip, mm."""
        if self.kind == "milling":
            return milling_chip_thickness(self.feed, _needed(self.width, "width"), self.diameter)
        if self.kind == "drilling":
            return chip_thickness(self.feed / 2, POINT_SIDE_DEG)
        return chip_thickness(self.feed)

    def removed(self) -> float:
        """Return the metal removed, mm3/min."""
        if self.kind == "milling":
            feed = table_feed(self.rpm, int(_needed(self.teeth, "teeth")), self.feed)
            return removal_rate(_needed(self.width, "width"), _needed(self.depth, "depth"), feed)
        if self.kind == "drilling":
            return drilling_removal_rate(self.diameter, drill_feed(self.rpm, self.feed), self.pilot)
        return turning_removal_rate(
            self.diameter, _needed(self.depth, "depth"), self.feed, self.rpm
        )


def _needed(value: float | None, name: str) -> float:
    if value is None:
        raise ValueError(f"this cut is not told without its {name}; give --{name}")
    return value


@topic(
    "power",
    Example(
        typed='power "mild steel" --cut turning --diameter 50 --depth 1 --feed 0.1 --rpm 300',
        prints=("metal removed  4.62 cm3/min  0.282 in3/min", "at the edge  169 W  0.226 hp"),
    ),
)
@click.argument("material", metavar="MATERIAL")
@click.option("--cut", "kind", type=click.Choice(CUTS), required=True, help="What is done.")
@click.option(
    "--diameter", type=LENGTH, required=True, help="Of the cutter; of the work in turning."
)
@click.option("--feed", type=LENGTH, required=True, help="Per tooth in milling, else per rev.")
@click.option("--rpm", type=float, required=True, help="Spindle speed, rev/min.")
@click.option("--depth", type=LENGTH, help="Depth of cut; on the radius in turning.")
@click.option("--width", type=LENGTH, help="Width of cut across the feed, in milling.")
@click.option("--teeth", type=click.IntRange(1, 40), help="Teeth of the cutter, in milling.")
@click.option("--pilot", type=LENGTH, default=0.0, help="Diameter of the pilot, in drilling.")
@click.option("--motor", type=POWER, help="What the motor gives: 750, '0.75 kW', '1 hp'.")
@click.option(
    "--drive",
    type=click.Choice(tuple(DRIVES)),
    default="geared",
    show_default=True,
    help="Between motor and spindle; geared loses most.",
)
def power(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    material: str,
    kind: str,
    diameter: float,
    feed: float,
    rpm: float,
    depth: float | None,
    width: float | None,
    teeth: int | None,
    pilot: float,
    motor: float | None,
    drive: str,
) -> Answer:
    """Find the power and torque of a cut in MATERIAL, and the motor it needs."""
    cut = Cut(
        kind=kind,
        diameter=diameter,
        feed=feed,
        rpm=rpm,
        depth=depth,
        width=width,
        teeth=teeth,
        pilot=pilot,
    )
    thickness, removed = cut.thickness(), cut.removed()
    force = material_force(material, thickness)
    edge = cutting_power(force, removed)
    share = DRIVES[drive]
    return Answer(
        title=f"Power for {kind} {material_name(material)}",
        rows=(
            Row(quantity="chip thickness", value=thickness, unit="mm", places=3),
            Row(quantity="metal removed", value=removed / 1000, unit="cm3/min"),
            Row(quantity="specific cutting force", value=force, unit="N/mm2", places=0),
            *_motor_rows(edge, rpm, motor, share),
        ),
        formula=_power_sums(force, removed, edge, share),
        advice=tuple(_motor_advice(force, edge, motor, share)),
        cautions=("makers' figures for the force differ by a third and more: leave room",),
        sources=(_force_source(material),),
    )


def _power_sums(force: float, removed: float, edge: float, drive: float) -> tuple[str, ...]:
    """Return the sums of the power at the edge and at the motor."""
    return (
        (
            f"power = force x metal removed / 60 000 = {force:.0f} N/mm2 x {removed:.0f} mm3/min / "
            f"60 000 = {edge:.0f} W"
        ),
        (
            f"from the motor = power x {WORN_TOOL:g} (worn tool) / {drive:g} (drive) = "
            f"{edge * WORN_TOOL / drive:.0f} W"
        ),
    )


def _force_source(material: str) -> str:
    from pathgen.reckon.tables import table  # noqa: PLC0415

    key = material_row(material)["force"]["source"]
    return (
        f"cutting force: {table('cutting')['sources'][key]}; wear and drive from memory (handbook)"
    )


def _motor_rows(edge: float, rpm: float, motor: float | None, drive: float) -> Iterator[Row]:
    yield Row(quantity="at the edge", value=edge, unit="W", places=0)
    yield Row(quantity="torque", value=torque(edge, rpm), unit="Nm", places=1)
    load = motor_load(edge, motor or edge, drive)
    yield Row(quantity="from the motor", value=load.motor_w, unit="W", places=0)
    if motor is not None:
        verdict = "enough" if load.enough else "NOT ENOUGH"
        yield Row(
            quantity="share of the motor", value=100 * load.share, unit="%", places=0, note=verdict
        )


def _motor_advice(force: float, edge: float, motor: float | None, drive: float) -> Iterator[str]:
    if motor is None:
        return
    most = greatest_removal_rate(force, motor, drive) / 1000
    yield f"the motor can take off {plain(most, 1)} cm3/min ({plain(most / 16.387064, 2)} in3/min)"
    if not motor_load(edge, motor, drive).enough:
        yield "take less depth, less width or less feed"
