"""Holes on a circle and in a line, as co-ordinates from a datum."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.inputs import ANGLE, LENGTH, PLACE
from pathgen.commands.reckoning.places import PLACE_ADVICE, dial_options, handle_of, place_table
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.holes import (
    Position,
    hole_chord,
    hole_circle,
    hole_circle_from_tangents,
    hole_row,
    hole_row_between,
    straddling_start,
)

# ---------------------------------------------------------------- circle


@topic(
    "circle",
    Example(
        typed="circle 7 60",
        prints=(
            "hole to next hole  26.033 mm  1.0249 in",
            "2  51.4286  18.705  23.455  0.7364  0.9234",
            "2  51.4286  48.705  53.455  1.9175  2.1045",
        ),
    ),
)
@click.argument("holes", metavar="HOLES", type=click.IntRange(2, 1000))
@click.argument("diameter", metavar="DIAMETER", type=LENGTH)
@click.option(
    "--start", type=ANGLE, default="0", help="Angle of the first hole, anti-clockwise from +X."
)
@click.option("--straddle", is_flag=True, help="First and last hole lie either side of +X.")
@click.option("--centre", type=PLACE, help='The circle\'s centre from the datum: "40, 25".')
@click.option("--drill", type=LENGTH, help="Diameter of the holes: tells the metal between.")
@dial_options
def circle(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    holes: int,
    diameter: float,
    start: Fraction,
    straddle: bool,
    centre: tuple[float, float] | None,
    drill: float | None,
    turn: float | None,
    divisions: float | None,
) -> Answer:
    """Place HOLES evenly on a circle of DIAMETER, as co-ordinates from a datum.

    Without --centre they are given from the circle's centre, and from its left and lower tangents,
    where every reading counts up. X to the right, Y away from you.
    """
    if straddle and start:
        raise ValueError("--straddle tells where the first hole is; leave out --start")
    first = straddling_start(holes) if straddle else float(start)
    angles = tuple((first + 360 * i / holes) % 360 for i in range(holes))
    handle = handle_of(turn, divisions)
    tables = []
    if centre is not None:
        places = hole_circle(holes, diameter, first, centre)
        tables.append(place_table("From the datum", places, angles, handle))
    else:
        places = hole_circle(holes, diameter, first)
        tangents = hole_circle_from_tangents(holes, diameter, first)
        tables.append(place_table("From the centre", places, angles, None))
        tables.append(place_table("From the left and lower tangents", tangents, angles, handle))
    return Answer(
        title=f"{holes} holes on a circle of {say.both(diameter)}",
        rows=tuple(_circle_rows(holes, diameter, drill)),
        tables=tuple(tables),
        formula=tuple(_circle_sums(say, holes, diameter, first)),
        advice=(
            *PLACE_ADVICE,
            "check over two pins in neighbouring holes: the distance above and one pin",
        ),
        cautions=tuple(_circle_cautions(holes, diameter, drill, places)),
        sources=("x = R cos a, y = R sin a; chord = D sin(180 / N)",),
    )


def _circle_rows(holes: int, diameter: float, drill: float | None) -> Iterator[Row]:
    yield Row(quantity="angle from hole to hole", value=360 / holes, unit="deg", places=4)
    chord = hole_chord(holes, diameter)
    yield Row(quantity="hole to next hole", value=chord, unit="mm", places=3, note="straight")
    if drill is not None:
        yield Row(quantity="metal between", value=chord - drill, unit="mm")


def _circle_sums(say: Wording, holes: int, diameter: float, first: float) -> Iterator[str]:
    radius, angle = say.figure(diameter / 2), plain(first + 360 / holes, 4)
    x, y = hole_circle(holes, diameter, first)[1]
    yield (
        f"hole 2 from the centre: x = {radius} x cos({angle} deg) = {say.length(x, 3)}, "
        f"y = {radius} x sin({angle} deg) = {say.length(y, 3)}"
    )
    yield (
        f"hole to next hole = {say.figure(diameter)} x sin(180 / {holes} deg) = "
        f"{say.length(hole_chord(holes, diameter), 3)}"
    )


def _circle_cautions(
    holes: int, diameter: float, drill: float | None, places: tuple[Position, ...]
) -> Iterator[str]:
    if drill is not None and hole_chord(holes, diameter) <= drill:
        yield "THE HOLES RUN INTO ONE ANOTHER"
    if min(min(place) for place in places) < -1e-9:
        yield (
            "readings below zero do not suit a dial that only counts up: put zero at the left and "
            "lower tangents"
        )


# ---------------------------------------------------------------- row


@topic(
    "row",
    Example(
        typed='row 4 --from "10, 12" --to "100, 12"',
        prints=("pitch  30.000 mm  1.1811 in", "2  40.000  12.000  1.5748  0.4724"),
    ),
)
@click.argument("holes", metavar="HOLES", type=click.IntRange(2, 1000))
@click.option("--from", "first", type=PLACE, default="0, 0", help='The first hole: "10, 12".')
@click.option("--to", "last", type=PLACE, help="The last hole: spaces them evenly between.")
@click.option("--pitch", type=LENGTH, help="From hole to hole, in place of the last.")
@click.option("--angle", type=ANGLE, default="0", help="Of the row with --pitch, from +X.")
@dial_options
def row(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    holes: int,
    first: Position,
    last: Position | None,
    pitch: float | None,
    angle: Fraction,
    turn: float | None,
    divisions: float | None,
) -> Answer:
    """Place HOLES in a straight line: between two places, or at a pitch."""
    if (last is None) == (pitch is None):
        raise ValueError("a row is told by its last hole or by its pitch; give --to or --pitch")
    if last is not None and angle:
        raise ValueError("first and last hole tell the angle of the row; leave out --angle")
    if last is not None:
        places = hole_row_between(first, last, holes)
        apart = math.dist(first, last) / (holes - 1)
    else:
        apart = pitch or 0.0
        places = hole_row(holes, apart, first, float(angle))
    whole = math.dist(places[0], places[-1])
    return Answer(
        title=f"{holes} holes in a row",
        rows=(
            Row(quantity="pitch", value=apart, unit="mm", places=3),
            Row(quantity="first to last", value=whole, unit="mm", places=3),
        ),
        tables=(place_table("From the datum", places, (), handle_of(turn, divisions)),),
        formula=(
            (
                f"pitch = first to last / (holes - 1) = {say.figure(whole)} / {holes - 1} = "
                f"{say.length(apart, 3)}"
            ),
        ),
        advice=PLACE_ADVICE,
        sources=("geometry",),
    )
