"""The drawing of holes: circles where they are wanted, to scale, and what they are in words."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest

from pathgen.commands.proving import load, prove_job
from postprocessors.drawing.svg import draw_setup

SVG = "{http://www.w3.org/2000/svg}"
FOOT_PLATE = Path(__file__).parents[1] / "jobs" / "foot-plate.toml"


@cache
def drawn() -> ET.Element:
    job, shop = load(FOOT_PLATE)
    (proof,) = prove_job(job, shop, None, lambda _: None)
    return ET.fromstring(draw_setup(job, proof.place.setup, proof.run, shop.cutters))


def group(kind: str) -> ET.Element:
    return next(each for each in drawn().iter(f"{SVG}g") if each.get("class") == kind)


def circles(kind: str) -> list[tuple[float, float, float]]:
    """Return (x, y, diameter) in mm of the part, from the zero, of the plan's circles."""
    plan = group("plan")
    scale = float(plan.get("data-scale", "0"))
    x0, y0 = (float(each) for each in plan.get("data-zero", "").split())
    return [
        (
            (float(each.get("cx", "0")) - x0) / scale,
            (y0 - float(each.get("cy", "0"))) / scale,
            2 * float(each.get("r", "0")) / scale,
        )
        for each in plan.iter(f"{SVG}circle")
        if each.get("class") == kind
    ]


def words() -> str:
    return " ".join(" ".join(each.text or "" for each in drawn().iter(f"{SVG}text")).split())


def test_each_wanted_hole_is_a_circle_in_its_place() -> None:
    found = circles("hole")
    wanted: list[tuple[float, float, float]] = [(x, y, 6.5) for y in (-22, 22) for x in (12, 108)]
    wanted += [(30, 0, 8), (90, 0, 8), (60, 0, 10)]
    # Three on a circle of 36, the first straight up; the tapping hole of M6 at 75 % is 5.026.
    wanted += [(60, 18, 5.026), (60 - 15.588, -9, 5.026), (60 + 15.588, -9, 5.026)]
    assert sorted(found) == [pytest.approx(each, abs=0.01) for each in sorted(wanted)]


def test_mouths_are_circles_about_their_holes() -> None:
    diameters = sorted(round(each[2], 2) for each in circles("mouth"))
    assert diameters == pytest.approx([6, 6, 6, 12.6, 12.6, 12.6, 12.6, 16], abs=0.01)


def test_the_plane_goes_through_the_holes_on_the_middle_line() -> None:
    # At y 0 it meets both dowels and the stud hole, the most there are at one y and of two sorts.
    section = group("section")
    assert "counterbore" in words()
    names = {each.get("data-cutter") for each in section.iter(f"{SVG}g")} - {None}
    assert {"7.7 mm drill", "10 mm drill", "8 mm reamer"} <= names
    assert "6.5 mm drill" not in names


@pytest.mark.parametrize(
    "said",
    [
        "4 \N{MULTIPLICATION SIGN} \N{LATIN CAPITAL LETTER O WITH STROKE}6.5",
        "3 \N{MULTIPLICATION SIGN} M6",
        "(7.99 to 8.02)",
        "full thread 8 deep",
        "HOLES WANTED",
    ],
)
def test_what_the_holes_are_is_written(said: str) -> None:
    assert said in words().replace("\N{NO-BREAK SPACE}", " ")


def test_all_the_notes_have_room() -> None:
    assert "no room here" not in words()
