"""The drawing of areas: contours in true proportion, their sizes, and what a section finds."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from functools import cache

import pytest

from pathgen.commands.milled import of_mill
from pathgen.job.contour import circle, rectangle
from postprocessors.drawing.area_section import spans_at
from postprocessors.drawing.svg import draw_setup
from tests.read_jobs import the_shop
from tests.test_area_faults import ISLAND, OUTSIDE, STEP, made

SVG = "{http://www.w3.org/2000/svg}"


@cache
def drawn(feature: str) -> ET.Element:
    proof = made(feature)
    place = proof.place
    return ET.fromstring(draw_setup(*of_mill(place), proof.run, the_shop().cutters))


def places(feature: str, kind: str) -> list[list[tuple[float, float]]]:
    """Return the corners, mm of the part from the zero, of each contour of a kind in the plan."""
    plan = next(each for each in drawn(feature).iter(f"{SVG}g") if each.get("class") == "plan")
    scale = float(plan.get("data-scale", "0"))
    x0, y0 = (float(each) for each in plan.get("data-zero", "").split())
    found = []
    for path in plan.iter(f"{SVG}path"):
        if path.get("class") == kind:
            ends = re.findall(r"[ML ]([-\d.]+),([-\d.]+)(?=[LAZ])", path.get("d", ""))
            found.append([((float(x) - x0) / scale, (y0 - float(y)) / scale) for x, y in ends])
    return found


def words(feature: str) -> str:
    return " ".join(" ".join(each.text or "" for each in drawn(feature).iter(f"{SVG}text")).split())


def test_a_pocket_and_its_island_are_drawn_where_they_are_wanted() -> None:
    pocket, island = places(ISLAND, "pocket")
    xs, ys = zip(*pocket, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((30, 70), abs=0.01)
    assert (min(ys), max(ys)) == pytest.approx((15, 45), abs=0.01)
    assert sorted(x for x, _ in island)[-1] == pytest.approx(54, abs=0.01)


def test_the_sizes_of_a_pocket_are_dimensioned_and_told() -> None:
    told = words(ISLAND)
    for figure in ("40", "30", "50"):
        assert re.search(rf"\b{figure}\b", told)
    assert (
        "pocket 40 \N{MULTIPLICATION SIGN} 30, corners R5, 1 island left standing, 4 deep" in told
    )


def test_an_outside_and_its_bridges() -> None:
    (part,) = places(OUTSIDE, "outside")
    xs, ys = zip(*part, strict=True)
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((15, 85, 12, 48), abs=0.01)
    bridges = [c for c in drawn(OUTSIDE).iter(f"{SVG}circle") if c.get("class") == "bridge"]
    assert len(bridges) == 2
    assert "outside, cut free, 2 bridges, through" in words(OUTSIDE)


def test_a_step_is_told() -> None:
    assert "shoulder: step along front and back, 3 deep" in words(STEP)


def test_what_a_line_finds_within_contours() -> None:
    plate, hole = rectangle((0.0, 0.0), (40.0, 20.0)), circle((20.0, 10.0), 5.0)
    half = math.sqrt(25 - 9)
    assert spans_at([plate, hole], 13.0) == [
        pytest.approx((0, 20 - half), abs=0.02),
        pytest.approx((20 + half, 40), abs=0.02),
    ]
    assert spans_at([plate, hole], 17.0) == [pytest.approx((0, 40))]
    assert spans_at([plate, hole], 25.0) == []
