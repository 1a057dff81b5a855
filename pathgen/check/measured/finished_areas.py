"""An area as the moves leave it: its walls, its floor, its sizes."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.job.job import Area


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FinishedArea:
    """An area as the moves leave it; setup's frame, mm."""

    area: Area
    least: BaseGeometry  # what must be cleared, where the area lies; corners left are taken off
    most: BaseGeometry  # what may be cleared, where the area lies
    floor: tuple[float, float]  # its lowest and its highest place, z
    walls_to: float  # the level down to which the walls were measured, z
    corners_left: BaseGeometry  # metal that stays where no cutter of the run comes
    loose: BaseGeometry  # metal within it that nothing holds any more
    sizes: tuple[FinishedSize, ...]
