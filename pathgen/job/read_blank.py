"""Reading ``[blank]`` of milled work: a flat bar, or a round shaft that lies along x."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.job import Blank
from pathgen.job.read_material import read_material


def read_bar(table: Table) -> Blank:
    """Read ``[blank]`` of a flat bar; what is returned is of use only if nothing was wrong."""
    length = table.length("length", above=0)
    width = table.length("width", above=0)
    thickness = table.length("thickness", above=0)
    material = read_material(table)
    table.no_more()
    return Blank(length=length, width=width, thickness=thickness, material=material)


def read_shaft(table: Table) -> Blank:
    """Read ``[blank]`` of a round shaft that lies along x; of use only if nothing was wrong."""
    diameter = table.length("diameter", above=0)
    length = table.length("length", above=0)
    material = read_material(table)
    table.no_more()
    return Blank(
        length=length, width=diameter, thickness=diameter, material=material, is_shaft=True
    )
