"""The hole that a screw passes through."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording
from pathgen.commands.reckoning.crib import beside_option, find_crib
from pathgen.commands.reckoning.inputs import as_thread
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.drill_series import Drill, nearest_drills
from pathgen.reckon.tapping import HoleClass, clearance_hole
from pathgen.reckon.threads import Thread

CLASSES: tuple[HoleClass, ...] = get_args(HoleClass)


@topic(
    "clearance",
    Example(
        typed="clearance M6",
        prints=("close  6.40  0.252", "medium  6.60  0.260", "free  7.00  0.276"),
    ),
)
@click.argument("thread", metavar="THREAD", nargs=-1, required=True, callback=as_thread)
@beside_option
def clearance(say: Wording, thread: Thread, beside: Path) -> Answer:
    """Find the hole that a screw of THREAD passes through, and the drills for it."""
    crib = find_crib(beside)
    holes = {name: clearance_hole(thread, name) for name in CLASSES}
    lines = tuple(
        (
            name,
            hole,
            _named(nearest_drills(hole, ("metric",))[1]),
            _named(crib.around(hole)[1]),
        )
        for name, (hole, _) in holes.items()
    )
    columns = (
        Column(heading="hole"),
        Column(heading="diameter", unit="mm"),
        Column(heading="metric series"),
        Column(heading="in the crib, or next above"),
    )
    return Answer(
        title=f"Clearance hole for {thread.designation}",
        rows=(Row(quantity="screw over its crests", value=thread.major, unit="mm", places=3),),
        tables=(Table(title="Holes and the drills for them", columns=columns, lines=lines),),
        formula=tuple(
            f"room of the {name} hole = {say.figure(hole, 3)} - {say.figure(thread.major, 3)} = "
            f"{say.length(hole - thread.major, 3)}"
            for name, (hole, _) in holes.items()
        ),
        advice=(
            (
                "close where the holes are drilled through together; medium for most work; "
                "free where "
                "several holes must meet (common practice, no source)"
            ),
        ),
        cautions=crib.cautions,
        sources=tuple(dict.fromkeys(source for _, source in holes.values())),
    )


def _named(drill: Drill | None) -> str:
    return "none" if drill is None else drill.name
