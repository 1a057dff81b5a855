"""The drawing of holes: circles where they are wanted, to scale, and what they are in words."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest

from pathgen.commands.loading import load
from pathgen.commands.milled import of_mill
from pathgen.commands.proving import prove_job, prove_text
from postprocessors.drawing.svg import draw_setup
from tests.hole_plates import made

SVG = "{http://www.w3.org/2000/svg}"
FOOT_PLATE = Path(__file__).parents[1] / "jobs" / "foot-plate.toml"
THROUGH = 'at = [20, 30]\ndepth = "through"\n'


@cache
def drawn() -> ET.Element:
    job, shop = load(FOOT_PLATE)
    (proof,) = prove_job(job, shop, None, lambda _: None)
    return ET.fromstring(draw_setup(*of_mill(proof.place), proof.run, shop.cutters))


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
    assert "more notes on page" not in words()


def text_of(drawing: str) -> str:
    return " ".join(
        " ".join(each.text or "" for each in ET.fromstring(drawing).iter(f"{SVG}text")).split()
    )


def test_the_drawing_for_another_machine_names_it_and_the_wanted_places() -> None:
    job, shop = load(FOOT_PLATE)
    (proof,) = prove_job(job, shop, "bench-mill-metric", lambda _: None)
    # Its replay stands 0.01 off in y: half a division of the two touches.
    said = text_of(draw_setup(*of_mill(proof.place), proof.run, shop.cutters))
    said = said.replace("\N{NO-BREAK SPACE}", " ")
    assert "Machine bench-mill-metric" in said
    assert "converted-mill" not in said
    assert "1: 12, 22; 2: 108, 22; 3: 12, \N{MINUS SIGN}22" in said


def test_a_hole_made_elsewhere_is_listed_where_it_was_made() -> None:
    job, shop = load(FOOT_PLATE)
    (proof,) = prove_job(job, shop, None, lambda _: None)
    moved = prove_text(proof.place, proof.text.replace("X30.0", "X30.3"), "edited", lambda _: None)
    said = text_of(draw_setup(*of_mill(proof.place), moved.run, shop.cutters))
    assert "30.3, 0" in said.replace("\N{NO-BREAK SPACE}", " ")


def test_what_is_made_for_a_screw_is_written() -> None:
    made_for = made(THROUGH + 'screw = "M8"\nspotface = { diameter = 16 }')
    said = text_of(draw_setup(*of_mill(made_for.place), made_for.run, ()))
    assert "for M8 screws" in said
    assert "spot-faced" in said


def test_heights_are_of_what_the_section_cuts() -> None:
    # The tapped holes, full at 12.5 mm, lie before and behind the section through the dowels.
    assert "counterbore" in words()
    assert "full diameter" not in words()
