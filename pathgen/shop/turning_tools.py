"""Lathe tools of the crib: what their cutting ends look like from above, in the half plane."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.where import Where

TurningKind: TypeAlias = Literal["turning", "parting"]
KINDS: tuple[TurningKind, ...] = ("turning", "parting")
SQUARE_DEG = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningTool:
    """One lathe tool; lengths in mm.

    Its place is that of the point that a dial is set by: as far to the chuck as its leftmost bit,
    and as near to the axis as its nearest. ``approach_deg`` is the angle between the axis and the
    edge that leads towards the chuck: above 90 it clears a square shoulder behind its nose.
    ``back_deg`` is the angle between the axis and the edge that trails.
    """

    name: str
    kind: TurningKind
    nose_radius: float
    approach_deg: float
    back_deg: float
    width: float  # of the blade of a parting tool; of the shank of others
    reach: float  # from the point outwards to where the shank begins, or as deep as a blade goes
    shank: float  # width of the shank along the axis
    material: str = "HSS"
    where: Where = field(compare=False, repr=False)

    @property
    def squares_shoulders(self) -> bool:
        """Return whether it cuts a diameter and leaves a square shoulder at its end."""
        return self.kind == "turning" and self.approach_deg > SQUARE_DEG


def read_turning_tool(table: Table) -> TurningTool | None:
    """Read one ``[[turning_tool]]``."""
    kind = table.choice("kind", KINDS)
    parting = kind == "parting"
    shank = table.length("shank", above=0)
    tool = TurningTool(
        name=table.text("name"),
        kind=kind,
        nose_radius=table.length("nose_radius", default=0.0 if parting else None, least=0),
        approach_deg=table.number(
            "approach_deg", default=90.0 if parting else None, above=0, most=135
        ),
        back_deg=table.number("back_deg", default=0.0 if parting else None, least=0, most=89),
        width=table.length("width", default=None if parting else shank, above=0),
        reach=table.length("reach", above=0),
        shank=shank,
        material=table.choice("material", ("HSS", "carbide"), default="HSS"),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and tool.kind == "turning":
        _guard_edges(table, tool)
    return None if table.faulty else tool


def _guard_edges(table: Table, tool: TurningTool) -> None:
    """Record edges between which no tool is left."""
    included = tool.approach_deg - tool.back_deg
    if included <= 0 or not math.isfinite(included):
        table.wrong(
            "back_deg",
            f"{tool.back_deg:g} degrees leave nothing beside an approach of {tool.approach_deg:g}",
            "give the angle between the axis and the trailing edge",
        )
