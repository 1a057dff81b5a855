"""What is cut when: its drawings step by step, the strip of the passes, views to scale, `draw`."""

from __future__ import annotations

import builtins
import math
import re
import struct
from pathlib import Path
from typing import Any

import pytest
import shapely

from pathgen.cli import run
from pathgen.commands.milled import scene as scene_of_proof
from pathgen.commands.workplace import Proof, form_for
from postprocessors.drawing.chart import draw_chart
from postprocessors.drawing.frame import PRINTED_WIDE
from postprocessors.drawing.plan_strip import PlanInSmall
from postprocessors.drawing.printed_views import draw_printed_views
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.section_window import part_sections
from postprocessors.drawing.stages import Cut, Stand, stages_of
from postprocessors.drawing.strip import draw_strip
from postprocessors.drawing.touch_sketch import draw_touches
from tests.followed import JOBS, files, places, proof_of

MACHINES = ("bench-mill-metric", "converted-mill-lean", "converted-mill")
THROUGH = -8.0 + 1e-6  # z beneath which the fence bar is cut through, mm


def followed(
    job: str, machine: str, setup: str
) -> tuple[Proof, Scene, tuple[Cut, ...], tuple[Stand, ...]]:
    proof = proof_of(job, machine, setup)
    scene = scene_of_proof(proof, form_for(proof.place.machine).page_parts(proof))
    cuts, stands = stages_of(proof.run, scene.cutters, scene.high[2])
    return proof, scene, cuts, stands


def cleared(cuts: tuple[Cut, ...], below: float) -> Any:
    """Return the region that cuts clear down to a height."""
    shapes = [
        shapely.LineString(cut.points if len(cut.points) > 1 else cut.points * 2).buffer(
            cut.width / 2, quad_segs=64
        )
        for cut in cuts
        if cut.low <= below
    ]
    return shapely.union_all(shapes)


@pytest.mark.parametrize("machine", MACHINES)
def test_the_cuts_together_are_the_wanted_slot(machine: str) -> None:
    _, _, cuts, _ = followed("fence-bar", machine, "slot")
    # 110 long over its round ends, 10 to 10.15 wide, about the middle of 160 x 30.
    wanted = shapely.LineString([(30.0, 0.0), (130.0, 0.0)]).buffer(5.0, quad_segs=64)
    found = cleared(cuts, THROUGH)
    assert found.symmetric_difference(wanted).area < 0.02 * wanted.area
    assert found.bounds == pytest.approx((25.0, -5.0, 135.0, 5.0), abs=0.2)


def test_a_spot_is_no_wider_than_it_is_deep() -> None:
    _, _, cuts, _ = followed("fence-bar", "converted-mill", "slot")
    spots = [cut for cut in cuts if cut.low == pytest.approx(-3.6)]
    assert len(spots) == 11
    # 90 degrees: as wide as twice its depth, so 7.2 of the drill's 10.
    assert all(cut.width == pytest.approx(7.2) for cut in spots)


@pytest.mark.parametrize("machine", MACHINES)
def test_the_tool_stands_where_its_last_move_left_it(machine: str) -> None:
    proof, _, cuts, stands = followed("fence-bar", machine, "slot")
    assert [stand.number for stand in stands] == sorted({*proof.run.numbers})
    assert math.isnan(stands[0].place[0])
    by_number = {stand.number: stand for stand in stands}
    last = cuts[-1]
    assert by_number[last.number].place[:2] == pytest.approx(last.points[-1], abs=0.006)  # as drawn


def groups(svg: str, kind: str) -> list[int]:
    return [int(n) for n in re.findall(rf'<g class="{kind}" data-number="(\d+)"', svg)]


def test_the_chart_holds_each_cut_under_the_step_that_makes_it() -> None:
    proof, scene, cuts, _ = followed("fence-bar", "bench-mill-metric", "slot")
    svg = draw_chart(scene, cuts)
    steps = [step for step in proof.run.numbers if step in {cut.number for cut in cuts}]
    assert groups(svg, "(?:through|part)") == sorted(set(steps))
    scale, zero = re.search(
        r'class="plan" data-scale="([\d.]+)" data-zero="([\d. ]+)"', svg
    ).groups()  # type: ignore[union-attr]
    left, foot = map(float, zero.split())
    first = re.search(
        rf'<g class="part" data-number="{places("bench-mill-metric").spot}"[^>]*>\n'
        r'<path class="cut" d="M([\d.]+),([\d.]+)',
        svg,
    )
    assert first
    at = (float(first[1]) - left) / float(scale), (foot - float(first[2])) / float(scale)
    assert at == pytest.approx((30.0, 0.0), abs=0.02)  # hole 1 is 30 from the left end


