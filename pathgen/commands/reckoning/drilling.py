"""The drills that lead to a hole, in their order, and the pecks."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, same
from pathgen.commands.reckoning.crib import Crib, beside_option, find_crib
from pathgen.commands.reckoning.inputs import LENGTH, as_drill
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.drilling import DrillStep, Method, drilling_sequence, pecks
from pathgen.reckon.drills import point_length

LAST_WORDS: dict[Method, str] = {"drill": "drilled", "bore": "bored", "ream": "reamed"}


@topic(
    "drilling",
    Example(
        typed="drilling 12 --to ream --depth 30",
        prints=("last  11.7 mm drill  11.70  0.461",),
    ),
)
@click.argument("size", metavar="SIZE", nargs=-1, required=True, callback=as_drill)
@click.option(
    "--to",
    "method",
    type=click.Choice(get_args(Method)),
    default="drill",
    show_default=True,
    help="How the hole is finished.",
)
@click.option("--depth", type=LENGTH, help="Depth at full diameter, for the pecks.")
@click.option("--pilot-above", type=LENGTH, help="Larger drills get a pilot.", show_default="10 mm")
@beside_option
def drilling(
    say: Wording,
    size: float,
    method: Method,
    depth: float | None,
    pilot_above: float | None,
    beside: Path,
) -> Answer:
    """List spot, pilot and drills up to a hole of SIZE, and the pecks of each.

    Drills are taken out of the crib where it can lead to the hole, else out of the metric series.
    """
    crib = find_crib(beside)
    steps, cautions = _steps(size, crib, method, pilot_above)
    last = steps[-1].diameter
    rows = [Row(quantity=f"hole, {LAST_WORDS[method]}", value=size, unit="mm", places=3)]
    if depth is not None:
        point = point_length(last)
        rows += [
            Row(quantity="depth at full diameter", value=depth, unit="mm"),
            Row(quantity="depth of the last drill's tip", value=depth + point, unit="mm"),
        ]
    return Answer(
        title=f"Drills up to {say.both(size, 3)}, {LAST_WORDS[method]}",
        rows=tuple(rows),
        tables=(_step_table(steps), *([] if depth is None else [_pecks(steps, depth)])),
        advice=("lock the slides, spot first; ease off as the drill breaks through",),
        cautions=(*cautions, *crib.cautions),
        sources=(
            "a pilot as thick as the web, opening out, pecks: common practice, no source",
            *(["stock for the reamer: a reamer maker's table"] if method == "ream" else []),
        ),
    )


def _steps(
    size: float, crib: Crib, method: Method, pilot_above: float | None
) -> tuple[tuple[DrillStep, ...], tuple[str, ...]]:
    """Return the steps out of the crib; out of the series, with a caution, where it cannot."""
    try:
        steps = drilling_sequence(size, drills=crib.drills, method=method, pilot_above=pilot_above)
    except ValueError as error:
        steps = drilling_sequence(size, method=method, pilot_above=pilot_above)
        return steps, (f"not out of the crib ({error}): these are of the metric series",)
    return steps, ()


def _step_table(steps: tuple[DrillStep, ...]) -> Table:
    return Table(
        title="In this order",
        columns=(
            Column(heading="step"),
            Column(heading="drill"),
            Column(heading="diameter", unit="mm"),
            Column(heading="why"),
        ),
        lines=tuple(
            (
                step.purpose,
                "spotting drill" if step.drill is None else step.drill.name,
                step.diameter,
                step.why,
            )
            for step in steps
        ),
    )


def _pecks(steps: tuple[DrillStep, ...], depth: float) -> Table:
    """Return how far each drill goes down, tip below the face, before it is drawn out.

    Pecks alike are one line.
    """
    lines: list[tuple[str, float, float, float]] = []
    for step in steps:
        if step.drill is None:
            lines.append(("spot", 1.0, step.depth or 0.0, step.depth or 0.0))
            continue
        before = 0.0
        for down in pecks(depth + point_length(step.diameter), step.diameter):
            name, count, each, _ = lines[-1]
            alike = name == step.drill.name and same(each, down - before)
            if alike:
                lines.pop()
            lines.append((step.drill.name, count + 1 if alike else 1.0, down - before, down))
            before = down
    return Table(
        title="Pecks, tip below the face; draw out after each",
        columns=(
            Column(heading="drill"),
            Column(heading="pecks", places=0),
            Column(heading="each", unit="mm"),
            Column(heading="down to", unit="mm"),
        ),
        lines=tuple(lines),
    )
