"""What is removed and what is left add up to the blank; both are as figures by hand have them.

The shapes are built here by themselves, with shapely; the figures are worked out beside them.
"""

from __future__ import annotations

import math

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.prismatic import Metal
from pathgen.commands.milled import of_mill
from tests.test_area_faults import ISLAND, OUTSIDE, POCKET, STEP, THROUGH, made

BLANK = 100.0 * 60.0  # mm2, seen from above
CHORDS = 0.001  # mm that an edge made of chords lies off at most
LEVEL = -2.0  # above every floor


def rounded(x: float, y: float, length: float, width: float, corner: float) -> BaseGeometry:
    """Return a rectangle about a middle with round corners."""
    inner = shapely.box(
        x - length / 2 + corner,
        y - width / 2 + corner,
        x + length / 2 - corner,
        y + width / 2 - corner,
    )
    shape: BaseGeometry = inner.buffer(corner, quad_segs=256)
    return shape


RECTANGLE = rounded(50, 30, 40, 30, 5)  # 40 x 30 with corners of 5: 1200 - (4 - pi) 25 = 1178.54
ROUND = shapely.Point(50, 30).buffer(4, quad_segs=256)  # an island of 8: 16 pi = 50.27
PLATE = rounded(50, 30, 70, 36, 8)
EDGES = shapely.union_all([shapely.box(0, 0, 100, 8), shapely.box(0, 52, 100, 60)])
CASES = [
    (POCKET, RECTANGLE, 1200 - (4 - math.pi) * 25),
    (THROUGH, RECTANGLE, 1200 - (4 - math.pi) * 25),
    (ISLAND, RECTANGLE.difference(ROUND), 1200 - (4 - math.pi) * 25 - 16 * math.pi),
    (STEP, EDGES, 2 * 8 * 100.0),
]


def metal(feature: str) -> Metal:
    """Return the metal that is left of the plate."""
    proof = made(feature)
    job, setup = of_mill(proof.place)
    return Metal(job.blank_box(setup), setup.frame, (), proof.report.left)


@pytest.mark.parametrize("feature", [POCKET, ISLAND, THROUGH, OUTSIDE, STEP])
@pytest.mark.parametrize("level", [-9.9, -3.5, LEVEL, -0.5])
def test_what_is_removed_and_what_is_left_add_up(feature: str, level: float) -> None:
    work = metal(feature)
    left = work.metal_in(work.plan, level)
    removed = work.cleared(level).intersection(work.plan)
    assert left.area + removed.area == pytest.approx(BLANK, abs=1e-6)
    assert left.intersection(removed).area == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("feature", "shape", "area"), CASES)
def test_areas_are_those_of_shapes_built_by_themselves(
    feature: str, shape: BaseGeometry, area: float
) -> None:
    work = metal(feature)
    removed = work.cleared(LEVEL).intersection(work.plan)
    assert shape.area == pytest.approx(area, abs=0.01)
    off = CHORDS * removed.length + 0.01
    if feature != THROUGH:  # of that the middle drops out, or not, by the way it is cut
        assert removed.area == pytest.approx(area, abs=off)
    assert shape.buffer(2 * CHORDS).covers(removed)


def test_what_is_left_lies_within_the_limits_of_the_part() -> None:
    # General tolerances, medium: 40 and 30 by 0.3 and 0.2 either way, corners of 5 by 0.5.
    work = metal(POCKET)
    left = work.metal_in(work.plan, LEVEL)
    plate = shapely.box(0, 0, 100, 60)
    most = plate.difference(rounded(50, 30, 39.7, 29.8, 5.5))
    least = plate.difference(rounded(50, 30, 40.3, 30.2, 4.5))
    assert most.buffer(CHORDS).covers(left)
    assert left.buffer(CHORDS).covers(least)


def test_an_outside_leaves_the_part_whole() -> None:
    work = metal(OUTSIDE)
    left = work.metal_in(work.plan, LEVEL)
    assert left.buffer(CHORDS).covers(PLATE)
    piece = max(shapely.get_parts(left.intersection(PLATE.buffer(3))), key=lambda each: each.area)
    # 70 x 36 with corners of 8: 2520 - (4 - pi) 64 = 2465.06
    assert piece.area == pytest.approx(2520 - (4 - math.pi) * 64, abs=CHORDS * 212 + 0.01)
