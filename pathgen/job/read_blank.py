"""Reading ``[blank]`` of milled work: a flat bar, or a round shaft that lies along x."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.job import Blank
from pathgen.job.read_material import read_material


def read_bar(table: Table) -> Blank:
    """Read ``[blank]`` of a bar, a round one where it has a diameter.

    What is returned is of use only if nothing was wrong.
    """
    length = table.length("length", above=0)
    is_shaft = table.has("diameter")
    if is_shaft:
        width = thickness = table.length("diameter", above=0)
        for key in ("width", "thickness"):
            if table.has(key):
                table.wrong(key, "given beside diameter", "leave it out; the bar is round")
    else:
        width = table.length("width", above=0)
        thickness = table.length("thickness", above=0)
    material = read_material(table)
    table.no_more()
    return Blank(
        length=length, width=width, thickness=thickness, material=material, is_shaft=is_shaft
    )
