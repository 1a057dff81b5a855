"""How far cutters reach beyond an area: what is asked of many legs at once, leg by leg as well."""

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from pathgen.check.metal.legs import Floats
from pathgen.check.wanted.areas import MANY, AreaOutline, come_within

BOX = shapely.box(0.0, 0.0, 60.0, 40.0)
WITH_ISLAND = BOX.difference(shapely.Point(30.0, 20.0).buffer(6.0))
NOTCHED = shapely.Polygon([(0, 0), (60, 0), (60, 40), (31, 40), (30, 12), (29, 40), (0, 40)])
COUNT = 3 * MANY


def legs(seed: int) -> tuple[Floats, Floats, Floats]:
    """Return where some legs, most of them short, begin and end, and their cutters' radii."""
    random = np.random.default_rng(seed)
    starts = random.uniform((-5.0, -5.0), (65.0, 45.0), (COUNT, 2))
    length = np.where(random.random(COUNT) < 0.8, 0.5, 20.0)[:, None]
    ends = starts + random.uniform(-1.0, 1.0, (COUNT, 2)) * length
    return starts, ends, random.choice([0.0, 1.5, 4.0], COUNT)


@pytest.mark.parametrize("region", [BOX, WITH_ISLAND, NOTCHED])
def test_reach_beyond_is_what_the_distance_to_the_edge_says(region: BaseGeometry) -> None:
    starts, ends, radius = legs(1)
    found = AreaOutline(region=region).reach(starts, ends, radius)
    lines = shapely.linestrings(np.stack([starts, ends], axis=1))
    clear = shapely.distance(region.boundary, lines) > radius
    within = shapely.covers(region, lines) & clear
    assert 0.1 * COUNT < within.sum() < 0.9 * COUNT
    assert (found[within] == -np.inf).all()
    assert (found[~within] > -np.inf).all()


@pytest.mark.parametrize("region", [BOX, WITH_ISLAND, NOTCHED])
def test_reach_is_the_same_of_a_leg_among_many_and_of_few(region: BaseGeometry) -> None:
    starts, ends, radius = legs(2)
    outline = AreaOutline(region=region)
    many = outline.reach(starts, ends, radius)
    few = [
        outline.reach(starts[rows], ends[rows], radius[rows])
        for rows in np.array_split(np.arange(COUNT), 2 * COUNT // MANY)
    ]
    assert many == pytest.approx(np.concatenate(few))


def test_legs_that_come_within_a_distance_are_told_by_it() -> None:
    starts, ends, radius = legs(3)
    lines = shapely.linestrings(np.stack([starts, ends], axis=1))
    expected = shapely.distance(WITH_ISLAND, lines) <= radius
    assert expected.any()
    assert not expected.all()
    assert (come_within(WITH_ISLAND, starts, ends, radius) == expected).all()
