"""A blank that lies otherwise in a later setup: what is read, said, touched and drawn of it."""

from __future__ import annotations

import pytest

from pathgen.job.frame import Box, Lie
from pathgen.job.stock import Stock
from pathgen.moves.actions import Clamp, Note, Zero
from pathgen.moves.plan import PlannedSetup
from tests.turned_jobs import OVER, PINS, job_with, proofs, read


def plan_of(*texts: str, machine: str = "converted-mill") -> PlannedSetup:
    """Return the plan of the second setup."""
    plan = proofs(*texts, machine=machine)[1].plan
    assert plan is not None
    return plan


def test_turned_over_the_box_is_that_of_the_other_side() -> None:
    job = job_with(OVER, PINS)
    second = job.setups[1]
    assert second.lie == Lie("bottom", "back")
    assert second.origin == (0.0, 40.0, -12.0)
    assert job.blank_box(second) == Box((0.0, 0.0, -12.0), (60.0, 40.0, 0.0))
    # a hole at 6, 8 here lies 8 from the back: y 32 from the front, on the bottom
    assert second.frame.out_of((6.0, 8.0, 0.0)) == (6.0, 32.0, -12.0)


ON_EDGE = """
up = "front"
towards_you = "bottom"
datum.x = { middle_of = ["left", "right"], tool = "pin", tool_diameter = 4 }
datum.y = { face = "top", tool = "pin", tool_diameter = 4 }
datum.z = { face = "front" }
"""


def test_on_its_edge_height_and_datums_are_those_of_the_faces_that_lie_there() -> None:
    job = job_with(ON_EDGE, PINS.replace("[[6, 8], [54, 8]]", "[[-24, -8], [24, -8]]"))
    second = job.setups[1]
    assert job.blank_box(second) == Box((-30.0, -12.0, -40.0), (30.0, 0.0, 0.0))
    assert second.origin == (30.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            'towards_you = "back"',
            "",
            (
                'towards_you: missing, with the bottom face up; say "back" if it is turned over '
                'about its length (left stays on the left), "front" if it is turned end for end '
                "(left comes to the right)"
            ),
        ),
        (
            'towards_you = "back"',
            'towards_you = "top"',
            "top cannot look at you with bottom up; say which of left, right, front, back does",
        ),
        ('up = "bottom"', 'up = "underneath"', "is none of the choices; use"),
        (
            'datum.z = { face = "bottom" }',
            'datum.z = { face = "top" }',
            "face: the top face does not lie up here; name bottom",
        ),
        (
            'datum.y = { face = "back"',
            'datum.y = { face = "right"',
            "face: the right face does not lie across y here; name back or front",
        ),
    ],
)
def test_what_cannot_lie_so_is_said(old: str, new: str, told: str) -> None:
    assert old in OVER
    job, errors = read(OVER.replace(old, new), PINS)
    assert job is None
    assert any(told in error for error in errors), errors


def test_a_side_that_lies_up_asks_which_face_looks_at_you() -> None:
    _, errors = read(ON_EDGE.replace('towards_you = "bottom"', ""), PINS)
    assert any("say which of left, right, bottom, top looks at you" in error for error in errors)


def test_the_sheet_says_how_to_mark_and_lay_it_and_how_places_carry_over() -> None:
    (clamp,) = (item for item in plan_of(OVER, PINS).before if isinstance(item, Clamp))
    assert (
        "Lay it so: the face marked bottom up, the face marked back towards you; the face marked "
        "left is then on your left (turned over, its front to the back, left stays on the left)."
    ) in clamp.lines
    first = proofs(OVER, PINS)[0].plan
    assert first is not None
    (clamp,) = (item for item in first.before if isinstance(item, Clamp))
    assert any(
        "60 mm from left to right, 40 mm from front to back, 12 mm from bottom to top" in line
        for line in clamp.lines
    )
    notes = [item for item in plan_of(OVER, PINS).before if isinstance(item, Note)]
    # y counts from the front there and from the back here: 40 - y; z from the other face
    assert any("at x = x, y = 40 mm - y, z = -12 mm - z." in note.text for note in notes)


def test_a_zero_from_the_other_face_is_a_caution_that_names_what_lies_between() -> None:
    cautions = [n.text for n in plan_of(OVER, PINS).before if isinstance(n, Note) and n.caution]
    assert (
        "The zero of y is taken from the back face here and from the front face in 'top': how the "
        "two fit together hangs on the blank's width, taken as 40 mm. Measure it again."
    ) in cautions
    assert not any("zero of x" in caution for caution in cautions)
    same = OVER.replace('face = "back"', 'face = "front"')
    again = plan_of(same, PINS.replace("8]", "-8]")).before
    assert not any("zero of y" in n.text for n in again if isinstance(n, Note))


def test_a_blank_that_always_lies_as_described_needs_no_marks() -> None:
    upright = """
    datum.x = { face = "left", tool = "pin", tool_diameter = 4 }
    datum.y = { face = "front", tool = "pin", tool_diameter = 4 }
    datum.z = { face = "top" }
    """
    plan = plan_of(upright, PINS)
    (clamp,) = (item for item in plan.before if isinstance(item, Clamp))
    assert not any("marked" in line or "pen" in line for line in clamp.lines)
    assert not any(isinstance(item, Note) and "setup 'top'" in item.text for item in plan.before)


@pytest.mark.parametrize(
    ("texts", "axis", "face", "towards", "at"),
    [
        # turned over about its length: the back looks at the person, so it is come to going plus
        (OVER, "y", "back", 1, -2.0),
        (OVER, "x", "left", 1, -2.0),
        # end for end the left face lies on the right
        (OVER.replace('"back"\ndatum.x', '"front"\ndatum.x'), "x", "left", -1, 2.0),
    ],
)
def test_faces_are_touched_where_they_lie(
    texts: str, axis: str, face: str, towards: int, at: float
) -> None:
    pins = PINS
    if towards < 0:  # x counts from the left face, which lies on the right, and y from the back
        pins = PINS.replace("[[6, 8], [54, 8]]", "[[-6, -8], [-54, -8]]")
    zero = next(i for i in plan_of(texts, pins).before if isinstance(i, Zero) and i.axis == axis)
    (touch,) = zero.touches
    assert (touch.face, touch.towards, touch.at) == (face, towards, at)
    assert touch.called == f"face marked {face}"


@pytest.mark.parametrize("machine", ["converted-mill", "converted-mill-lean", "bench-mill-metric"])
def test_both_setups_are_proved_and_the_depth_is_touched_on_the_face_that_is_up(
    machine: str,
) -> None:
    both = proofs(OVER, PINS, machine=machine)
    assert [proof.report.findings for proof in both] == [(), ()]
    if machine != "converted-mill":
        assert "face marked bottom" in both[1].text


def test_stock_that_is_faced_is_smaller_and_knows_where() -> None:
    bar = Stock(box=Box((0.0, 0.0, -12.0), (60.0, 40.0, 0.0)))
    faced = bar.faced("top", 0.5, "facing").faced("left", 1.0, "ends").faced("front", 2.0, "edge")
    assert faced.box == Box((1.0, 2.0, -12.0), (60.0, 40.0, -0.5))
    assert faced.machined_in("left") == "ends"
    assert faced.machined_in("bottom") is None
