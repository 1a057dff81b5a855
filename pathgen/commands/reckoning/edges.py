"""Edge finder sums, and the middle between two touches."""

from __future__ import annotations

from typing import Literal

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording
from pathgen.commands.reckoning.inputs import LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.setting import edge_reading, middle_of_touches, stand_off

SOURCE = "half the tip and the paper; the slack where a face is met winding back: derived"


@topic(
    "edge",
    Example(
        typed="edge --tip 10 --first 0 --second 52.36 --slack 0.15",
        prints=(
            "the middle reads  26.255 mm  1.0337 in",
            "width of the work  42.510 mm  1.6736 in",
        ),
    ),
)
@click.option("--tip", type=LENGTH, required=True, help="Diameter of the finder's tip or cutter.")
@click.option("--paper", type=LENGTH, default=0.0, help="Thickness of the paper between.")
@click.option("--touch", type=LENGTH, default=0.0, help="What the dial reads at the touch.")
@click.option(
    "--side",
    type=click.Choice(["low", "high"]),
    default="low",
    show_default=True,
    help="The face touched: low where readings are lower (the left one in X).",
)
@click.option("--first", type=LENGTH, help="Reading at the low face, wound up to.")
@click.option("--second", type=LENGTH, help="Reading at the high face, wound back to.")
@click.option("--slack", type=LENGTH, default=0.0, help="Of the slide, as measured.")
def edge(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    tip: float,
    paper: float,
    touch: float,
    side: Literal["low", "high"],
    first: float | None,
    second: float | None,
    slack: float,
) -> Answer:
    """Tell where the spindle stands after touching an edge, or the middle of two touches.

    One touch: --tip, and --touch or nought. Two: --first and --second with the measured --slack.
    """
    if (first is None) != (second is None):
        raise ValueError("the middle wants two touches; give --first and --second")
    if first is not None and second is not None:
        return _middle(say, (first, second), tip + 2 * paper, slack)
    if slack:
        raise ValueError("one touch wants no slack; give --first and --second, or leave it out")
    return _one_touch(say, touch, side, (tip, paper))


def _one_touch(
    say: Wording, touch: float, side: Literal["low", "high"], between: tuple[float, float]
) -> Answer:
    tip, paper = between
    off = stand_off(tip, paper)
    reading = edge_reading(touch, off, side)
    sign = "+" if side == "low" else "-"
    way = "rising" if side == "low" else "falling"
    return Answer(
        title=f"Edge touched with {say.both(tip, 3)}, paper {say.both(paper, 3)}",
        rows=(
            Row(quantity="spindle stands off by", value=off, unit="mm", places=3),
            Row(quantity="over the edge at", value=reading, unit="mm", places=3),
        ),
        formula=(
            (
                f"over the edge = touch {sign} tip / 2 {sign} paper = {say.figure(touch)} {sign} "
                f"{say.figure(tip / 2)} {sign} {say.figure(paper)} = {say.length(reading, 3)}"
            ),
        ),
        advice=(
            (
                f"lift clear, move on {say.both(off, 3)} with the readings {way}, hold the "
                "handle still and "
                "set the dial to nought: the spindle then stands over the edge"
            ),
        ),
        cautions=(
            "come to the touch from the side that you will cut from, or the slack comes in",
            "measure tip and paper; a cutter's sold size is not its size",
        ),
        sources=(SOURCE,),
    )


def _middle(say: Wording, touches: tuple[float, float], finder: float, slack: float) -> Answer:
    first, second = touches
    found = middle_of_touches(first, second, finder, slack)
    return Answer(
        title="Middle of two touches",
        rows=(
            Row(quantity="the middle reads", value=found.reading, unit="mm", places=3),
            Row(quantity="width of the work", value=found.width, unit="mm", places=3),
            Row(
                quantity="out by, slack forgotten",
                value=found.if_forgotten,
                unit="mm",
                places=3,
            ),
        ),
        formula=(
            (
                f"middle = (first + second + slack) / 2 = ({say.figure(first)} + "
                f"{say.figure(second)} + "
                f"{say.figure(slack)}) / 2 = {say.length(found.reading, 3)}"
            ),
            (
                f"width = second + slack - first - tip = {say.figure(second)} + "
                f"{say.figure(slack)} - "
                f"{say.figure(first)} - {say.figure(finder)} = {say.length(found.width, 3)}"
            ),
        ),
        advice=(
            (
                "come up to the middle winding as for the first touch; if past it, go back "
                "by more than "
                "the slack and come up again"
            ),
            "check the width with a caliper: a lost turn shows there",
        ),
        cautions=("on a readout give no slack: its scale does not feel the screw",),
        sources=(SOURCE,),
    )
