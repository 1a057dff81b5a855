"""Reading what a blank is made of."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.reckon.materials import material_name


def read_material(table: Table) -> str:
    """Return the material of a blank by the name that the figures go by."""
    material = table.text("material")
    if not table.faulty:
        try:
            return material_name(material)
        except ValueError as error:
            table.wrong("material", str(error), "`pathgen shop` lists the materials")
    return material
