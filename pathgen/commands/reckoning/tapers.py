"""Tapers and the sine bar."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from fractions import Fraction

import click

from pathgen import INCH
from pathgen.commands.reckoning.answer import Answer, Row, Wording, plain
from pathgen.commands.reckoning.inputs import ANGLE, LENGTH, refuse
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.guards import above_zero
from pathgen.reckon.tapers import (
    angle_from_square,
    half_angle,
    ratio_from_half_angle,
    set_over,
    set_over_exact,
    sine_bar_angle,
    sine_bar_height,
    taper_per_foot,
    taper_ratio,
)

TRAVEL = 50.0  # mm of top slide over which an indicator proves the setting
STEEP_DEG = 45.0
_RATIO = re.compile(r"(?:(?P<one>\d+\.?\d*) *(?:in|:|/) *)?(?P<number>\d*\.?\d+)")


def _as_ratio(_ctx: click.Context, param: click.Parameter, text: str | None) -> float | None:
    """Return a ratio written "1 in 20", 1:20 or 0.05."""
    if text is None:
        return None
    found = _RATIO.fullmatch(text.strip())
    if not found or float(found["number"]) == 0:
        raise refuse(param, f'"{text}" is no ratio', 'write "1 in 20" or 0.05')
    number = float(found["number"])
    return float(found["one"]) / number if found["one"] else number


# ---------------------------------------------------------------- taper


@topic(
    "taper",
    Example(
        typed='taper --large "2.5 in" --small "2 in" --length "6 in"',
        prints=("top slide to  2.386 deg", "taper per foot  1.0000 in"),
    ),
)
@click.option("--large", type=LENGTH, help="Large diameter.")
@click.option("--small", type=LENGTH, help="Small diameter.")
@click.option("--length", type=LENGTH, help="Between the two diameters, along the axis.")
@click.option("--ratio", callback=_as_ratio, metavar="RATIO", help='"1 in 20", on the diameter.')
@click.option("--per-foot", type=LENGTH, help='On the diameter in one foot: "0.6 in".')
@click.option("--half-angle", type=ANGLE, help="Between side and axis.")
@click.option("--included", type=ANGLE, help="Between side and side.")
@click.option("--between", type=LENGTH, help="Length between the centres: for the set-over.")
def taper(  # noqa: PLR0913 - one for each option
    say: Wording,
    *,
    large: float | None,
    small: float | None,
    length: float | None,
    ratio: float | None,
    per_foot: float | None,
    half_angle: Fraction | None,
    included: Fraction | None,
    between: float | None,
) -> Answer:
    """Find a taper's angle and ratio, and how to set over for it.

    Give large, small and length; or one of ratio, per foot, half angle, included.
    """
    angle = half_angle if half_angle is not None else included and included / 2
    known = _ratio(_ratio_of_sizes(large, small, length), ratio, per_foot, angle)
    return Answer(
        title=f"Taper of 1 in {plain(1 / known, 4)} on the diameter",
        rows=(
            *_taper_rows(known),
            *(_set_over_rows(known, between) if between is not None else ()),
        ),
        formula=tuple(_taper_sums(say, known, between)),
        advice=(
            (
                f"prove the top slide with an indicator against a parallel bar: "
                f"{say.both(_off(known), 3)} in {say.both(TRAVEL)} of its travel"
            ),
            "blue the gauge or socket, try, correct, before the last cuts",
        ),
        cautions=(
            "the tool must stand at centre height, or the side comes out curved",
            "some top slides have their zero square to the bed: those are set to the other angle",
        ),
        sources=("half angle = atan(ratio / 2); set-over: Jones; US Navy NAVEDTRA 14345; Rose",),
    )


def _off(ratio: float) -> float:
    """Return how far the top slide moves across in the proving travel, mm."""
    return TRAVEL * math.sin(math.radians(half_angle(ratio)))


def _ratio_of_sizes(large: float | None, small: float | None, length: float | None) -> float | None:
    """Return the ratio from two diameters and the length between, None where none is given."""
    if large is None and small is None and length is None:
        return None
    if large is None or small is None or length is None:
        raise ValueError("two diameters and a length go together; give --large --small --length")
    return taper_ratio(large, small, length)


def _ratio(
    of_sizes: float | None, ratio: float | None, per_foot: float | None, angle: Fraction | None
) -> float:
    """Return the ratio of a taper from the one thing that tells it."""
    of_angle = None if angle is None else ratio_from_half_angle(float(angle))
    of_foot = None if per_foot is None else per_foot / (12 * INCH)
    known = [each for each in (of_sizes, ratio, of_foot, of_angle) if each is not None]
    if len(known) != 1:
        raise ValueError(
            f"{len(known)} things tell this taper; give large, small and length, or one of "
            "--ratio, "
            "--per-foot, --half-angle, --included"
        )
    above_zero(taper=known[0])
    return known[0]


def _taper_rows(ratio: float) -> Iterator[Row]:
    half = half_angle(ratio)
    yield Row(quantity="top slide to", value=half, unit="deg", places=3, note="zero along the bed")
    yield Row(
        quantity="or to",
        value=angle_from_square(half),
        unit="deg",
        places=3,
        note="where its zero is square to the bed",
    )
    yield Row(quantity="included angle", value=2 * half, unit="deg", places=3)
    yield Row(quantity="ratio", value=ratio, places=5)
    per_foot = taper_per_foot(ratio) * INCH
    yield Row(quantity="taper per foot", value=per_foot, unit="mm", places=3)


def _set_over_rows(ratio: float, between: float) -> Iterator[Row]:
    yield Row(
        quantity="set-over, exact",
        value=set_over_exact(ratio, between),
        unit="mm",
        places=3,
        note="from point to point of the centres",
    )
    rule = set_over(ratio, between)
    yield Row(quantity="set-over, by the rule", value=rule, unit="mm", places=3)


def _taper_sums(say: Wording, ratio: float, between: float | None) -> Iterator[str]:
    half = half_angle(ratio)
    yield f"half angle = atan(ratio / 2) = atan({plain(ratio / 2, 6)}) = {plain(half, 4)} deg"
    if between is not None:
        yield (
            f"set-over = length x sin(half angle) = {say.figure(between)} x sin({plain(half, 4)} "
            f"deg) = {say.length(set_over_exact(ratio, between), 3)}"
        )


# ---------------------------------------------------------------- sine bar


@topic(
    "sine-bar",
    Example(
        typed='sine-bar "5 in" --angle "34 deg 25 min"',
        prints=("height of the blocks  2.8260 in  71.781 mm",),
    ),
)
@click.argument("bar", metavar="BAR", type=LENGTH)
@click.option("--angle", type=ANGLE, help="Wanted: tells the height.")
@click.option("--height", type=LENGTH, help="Of the blocks: tells the angle.")
def sine_bar(say: Wording, bar: float, angle: Fraction | None, height: float | None) -> Answer:
    """Find the height under a sine BAR for an angle, or the angle over a height."""
    if (angle is None) == (height is None):
        raise ValueError("a sine bar wants an angle or a height; give --angle or --height")
    high = sine_bar_height(bar, float(angle or 0)) if height is None else height
    deg = sine_bar_angle(bar, high)
    slope = bar * math.cos(math.radians(deg)) * math.radians(1 / 60)
    return Answer(
        title=f"Sine bar of {say.both(bar)}",
        rows=(
            Row(quantity="height of the blocks", value=high, unit="mm", places=3),
            Row(quantity="angle", value=deg, unit="deg", places=4),
            Row(quantity="one minute is", value=slope, unit="mm", places=4, note="of height"),
        ),
        formula=(
            (
                f"height = bar x sin(angle) = {say.figure(bar)} x sin({plain(deg, 4)} deg) = "
                f"{say.length(high, 4)}"
            ),
        ),
        cautions=(
            (
                "above 45 degrees an error of the height tells more and more: set the rest "
                "of the right "
                "angle instead"
            ),
        )
        if deg > STEEP_DEG
        else (),
        sources=("L sin(angle); the centres of the rollers must lie along the bar's face",),
    )
