"""Chains of holes, along a slot or round an outline, as co-ordinates from a datum."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from pathgen.commands.reckoning.answer import Answer, Wording
from pathgen.commands.reckoning.chain_words import Asked, along_slot, round_outline
from pathgen.commands.reckoning.crib import beside_option, find_crib
from pathgen.commands.reckoning.inputs import ANGLE, LENGTH, PLACE, SIZES
from pathgen.commands.reckoning.places import dial_options
from pathgen.commands.reckoning.topic import Example, topic


@topic(
    "chain",
    Example(
        typed="chain --length 110 --width 10",
        prints=(
            "drill  9.00 mm  0.354 in  9 mm drill: the largest of the crib that leaves enough",
            "holes  11",
            "pitch  10.000 mm  0.3937 in",
            "2  15.000  0.000  0.5906  0.0000",
        ),
    ),
)
@click.option("--length", type=LENGTH, help="Of a slot, over its ends.")
@click.option("--width", type=LENGTH, help="Of the slot: chooses the drill, or is held to it.")
@click.option("--circle", type=LENGTH, help="Diameter of a round cut-out, in place of a slot.")
@click.option("--rectangle", type=SIZES, help='Sides of a cut-out: "80 x 50", in place of a slot.')
@click.option("--corner", type=LENGTH, help="Radius of the rectangle's corners.")
@click.option("--outside", is_flag=True, help="Drill round a part that is to stay.")
@click.option("--drill", type=LENGTH, help='Diameter of the holes: 6, "No. 7 drill".')
@click.option("--web", type=LENGTH, help="Least metal between two holes; minus to overlap.")
@click.option("--pitch", type=LENGTH, help="From hole to hole of a slot, in place of the web.")
@click.option("--allowance", type=LENGTH, help="Left on the finished walls.", show_default="0.5 mm")
@click.option("--at", type=PLACE, help="From the datum: slot's end, low left corner, or centre.")
@click.option("--angle", type=ANGLE, default="0", help="Of a slot, from +X.")
@dial_options
@beside_option
def chain(say: Wording, *, beside: Path, **options: Any) -> Answer:
    """Lay a chain of holes that takes out the metal along a slot, or round an outline.

    Tells the number of holes, their pitch, the webs, every place from the datum. A slot starts at
    the datum and goes along +X, unless --at and --angle say otherwise.
    """
    asked = Asked(**options)
    asked.refuse_strays()
    stand, note = asked.stand(find_crib(beside).drills)
    if asked.length is not None:
        return along_slot(say, asked.length, asked, stand, note)
    return round_outline(say, asked, stand, note)
