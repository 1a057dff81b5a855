"""Frames of setups: places go to and fro, boxes keep their size, faces look where they should."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.check.metal.legs import Floats
from pathgen.job.frame import FACES, OUTWARD, UPRIGHT, Box, Face, Frame, Lie, Point, Way

PAIRS = [
    (up, near)
    for up, near in itertools.product(FACES, FACES)
    if OUTWARD[up].axis != OUTWARD[near].axis
]
LIES = [Lie(up, near) for up, near in PAIRS]
FEW = settings(max_examples=60, deadline=None)

lies = st.sampled_from(LIES)
places = st.floats(-300, 300)
points = st.tuples(places, places, places)
frames = st.builds(Frame, lies, points)


def point_of(values: Floats) -> Point:
    x, y, z = values.tolist()
    return x, y, z


def matrix(lie: Lie) -> Floats:
    """Return the setup's x, y and z as rows in the blank's axes."""
    rows = np.zeros((3, 3))
    for row, way in enumerate(lie.ways):
        rows[row, way.axis] = way.sign
    return rows


def test_there_are_24_lies_and_none_of_them_is_mirrored() -> None:
    assert len({matrix(lie).tobytes() for lie in LIES}) == 24
    assert all(np.linalg.det(matrix(lie)) == pytest.approx(1.0) for lie in LIES)


@pytest.mark.parametrize("pair", [("top", "bottom"), ("left", "left"), ("front", "back")])
def test_no_two_faces_across_from_each_other_look_up_and_towards_you(
    pair: tuple[Face, Face],
) -> None:
    with pytest.raises(ValueError, match="at once"):
        Lie(*pair)


@pytest.mark.parametrize(
    ("lie", "left", "right", "far", "under"),
    [
        (UPRIGHT, "left", "right", "back", "bottom"),
        (Lie("bottom", "back"), "left", "right", "front", "top"),  # over about its length
        (Lie("bottom", "front"), "right", "left", "back", "top"),  # end for end
        (Lie("top", "back"), "right", "left", "front", "bottom"),  # half round on the table
        (Lie("front", "bottom"), "left", "right", "top", "back"),  # rolled away from the person
        (Lie("back", "top"), "left", "right", "bottom", "front"),  # rolled towards the person
        (Lie("right", "front"), "top", "bottom", "back", "left"),  # tipped on to its left end
    ],
)
def test_where_the_faces_come_to_when_a_block_is_turned_in_the_hands(
    lie: Lie, left: Face, right: Face, far: Face, under: Face
) -> None:
    assert lie.faces(0) == (left, right)
    assert lie.faces(1)[1] == far
    assert lie.faces(2) == (under, lie.up)


@given(lie=lies, face=st.sampled_from(FACES))
def test_a_face_lies_on_the_side_on_which_it_is_found(lie: Lie, face: Face) -> None:
    assert lie.face(lie.side(face)) == face
    assert lie.towards(face) == -lie.side(face).sign
    assert lie.side(lie.up) == Way(2, 1)
    assert lie.side(lie.towards_you) == Way(1, -1)


@FEW
@given(frame=frames, point=points)
def test_a_place_comes_back_from_a_frame_and_turns_as_its_matrix_says(
    frame: Frame, point: Point
) -> None:
    assert frame.out_of(frame.into(point)) == pytest.approx(point, abs=1e-9)
    assert frame.into(frame.out_of(point)) == pytest.approx(point, abs=1e-9)
    turned = matrix(frame.lie) @ (np.array(point) - np.array(frame.origin))
    assert frame.into(point) == pytest.approx(turned.tolist(), abs=1e-9)


@FEW
@given(frame=frames, one=points, other=points, share=st.tuples(*[st.floats(0, 1)] * 3))
def test_what_lies_in_a_box_lies_in_it_in_every_frame(
    frame: Frame, one: Point, other: Point, share: Point
) -> None:
    low, high = np.minimum(one, other), np.maximum(one, other)
    box = Box(point_of(low), point_of(high))
    inside = low + np.array(share) * (high - low)
    there = frame.box_into(box)
    place = np.array(frame.into(point_of(inside)))
    assert (place >= np.array(there.low) - 1e-9).all()
    assert (place <= np.array(there.high) + 1e-9).all()
    sizes = sorted(np.subtract(there.high, there.low).tolist())
    assert sizes == pytest.approx(sorted((high - low).tolist()), abs=1e-9)
    back = frame.box_out_of(there)
    assert back.low == pytest.approx(box.low, abs=1e-9)
    assert back.high == pytest.approx(box.high, abs=1e-9)
