"""Turned work drawn: what each pass takes, the section with its dimensions, the strip, notes."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest
import shapely

from pathgen.commands.page_parts import Parts
from pathgen.commands.proving import prove_text
from pathgen.commands.turned import scene as scene_of_proof
from pathgen.commands.workplace import Proof, form_for
from postprocessors.drawing.frame import PRINTED_WIDE
from postprocessors.drawing.half_scene import HalfScene, edges_of
from postprocessors.drawing.half_section import draw_printed_section, draw_turned
from postprocessors.drawing.half_strip import HalfInSmall
from postprocessors.drawing.half_view import hatched, region_path, seen_behind
from postprocessors.drawing.lettering import ACROSS
from postprocessors.drawing.scale import View
from postprocessors.drawing.strip import Stage, draw_strip
from tests.followed import proof_of
from tests.test_drawing import overlapping_texts

LATHES = ("bench-lathe-metric", "bench-lathe-inch", "converted-lathe")
MINUS = "\N{MINUS SIGN}"


@cache
def drawn(job: str, machine: str, setup: str = "turning") -> tuple[HalfScene, list[Stage]]:
    proof, parts = made(job, machine, setup)
    return scene_of_proof(proof), parts.stages(proof.run)


def made(job: str, machine: str, setup: str = "turning") -> tuple[Proof, Parts]:
    proof = proof_of(job, machine, setup)
    return proof, form_for(proof.place.machine).page_parts(proof)


@pytest.mark.parametrize("machine", LATHES)
def test_what_the_passes_take_is_what_the_bar_loses(machine: str) -> None:
    scene, stages = drawn("guide-bush", machine)
    taken = sum(each.metal.area for each in scene.taken)
    assert taken == pytest.approx(scene.comes.area - scene.left.area, abs=0.01)
    assert taken == pytest.approx(
        sum(scene.removed(each.first, each.end).area for each in stages), abs=0.01
    )


def test_what_is_wanted_of_a_bush_is_as_the_job_has_it() -> None:
    scene, _ = drawn("guide-bush", "bench-lathe-metric")
    # Half of diameter 29.975 for 24 mm, of 38 for 6; less half of 25 for 3, of 22.375 for 27, and
    # from there to half of 26 over 8: each at the middle of its limits.
    solid = 29.975 / 2 * 24 + 19.0 * 6
    hollow = 12.5 * 3 + 22.375 / 2 * 27 + (13.0 - 22.375 / 2) * 8
    assert scene.wanted.area == pytest.approx(solid - hollow, rel=1e-3)


def test_a_pass_along_a_thread_takes_the_ring_down_to_its_root() -> None:
    scene, _ = drawn("adjusting-screw", "bench-lathe-metric")
    rings = [each for each in scene.taken if each.thread]
    assert rings
    # M16: 16 - 1.0825 x 2 = 13.835 at the root of the basic profile, 1.2269 x 2 deep at most.
    low = min(float(shapely.bounds(each.metal)[1]) for each in rings)
    assert (16 - 1.2269 * 2) / 2 - 0.2 <= low <= 13.835 / 2
    # Past the full thread of 28 it may run out for 4, and the shoulder is at 38.
    assert all(-32.01 <= float(shapely.bounds(each.metal)[0]) <= -28 for each in rings)


def texts(svg: str) -> list[str]:
    return re.findall(r"<text [^>]*>([^<]*)</text>", svg)


def dimensions(svg: str) -> list[str]:
    return re.findall(r'<g class="dimension" data-value="([^"]*)"', svg)


def test_every_size_of_a_bush_is_dimensioned_once_lengths_from_the_faced_end() -> None:
    scene, stages = drawn("guide-bush", "bench-lathe-metric")
    svg = draw_turned(scene, stages)
    play = f"{ACROSS}22.375 \N{PLUS-MINUS SIGN}0.05"  # 0.1 to 0.2 of play on 22.225
    across = [f"{ACROSS}25", play, f"{ACROSS}26", f"{ACROSS}30 0/{MINUS}0.05", f"{ACROSS}38"]
    assert sorted(dimensions(svg)) == sorted(["3", "10", "18", "24", "30", "33", *across])
    # On the sheet each length ends at the same place, and is as long as it says at 2:1.
    ends = set()
    for value in ("3", "10", "18", "24", "30", "33"):
        part = svg[svg.index(f'<g class="dimension" data-value="{value}">') :]
        lines = re.findall(r'<line x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"', part)
        (low, *_), (high, *_) = lines[:2]
        assert float(high) - float(low) == pytest.approx(2 * float(value), abs=0.002)
        ends.add(high)
    assert len(ends) == 1


def test_the_section_names_threads_edges_and_passes() -> None:
    scene, stages = drawn("adjusting-screw", "bench-lathe-metric")
    words = " ".join(texts(draw_turned(scene, stages)))
    assert f"Thread M16, 28 long, on {ACROSS}15.82" in words
    assert "M16" in dimensions(draw_turned(scene, stages))
    for stage in stages:
        assert f"{stage.number}. {stage.title}; " in words
    scene, stages = drawn("screw-foot", "bench-lathe-metric")
    words = " ".join(texts(draw_turned(scene, stages)))
    # A crown of 88.1 over a diameter of 30 is 15^2 / (88.1 + sqrt(88.1^2 - 15^2)) = 1.286 high.
    assert "bearing end: R 88.1 mm, 0 to 1.286" in words


@pytest.mark.parametrize(
    ("job", "setup"),
    [("guide-bush", "turning"), ("adjusting-screw", "turning"), ("lever-pin", "long end")],
)
def test_the_printed_section_is_of_true_size(job: str, setup: str) -> None:
    scene, stages = drawn(job, "bench-lathe-metric", setup)
    assert overlapping_texts(draw_turned(scene, stages)) == []
    svg = draw_printed_section(scene, stages)
    assert overlapping_texts(svg) == []
    width, height = re.search(
        r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 \1 \2"', svg
    ).groups()  # type: ignore[union-attr]
    assert float(width) == PRINTED_WIDE
    assert float(height) <= 160
    scale, zero = re.search(
        r'class="section" data-scale="([\d.]+)" data-zero="([\d. ]+)"', svg
    ).groups()  # type: ignore[union-attr]
    left, foot = map(float, zero.split())
    wanted = re.search(r'<g class="wanted">(.*?)</g>', svg, re.DOTALL)
    assert wanted
    places = [(float(x), float(y)) for x, y in re.findall(r"[ML]([\d.]+),([\d.]+)", wanted[1])]
    own = [((x - left) / float(scale), (foot - y) / float(scale)) for x, y in places]
    assert max(z for z, _ in own) == pytest.approx(0.0, abs=0.01)
    assert max(x for _, x in own) == pytest.approx(scene.wanted.bounds[3], abs=0.01)
    # Nothing sticks out of the paper, and the bar at the foot is as long as it says.
    assert all(0 <= x <= PRINTED_WIDE for x, _ in places)
    parts = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)" height="1.2"', svg)
    words = next(text for text in texts(svg) if re.fullmatch(r"[\d.]+ mm", text))
    length = sum(float(wide) for _, wide in parts)
    assert length == pytest.approx(float(words.split()[0]) * float(scale), abs=0.01)


@pytest.mark.parametrize("machine", LATHES)
def test_the_strip_has_a_picture_of_each_pass_numbered_as_the_sheet_is(machine: str) -> None:
    proof, parts = made("guide-bush", machine)
    scene, stages = drawn("guide-bush", machine)
    svg = draw_strip(HalfInSmall(scene), stages)
    assert svg is not None
    bold = re.findall(r'font-weight="bold">(\d+)\. ([^<]+)<', svg)
    headings = [(str(s.number), s.title) for s in stages]
    assert bold == headings
    if machine != "converted-lathe":
        on_sheet = [
            group.heading.casefold() for group in parts.groups if group.heading[0].isdigit()
        ]
        assert on_sheet == [f"{number}. {title}".casefold() for number, title in headings]
    shown = re.findall(r'<g class="before filled"[^>]*>(.*?)</g>', svg, re.DOTALL)
    assert [each.count("<use") for each in shown] == list(range(len(stages)))
    assert proof.run.headings


def test_a_pass_that_takes_nothing_has_no_picture() -> None:
    scene, stages = drawn("guide-bush", "bench-lathe-metric")
    small = HalfInSmall(scene)
    beyond = Stage(number=99, title="none", cutter="", first=10**8, end=10**9)
    assert not small.cuts_in(beyond)
    assert all(small.cuts_in(stage) for stage in stages)


def test_edges_behind_a_hollow_are_seen_but_none_along_a_curve() -> None:
    bush, _ = drawn("guide-bush", "bench-lathe-metric")
    # Behind the smaller of two radii that meet, the larger hides in its own shoulder's line.
    bore = 22.375 / 2
    wanted = [(-30.0, bore), (-18.0, bore), (-10.0, bore), (-3.0, bore), (0.0, 12.5)]
    assert list(seen_behind(bush)) == [pytest.approx(each, abs=1e-6) for each in wanted]
    cup, _ = drawn("ball-cup", "bench-lathe-metric")
    assert list(seen_behind(cup)) == [pytest.approx((0.0, 10.0), abs=0.01)]


def test_hatching_stays_within_what_it_hatches() -> None:
    ring = shapely.box(-20, 5, 0, 10).difference(shapely.box(-12, 6, -8, 8))
    view = View(2.0, 100.0, 50.0)
    lines = hatched(view, ring, 1)
    assert len(lines) > 10
    on_sheet = shapely.box(60, 30, 100, 40).difference(shapely.box(76, 34, 84, 38)).buffer(1e-6)
    assert all(on_sheet.contains(shapely.LineString(line)) for line in lines)
    length = sum(math.dist(*line) for line in lines)
    assert length == pytest.approx(on_sheet.area / 2.2, rel=0.1)  # lines 2.2 mm apart


def test_a_region_with_a_hole_is_filled_without_it() -> None:
    ring = shapely.box(0, 0, 4, 4).difference(shapely.box(1, 1, 2, 2))
    rings = region_path(View(1.0, 0.0, 4.0), ring).split("Z")[:-1]
    assert len(rings) == 2

    def turn(path: str) -> float:
        points = [tuple(map(float, each.split(","))) for each in path.lstrip("M").split("L")]
        pairs = zip(points, [*points[1:], points[0]], strict=True)
        return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)

    assert turn(rings[0]) * turn(rings[1]) < 0


def test_the_axis_and_the_end_of_the_view_are_no_edges() -> None:
    lines = edges_of(shapely.box(-10, 0, 0, 5), -10.0)
    assert [sorted(line) for line in lines] == [[(-10.0, 5.0), (0.0, 0.0), (0.0, 5.0)]]


def test_a_cut_beyond_what_is_wanted_shows_and_is_flagged() -> None:
    proof, parts = made("guide-bush", "converted-lathe")
    deeper = proof.text.replace("G1 Z-24.0 F", "G1 Z-26.0 F")  # into the flange, at diameter 29.975
    assert deeper != proof.text
    spoilt = prove_text(proof.place, deeper, "mine.ngc", lambda _: None)
    scene = scene_of_proof(spoilt)
    missing = scene.wanted.difference(scene.left).area
    # Of the flange 2 mm are gone from 29.975 out to 38 across, but for the nose's own corner.
    assert missing == pytest.approx(2.0 * (38.0 - 29.975) / 2, rel=0.05)
    svg = draw_turned(scene, parts.stages(spoilt.run))
    assert "FINDINGS" in texts(svg)
    assert overlapping_texts(svg) == []
