"""Divisions and angles on a dividing head or a rotary table."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Value, Wording, fixed
from pathgen.commands.reckoning.inputs import ANGLE, NUMBERS
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.dividing import (
    FULL_TURN,
    Index,
    index_angle,
    index_divisions,
    index_positions,
    nearest_index,
    rotary_positions,
    rotary_reading,
)

LARGEST_CIRCLE = 66  # holes: the largest circle that a plate is looked for with
SECONDS = 3600  # to the degree
ROTARY_COLUMNS = (
    Column(heading="place", places=0),
    Column(heading="angle deg", places=4),
    Column(heading="turns", places=0),
    Column(heading="deg", places=0),
    Column(heading="min", places=2),
    Column(heading="seconds of arc off", places=0),
)
HEAD_SOURCE = "turns = ratio / divisions: US Army subcourse OD1644"


@topic(
    "index",
    Example(
        typed='index 11 --plates "15-16-17-18-19-20 21-23-27-29-31-33 37-39-41-43-47-49"',
        prints=("move of the crank  3 turns and 21 spaces on the circle of 33",),
    ),
)
@click.argument("divisions", metavar="[DIVISIONS]", type=click.IntRange(1, 100000), required=False)
@click.option("--angle", type=ANGLE, help='In place of the divisions: "8 deg 50 min".')
@click.option(
    "--ratio",
    type=click.IntRange(1, 1000),
    default=40,
    show_default=True,
    help="Turns of the crank for one of the work.",
)
@click.option("--plates", type=NUMBERS, metavar="LIST", help="The circles of holes you have.")
@click.option("--table", is_flag=True, help="A rotary table: no plates, degrees on the handle.")
@click.option("--least", type=ANGLE, help='With --table: what its dial can be set to, "1 min".')
def index(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    divisions: int | None,
    angle: Fraction | None,
    ratio: int,
    plates: tuple[float, ...] | None,
    table: bool,
    least: Fraction | None,
) -> Answer:
    """Find the moves for DIVISIONS, or for an angle, on a dividing head or a rotary table."""
    if (divisions is None) == (angle is None):
        raise ValueError("give either the divisions or --angle; for example `index 11`")
    if table:
        if plates is not None:
            raise ValueError("a rotary table has no plates; leave out --plates or --table")
        return _table_answer(divisions, angle, Fraction(FULL_TURN, ratio), least)
    if least is not None:
        raise ValueError("--least is of a rotary table's dial; give --table with it")
    return _head_answer(divisions, angle, ratio, plates)


def _head_answer(
    divisions: int | None, angle: Fraction | None, ratio: int, plates: tuple[float, ...] | None
) -> Answer:
    circles = _circles(plates)
    if divisions is not None:
        found = index_divisions(divisions, ratio, circles)
        what, sum_line = f"{divisions} divisions", f"turns = {ratio} / {divisions}"
    else:
        found = index_angle(angle or 0, ratio, circles)
        what = f"{float(angle or 0):.6g} degrees"
        sum_line = f"turns = {float(angle or 0):.6g} x {ratio} / 360"
    turns = found.turns + found.part
    return Answer(
        title=f"{what} on a head of {ratio} to 1",
        rows=tuple(_head_rows(found, ratio, circles, known=plates is not None)),
        tables=tuple(_head_tables(found, divisions, ratio, circles)),
        formula=(f"{sum_line} = {_mixed(turns)}",),
        advice=tuple(_head_advice(found)),
        cautions=(
            "count spaces, not holes: the hole that the plunger stands in is nought",
            (
                "turn one way only; past the hole, go back half a turn and come up again; lock "
                "the spindle"
            ),
        ),
        sources=(HEAD_SOURCE,),
    )


def _circles(plates: tuple[float, ...] | None) -> tuple[int, ...]:
    """Return the circles of holes at hand; every one that could be where none are named."""
    if plates is None:
        return tuple(range(1, LARGEST_CIRCLE + 1))
    wrong = [each for each in plates if each != int(each) or each < 1]
    if wrong:
        raise ValueError(f"a circle of {wrong[0]:g} holes; give whole numbers, as '15 16 17'")
    return tuple(int(each) for each in plates)


def _mixed(turns: Fraction) -> str:
    whole, part = divmod(turns, 1)
    if not part:
        return f"{whole} turns"
    return f"{whole} {part} turns" if whole else f"{part} of a turn"


def _moved(turns: int, spaces: int, circle: int) -> str:
    words = f"{turns} turn{'' if turns == 1 else 's'}"
    return f"{words} and {spaces} spaces on the circle of {circle}" if spaces else words


def _head_rows(found: Index, ratio: int, circles: tuple[int, ...], *, known: bool) -> Iterator[Row]:
    turns = found.turns + found.part
    yield Row(quantity="turns of the crank", value=_mixed(turns))
    if found.choices:
        circle, spaces = found.choices[0] if not known else found.choices[-1]
        words = "move of the crank" if known or not found.part else "for example"
        yield Row(quantity=words, value=_moved(found.turns, spaces, circle))
        return
    near = nearest_index(turns, ratio, circles)
    yield Row(quantity="no circle serves", value="the division does not come out")
    yield Row(
        quantity="nearest single move",
        value=_moved(near.turns, near.spaces, near.circle),
        note=f"{fixed(near.error_deg * SECONDS, 1)} seconds of arc off",
    )


def _head_tables(
    found: Index, divisions: int | None, ratio: int, circles: tuple[int, ...]
) -> Iterator[Table]:
    if found.choices and found.part:
        yield Table(
            title=f"Circles that serve, after {found.turns} whole turns",
            columns=(Column(heading="circle", places=0), Column(heading="spaces", places=0)),
            lines=tuple((float(circle), float(spaces)) for circle, spaces in found.choices),
        )
    elif not found.choices and divisions is not None:
        circle = max(circles)
        yield Table(
            title=f"All places on the circle of {circle}, each from zero",
            columns=(
                Column(heading="place", places=0),
                Column(heading="turns", places=0),
                Column(heading="spaces", places=0),
                Column(heading="seconds of arc off", places=0),
            ),
            lines=tuple(
                (float(i), float(p.turns), float(p.spaces), p.error_deg * SECONDS)
                for i, p in enumerate(index_positions(divisions, ratio, circle), 1)
            ),
        )


def _head_advice(found: Index) -> Iterator[str]:
    if found.choices and found.part:
        yield "set the sector arms to the spaces: one more hole than spaces stands between them"
    if not found.choices:
        yield "count each place from zero, not from the last: the error then never adds up"
        yield f"a circle that {found.part.denominator} divides would come out"


# ---------------------------------------------------------------- rotary table


def _table_answer(
    divisions: int | None, angle: Fraction | None, per_turn: Fraction, least: Fraction | None
) -> Answer:
    minutes = None if least is None else least * 60
    if divisions is None:
        readings = [rotary_reading(angle or 0, per_turn, minutes)]
        what = f"{float(angle or 0):.6g} degrees"
    else:
        readings = list(rotary_positions(divisions, per_turn, minutes))
        what = f"{divisions} divisions"
    lines: list[tuple[Value, ...]] = [
        (
            float(i),
            reading.angle_deg,
            float(reading.turns),
            float(reading.degrees),
            reading.minutes,
            reading.error_deg * SECONDS,
        )
        for i, reading in enumerate(readings, 1)
    ]
    each = float(angle or 0) if divisions is None else FULL_TURN / divisions
    return Answer(
        title=f"{what} on a rotary table, {float(per_turn):g} degrees a turn",
        rows=(Row(quantity="from place to place", value=each, unit="deg", places=4),),
        tables=(
            Table(
                title="Each from zero: whole turns, then what the dial shows",
                columns=ROTARY_COLUMNS,
                lines=tuple(lines),
            ),
        ),
        formula=(f"turns = angle / {float(per_turn):g}, whole; the rest stands on the dial",),
        cautions=(
            "turn one way only, so that the slack of the worm is out; past it, go back and come up",
            "count how often the dial passes nought; lock the table before cutting",
        ),
        sources=("owner's manual of a rotary table, Grizzly Industrial",),
    )
