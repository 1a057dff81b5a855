"""What is to be drawn: the job's setup and the run, with the extents that decide the layout."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from pathgen.job.areas import Pocket
from pathgen.job.holes import Holes
from pathgen.job.job import Area, Job, JobSetup, Keepout, Point
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot
from pathgen.moves.plan import Run
from pathgen.shop.cutters import Cutter
from postprocessors.drawing.found import FindingLike
from postprocessors.drawing.paths import Place, Work, places_drilled, works_of
from postprocessors.drawing.scale import Extent, Units
from postprocessors.drawing.spheres import Tilting, tilting_of

Axis2 = Literal["x", "y"]
CROP = 10.0  # jaws and clamps are shown so far beyond the work, mm on the sheet
STRAY = 25.0  # paths are shown so far outside the blank at least, mm of the part
ON_PLANE = 0.1  # a hole's centre this near to the cutting plane, over its diameter, lies on it


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """All that one drawing shows."""

    job: Job
    setup: JobSetup
    works: tuple[Work, ...]
    cutters: dict[str, Cutter]
    findings: tuple[FindingLike, ...]
    machine: str  # that the run is for
    tilting: Tilting | None = None  # how a fly cutter is set for a dish or dome
    low: Point = field(init=False)  # the blank's corners in the setup's frame, mm: asked for often
    high: Point = field(init=False)
    plane: float = field(init=False)  # the y of the section
    _known: list[Extent] = field(default_factory=list, compare=False, repr=False)

    def __post_init__(self) -> None:
        """Work out once what a layout asks for at every scale that it tries."""
        low, high = self.job.blank_box(self.setup)
        object.__setattr__(self, "low", low)
        object.__setattr__(self, "high", high)
        object.__setattr__(self, "plane", _cutting_plane(self))

    @property
    def units(self) -> Units:
        """Return the units the drawing speaks."""
        return Units(self.job.units)

    @property
    def slots(self) -> tuple[Slot, ...]:
        """Return the slots cut in this setup, and the throats of T-slots."""
        return self.setup.slots

    @property
    def t_slots(self) -> tuple[TSlot, ...]:
        """Return the T-slots cut in this setup."""
        return self.setup.t_slots

    @property
    def wanted_holes(self) -> tuple[Holes, ...]:
        """Return the hole features of this setup."""
        return self.setup.holes

    @property
    def areas(self) -> tuple[Area, ...]:
        """Return the areas of this setup."""
        return self.setup.areas

    @property
    def spheres(self) -> tuple[Sphere, ...]:
        """Return the dish or dome of this setup."""
        return self.setup.spheres

    @property
    def mills(self) -> tuple[Work, ...]:
        """Return the works that cut across."""
        return tuple(work for work in self.works if work.cuts)

    @property
    def holes(self) -> tuple[Place, ...]:
        """Return where holes are made, in the order of drilling."""
        return places_drilled(self.works)

    @property
    def lowest(self) -> float:
        """Return how low any cutter goes, or the underside if none goes lower, mm."""
        return min([self.low[2], *(w.deepest for w in self.works)])

    @property
    def bed(self) -> float:
        """Return the z of what lies beneath the blank, mm."""
        return self.low[2] - self.setup.hold.beneath

    def plan_blank(self) -> Extent:
        """Return the blank's outline in the plan."""
        return Extent(self.low[0], self.low[1], self.high[0], self.high[1])

    def plan_extent(self) -> Extent:
        """Return what the plan must show: blank, zero, the cutter's ways (strays cut off)."""
        if not self._known:  # a layout asks for it at every scale that it tries
            self._known.append(self._plan_extent())
        return self._known[0]

    def _plan_extent(self) -> Extent:
        blank = self.plan_blank()
        most = blank.grown(max(STRAY, 0.3 * max(self.job.blank.length, self.job.blank.width)))
        shown = blank.joined(Extent(0, 0, 0, 0).common(most)) if within(most, 0, 0) else blank
        for work in self.works:
            places = [p for edge in work.edges for p in (edge.start, edge.end)]
            places.extend((hole.x, hole.y) for hole in work.holes)
            if places:
                across, up = zip(*places, strict=True)
                ways = Extent(min(across), min(up), max(across), max(up))
                shown = shown.joined(ways.grown(work.radius))
        return shown.common(most)

    def plan_window(self, scale: float) -> Extent:
        """Return the plan's window: its extent, and somewhat of the jaws that reach beyond it."""
        shown = self.plan_extent()
        visible = [keepout for keepout in self.setup.hold.keepouts if self.seen_from_above(keepout)]
        return with_margins(shown, [plan_of(keepout) for keepout in visible], CROP / scale)

    def seen_from_above(self, keepout: Keepout) -> bool:
        """Return whether a box can be seen from above, in whole or part."""
        covered = plan_of(keepout).common(self.plan_blank()) == plan_of(keepout)
        return not covered or keepout.high[2] > self.low[2] + 1e-6


