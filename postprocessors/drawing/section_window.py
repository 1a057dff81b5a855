"""The section's place: which stretch of the part it shows, at which scale, with which heights."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.job.holes import Holes
from postprocessors.drawing.area_section import cut_spans, floor_at
from postprocessors.drawing.lettering import SMALL, width_of
from postprocessors.drawing.scale import SCALES, Extent
from postprocessors.drawing.scene import Scene, chord, cut_by

ABOVE = 7.0  # shown above the blank, mm on the sheet
BENEATH = 4.0  # shown below the lowest place, mm on the sheet
BED = 18.0  # the bed is shown if it lies at most so far below the lowest place, mm on the sheet
HEADING = 8.0  # for the name of the section
LEFT = 16.0  # for the dimensions on the left
LEVEL = 4.6  # from one level's words to the next
LEVEL_RUN = 8.0  # from the section to the words of its levels
LEAST_THICK = 10.0  # a thinner section on the sheet is drawn at a larger scale, mm
PART_WIDE, PART_HIGH = (70.0, 48.0, 30.0), 46.0  # the largest size of a section in part, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A section's window in the part (x and z, mm), its scale, and its size on the sheet."""

    scale: float
    window: Extent
    levels: tuple[tuple[float, str], ...]

    @property
    def body(self) -> tuple[float, float]:
        """Return the width and height of what is drawn to scale, mm on the sheet."""
        x0, z0, x1, z1 = self.window
        return (x1 - x0) * self.scale, (z1 - z0) * self.scale

    @property
    def right(self) -> float:
        """Return the room that the levels need on the right, mm."""
        return LEVEL_RUN + max(width_of(words, SMALL) for _, words in self.levels) + 1.5

    @property
    def height(self) -> float:
        """Return the whole height with the heading, mm."""
        return HEADING + max(self.body[1], LEVEL * len(self.levels)) + 2.0


def whole_section(scene: Scene, scale: float) -> Section | None:
    """Return the section as wide as the plan at its scale; None where that would be too thin."""
    if scene.job.blank.thickness * scale < LEAST_THICK:
        return None
    window = scene.plan_window(scale)
    return _section(scene, scale, (window[0], window[2]))


def part_sections(scene: Scene, scale: float) -> Iterator[Section]:
    """Yield sections of the place that tells most, wide ones first, as large as has room."""
    for room in PART_WIDE:
        least = scale if scene.job.blank.thickness * scale >= LEAST_THICK else None
        sections = [
            _section(scene, larger, _place_of_interest(scene, room / larger)) for larger in SCALES
        ]
        fitting = [s for s in sections if s.body[1] <= PART_HIGH or s.scale == least]
        least_scale = max(scale, LEAST_THICK / scene.job.blank.thickness)
        with_bed = [s for s in fitting if s.window[1] < scene.bed and s.scale >= least_scale]
        yield from (with_bed or fitting)[:1]


def _section(scene: Scene, scale: float, across: tuple[float, float]) -> Section:
    """Return a section from x to x, high enough for all that happens beneath."""
    low, high = scene.lowest - BENEATH / scale, scene.high[2] + ABOVE / scale
    if scene.bed >= scene.lowest - BED / scale:
        low = min(low, scene.bed - BENEATH / scale)
    window = Extent(across[0], low, across[1], high)
    return Section(scale=scale, window=window, levels=_levels(scene, window))


def _place_of_interest(scene: Scene, room: float) -> tuple[float, float]:
    """Return from where to where to cut in part: the low end of the first slot that is cut.

    Without slots or areas it is about the hole in the plane that has most depths to show.
    """
    plane = scene.plane
    cuts = [cut for slot in scene.slots if (cut := cut_by(slot, plane))]
    cuts += [span for area in scene.areas for span in cut_spans(scene, area, plane)]
    low, high = scene.low[0], scene.high[0]
    if high - low <= room:
        return low, high
    cuts = cuts or _telling_holes(scene)
    start, end = cuts[0] if cuts else (low, high)
    middle = (start + end) / 2 if end - start < 0.7 * room else start + 0.2 * room
    left = min(max(low, middle - room / 2), high - room)
    return left, left + room


def _telling_holes(scene: Scene) -> list[tuple[float, float]]:
    """Return where the plane cuts holes, those first that have most depths to show."""

    def depths(holes: Holes) -> int:
        return len(holes.counterbores) + (holes.depth is not None)

    return [
        span
        for holes in sorted(scene.wanted_holes, key=depths, reverse=True)
        for place in holes.places
        if (span := chord(place.at, holes.bore.nominal / 2, scene.plane)) is not None
    ]


def _levels(scene: Scene, window: Extent) -> tuple[tuple[float, str], ...]:
    """Return the heights that matter with their words, highest first, from the zero of z.

    Of holes only those that the window shows.
    """
    top, number = scene.high[2], scene.units.number
    found = {(top, "crown" if scene.job.blank.is_shaft else "top"), (scene.low[2], "underside")}
    found |= {(top - s.depth.nominal, "slot floor") for s in scene.slots if s.depth is not None}
    found |= {
        (top - each.depth.nominal + each.head_height.nominal, "roof of the head")
        for each in scene.t_slots
    }
    found |= {(floor_at(scene, area), "floor") for area in scene.areas if not area.through}
    plane = scene.plane
    for holes in scene.wanted_holes:
        spans = [chord(each.at, holes.bore.nominal / 2, plane) for each in holes.places]
        if not any(span and span[0] < window[2] and span[1] > window[0] for span in spans):
            continue
        found |= {(top - each.nominal, "full diameter") for each in (holes.depth,) if each}
        found |= {(top - each.depth.nominal, each.word) for each in holes.counterbores}
    for word, across in (("cutter", True), ("drill", False)):
        depths = [work.deepest for work in scene.works if bool(work.cuts) == across]
        if depths and math.isfinite(min(depths)):
            found.add((min(depths), word))
    found.add((scene.bed, "bed" if scene.bed >= window[1] else "bed (not drawn)"))
    ordered = sorted(found, key=lambda each: (-each[0], each[1]))
    return tuple((z, f"{number(z)} {words}") for z, words in ordered)
