"""Sets of drills in a crib file: by typed names, or all of a series."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.reckon.drills import Drill, Series, drill_series, jobber_flutes
from pathgen.shop.cutters import Cutter

SETS: tuple[Series, ...] = ("number", "letter", "fractional")  # series of which a whole set is sold
SAME = 1e-6  # mm


def read_drill_set(table: Table) -> list[Cutter]:
    """Read one ``[[drills]]``: ``sizes`` by typed name, or ``series`` from one size to another.

    Flutes that are not told have the length of jobber drills.
    """
    by_series = table.has("series")
    if by_series == table.has("sizes"):
        both = "given beside series" if by_series else "missing"
        table.wrong("sizes", both, "list sizes by name, or give a whole series")
    drills = _of_series(table) if by_series else _by_name(table)
    flutes = _flutes(table, drills)
    angle = table.number("point_angle_deg", default=118.0, above=0, most=180)
    material = table.choice("material", ("HSS", "carbide"), default="HSS")
    table.no_more()
    if table.faulty:
        return []
    where = table.where("series" if by_series else "sizes")
    return [
        Cutter(
            name=name,
            kind="drill",
            nominal=diameter,
            diameter=diameter,
            flutes=2,
            flute_length=length,
            shank=diameter,
            cuts_at_centre=True,
            point_angle_deg=angle,
            material=material,
            file=where.file,
            where=where,
        )
        for (name, diameter), length in zip(drills, flutes, strict=True)
    ]


def _by_name(table: Table) -> list[tuple[str, float]]:
    """Return the drills of a list by their names, with their diameters, mm."""
    names = table.texts("sizes")
    return list(zip(names, table.lengths("sizes", count=len(names)), strict=True))


def _of_series(table: Table) -> list[tuple[str, float]]:
    """Return the drills of a series between two of its sizes, with their diameters, mm."""
    every = drill_series(table.choice("series", SETS))
    least = table.length("least", default=every[0].diameter, above=0)
    most = table.length("most", default=every[-1].diameter, above=0)
    found = [each for each in every if least - SAME <= each.diameter <= most + SAME]
    if not found and not table.faulty:
        table.wrong(
            "series",
            f"none of it lies between {table.say(least)} and {table.say(most)}",
            f"it goes from {_name(every[0])} to {_name(every[-1])}",
        )
    return [(each.name, each.diameter) for each in found]


def _name(drill: Drill) -> str:
    return f"{drill.name} ({drill.diameter:.4g} mm)"


def _flutes(table: Table, drills: list[tuple[str, float]]) -> tuple[float, ...]:
    """Return how long the flutes are, mm: as told for each, else as jobber drills have them."""
    if table.has("flute_lengths"):
        return table.lengths("flute_lengths", count=len(drills))
    lengths = []
    for name, diameter in drills:
        try:
            lengths.append(jobber_flutes(diameter))
        except ValueError as error:
            wrong, _, _ = str(error).partition("; ")
            right = "give flute_lengths, in a table of its own for such drills"
            table.wrong("flute_lengths", f"missing for {name}: {wrong}", right)
            return ()
    return tuple(lengths)
