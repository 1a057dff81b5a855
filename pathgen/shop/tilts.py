"""What tilts on a machine: its head, or a chuck on the table that turns the work."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.where import Where

Part: TypeAlias = Literal["chuck", "head"]
Leaning: TypeAlias = Literal["left", "right"]
Feeding: TypeAlias = Literal["quill", "knee"]
PARTS: tuple[Part, ...] = ("chuck", "head")
LEANINGS: tuple[Leaning, ...] = ("left", "right")
FEEDINGS: tuple[Feeding, ...] = ("quill", "knee")
SCALE_PART = 0.25  # of a degree: as the eye reads a scale of degrees (common practice, no source)
STEEPEST = 80.0  # degrees that any such part is asked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Tilt:
    """A head or a chuck that tilts in the plane of x and z, and how well it can be set.

    ``leans`` says where to: the face of the work in a chuck, or the nose of the spindle. ``feeds``
    is what takes depth: a knee goes along the axis of the work under a tilted head, a quill along
    the spindle. A chuck turns the work about its own axis; so does what lies under a tilted head.
    """

    part: Part
    name: str
    least_deg: float
    most_deg: float
    step_deg: float  # the finest angle that is set
    uncertainty_deg: float  # half width of what setting leaves open
    leans: Leaning
    feeds: Feeding
    turned_by: str  # "its handle": what the person turns the work with
    meets_within: float  # half width of how far the two axes may pass one another, mm
    where: Where = field(compare=False, repr=False)

    @property
    def side(self) -> int:
        """Return -1 where it leans to the left, +1 to the right."""
        return -1 if self.leans == "left" else 1


def read_tilt(table: Table) -> Tilt | None:
    """Read ``[tilt]`` of a machine file; None when anything in it was wrong."""
    part: Part = table.choice("part", PARTS)
    step = table.number("step_deg", default=SCALE_PART, above=0, most=5)
    tilt = Tilt(
        part=part,
        name=table.text("name", default=f"tilting {part}"),
        least_deg=table.number("least_deg", default=0.0, least=0, most=STEEPEST),
        most_deg=table.number("most_deg", above=0, most=STEEPEST),
        step_deg=step,
        uncertainty_deg=table.number("uncertainty_deg", default=step / 2, least=0, most=5),
        leans=table.choice("leans", LEANINGS, default="left"),
        feeds=table.choice("feeds", FEEDINGS, default="quill"),
        turned_by=table.text("turned_by", default="its handle"),
        meets_within=table.length("meets_within", default=0.02, least=0, most=1),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty and tilt.least_deg >= tilt.most_deg:
        table.wrong("least_deg", f"{tilt.least_deg:g} is not below the most", "swap the two")
    return None if table.faulty else tilt
