"""Contours from drawings: what ezdxf writes comes back; gaps and strange things are told of."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from ezdxf.document import Drawing
from ezdxf.filemanagement import new

from pathgen.input.where import Faults
from pathgen.job.contour import Bend, Contour, rectangle
from pathgen.job.drawn import drawn_contours
from pathgen.job.load import load_job
from tests.test_area_faults import HEAD


def drawing(units: int = 4) -> Drawing:
    document = new()
    document.header["$INSUNITS"] = units
    return document


def saved(document: Drawing, tmp_path: Path) -> Path:
    path = tmp_path / "cover.dxf"
    document.saveas(path)
    return path


def draw(document: Drawing, contour: Contour, layer: str = "OUTLINE") -> None:
    """Draw a contour as single lines and arcs."""
    space = document.modelspace()
    for start, segment in contour.legs():
        if isinstance(segment, Bend):
            x, y = segment.centre
            angles = [
                math.degrees(math.atan2(end[1] - y, end[0] - x)) for end in (start, segment.to)
            ]
            if segment.clockwise:
                angles.reverse()
            radius = math.dist(start, segment.centre)
            space.add_arc((x, y), radius, angles[0], angles[1], dxfattribs={"layer": layer})
        else:
            space.add_line(start, segment.to, dxfattribs={"layer": layer})


PLATE = rectangle((0.0, 0.0), (60.0, 40.0), 6.0)


def test_lines_and_arcs_come_back_as_the_same_contour(tmp_path: Path) -> None:
    document = drawing()
    draw(document, PLATE)
    (found,) = drawn_contours(saved(document, tmp_path), "OUTLINE", None)
    assert found.area == pytest.approx(PLATE.area, abs=1e-6)
    assert found.length == pytest.approx(PLATE.length, abs=1e-6)
    assert found.box == pytest.approx(PLATE.box, abs=1e-6)


def test_a_light_polyline_with_bulges_and_a_circle_largest_first(tmp_path: Path) -> None:
    document = drawing()
    space = document.modelspace()
    space.add_circle((20, 10), 4, dxfattribs={"layer": "OUTLINE"})
    # Half a turn has the bulge 1: a round-ended plate of 40 between centres, 20 wide.
    space.add_lwpolyline(
        [(0, 0, 0), (40, 0, 1), (40, 20, 0), (0, 20, 1)],
        format="xyb",
        close=True,
        dxfattribs={"layer": "OUTLINE"},
    )
    plate, hole = drawn_contours(saved(document, tmp_path), "OUTLINE", "mm")
    assert plate.area == pytest.approx(40 * 20 + math.pi * 100)
    assert plate.box == pytest.approx((-10, 0, 50, 20))
    assert hole.area == pytest.approx(math.pi * 16)


def test_a_polyline_of_an_old_drawing(tmp_path: Path) -> None:
    # The same plate as a heavy polyline, in the oldest form of the format, which states no units.
    document = new("R12")
    line = document.modelspace().add_polyline2d(
        [(0, 0, 0), (40, 0, 1), (40, 20, 0), (0, 20, 1)], format="xyb", close=True
    )
    line.dxf.layer = "OUTLINE"
    (plate,) = drawn_contours(saved(document, tmp_path), "OUTLINE", "mm")
    assert plate.area == pytest.approx(40 * 20 + math.pi * 100)


def test_a_drawing_in_inches(tmp_path: Path) -> None:
    document = drawing(units=1)
    draw(document, rectangle((0.0, 0.0), (2.0, 1.0)))
    (found,) = drawn_contours(saved(document, tmp_path), "OUTLINE", None)
    assert found.box == pytest.approx((0, 0, 50.8, 25.4))


def test_a_gap_is_told_of_with_its_places(tmp_path: Path) -> None:
    document = drawing()
    for start, end in (((0, 0), (30, 0)), ((30, 0.4), (30, 20)), ((30, 20), (0, 0))):
        document.modelspace().add_line(start, end, dxfattribs={"layer": "OUTLINE"})
    with pytest.raises(ValueError, match=r"open at 30, 0(\.4)?; .* 0\.4 mm away at 30, 0(\.4)?:"):
        drawn_contours(saved(document, tmp_path), "OUTLINE", None)


def wrong(
    document: Drawing, tmp_path: Path, layer: str = "OUTLINE", units: str | None = None
) -> str:
    with pytest.raises(ValueError) as raised:  # noqa: PT011 - the words are looked at by the caller
        drawn_contours(saved(document, tmp_path), layer, units)  # type: ignore[arg-type]
    return str(raised.value)


def test_what_cannot_be_taken_from_a_drawing(tmp_path: Path) -> None:
    unitless = drawing(units=0)
    draw(unitless, PLATE)
    assert 'does not state its units; give units = "mm" or "in"' in wrong(unitless, tmp_path)
    inches = drawing(units=1)
    draw(inches, PLATE)
    assert "its unit is 25.4 mm, the job mm" in wrong(inches, tmp_path, units="mm")
    assert 'did you mean "OUTLINE"?' in wrong(inches, tmp_path, layer="OUTLIN")
    curved = drawing()
    curved.modelspace().add_ellipse((0, 0), (5, 0), dxfattribs={"layer": "OUTLINE"})
    assert "a drawn ELLIPSE" in wrong(curved, tmp_path)
    doubled = drawing()
    draw(doubled, PLATE)
    draw(doubled, PLATE)
    assert "lines meet at" in wrong(doubled, tmp_path)


def test_no_drawing(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"missing\.dxf cannot be read"):
        drawn_contours(tmp_path / "missing.dxf", "OUTLINE", None)
    (tmp_path / "words.dxf").write_text("not a drawing\n")
    with pytest.raises(ValueError, match=r"words\.dxf"):
        drawn_contours(tmp_path / "words.dxf", "OUTLINE", None)


def test_the_digest_of_a_job_changes_with_its_drawing(tmp_path: Path) -> None:
    text = HEAD + 'kind = "pocket"\nname = "window"\ndepth = 2\ncentre = [50, 30]\n'
    (tmp_path / "plate.toml").write_text(
        text + 'dxf = { file = "cover.dxf", layer = "OUTLINE" }\ncorners = "left"\n'
    )
    digests = set()
    for width in (20.0, 22.0):
        document = drawing()
        draw(document, rectangle((-10.0, -10.0), (10.0, width - 10.0)))
        saved(document, tmp_path)
        faults = Faults()
        job = load_job(tmp_path / "plate.toml", faults)
        assert job is not None, faults.errors
        digests.add(job.digest)
    assert len(digests) == 2