def scene_of(
    job: Job,
    setup: JobSetup,
    run: Run,
    cutters: Sequence[Cutter],
    findings: Sequence[FindingLike] = (),
) -> Scene:
    """Return what a drawing of a run shows.

    Args:
        job: the job the setup belongs to.
        setup: which setup to draw.
        run: what its program or sheet does, in the setup's frame, mm.
        cutters: the crib, from which the points of the drills are taken by name.
        findings: what the check found.
    """
    tilting = tilting_of(run)
    return Scene(
        job=job,
        setup=setup,
        works=() if tilting is not None else works_of(run),
        tilting=tilting,
        cutters={cutter.name: cutter for cutter in cutters},
        findings=tuple(findings),
        machine=run.head.machine or setup.machine,
    )


def within(extent: Extent, x: float, y: float) -> bool:
    """Return whether an extent holds a place, its edge counted in."""
    return extent[0] <= x <= extent[2] and extent[1] <= y <= extent[3]


def plan_of(keepout: Keepout) -> Extent:
    """Return a box's outline in the plan."""
    return Extent(keepout.low[0], keepout.low[1], keepout.high[0], keepout.high[1])


def front_of(keepout: Keepout) -> Extent:
    """Return a box's outline seen from the front: x and z."""
    return Extent(keepout.low[0], keepout.low[2], keepout.high[0], keepout.high[2])


def with_margins(shown: Extent, others: list[Extent], most: float) -> Extent:
    """Return an extent grown on each side by what reaches beyond it there, but not by more."""
    sides = []
    for side in range(4):
        sign = -1 if side < 2 else 1
        beyond = max([0.0, *(sign * (other[side] - shown[side]) for other in others)])
        sides.append(shown[side] + sign * min(beyond, most))
    return Extent(*sides)


def _cutting_plane(scene: Scene) -> float:
    """Return the y of the section: where it meets most slots and holes.

    A slot along x is cut along its centre line, one along y across, at a hole if it has one.
    """
    low, high = scene.low[1], scene.high[1]
    places = [place for slot in scene.slots for place in _plane_of(scene, slot)]
    places += [place.at[1] for holes in scene.wanted_holes for place in holes.places]
    places += [(area.box[1] + area.box[3]) / 2 for area in scene.areas]
    places += [sphere.at[1] for sphere in scene.spheres]
    inside = [place for place in places if low < place < high] or [(low + high) / 2]
    return max(inside, key=lambda y: _met_by(scene, y))


def _met_by(scene: Scene, y: float) -> tuple[int, int]:
    """Return how many slots, pockets and holes a plane across y meets, and how many sorts of holes.

    A pocket tells more than a hole, and counts for two.
    """
    slots = sum(cut_by(slot, y) is not None for slot in scene.slots)
    met = [
        [chord(place.at, holes.bore.nominal / 2, y) is not None for place in holes.places]
        for holes in scene.wanted_holes
    ]
    areas = sum(
        box[1] < y < box[3]
        for area in scene.areas
        if isinstance(area, Pocket)
        for box in (area.box,)
    )
    return slots + 2 * areas + sum(map(sum, met)), sum(map(any, met))


def chord(centre: Place, radius: float, y: float) -> tuple[float, float] | None:
    """Return from where to where, in x, a plane across y cuts a circle; None if it misses it."""
    off = abs(y - centre[1])
    if off >= radius:
        return None
    half = math.sqrt(radius**2 - off**2)
    return centre[0] - half, centre[0] + half


def _plane_of(scene: Scene, slot: Slot) -> list[float]:
    """Return the places, best first, to cut one slot at."""
    if slot.turned is not None:
        return [slot.turned.y]
    if slot.along == "x":
        return [slot.centre_line]
    middle = (slot.low_end + slot.high_end) / 2
    near = [y for x, y in scene.holes if abs(x - slot.centre_line) < slot.width.nominal / 2]
    near = [y for y in near if slot.low_end < y < slot.high_end]
    return [*sorted(near, key=lambda y: abs(y - middle))[:1], middle]


def cut_by(slot: Slot, y: float) -> tuple[float, float] | None:
    """Return from where to where, in x, a plane across y cuts a slot; None if it misses it."""
    radius = slot.width.nominal / 2
    if slot.turned is not None:
        return _cut_aslant(slot, radius, y)
    if slot.along == "x":
        off = abs(y - slot.centre_line)
        if off >= radius:
            return None
        short = radius - math.sqrt(radius**2 - off**2)
        return (
            slot.low_end + (0.0 if slot.open_low else short),
            slot.high_end - (0.0 if slot.open_high else short),
        )
    if not slot.low_end < y < slot.high_end:
        return None
    into = min(
        math.inf if slot.open_low else y - slot.low_end,
        math.inf if slot.open_high else slot.high_end - y,
        radius,
    )
    half = math.sqrt(radius**2 - (radius - into) ** 2)
    return slot.centre_line - half, slot.centre_line + half


def _cut_aslant(slot: Slot, radius: float, y: float) -> tuple[float, float] | None:
    """Return where a plane across y cuts a slot at an angle: its round ends and its walls."""
    ends = slot.centres
    met = [x for end in ends for x in chord(end, radius, y) or ()]
    along = [slot.own(*end)[0] for end in ends]
    for side in (-radius, radius):
        (x0, y0), (x1, y1) = (slot.point(place, side) for place in along)
        if min(y0, y1) <= y <= max(y0, y1):
            met.append(x0 + (y - y0) / (y1 - y0) * (x1 - x0))
    return (min(met), max(met)) if met else None
