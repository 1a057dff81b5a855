"""A drill by its name or its size."""

from __future__ import annotations

from pathlib import Path

import click

from pathgen import INCH
from pathgen.commands.reckoning.answer import (
    Answer,
    Column,
    Row,
    Table,
    Wording,
    fixed,
    plain,
)
from pathgen.commands.reckoning.crib import Crib, beside_option, find_crib
from pathgen.commands.reckoning.inputs import as_drill
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.drill_series import ALL_SERIES, Drill, Series, drill_name, nearest_drills
from pathgen.reckon.drills import ORDINARY_POINT_DEG, point_length

SERIES_WORDS: dict[Series, str] = {
    "metric": "metric",
    "fractional": "fractions of an inch",
    "letter": "letters",
    "number": "numbers",
}


@topic(
    "drill",
    Example(
        typed="drill No. 7",
        prints=("diameter  0.2010 in  5.105 mm", "point, 118 deg  0.060 in  1.53 mm"),
    ),
)
@click.argument("size", metavar="SIZE", nargs=-1, required=True, callback=as_drill)
@click.option(
    "--point",
    "point_deg",
    metavar="DEGREES",
    type=click.FloatRange(0, 180, min_open=True, max_open=True),
    default=ORDINARY_POINT_DEG,
    show_default=True,
    help="The angle of the point; 135 for hard stuff.",
)
@beside_option
def drill(say: Wording, size: float, point_deg: float, beside: Path) -> Answer:
    """Look up a drill: its size in both units, its neighbours, how long its point is.

    SIZE is a name or a size: No. 7, "#7 drill", F, 3/8 in, 6.8.
    """
    crib = find_crib(beside)
    names = [name for series in ALL_SERIES if (name := drill_name(size, (series,)))]
    length = point_length(size, point_deg)
    return Answer(
        title=f"Drill of {say.both(size, 3)}",
        rows=(
            Row(quantity="diameter", value=size, unit="mm", places=3),
            Row(quantity="made as", value=", ".join(names) or "no series has this size"),
            Row(
                quantity=f"point, {point_deg:g} deg",
                value=length,
                unit="mm",
                note="so much deeper where the full diameter counts",
            ),
        ),
        tables=(_neighbours(size, crib),),
        formula=(
            (
                f"point = diameter / 2 / tan(angle / 2) = {say.figure(size)} / 2 / "
                f"tan({point_deg / 2:g} deg) = {say.length(length)}"
            ),
        ),
        cautions=(*_mixed_up(names), *crib.cautions),
        sources=(
            "drill series: ANSI sizes as tabled, BS 328; the point: right triangle of the cone",
        ),
    )


def _neighbours(size: float, crib: Crib) -> Table:
    """Return the drills below and above in each series and in the crib."""
    found = [(SERIES_WORDS[series], nearest_drills(size, (series,))) for series in ALL_SERIES]
    found.append(("the crib", crib.around(size)))
    return Table(
        title="Nearest drills (how far off)",
        columns=(Column(heading="series"), Column(heading="below"), Column(heading="above")),
        lines=tuple(
            (words, _told(below, size), _told(above, size)) for words, (below, above) in found
        ),
    )


def _told(drill: Drill | None, size: float) -> str:
    if drill is None:
        return "none"
    off = drill.diameter - size
    if abs(off) < 1e-6:
        return f"{drill.name} (this size)"
    sign = "+" if off > 0 else "-"
    return f"{drill.name} ({sign}{fixed(abs(off), 3)} mm, {sign}{fixed(abs(off) / INCH, 4)} in)"


def _mixed_up(names: list[str]) -> tuple[str, ...]:
    """Return what a number drill is mistaken for."""
    numbers = [name.split()[1] for name in names if name.startswith("No.")]
    return tuple(
        f"No. {number} is neither {plain(float(number), 0)} mm nor the screw size #{number}; a "
        "higher number is a smaller drill"
        for number in numbers
    )
