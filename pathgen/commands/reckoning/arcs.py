"""Arcs from any two of their pieces, and a round-bottomed bar in a spherical seat."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, plain
from pathgen.commands.reckoning.inputs import ANGLE, LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.arcs import ArcSegment, arc_segment, radius_from_chord
from pathgen.reckon.seats import (
    contact_half_length,
    corner_gap,
    gap_of_radii,
    reach_travel,
    scrape_depth,
    tilt_range,
)

WRONG_DEPTH = 0.05  # mm: what a depth is easily out by, to show what it does to the radius
SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # of the half length in contact: where to tell the scraping

# ---------------------------------------------------------------- arc


@topic(
    "arc",
    Example(
        typed="arc --chord 68 --depth 7.88",
        prints=("diameter  154.58 mm  6.086 in", "radius  77.29 mm  3.043 in"),
    ),
)
@click.option("--radius", type=LENGTH)
@click.option("--diameter", type=LENGTH)
@click.option("--chord", type=LENGTH, help="Straight across the ends of the arc.")
@click.option("--depth", type=LENGTH, help="From the middle of the chord to the arc.")
@click.option("--angle", type=ANGLE, help='Of the arc at its centre: 45 or "45 deg 30 min".')
@click.option("--length", type=LENGTH, help="Along the arc.")
def arc(say: Wording, **pieces: float | Fraction | None) -> Answer:
    """Find the whole of an arc from any two of its pieces; it is at most half a circle."""
    names = {"angle": "angle_deg", "length": "arc_length"}
    given = {name: float(piece) for name, piece in pieces.items() if piece is not None}
    if len(given) != 2 or set(given) == {"radius", "diameter"}:
        raise ValueError(
            f"an arc is told by two pieces, not by {' and '.join(given) or 'none'}; give two of "
            "--radius (or --diameter), --chord, --depth, --angle, --length"
        )
    found = arc_segment(**{names.get(name, name): piece for name, piece in given.items()})
    return Answer(
        title=f"Arc from {' and '.join(given)}",
        rows=(
            Row(quantity="diameter", value=found.diameter, unit="mm"),
            Row(quantity="radius", value=found.radius, unit="mm"),
            Row(quantity="chord", value=found.chord, unit="mm"),
            Row(quantity="depth", value=found.depth, unit="mm", places=3),
            Row(quantity="angle", value=found.angle_deg, unit="deg", places=3),
            Row(quantity="length along the arc", value=found.arc_length, unit="mm"),
        ),
        formula=tuple(_arc_sums(say, found, set(given))),
        cautions=tuple(_arc_cautions(say, found, set(given))),
        sources=(
            (
                "Machinery's Handbook, 31st edition, pages 79 and 83; half span squared over depth "
                "plus depth: common practice, the same figure"
            ),
        ),
    )


def _arc_sums(say: Wording, arc: ArcSegment, given: set[str]) -> Iterator[str]:
    """Yield how the pieces follow from those given."""
    half, angle = say.figure(arc.chord / 2), plain(arc.angle_deg, 4)
    radius, depth = say.figure(arc.radius), say.figure(arc.depth)
    if given == {"chord", "depth"}:
        yield (
            f"diameter = (half the chord)^2 / depth + depth = {half}^2 / {depth} + {depth} = "
            f"{say.length(arc.diameter)}, so the radius is {say.length(arc.radius)}"
        )
    elif "angle" not in given and given & {"radius", "diameter"} and "length" not in given:
        yield (
            f"depth = radius - sqrt(radius^2 - (half the chord)^2) = {radius} - sqrt({radius}^2 - "
            f"{half}^2) = {say.length(arc.depth, 3)}"
        )
    elif "length" in given and given & {"chord", "depth"}:
        yield "the angle is found by trial, until chord and depth agree with the length"
    yield (
        f"chord = 2 x radius x sin(angle / 2) = 2 x {radius} x sin({plain(arc.angle_deg / 2, 4)} "
        f"deg) = {say.length(arc.chord)}"
    )
    yield (
        f"length = 3.1416 x radius x angle / 180 = 3.1416 x {radius} x {angle} / 180 = "
        f"{say.length(arc.arc_length)}"
    )


def _arc_cautions(say: Wording, arc: ArcSegment, given: set[str]) -> Iterator[str]:
    """Yield what an error of a measured depth does to the radius."""
    if given != {"chord", "depth"} or arc.depth <= WRONG_DEPTH:
        return
    less = radius_from_chord(arc.chord, arc.depth - WRONG_DEPTH) - arc.radius
    yield (
        f"a depth {say.length(WRONG_DEPTH, 3)} too small makes the radius {say.length(less)} too "
        "large: measure over the longest chord there is"
    )


# ---------------------------------------------------------------- bar in a seat


@topic(
    "seat-bar",
    Example(
        typed="seat-bar --rim 68 --radius 77.29 --width 20 --length 120",
        prints=("bears at  32.50 mm  1.279 in", "gap under the middle  0.717 mm  0.0282 in"),
    ),
)
@click.option("--rim", type=LENGTH, required=True, help="Diameter of the seat at its rim.")
@click.option("--radius", type=LENGTH, help="Of the seat and of the bar's underside.")
@click.option("--depth", type=LENGTH, help="Of the seat at its middle, in place of the radius.")
@click.option("--width", type=LENGTH, required=True, help="Of the bar.")
@click.option("--length", type=LENGTH, help="Of the bar; longer than the seat where not said.")
@click.option("--bar-radius", type=LENGTH, help="Of the bar's underside, where it is another.")
@click.option("--reach", type=LENGTH, help="Of a tip on the bar, from the middle of the seat.")
@click.option("--above", type=LENGTH, default=0.0, help="Of that tip, over the seat's middle.")
def seat_bar(  # noqa: PLR0913 - one option a quantity
    say: Wording,
    *,
    rim: float,
    radius: float | None,
    depth: float | None,
    width: float,
    length: float | None,
    bar_radius: float | None,
    reach: float | None,
    above: float,
) -> Answer:
    """Tell where a bar with a round underside bears in a spherical seat, and what to scrape.

    The bar is turned to the seat's radius along its length but is straight across, so it stands on
    four corners until its edges are scraped away.
    """
    if (radius is None) == (depth is None):
        raise ValueError("the seat is told by one of radius and depth; give --radius or --depth")
    r = radius if radius is not None else radius_from_chord(rim, depth or 0.0)
    half = contact_half_length(rim, width, rim if length is None else length)
    gap = corner_gap(r, width, half)
    return Answer(
        title=f"Bar {say.both(width)} wide in a seat of radius {say.both(r)}",
        rows=(
            Row(quantity="radius", value=r, unit="mm"),
            Row(
                quantity="bears at",
                value=half,
                unit="mm",
                note="from the middle along the bar, on its four corners",
            ),
            Row(quantity="gap under the middle", value=gap, unit="mm", places=3),
            *_of_radii(r, bar_radius, half),
            *_tilting(r, (rim, length), (reach, above)),
        ),
        tables=(_scraping(r, half, width),),
        formula=(
            (
                f"gap = sqrt(radius^2 - x^2) - sqrt(radius^2 - x^2 - (width / 2)^2) = "
                f"sqrt({say.figure(r)}^2 - {say.figure(half)}^2) - sqrt({say.figure(r)}^2 - "
                f"{say.figure(half)}^2 - {say.figure(width / 2)}^2) = {say.length(gap, 3)}"
            ),
        ),
        advice=("blue the seat, scrape what shows, corners first; the middle line last of all",),
        sources=("geometry of a cylinder in a sphere",),
    )


def _of_radii(radius: float, bar_radius: float | None, half: float) -> Iterator[Row]:
    """Yield the play that two different radii leave along the middle line."""
    if bar_radius is not None:
        gap = gap_of_radii(radius, bar_radius, half)
        where = "at the ends: it rocks on its middle" if gap > 0 else "in the middle"
        yield Row(
            quantity="gap of the radii",
            value=abs(gap),
            unit="mm",
            places=3,
            note=f"on the middle line, {where}",
        )


def _tilting(
    radius: float, sizes: tuple[float, float | None], tip: tuple[float | None, float]
) -> Iterator[Row]:
    """Yield how far a bar shorter than the seat tilts in it, and how a tip sinks and rises."""
    rim, length = sizes
    reach, above = tip
    if length is None or length >= rim:
        return
    tilt = tilt_range(radius, rim, length)
    yield Row(
        quantity="tilts", value=tilt, unit="deg", note="to either side, its ends within the rim"
    )
    if reach is not None:
        low, high = reach_travel(radius, reach, above, tilt)
        yield Row(quantity="the tip sinks by", value=-low, unit="mm")
        yield Row(quantity="and rises by", value=high, unit="mm")


def _scraping(radius: float, half: float, width: float) -> Table:
    """Return what comes off the edges, from the middle of the bar to where it bears."""
    return Table(
        title="Scrape off the edges for it to bed all over (middle line: nothing)",
        columns=(
            Column(heading="from the middle along", unit="mm"),
            Column(heading="off the edge", unit="mm", places=3),
        ),
        lines=tuple(
            (share * half, scrape_depth(radius, share * half, width / 2)) for share in SHARES
        ),
    )
