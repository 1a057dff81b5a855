"""From a distance to turns and divisions of a dial."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, plain
from pathgen.commands.reckoning.inputs import LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.dials import DialCount, dial_count, infeed

LATHE_COLUMNS = (
    Column(heading="dial"),
    Column(heading="move on", unit="mm", places=3),
    Column(heading="reading from nought"),
    Column(heading="off by", unit="mm", places=4),
)
LATHE_CAUTIONS = (
    (
        "both kinds of dial are made, and a wrong guess halves or doubles the cut: cut, measure, "
        "move ten divisions, cut, measure"
    ),
    "measure before the finish cut and reckon from what you measured",
)


@topic(
    "dial",
    Example(
        typed="dial 52.36 --turn 2 --divisions 100",
        prints=("dial  26 turns + 18 divisions", "one division  0.0200 mm  0.00079 in"),
    ),
)
@click.argument("distance", metavar="[DISTANCE]", type=LENGTH, required=False)
@click.option("--turn", type=LENGTH, required=True, help="What the dial counts in one turn.")
@click.option("--divisions", type=float, required=True, help="Lines on the whole dial.")
@click.option(
    "--judged", type=float, default=0.5, show_default=True, help="Part of a line the eye can tell."
)
@click.option("--from-diameter", "before", type=LENGTH, help="In the lathe: what is there.")
@click.option("--to-diameter", "after", type=LENGTH, help="In the lathe: what is wanted.")
def dial(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    distance: float | None,
    turn: float,
    divisions: float,
    judged: float,
    before: float | None,
    after: float | None,
) -> Answer:
    """Turn a DISTANCE into turns and divisions; or a change of diameter, for both kinds of dial."""
    if before is not None and after is not None and distance is None:
        return _lathe(say, (before, after), turn, divisions, judged)
    if distance is None or before is not None or after is not None:
        raise ValueError(
            "a dial wants a distance or a change of diameter; give DISTANCE, or "
            "--from-diameter and --to-diameter"
        )
    count = dial_count(distance, turn, divisions, judged)
    return Answer(
        title=f"{say.both(distance, 4)} on a dial of {divisions:g} lines, {say.both(turn, 4)} "
        "a turn",
        rows=tuple(_dial_rows(count, turn / divisions)),
        formula=(_dial_sum(say, distance, turn, divisions),),
        advice=(
            f"count how often nought passes: {count.turns} times",
            *(
                ("it stops on nought: the classic place to be one turn out",)
                if count.divisions == 0 and count.turns
                else ()
            ),
        ),
        cautions=("come up to the reading from the side you always use, so that the slack is out",),
        sources=(
            "measure the travel of a turn with an indicator: dials and tables are often wrong",
        ),
    )


def _dial_sum(say: Wording, distance: float, turn: float, divisions: float) -> str:
    exact = dial_count(distance, turn, divisions)
    part = distance / turn - exact.turns
    return (
        f"turns = {say.figure(distance)} / {say.figure(turn)} = {plain(distance / turn, 5)}: "
        f"{exact.turns} whole, and {plain(part, 5)} x {divisions:g} = "
        f"{plain(exact.divisions, 2)} divisions"
    )


def _dial_rows(count: DialCount, line: float) -> Iterator[Row]:
    yield Row(quantity="dial", value=_told(count))
    yield Row(quantity="the reading is off by", value=count.error, unit="mm", places=4)
    yield Row(quantity="one division", value=line, unit="mm", places=4)


def _told(count: DialCount) -> str:
    return f"{count.turns} turns + {plain(count.divisions, 2)} divisions"


def _lathe(
    say: Wording, diameters: tuple[float, float], turn: float, divisions: float, judged: float
) -> Answer:
    """Return the reading of a cross slide for a change of diameter, for both kinds of dial."""
    before, after = diameters
    moves = {
        "travel": infeed(before, after, "slide"),
        "diameter": infeed(before, after, "diameter"),
    }
    lines = []
    for kind, move in moves.items():
        count = dial_count(abs(move), turn, divisions, judged)
        lines.append((f"shows {kind}", move, _told(count), count.error))
    way = "in, towards the axis" if after < before else "out, away from the axis"
    return Answer(
        title=f"From {say.both(before, 3)} to {say.both(after, 3)} diameter",
        rows=(
            Row(quantity="off the diameter", value=before - after, unit="mm", places=3),
            Row(quantity="the tool goes", value=way),
        ),
        tables=(
            Table(
                title="By what the cross slide's dial shows",
                columns=LATHE_COLUMNS,
                lines=tuple(lines),
            ),
        ),
        formula=(
            (
                f"travel = (before - after) / 2 = ({say.figure(before)} - "
                f"{say.figure(after)}) / 2 = "
                f"{say.length((before - after) / 2, 4)}"
            ),
        ),
        cautions=LATHE_CAUTIONS,
        sources=("half of the change of diameter; the kinds of dial: lathe manuals",),
    )
