"""What is left of a block cut from several sides is the same whichever setup looks at it.

The judge is a plain one: a place is gone where it lies within a cutter's radius of its way and
above its tip, as the block lay when it was cut.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.metal.hollow import Hollow
from pathgen.check.metal.left import Left, kept
from pathgen.check.metal.legs import Floats
from pathgen.check.metal.prismatic import Metal
from pathgen.check.metal.sweeps import Sweep
from pathgen.job.frame import OUTWARD, Box, Frame, Point
from tests.properties.test_frames import LIES

SIZE = (40.0, 30.0, 20.0)
BLOCK = Box((0.0, 0.0, -SIZE[2]), (SIZE[0], SIZE[1], 0.0))
NEAR = 0.003  # mm: round parts are made of chords
POINT = 0.11  # mm along its way by which a drill's point is taken smaller than it is
FEW = settings(max_examples=40, deadline=None)


@dataclass(frozen=True)
class Cutting:
    """One straight level cut, or one drilled hole, made in a frame; mm."""

    frame: Frame
    start: tuple[float, float]
    end: tuple[float, float]
    radius: float
    tip: float
    spread: float = math.inf
    hollow: bool = False  # kept as a region, not as a way

    @property
    def sweep(self) -> Sweep:
        if self.hollow:
            line = shapely.LineString([self.start, self.end])
            return Hollow(line.buffer(self.radius, quad_segs=64))
        ends = [self.start] if self.start == self.end else [self.start, self.end]
        path = np.array(ends)
        return Sweep(path, np.zeros(len(path)), self.radius, self.spread)

    def gap(self, places: Floats) -> Floats:
        """Return how far places of the blank's axes lie outside of what is cut, minus inside."""
        here = np.array([self.frame.into((x, y, z)) for x, y, z in places.tolist()])
        a, along = np.array(self.start), np.array(self.end) - np.array(self.start)
        share = ((here[:, :2] - a) @ along) / max(float(along @ along), 1e-12)
        away = np.hypot(*(here[:, :2] - a - np.clip(share, 0, 1)[:, None] * along).T)
        height = here[:, 2] - self.tip
        reach = np.full(len(here), self.radius)
        if math.isfinite(self.spread):
            reach = np.clip(height * self.spread, 0, self.radius)
        outside: Floats = np.maximum(away - reach, -height)
        return outside

    def about(self, chance: np.random.Generator, count: int) -> Floats:
        """Return places of the blank's axes near the cut's wall, floor or middle, (count, 3)."""
        a, b = np.array(self.start), np.array(self.end)
        shares, angles = chance.random(count), chance.random(count) * 2 * math.pi
        off = self.radius * chance.choice([0.1, 0.9, 0.97, 1.03, 1.2], count)
        plan = a + shares[:, None] * (b - a)
        plan += off[:, None] * np.stack([np.cos(angles), np.sin(angles)], axis=1)
        heights = self.tip + chance.choice([-1.0, -0.05, 0.05, 0.3, 2.0, 6.0], count)
        here = np.column_stack([plan, heights])
        return np.array([self.frame.out_of((x, y, z)) for x, y, z in here.tolist()])


def frame_of(number: int, corner: tuple[float, float]) -> Frame:
    """Return a frame with its origin on the upper face, somewhere over the block."""
    lie = LIES[number]
    origin = [size / 3 for size in (SIZE[0], SIZE[1], -SIZE[2])]
    for share, way in zip(corner, lie.ways[:2], strict=True):
        low, high = BLOCK.low[way.axis], BLOCK.high[way.axis]
        origin[way.axis] = low + share * (high - low)
    origin[lie.ways[2].axis] = BLOCK.end(OUTWARD[lie.up])
    return Frame(lie, (origin[0], origin[1], origin[2]))


shares = st.floats(0.1, 0.9)
frames = st.builds(frame_of, st.integers(0, 23), st.tuples(shares, shares))


@st.composite
def cuttings(draw: st.DrawFn) -> Cutting:
    """Draw a slot along an axis or a hole, from any side."""
    frame = draw(frames)
    box = frame.box_into(BLOCK)
    spans = [(box.low[axis], box.high[axis]) for axis in range(3)]
    at = [low + draw(shares) * (high - low) for low, high in spans[:2]]
    end = list(at)
    kind = draw(st.sampled_from(["along x", "along y", "hole", "drilled", "hollow"]))
    if kind.startswith("along"):
        axis = "xy".index(kind[-1])
        low, high = spans[axis]
        end[axis] = low + draw(shares) * (high - low)
    tip = box.high[2] - draw(st.floats(0.1, 1.1)) * box.height
    return Cutting(
        frame=frame,
        start=(at[0], at[1]),
        end=(end[0], end[1]),
        radius=draw(st.floats(1.0, 5.0)),
        tip=tip,
        spread=math.tan(math.radians(59)) if kind == "drilled" else math.inf,
        hollow=kind == "hollow",
    )


