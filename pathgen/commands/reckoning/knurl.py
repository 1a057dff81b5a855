"""Knurls: the diameters that a pitch goes round a whole number of times."""

from __future__ import annotations

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording
from pathgen.commands.reckoning.inputs import LENGTH, as_length
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.knurls import (
    PATTERNS,
    Pattern,
    diameter_of,
    pitch_round,
    pressed_in,
    swelling,
    teeth_round,
    whole_within,
)


@topic(
    "knurl",
    Example(
        typed="knurl 22 --pitch 1 --pattern diamond",
        prints=("turn it to  22.053 mm  0.8682 in", "between  21.961 mm  0.8646 in"),
    ),
)
@click.argument("diameter", metavar="DIAMETER", nargs=-1, required=True, callback=as_length)
@click.option("--pitch", type=LENGTH, required=True, help="Of the wheels, square to their teeth.")
@click.option(
    "--pattern",
    type=click.Choice(PATTERNS),
    default="straight",
    show_default=True,
    help="Straight, or diamonds of two wheels at 30 degrees.",
)
def knurl(say: Wording, diameter: float, pitch: float, pattern: Pattern) -> Answer:
    """Tell to what a DIAMETER is turned so that a knurl falls into its own teeth."""
    teeth, low, high = whole_within(diameter, diameter, pitch, pattern)
    whole, grows = diameter_of(teeth, pitch, pattern), swelling(pitch, pattern)
    around = teeth_round(diameter, pitch, pattern)
    on_it = say.figure(pitch_round(pitch, pattern))
    beside = [each for each in (teeth - 1, teeth + 1) if each > 0]
    return Answer(
        title=f"{pattern.capitalize()} knurl of {say.both(pitch, 3)} on about {say.both(diameter)}",
        rows=(
            Row(quantity="teeth round it", value=str(teeth)),
            Row(quantity="turn it to", value=whole, unit="mm", places=3),
            Row(quantity="between", value=low, unit="mm", places=3),
            Row(quantity="and", value=high, unit="mm", places=3),
            Row(quantity="pressed in", value=pressed_in(pitch, pattern), unit="mm", places=3),
            Row(quantity="over the knurl, about", value=whole + grows, unit="mm"),
        ),
        tables=(
            Table(
                title="a tooth less and a tooth more",
                columns=(Column(heading="teeth"), Column(heading="diameter", unit="mm", places=3)),
                lines=tuple((str(n), diameter_of(n, pitch, pattern)) for n in beside),
            ),
        ),
        formula=(f"pi x diameter / pitch = pi x {say.figure(diameter)} / {on_it} = {around:.2f}",),
        cautions=("metals swell differently: try it on a piece of the bar",),
        sources=(
            "whole teeth: derived; swelling by 0.5 pitches, 0.67 of diamonds: DIN 82, from memory",
            "off whole by a quarter of a pitch at most: common practice, no source",
        ),
    )
