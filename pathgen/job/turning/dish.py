"""A dish in the right end of turned work: part of a hollow ball whose centre is on the axis; mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from pathgen.input.getters import Table
from pathgen.input.where import Where
from pathgen.job.reading.areas import read_file_to_line
from pathgen.job.reading.spheres import read_sphere_sizes
from pathgen.job.sizes import Size
from pathgen.job.spheres import FOLLOWS
from pathgen.job.turning.edges import LINE
from pathgen.reckon.arcs import depth_of_arc, radius_from_chord
from pathgen.reckon.sphere_steps import chord_at

RIM = 1.0  # mm of the end that stay beside a dish, for tools to be touched on
FLOOR = 1.0  # mm of metal that stays under a dish


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedDish:
    """A dish, given by two of radius, chord and depth."""

    name: str
    radius: float
    chord: Size  # across, in the face
    depth: Size  # from the face, on the axis
    file_to_line: float | None  # left to smooth at most, cut by hand
    where: Where = field(compare=False, repr=False)

    @property
    def most_left(self) -> float:
        """Return how far metal may stand over its surface, mm."""
        return LINE if self.file_to_line is None else self.file_to_line

    @property
    def centre(self) -> float:
        """Return the z of its centre, mm: to the right of the face."""
        return self.radius - depth_of_arc(self.radius, self.across)

    @property
    def across(self) -> float:
        """Return the chord that is aimed at, in the middle of its limits or those of the depth."""
        if self.chord.basis == FOLLOWS:
            return chord_at(self.radius, self.depth.middle)
        return self.chord.middle


def read_turned_dish(table: Table, tolerance_class: str) -> TurnedDish | None:
    """Read a dish in the right end."""
    name = table.text("name")
    if table.has("radius_limits"):
        table.wrong(
            "radius_limits",
            "limits of a radius that is filed or followed to its line",
            "give limits of the chord or the depth; file_to_line says what may stay over the line",
        )
    sizes = read_sphere_sizes(table, tolerance_class)
    granted = read_file_to_line(table)
    table.no_more()
    if table.faulty or sizes is None:
        return None
    radius = sizes["radius"].nominal
    if sizes["radius"].basis == FOLLOWS:
        radius = radius_from_chord(sizes["chord"].middle, sizes["depth"].middle)
    return TurnedDish(
        name=name,
        radius=radius,
        chord=sizes["chord"],
        depth=sizes["depth"],
        file_to_line=granted,
        where=table.where(),
    )


def guard_dishes(
    pairs: Sequence[tuple[Table, TurnedDish]],
    out: float | None,
    length: float | None,
    *,
    hollow: bool,
) -> None:
    """Record dishes that the end has no room for.

    Args:
        pairs: the tables of the dishes, and these.
        out: where the end's rim is at its least, as turned and with its edge; None where not.
        length: of the part, at its least, mm; None where nothing says.
        hollow: whether there is a hole on the axis.
    """
    for table, dish in pairs:
        if dish is not pairs[0][1]:
            table.wrong("kind", "a second dish in one end", "give one")
        if hollow:
            table.wrong(
                "kind",
                "a dish in an end with a hole",
                "leave out one of them: the dish goes to the axis",
            )
        if out is None:
            table.wrong("kind", "a dish in an end that is not turned", "put it after kind turned")
        elif dish.chord.high / 2 + RIM > out:
            table.wrong(
                "chord" if table.has("chord") else "radius",
                f"{table.say(dish.chord.high)} across in an end of {table.say(2 * out)}",
                f"leave {table.say(RIM)} of the end beside it, to touch tools on",
            )
        if length is not None and dish.depth.high + FLOOR > length:
            table.wrong(
                "depth" if table.has("depth") else "radius",
                f"{table.say(dish.depth.high)} deep in a part {table.say(length)} long",
                f"leave {table.say(FLOOR)} under it",
            )
