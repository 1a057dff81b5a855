"""A lathe tool above or below the middle: how far, and what that does to a diameter."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Row, Wording
from pathgen.commands.reckoning.inputs import LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.guards import not_below_zero
from pathgen.reckon.setting import height_from_pip, radius_at_height


@topic(
    "cutter-height",
    Example(
        typed="cutter-height --pip 0.6 --diameter 10",
        prints=("off the middle by  0.300 mm  0.0118 in", "turned in fact  10.018 mm  0.3944 in"),
    ),
)
@click.option("--pip", type=LENGTH, help="Diameter of the pip that facing leaves.")
@click.option("--off", type=LENGTH, help="How far above or below the middle, in its place.")
@click.option("--diameter", type=LENGTH, help="That the dial is set for: tells what comes out.")
def cutter_height(
    say: Wording, pip: float | None, off: float | None, diameter: float | None
) -> Answer:
    """Find how far a lathe tool is off the middle from its pip, and what it then turns.

    The dial is taken to be right where the tool stands at the middle.
    """
    if (pip is None) == (off is None):
        raise ValueError("the height is told by the pip or by how far it is off; give one of them")
    error = height_from_pip(pip) if pip is not None else off or 0.0
    not_below_zero(off=error)
    return Answer(
        title=f"Lathe tool {say.both(error, 3)} off the middle",
        rows=(
            Row(quantity="off the middle by", value=error, unit="mm", places=3),
            *_turned(diameter, error),
        ),
        formula=tuple(_sums(say, pip, error, diameter)),
        advice=(
            (
                "which way: nip a rule between the point and a round bar; its top leans towards "
                "you where the tool is low, away from you where it is high (common practice)"
            ),
            "pack under the shank, or take packing away, by this much; face again: no pip is left",
        ),
        cautions=(
            "stop the spindle before measuring the pip or packing the tool",
            "a tool off the middle turns every taper curved and changes its rake and clearance",
        ),
        sources=("turned radius = sqrt(reading^2 + height^2): geometry",),
    )


def _turned(diameter: float | None, error: float) -> Iterator[Row]:
    """Yield what is turned at a reading."""
    if diameter is None:
        return
    turned = 2 * radius_at_height(diameter / 2, error)
    yield Row(quantity="turned in fact", value=turned, unit="mm", places=3)
    yield Row(quantity="too large by", value=turned - diameter, unit="mm", places=4)


def _sums(say: Wording, pip: float | None, error: float, diameter: float | None) -> Iterator[str]:
    """Yield the sums with the figures put in."""
    if pip is not None:
        yield f"off the middle = pip / 2 = {say.figure(pip)} / 2 = {say.length(error, 3)}"
    if diameter is not None:
        turned = 2 * radius_at_height(diameter / 2, error)
        yield (
            f"turned = 2 x sqrt((diameter / 2)^2 + height^2) = 2 x sqrt({say.figure(diameter / 2)}"
            f"^2 + {say.figure(error)}^2) = {say.length(turned, 3)}"
        )
