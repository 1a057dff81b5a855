"""What is wrong with where a slot lies is told at the key that is at fault, in the job's units."""

from __future__ import annotations

import pytest

from tests.read_jobs import changed, job_from, reading

BAR = """
units = "mm"
blank = { form = "bar", length = 160, width = 30, thickness = 8, material = "mild steel" }
[[setup]]
name = "slot"
machine = "converted-mill"
hold = { how = "vice", beneath = 10 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3 }
datum.y = { middle_of = ["front", "back"], tool = "pin", tool_diameter = 3 }
datum.z = { face = "top" }
[[setup.feature]]
kind = "slot"
name = "stud slot"
along = "x"
width = 10
length = 120
centre = [80, 0]
depth = 4
"""
IN_INCHES = (
    ('units = "mm"', 'units = "in"'),
    ("length = 160, width = 30, thickness = 8", "length = 6, width = 1.25, thickness = 0.25"),
    ("tool_diameter = 3", 'tool_diameter = "3 mm"'),
    ("width = 10\nlength = 120\ncentre = [80, 0]\ndepth = 4", "SLOT"),
)


def told(*changes: tuple[str, str]) -> str:
    """Return the only error of the bar with changes, without its file and line."""
    job, (error,) = reading(changed(BAR, *changes), "bar")
    assert job is None
    return error.split(" ", 1)[1].removeprefix("setup[1].feature[1].")


def test_the_bar_itself_is_in_order() -> None:
    assert job_from(BAR, "bar").setups[0].slots[0].low_end == 20


@pytest.mark.parametrize(
    ("place", "says"),
    [
        ("centre = [110, 0]", "centre: the slot runs from 50 to 170 mm, the blank from 0 to 160"),
        ("end = [-5, 0]", "end: the slot runs from -5 to 115 mm, the blank from 0 to 160 mm; move"),
        ("end_centre = [50, 0]", "end_centre: the slot runs from 45 to 165 mm, the blank from 0"),
        ("end = [0, 0]", "end: a round end on the very face of the blank; say open_at for it"),
        ("centre = [80, 11]", "centre: walls at 6 to 16 mm, the blank from -15 to 15 mm; move"),
    ],
)
def test_a_slot_in_the_wrong_place_is_told_where_it_is_placed(place: str, says: str) -> None:
    assert told(("centre = [80, 0]", place)).startswith(says)


@pytest.mark.parametrize(
    ("length", "says"),
    [
        ("length = 170", "length: the slot runs from -5 to 165 mm, the blank from 0 to 160 mm; mo"),
        ("centres = 160", "centres: the slot runs from -5 to 165 mm, the blank from 0 to 160 mm"),
        ("length = 9", "length: 9 mm for a slot 10 mm wide; give at least 10 mm; the round ends"),
    ],
)
def test_a_slot_of_the_wrong_length_is_told_at_its_length(length: str, says: str) -> None:
    assert told(("length = 120", length)).startswith(says)


def test_a_slot_wider_than_the_blank_is_told_at_its_width() -> None:
    assert told(("width = 10", "width = 40")).startswith("width: walls at -20 to 20 mm, the blank")


def test_an_open_slot_is_told_at_its_centre_line_or_its_length() -> None:
    is_open = 'open_at = ["left"]\ncentre_line = '
    assert told(("centre = [80, 0]", is_open + "12")).startswith("centre_line: walls at 7 to 17 mm")
    found = told(("centre = [80, 0]", is_open + "0"), ("length = 120", "length = 160"))
    assert found.startswith("length: a round end on the very face of the blank")


@pytest.mark.parametrize(
    ("slot", "says"),
    [
        (
            "width = 0.5\nlength = 7\ncentre = [3, 0]\ndepth = 0.125",
            "length: the slot runs from -0.5 to 6.5 in, the blank from 0 to 6 in; move it",
        ),
        (
            "width = 0.5\nlength = 4\ncentre = [3, 0.5]\ndepth = 0.125",
            "centre: walls at 0.25 to 0.75 in, the blank from -0.625 to 0.625 in; move",
        ),
        (
            "width = 0.5\nlength = 4\ncentre = [3, 0]\ndepth = 0.3",
            "depth: up to 0.3079 in deep in a blank 0.25 in thick; give a smaller depth",
        ),
        (
            "width = 0.5\nwidth_limits = [0.51, 0.52]\nlength = 4\ncentre = [3, 0]\ndepth = 0.125",
            "width_limits: 0.51 to 0.52 in leaves out the size itself, 0.5 in; give limits on both",
        ),
    ],
)
def test_a_job_in_inches_is_told_in_inches(slot: str, says: str) -> None:
    # ISO 2768-1 m allows 0.2 mm, 0.0079 in, on a depth of 0.3 in, 7.62 mm.
    *others, (old, _) = IN_INCHES
    assert told(*others, (old, slot)).startswith(says)


def test_words_that_name_no_end_are_told_one_by_one() -> None:
    found = told(("centre = [80, 0]", 'open_at = ["left", "up"]\ncentre_line = 0'))
    assert found == 'open_at[2]: "up" is none of the choices; use "left" or "right"'
