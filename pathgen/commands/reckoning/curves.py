"""The circle through three points, and the tangents to a circle from a point."""

from __future__ import annotations

import math

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording
from pathgen.commands.reckoning.inputs import LENGTH, PLACE
from pathgen.commands.reckoning.places import dial_options, handle_of, place_table
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.circles import Circle, circle_through, tangent_length, tangent_points

Place = tuple[float, float]

FLAT = 10  # times the distance between the outer points that a diameter is told well from


@topic(
    "three-points",
    Example(
        typed='three-points "0, 0" "34, 7.88" "68, 0"',
        prints=("radius  77.29 mm  3.043 in", "centre X  34.000 mm", "centre Y  -69.410 mm"),
    ),
)
@click.argument("first", metavar="X,Y", type=PLACE)
@click.argument("second", metavar="X,Y", type=PLACE)
@click.argument("third", metavar="X,Y", type=PLACE)
def three_points(say: Wording, first: Place, second: Place, third: Place) -> Answer:
    """Find the circle through three places, from the same datum.

    Put -- before a place whose X is below zero.
    """
    found = circle_through(first, second, third)
    sides = [math.dist(*ends) for ends in ((second, third), (third, first), (first, second))]
    area = math.prod(sides) / (4 * found.radius)
    product = " x ".join(say.figure(side, 3) for side in sides)
    cautions = ["measure the places to the middle of one ball or pin, then allow for its radius"]
    if found.radius * 2 > FLAT * max(sides):
        cautions.append("the places lie almost on a line: a small error moves the radius much")
    return Answer(
        title="Circle through three places",
        rows=(
            Row(quantity="radius", value=found.radius, unit="mm"),
            Row(quantity="diameter", value=2 * found.radius, unit="mm"),
            Row(quantity="centre X", value=found.centre[0], unit="mm", places=3),
            Row(quantity="centre Y", value=found.centre[1], unit="mm", places=3),
        ),
        formula=(
            (
                "radius = product of the sides / (4 x area of the triangle) = "
                f"{product} / (4 x {_area(say, area)}) = {say.length(found.radius)}"
            ),
        ),
        advice=("take the places as far apart on the arc as you can",),
        cautions=tuple(cautions),
        sources=("centre where the lines square to two chords at their middles meet: geometry",),
    )


def _area(say: Wording, area: float) -> str:
    """Return an area in the units of the question, squared."""
    one = float(say.figure(1.0, 9))
    return f"{area * one**2:.4g}"


@topic(
    "tangent",
    Example(
        typed='tangent "13, 0" --radius 5',
        prints=("length of the tangent  12.000 mm  0.4724 in", "2  1.923  4.615  0.0757  0.1817"),
    ),
)
@click.argument("place", metavar="X,Y", type=PLACE)
@click.option("--radius", type=LENGTH, required=True, help="Of the circle.")
@click.option(
    "--centre", type=PLACE, default=(0.0, 0.0), help="Of the circle; the datum where not said."
)
@dial_options
def tangent(
    say: Wording,
    *,
    place: Place,
    radius: float,
    centre: Place,
    turn: float | None,
    divisions: float | None,
) -> Answer:
    """Find where the lines from a place touch a circle, and how long they are.

    Put -- before a place whose X is below zero, after the options.
    """
    touches = tangent_points(Circle(centre=centre, radius=radius), place)
    off = math.dist(place, centre)
    length = tangent_length(off, radius)
    lean = math.degrees(math.asin(radius / off))
    root = f"sqrt({say.figure(off)}^2 - {say.figure(radius)}^2)"
    return Answer(
        title=f"Tangents to a circle of radius {say.both(radius)}",
        rows=(
            Row(quantity="length of the tangent", value=length, unit="mm", places=3),
            Row(quantity="place to centre", value=off, unit="mm", places=3),
            Row(
                quantity="angle",
                value=lean,
                unit="deg",
                places=4,
                note="between each tangent and the line to the centre",
            ),
        ),
        tables=(
            place_table(
                "Where they touch, from the datum",
                touches,
                (),
                handle_of(turn, divisions),
                what="touch",
            ),
        ),
        formula=(
            f"length = sqrt(place to centre^2 - radius^2) = {root} = {say.length(length, 3)}",
            f"angle = asin(radius / place to centre) = {lean:.4f} deg",
        ),
        cautions=("a cutter's middle runs one radius of the cutter beside this line",),
        sources=("a tangent is square to the radius where it touches: geometry",),
    )
