"""Reading what is wanted inside turned work, and what there is no room for."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pathgen.input.getters import Table
from pathgen.job.reading.tapping import read_tapping, tapping_depth, tapping_size
from pathgen.job.sizes import Size, read_size
from pathgen.job.turning.inside import (
    FINISHES,
    AxialHole,
    Bored,
    BoredStep,
    Inside,
    Recess,
    depth_of,
    wide_at,
)
from pathgen.job.turning.shoulders import guard_next_diameter, guard_next_place
from pathgen.job.turning.turned import RoundBlank
from pathgen.job.turning.walls import WALL

CORNER = 0.5  # mm, where a job does not say how round the corner at a shoulder may be
DEEPER = 0.2  # mm that a recess is deeper than its bore, at least


def read_axial_hole(table: Table, blank: RoundBlank, tolerance_class: str) -> AxialHole | None:
    """Read a hole on the axis: drilled, reamed, or tapped by hand."""
    name = table.text("name")
    if table.has("tapped"):
        return _tapped(table, blank, name)
    diameter = table.length("diameter", above=0)
    size = read_size(table, "diameter", diameter, tolerance_class)
    depth = _depth(table, "depth", tolerance_class)
    finish = table.choice("finish", FINISHES, default="drilled")
    table.no_more()
    if table.faulty:
        return None
    return AxialHole(
        name=name, diameter=size, depth=depth, finish=finish, tapping=None, where=table.where()
    )


def _tapped(table: Table, blank: RoundBlank, name: str) -> AxialHole | None:
    """Read a hole that is tapped by hand: its drill follows from its thread."""
    tapping = read_tapping(table)
    depth = None if tapping is None else tapping_depth(table, tapping, blank.length)
    if not table.has("depth"):
        table.wrong("depth", "not given", 'give the length of full thread, or "through"')
    table.no_more()
    if table.faulty or tapping is None:
        return None
    return AxialHole(
        name=name,
        diameter=tapping_size(tapping),
        depth=depth,
        finish="tapped",
        tapping=tapping,
        where=table.where(),
    )


def _depth(table: Table, key: str, tolerance_class: str) -> Size | None:
    """Read a depth; None for "through"."""
    if table.says(key, "through"):
        return None
    return read_size(table, key, table.length(key, above=0), tolerance_class)


def read_bored(table: Table, tolerance_class: str) -> Bored | None:
    """Read a bore of one diameter or of several."""
    name = table.text("name")
    corner = table.length("corner", default=CORNER, least=0)
    tables = table.tables("steps", least=1)
    steps = [_step(each, tolerance_class) for each in tables]
    table.no_more()
    if not table.faulty:
        for each, (right, left) in zip(tables[1:], pairwise(steps), strict=True):
            _guard_step(each, right, left, corner)
    if table.faulty:
        return None
    return Bored(name=name, steps=tuple(steps), corner=corner, where=table.where())


def _step(table: Table, tolerance_class: str) -> BoredStep:
    """Read one diameter of a bore."""
    diameter = table.length("diameter", above=0)
    size = read_size(table, "diameter", diameter, tolerance_class)
    step = BoredStep(diameter=size, to=_depth(table, "to", tolerance_class))
    table.no_more()
    return step


def _guard_step(table: Table, right: BoredStep, left: BoredStep, corner: float) -> None:
    """Record a diameter of a bore that does not follow from the one before it."""
    if right.to is None:
        table.wrong("to", "a diameter behind one that goes through", "let the last one go through")
        return
    guard_next_diameter(table, right.diameter, left.diameter, corner=corner, grows=False)
    if left.to is not None:
        guard_next_place(table, right.to, left.to)


def read_recess(table: Table, tolerance_class: str) -> Recess | None:
    """Read a groove inside a bore."""
    name = table.text("name")
    corner = table.length("corner", default=0.2, least=0)
    sizes = {
        key: read_size(table, key, table.length(key, above=0), tolerance_class)
        for key in ("diameter", "start", "width")
    }
    table.no_more()
    if table.faulty:
        return None
    return Recess(name=name, corner=corner, where=table.where(), **sizes)


def guard_inside(
    table: Table,
    inside: Sequence[Inside],
    length: float | None,
) -> None:
    """Record holes that run into the air, or recesses that lie in no bore.

    Args:
        table: the setup's.
        inside: what is wanted inside, in the order of doing.
        length: of the part that is cut off, mm; None where it is not.
    """
    holes = [each for each in inside if not isinstance(each, Recess)]
    if len(holes) > 1:
        table.wrong("feature", "more than one hole on the axis", "give its diameters as one bored")
    for each in inside:
        deep = depth_of(each)
        if deep is None and length is None:
            table.wrong(
                "feature",
                f"{each.name} goes through a part that is not cut off",
                "part it off in this setup, or give how deep it is",
            )
        elif deep is not None and length is not None and deep > length - WALL:
            table.wrong(
                "feature",
                f"{each.name} goes {table.say(deep)} deep, its drill's point too, in a part"
                f" {table.say(length)} long",
                'give less, or "through"',
            )
        if isinstance(each, Recess):
            _guard_recess(table, each, holes)


def _guard_recess(table: Table, recess: Recess, holes: Sequence[AxialHole | Bored]) -> None:
    """Record a recess that lies in no bore, or is no deeper than it."""
    at = [wide_at(hole, recess.end) for hole in holes]
    if not any(at):
        table.wrong("feature", f"{recess.name} lies in no bore", "put it into one, listed before")
        return
    widest = max(wide_at(hole, recess.start.low) for hole in holes)
    if widest != max(at):
        table.wrong(
            "feature", f"{recess.name} crosses a shoulder of its bore", "keep it to one diameter"
        )
    elif recess.diameter.low <= widest + 2 * DEEPER:
        table.wrong(
            "feature",
            f"{recess.name}, {table.say(recess.diameter.nominal)} across in a bore of"
            f" {table.say(widest)}",
            "make it deeper",
        )
