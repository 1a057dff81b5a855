"""Dovetails over and between rollers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.inputs import ANGLE, LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.dovetails import (
    between_rollers,
    corner_from_between,
    corner_from_over,
    over_rollers,
    roller_too_large,
    wide_width,
)


@topic(
    "dovetail",
    Example(
        typed="dovetail --narrow 20 --height 4 --roller 4",
        prints=(
            "wide width  24.619 mm  0.9692 in",
            "male, over the rollers  30.928 mm  1.2176 in",
            "female, between the rollers  13.691 mm  0.5390 in",
        ),
    ),
)
@click.option("--narrow", type=LENGTH, help="Narrow width, across sharp corners.")
@click.option("--wide", type=LENGTH, help="Wide width, across sharp corners, in its place.")
@click.option("--height", type=LENGTH, required=True, help="Of the dovetail.")
@click.option("--flank", type=ANGLE, default="60", show_default=True, help="Flank to base.")
@click.option("--roller", type=LENGTH, required=True, help="Diameter of the two rollers.")
@click.option("--over", type=LENGTH, help="As measured over rollers: tells the male's width.")
@click.option("--between", type=LENGTH, help="As measured between: tells the female's width.")
def dovetail(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    narrow: float | None,
    wide: float | None,
    height: float,
    flank: Fraction,
    roller: float,
    over: float | None,
    between: float | None,
) -> Answer:
    """Find what a dovetail measures over rollers (male) and between them (female)."""
    angle = float(flank)
    slim = _narrow(narrow, wide, height, angle)
    broad = wide_width(slim, height, angle)
    male, female = over_rollers(slim, roller, angle), between_rollers(broad, roller, angle)
    too_large = roller_too_large(roller, height, angle)
    return Answer(
        title=f"Dovetail of {angle:g} degrees, {say.both(height)} high",
        rows=(
            Row(quantity="narrow width", value=slim, unit="mm", places=3),
            Row(quantity="wide width", value=broad, unit="mm", places=3),
            Row(quantity="male, over the rollers", value=male, unit="mm", places=3),
            Row(quantity="female, between the rollers", value=female, unit="mm", places=3),
            *_found_rows(over, between, roller, angle),
        ),
        formula=_dovetail_sums(say, (slim, broad), height, roller, angle),
        cautions=(
            (
                "widths are those across the sharp corners at the bottom of the flanks, whatever "
                "relief or chamfer is there"
            ),
            "play or a gib is not in these figures",
            *(
                ("THE ROLLERS ARE TOO LARGE: they touch the edge, not the flank",)
                if too_large
                else ()
            ),
        ),
        sources=("over = narrow + D (1 + cot(angle / 2)), between = wide - the same: geometry",),
    )


def _dovetail_sums(
    say: Wording, widths: tuple[float, float], height: float, roller: float, angle: float
) -> tuple[str, ...]:
    """Return the sums of the narrow and wide widths and of the rollers."""
    slim, broad = widths
    both = roller * (1 + 1 / math.tan(math.radians(angle) / 2))
    male, female = slim + both, broad - both
    return (
        (
            f"wide = narrow + 2 x height / tan({angle:g} deg) = {say.figure(slim)} + 2 x "
            f"{say.figure(height)} / {plain(math.tan(math.radians(angle)), 4)} = "
            f"{say.length(broad, 3)}"
        ),
        (
            f"both rollers = roller x (1 + 1 / tan({angle / 2:g} deg)) = "
            f"{say.figure(roller)} x "
            f"{plain(both / roller, 4)} = {say.length(both, 3)}"
        ),
        (
            f"male: {say.figure(slim)} + {say.figure(both)} = {say.length(male, 3)}; female: "
            f"{say.figure(broad)} - {say.figure(both)} = {say.length(female, 3)}"
        ),
    )


def _narrow(narrow: float | None, wide: float | None, height: float, angle: float) -> float:
    """Return the narrow width, mm."""
    if narrow is not None and wide is None:
        return narrow
    if wide is None or narrow is not None:
        raise ValueError("a dovetail is told by one of its widths; give --narrow or --wide")
    slim = wide - (wide_width(1.0, height, angle) - 1.0)
    if slim <= 0:
        raise ValueError(
            f"{wide:g} mm wide and {height:g} mm high leaves no neck; give more width or less "
            "height"
        )
    return slim


def _found_rows(
    over: float | None, between: float | None, roller: float, angle: float
) -> Iterator[Row]:
    """Yield the widths of a dovetail that was measured."""
    if over is not None:
        found = corner_from_over(over, roller, angle)
        yield Row(quantity="male as measured, narrow", value=found, unit="mm", places=3)
    if between is not None:
        found = corner_from_between(between, roller, angle)
        yield Row(quantity="female as measured, wide", value=found, unit="mm", places=3)