@st.composite
def rows(draw: st.DrawFn) -> list[Cutting]:
    """Draw a few cuts; the later ones as often as not from the side of the first, and deeper."""
    first = draw(cuttings())
    cuts = [first]
    for _ in range(draw(st.integers(0, 3))):
        other = draw(cuttings())
        near = replace(first, radius=other.radius, tip=first.tip - draw(st.floats(-3, 3)))
        cuts.append(draw(st.sampled_from([other, near])))
    return cuts


rows_of_cuts = rows()


def left_of(cuts: list[Cutting]) -> Left:
    return Left(cuts=tuple(kept(cut.sweep, cut.tip, cut.frame) for cut in cuts))


def metal_of(cuts: list[Cutting], frame: Frame) -> Metal:
    return Metal(frame.box_into(BLOCK), frame, [], left_of(cuts))


def is_metal(metal: Metal, place: Point) -> bool:
    """Return whether there is metal at a place of the blank's axes."""
    x, y, z = metal.frame.into(place)
    return not metal.metal_in(shapely.Point(x, y).buffer(NEAR / 3), z).is_empty


places = st.tuples(*[st.floats(0.02, 0.98)] * 3).map(
    lambda share: tuple(
        low + each * (high - low)
        for each, low, high in zip(share, BLOCK.low, BLOCK.high, strict=True)
    )
)


@settings(max_examples=100, deadline=None)
@given(cuts=rows_of_cuts, frame=frames, seed=st.integers(0, 999))
def test_a_place_is_gone_in_every_frame_where_a_cutter_went_and_nowhere_else(
    cuts: list[Cutting], frame: Frame, seed: int
) -> None:
    metal = metal_of(cuts, frame)
    chance = np.random.default_rng(seed)
    points = np.concatenate([cut.about(chance, 30) for cut in cuts])
    inside = ((points > np.array(BLOCK.low) + NEAR) & (points < np.array(BLOCK.high) - NEAR)).all(1)
    points = points[inside]
    gaps = np.array([cut.gap(points) for cut in cuts]).reshape(len(cuts), -1)
    sure = np.array([POINT if math.isfinite(cut.spread) else NEAR for cut in cuts])
    for place, here in zip(points.tolist(), gaps.T, strict=True):
        if (here > NEAR).all():
            assert is_metal(metal, place)
        elif (here < -sure).any():
            assert not is_metal(metal, place)


@FEW
@given(cuts=rows_of_cuts, frame=frames, other=frames)
def test_handing_on_loses_nothing(cuts: list[Cutting], frame: Frame, other: Frame) -> None:
    once = metal_of(cuts, frame)
    again = Metal(other.box_into(BLOCK), other, [], once.left())
    straight = metal_of(cuts, other)
    for share in (0.05, 0.3, 0.55, 0.8):
        level = other.box_into(BLOCK).low[2] + share * again.high[2] - share * again.low[2]
        both = (each.metal_in(each.plan, level) for each in (again, straight))
        assert next(both).symmetric_difference(next(both)).area == pytest.approx(0, abs=1e-4)


def volume(metal: Metal, slices: int) -> float:
    """Return the volume of the metal, by slices between levels."""
    box_height = metal.high[2] - metal.low[2]
    levels = metal.low[2] + box_height * (np.arange(slices) + 0.5) / slices
    areas = [metal.metal_in(metal.plan, level).area for level in levels.tolist()]
    return float(np.mean(areas)) * box_height


@settings(max_examples=12, deadline=None)
@given(cuts=rows_of_cuts, two=st.tuples(frames, frames))
def test_the_volume_left_is_the_same_in_every_frame_and_by_counting_places(
    cuts: list[Cutting], two: tuple[Frame, Frame]
) -> None:
    counts = (48, 36, 24)
    axes = [
        low + (high - low) * (np.arange(n) + 0.5) / n
        for low, high, n in zip(BLOCK.low, BLOCK.high, counts, strict=True)
    ]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    gone = np.array([cut.gap(grid) <= 0 for cut in cuts]).any(axis=0)
    whole = math.prod(SIZE)
    counted = whole * float(1 - gone.mean())
    for frame in two:
        assert volume(metal_of(cuts, frame), 60) == pytest.approx(counted, abs=0.012 * whole)


@FEW
@given(
    cuts=rows_of_cuts,
    frame=frames,
    at=places,
    radius=st.floats(0.5, 3),
    shares=st.tuples(st.floats(0, 1), st.floats(0, 1)),
)
def test_metal_over_a_level_is_no_less_than_what_any_height_has(
    cuts: list[Cutting], frame: Frame, at: Point, radius: float, shares: tuple[float, float]
) -> None:
    metal = metal_of(cuts, frame)
    x, y, z = frame.into(at)
    disc = shapely.Point(x, y).buffer(radius)
    over = metal.metal_over(disc, z)
    for share in shares:
        higher = z + share * (metal.high[2] - z)
        missed = metal.metal_in(disc, higher).difference(over)
        assert missed.area < 1e-4
    top = metal.top_over(disc, z)
    if not over.is_empty:
        assert metal.metal_over(disc, top + 0.001).is_empty
