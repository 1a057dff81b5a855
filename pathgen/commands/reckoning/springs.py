"""How far bars and work give under the cut."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.inputs import FORCE, LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.spring import (
    OVERHANG,
    deflection_between_centres,
    modulus,
    overhang_limit,
    overhung_deflection,
    overhung_limit_for,
    second_moment,
    support_for,
)

HELD = ("one end", "between centres")
SOURCES = (
    (
        "beam held at one end, or on two supports; moduli as in worked examples on boring bars "
        "(Cutting Tool Engineering)"
    ),
    "support of work: common practice, no source",
)
SUPPORT_WORDS = {
    "chuck alone": "the chuck alone will hold it",
    "chuck alone, light cuts": "the chuck alone for light cuts only; else a centre",
    "centre": "bring up the tailstock centre",
    "steady": "use a steady",
}


@topic(
    "spring",
    Example(
        typed="spring --force 100 --length 72 --diameter 12",
        prints=("it gives  0.059 mm  0.0023 in", "stand out at most  48.00 mm  1.890 in"),
    ),
)
@click.option("--force", type=FORCE, required=True, help="Across the bar: 100, '20 lbf'.")
@click.option("--length", type=LENGTH, required=True, help="How far it stands out, or its length.")
@click.option("--diameter", type=LENGTH, required=True, help="Of the bar or the work.")
@click.option(
    "--of", "stuff", default="steel", show_default=True, help="steel, carbide, aluminium."
)
@click.option(
    "--held", type=click.Choice(HELD), default="one end", show_default=True, help="How it is held."
)
@click.option("--give", type=LENGTH, help="How much it may give: tells how far it may stand out.")
def spring(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    force: float,
    length: float,
    diameter: float,
    stuff: str,
    held: Literal["one end", "between centres"],
    give: float | None,
) -> Answer:
    """Find how far a round bar, or round work, gives under a force across it."""
    at_one_end = held == "one end"
    if give is not None and not at_one_end:
        raise ValueError("--give tells how far a bar held at one end may stand out; leave it out")
    reckon = overhung_deflection if at_one_end else deflection_between_centres
    sag = reckon(force, length, diameter, modulus(stuff))
    return Answer(
        title=f"Spring of {stuff}, {say.both(diameter)} across, {say.both(length)} "
        f"{'out' if at_one_end else held}",
        rows=(
            Row(
                quantity="it gives",
                value=sag,
                unit="mm",
                places=3,
                note="at its end" if at_one_end else "at its middle",
            ),
            Row(quantity="on the diameter", value=2 * sag, unit="mm", places=3),
            Row(quantity="force", value=force, unit="N", places=0),
            Row(quantity="length / diameter", value=length / diameter, places=1),
            *(_limit_rows(force, diameter, stuff, give) if at_one_end else ()),
        ),
        formula=_spring_sums(force, length, diameter, stuff, per_load=3 if at_one_end else 48),
        advice=(
            "half the length gives an eighth, twice the diameter a sixteenth",
            "take the last two cuts alike, so that the spring is the same in both",
            f"as work in the lathe: {SUPPORT_WORDS[support_for(length, diameter)]}",
        ),
        sources=SOURCES,
    )


def _spring_sums(
    force: float, length: float, diameter: float, stuff: str, *, per_load: int
) -> tuple[str, ...]:
    """Return the sums; `per_load` is 3 for a bar held at one end, 48 on two supports."""
    stiffness, moment = modulus(stuff), second_moment(diameter)
    sag = force * length**3 / (per_load * stiffness * moment)
    return (
        (
            f"in mm and N: I = 3.1416 x D^4 / 64 = 3.1416 x {plain(diameter, 3)}^4 / 64 = "
            f"{plain(moment, 1)} mm4"
        ),
        (
            f"gives = F L^3 / ({per_load} E I) = {plain(force, 1)} x "
            f"{plain(length, 2)}^3 / ({per_load} x {stiffness:.0f} x "
            f"{plain(moment, 1)}) = {plain(sag, 4)} mm"
        ),
    )


def _limit_rows(force: float, diameter: float, stuff: str, give: float | None) -> Iterator[Row]:
    if stuff in OVERHANG:
        yield Row(
            quantity="stand out at most",
            value=overhang_limit(diameter, stuff),
            unit="mm",
            note=f"a {stuff} boring bar: {OVERHANG[stuff]:g} diameters",
        )
    if give is not None:
        limit = overhung_limit_for(give, force, diameter, modulus(stuff))
        yield Row(quantity="out for this give", value=limit, unit="mm", places=1)