@pytest.mark.parametrize(("machine", "passes"), [("bench-mill-metric", 5), ("converted-mill", 5)])
def test_the_strip_has_a_picture_of_each_pass_in_order(machine: str, passes: int) -> None:
    proof, scene, cuts, _ = followed("fence-bar", machine, "slot")
    parts = form_for(proof.place.machine).page_parts(proof)
    svg = draw_strip(PlanInSmall(scene, cuts), parts.stages(proof.run))
    assert svg is not None
    titles = re.findall(r'font-weight="bold">(\d+)\. ([a-z -]+): stud slot<', svg)
    assert [int(number) for number, _ in titles] == list(range(1, passes + 1))
    assert [title for _, title in titles][:2] == ["spot", "chain drill"]
    shown = re.findall(r'<g class="before"[^>]*>(.*?)</g>', svg, re.DOTALL)
    assert [each.count("<use") for each in shown] == list(range(passes))


def test_touches_are_sketched_in_order_with_what_the_axis_reads() -> None:
    proof, scene, _, _ = followed("fence-bar", "bench-mill-metric", "slot")
    svg = draw_touches(scene, proof.run)
    assert svg is not None
    said = re.findall(r">(\d): ([xy]) \N{MINUS SIGN}?([\d.]+)<", svg)
    # A 3 mm cutter through 0.05 mm of paper: 1.5 + 0.05 off the faces at 0 and 15.
    assert said == [("1", "x", "1.55"), ("2", "y", "16.55"), ("3", "y", "16.55")]
    assert svg.count('class="touching"') == 3


@pytest.mark.parametrize(
    ("job", "setup"), [("fence-bar", "slot"), ("foot-plate", "holes"), ("lock-plate", "openings")]
)
def test_printed_views_are_of_true_size_and_fit_both_papers(job: str, setup: str) -> None:
    _, scene, _, _ = followed(job, "converted-mill", setup)
    svg = draw_printed_views(scene)
    assert svg is not None
    width, height = re.search(
        r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 \1 \2"', svg
    ).groups()  # type: ignore[union-attr]
    assert float(width) == PRINTED_WIDE
    assert float(height) < 170  # and a page of either paper has 250
    # Nothing sticks out to the right.
    places = [float(x) for x in re.findall(r'(?:x|x2)="([\d.]+)"', svg)]
    assert max(places) < PRINTED_WIDE


def test_a_section_in_part_shows_the_holes_whose_depths_it_tells() -> None:
    _, scene, _, _ = followed("foot-plate", "converted-mill", "holes")
    # In the plane lie dowels at 30 and 90, and the stud's hole at 60, counterbored 6 deep.
    sections = list(part_sections(scene, 0.5))
    assert sections
    for section in sections:
        low, _, high, _ = section.window
        assert low < 60 - 8
        assert high > 60 + 8
        assert any("counterbore" in words for _, words in section.levels)


# ---------------------------------------------------------------------- draw


def status(*words: object) -> int:
    with pytest.raises(SystemExit) as ended:
        run([str(word) for word in words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


def test_an_edited_program_is_drawn_over_the_wanted_part(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = files("fence-bar", "converted-mill")["slot.converted-mill.ngc"]
    assert "X30.0 Y0.0" in text
    made = tmp_path / "mine.ngc"
    made.write_text(text.replace("X30.0 Y0.0", "X30.0 Y9.0", 1))
    assert status("draw", JOBS / "fence-bar.toml", made, "--png") == 0
    names = ["mine.drawn.svg", "mine.passes.svg", "mine.drawn.png", "mine.passes.png"]
    assert capsys.readouterr().out.splitlines() == [str(tmp_path / name) for name in names]
    svg = (tmp_path / "mine.drawn.svg").read_text()
    assert "FINDINGS" in svg
    assert "\N{LATIN CAPITAL LETTER O WITH STROKE}" in svg
    png = (tmp_path / "mine.drawn.png").read_bytes()
    assert png.startswith(b"\x89PNG")
    wide, high = struct.unpack(">II", png[16:24])
    assert wide / high == pytest.approx(297 / 210, abs=0.01)


def test_without_what_makes_png_it_says_what_to_install(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name == "cairosvg":
            raise ImportError(name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    assert status("draw", JOBS / "fence-bar.toml", "--into", tmp_path / "out", "--png") == 2
    assert 'pip install "pathgen[png]"' in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
