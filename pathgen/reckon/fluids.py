"""What cutter and work are kept cool and oiled with, by material and kind of work."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.reckon.materials import material_name
from pathgen.reckon.tables import table

Work: TypeAlias = Literal["cut", "ream", "tap"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fluid:
    """What is brushed on, and whether a flood of soluble oil does as well."""

    name: str  # "cutting oil"; empty for dry
    flood: bool


def fluid_for(material: str, work: Work = "cut") -> Fluid:
    """Return the fluid for a material by any of its names.

    Args:
        material: what is cut.
        work: milling and drilling ("cut"), reaming or tapping.

    Source: common practice, no source (`data/fluids.toml`).

    >>> fluid_for("EN8").name, fluid_for("cast iron").name, fluid_for("gunmetal", "tap").name
    ('cutting oil', '', 'light machine oil')

    Raises:
        ValueError: the material is not known.
    """
    name = material_name(material)
    row = next(row for row in table("fluids")["fluid"] if name in row["materials"])
    return Fluid(name=row.get(work, row["cut"]), flood=row["flood"])
