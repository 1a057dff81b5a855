"""Centring in a four-jaw chuck, and a head that leans."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording
from pathgen.commands.reckoning.inputs import LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.setting import four_jaw_move, tram_lean, trough_hollow


@topic(
    "four-jaw",
    Example(
        typed="four-jaw 0.80 0.30",
        prints=("jaws 1 and 3  move away from jaw 1", "by  0.250 mm  0.0098 in"),
    ),
)
@click.argument("readings", metavar="JAW1 JAW3 [JAW2 JAW4]", type=LENGTH, nargs=-1, required=True)
def four_jaw(say: Wording, readings: tuple[float, ...]) -> Answer:
    """Tell which way to move work in a four-jaw chuck, from an indicator's readings.

    JAW1 and JAW3 are the readings with these opposite jaws towards the indicator; they rise as the
    work comes nearer. Put -- before a reading below zero.
    """
    if len(readings) not in (2, 4):
        raise ValueError("readings come in pairs of opposite jaws; give two or four of them")
    pairs = [((1, 3), readings[:2]), ((2, 4), readings[2:])][: len(readings) // 2]
    rows: list[Row] = []
    sums = []
    for (one, other), (first, second) in pairs:
        move = four_jaw_move(first, second)
        jaw = {"first": one, "second": other, "neither": None}[move.away_from]
        told = "leave it" if jaw is None else f"move away from jaw {jaw}"
        rows.append(Row(quantity=f"jaws {one} and {other}", value=told))
        rows.append(Row(quantity="by", value=move.distance, unit="mm", places=3))
        high, low = max(first, second), min(first, second)
        sums.append(
            f"jaws {one} and {other}: ({say.figure(high)} - {say.figure(low)}) / 2 = "
            f"{say.length(move.distance, 3)}"
        )
    return Answer(
        title="Centring in a four-jaw chuck",
        rows=tuple(rows),
        formula=tuple(sums),
        advice=(
            (
                "slacken the jaw opposite a little, then tighten the jaw named: the work "
                "moves half the "
                "difference of the readings"
            ),
            "turn to the other pair and do the same; again until both agree",
        ),
        cautions=("take the chuck key out each time, before letting go of it",),
        sources=("the work stands out on the side of the higher reading, by half the difference",),
    )


@topic(
    "tram",
    Example(
        typed="tram --difference 0.05 --swing 200 --cutter 80 --width 60",
        prints=("the head leans  0.0143 deg", "hollow of the surface  0.0034 mm"),
    ),
)
@click.option("--difference", type=LENGTH, required=True, help="Of the indicator's two readings.")
@click.option(
    "--swing", type=LENGTH, required=True, help="Between the places touched: twice the arm."
)
@click.option("--cutter", type=LENGTH, help="Diameter of a face cutter's circle of teeth.")
@click.option("--width", type=LENGTH, help="Of the surface faced in one pass.")
def tram(
    say: Wording, difference: float, swing: float, cutter: float | None, width: float | None
) -> Answer:
    """Find how far a head leans from an indicator swung round, and how hollow it then faces."""
    if (cutter is None) != (width is None):
        raise ValueError("the hollow wants cutter and surface; give --cutter and --width")
    lean = tram_lean(difference, swing)
    return Answer(
        title=f"Head out of square: {say.both(difference, 3)} in {say.both(swing)}",
        rows=(
            Row(quantity="the head leans", value=lean, unit="deg", places=4),
            *_hollow(cutter, width, lean),
        ),
        formula=(
            (
                f"lean = atan(difference / swing) = atan({say.figure(difference)} / "
                f"{say.figure(swing)}) = {lean:.4f} deg"
            ),
        ),
        advice=(
            "tap the head until both readings agree, nip up, read again: it moves as it is nipped",
            (
                "swing over the slots on a parallel or a ground plate, so that the plunger does "
                "not catch"
            ),
        ),
        cautions=(
            "a lean along the feed faces hollow, a lean across it faces a step from pass to pass",
        ),
        sources=("h = (D/2 - sqrt((D/2)^2 - (w/2)^2)) sin(lean): geometry",),
    )


def _hollow(cutter: float | None, width: float | None, lean: float) -> Iterator[Row]:
    if cutter is not None and width is not None:
        yield Row(
            quantity="hollow of the surface",
            value=trough_hollow(cutter, lean, width),
            unit="mm",
            places=4,
            note="leaning along the feed",
        )
