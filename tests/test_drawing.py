"""Drawings of one setup: parts of a bookbinder's nipping press, drawn and measured on the sheet."""

from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ET
from typing import Literal, NamedTuple

import pytest

from pathgen.input.where import Refusal, Where
from pathgen.job.job import Blank, Datum, Face, Hold, Job, JobSetup, Keepout
from pathgen.job.sizes import Size, general_size
from pathgen.job.slot import Slot, SlotWays
from pathgen.moves.actions import FitCutter, Measure, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Head, HeadCutter, Item, Run
from pathgen.shop.cutters import Cutter
from postprocessors.drawing.dimensions import sized
from postprocessors.drawing.scale import Units
from postprocessors.drawing.svg import draw_setup

SVG = "{http://www.w3.org/2000/svg}"
HERE = Where("test.toml", 1, "")


class Finding(NamedTuple):
    """What the drawing needs of a finding."""

    at: tuple[float, float, float] | None
    what: str
    code: str


class Sample(NamedTuple):
    """All that one drawing is made from."""

    job: Job
    run: Run
    cutters: tuple[Cutter, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def setup(self) -> JobSetup:
        return self.job.setups[0]

    def svg(self) -> str:
        return draw_setup(self.job, self.setup, self.run, self.cutters, self.findings)


# --- building samples -------------------------------------------------------------------------


def slot_of(
    along: Literal["x", "y"],
    ends: tuple[float, float],
    centre_line: float,
    width: float,
    *,
    depth: float | None = None,
    open_ends: tuple[bool, bool] = (False, False),
    limits: tuple[float, float] | None = None,
) -> Slot:
    length = ends[1] - ends[0]
    low, high = limits or (general_size(width, "m").low, general_size(width, "m").high)
    return Slot(
        name="slot",
        along=along,
        low_end=ends[0],
        high_end=ends[1],
        open_low=open_ends[0],
        open_high=open_ends[1],
        centre_line=centre_line,
        width=Size(
            nominal=width, low=low, high=high, basis="own limits" if limits else "ISO 2768-1 m"
        ),
        length=general_size(length, "m"),
        middle=general_size((ends[0] + ends[1]) / 2, "m"),
        across=general_size(centre_line, "m"),
        depth=None if depth is None else general_size(depth, "m"),
        ways=SlotWays(),
        where=HERE,
    )


def datum(*faces: Face) -> Datum:
    return Datum(
        faces=faces,
        tool="edge finder",
        tool_diameter=10.0,
        paper=0.0,
        uncertainty=0.01,
        dial_reads=None,
    )


def job_of(
    title: str,
    blank: tuple[float, float, float],
    slots: tuple[Slot, ...],
    *,
    keepouts: tuple[Keepout, ...] = (),
    beneath: float = 8.0,
    units: Literal["mm", "in"] = "mm",
    middle: bool = False,
    machine: str = "knee mill",
) -> Job:
    x, y = (blank[0] / 2, blank[1] / 2) if middle else (0.0, 0.0)
    setup = JobSetup(
        name="slot from the top",
        machine=machine,
        hold=Hold(how="vice", lines=(), keepouts=keepouts, beneath=beneath),
        datum_x=datum("left", "right") if middle else datum("left"),
        datum_y=datum("front", "back") if middle else datum("front"),
        datum_z=datum("top"),
        features=slots,
        origin=(x, y, 0.0),
        where=HERE,
    )
    return Job(
        name="sample",
        title=title,
        units=units,
        tolerance_class="m",
        blank=Blank(length=blank[0], width=blank[1], thickness=blank[2], material="mild steel"),
        setups=(setup,),
        digest="0123456789abcdef",
        where=HERE,
    )


def cutter_of(name: str, kind: Literal["drill", "end mill"], diameter: float) -> Cutter:
    return Cutter(
        name=name,
        kind=kind,
        nominal=diameter,
        diameter=diameter,
        flutes=2,
        flute_length=30.0,
        shank=diameter,
        cuts_at_centre=kind == "drill",
        point_angle_deg=118.0 if kind == "drill" else 180.0,
        where=HERE,
    )


def run_of(job: Job, items: list[Item]) -> Run:
    cutters = tuple(
        HeadCutter(number=each.number, name=each.name, diameter=each.diameter)
        for each in items
        if isinstance(each, FitCutter)
    )
    head = Head(
        title=job.title,
        digest=job.digest,
        setup=job.setups[0].name,
        machine=job.setups[0].machine,
        cutters=cutters,
    )
    numbers = tuple(range(1, len(items) + 1))
    return Run(file="sample.nc", where="line", head=head, items=tuple(items), numbers=numbers)


def drilled(number: int, cutter: Cutter, places: list[tuple[float, float]], z: float) -> list[Item]:
    fit = FitCutter(number=number, name=cutter.name, diameter=cutter.diameter)
    holes = [Drill(x, y, z, 2.0, 60.0) for x, y in places]
    return [fit, Spindle(rpm=900.0), *holes, Spindle(rpm=0.0)]


def lined(slot: Slot, along: float, off: float) -> tuple[float, float]:
    return slot.point(along, slot.centre_line + off)


def roughed(number: int, cutter: Cutter, slot: Slot, depths: list[float]) -> list[Item]:
    low = slot.low_end + (-cutter.radius if slot.open_low else slot.width.nominal / 2)
    high = slot.high_end + (cutter.radius if slot.open_high else -slot.width.nominal / 2)
    start, end = lined(slot, low, 0.0), lined(slot, high, 0.0)
    items: list[Item] = [
        FitCutter(number=number, name=cutter.name, diameter=cutter.diameter),
        Spindle(rpm=800.0),
        Rapid(*start, 2.0),
    ]
    for z in depths:
        items += [Feed(*start, z, 30.0), Feed(*end, z, 80.0)]
        start, end = end, start
    return [*items, Rapid(*start, 2.0), Spindle(rpm=0.0)]


def finished(number: int, cutter: Cutter, slot: Slot, z: float, *, arcs: bool) -> list[Item]:
    off = slot.width.nominal / 2 - cutter.radius
    half = slot.width.nominal / 2
    low, high = slot.low_end + half, slot.high_end - half
    near_low, near_high = lined(slot, low, -off), lined(slot, high, -off)
    far_low, far_high = lined(slot, low, off), lined(slot, high, off)
    centre_low, centre_high = lined(slot, low, 0.0), lined(slot, high, 0.0)
    clockwise = slot.along == "y"
    over: list[Item] = [Feed(*far_high, z, 60.0)]
    back: list[Item] = [Feed(*near_low, z, 60.0)]
    if arcs:
        over = [Arc(*far_high, z, *centre_high, clockwise, 60.0)]
        back = [Arc(*near_low, z, *centre_low, clockwise, 60.0)]
    return [
        FitCutter(number=number, name=cutter.name, diameter=cutter.diameter),
        Measure(name="M1", what="width", expected=half * 2, low=half, high=half * 3),
        Spindle(rpm=1000.0),
        Rapid(*near_low, 2.0),
        Feed(*near_low, z, 30.0),
        Feed(*near_high, z, 60.0),
        *over,
        Feed(*far_low, z, 60.0),
        *back,
        Rapid(*near_low, 2.0),
        Spindle(rpm=0.0),
    ]


# --- the samples ------------------------------------------------------------------------------


def latch_plate(title: str = "Latch plate") -> Sample:
    """Nine chain-drilled holes, a rough and a finish pass, in a vice on a parallel."""
    slot = slot_of("x", (20.0, 92.0), 18.0, 10.0, limits=(10.0, 10.05))
    keepouts = (
        Keepout(name="front jaw", low=(-15.0, -40.0, -60.0), high=(135.0, 0.0, -5.0)),
        Keepout(name="back jaw", low=(-15.0, 36.0, -60.0), high=(135.0, 76.0, -5.0)),
        Keepout(name="front parallel", low=(-5.0, 0.0, -32.0), high=(125.0, 6.0, -12.0)),
        Keepout(name="back parallel", low=(-5.0, 30.0, -32.0), high=(125.0, 36.0, -12.0)),
    )
    job = job_of(title, (120.0, 36.0, 12.0), (slot,), keepouts=keepouts, beneath=20.0)
    drill = cutter_of("7.5 mm drill", "drill", 7.5)
    rough, finish = (
        cutter_of("8 mm end mill", "end mill", 7.98),
        cutter_of("6 mm mill", "end mill", 6.0),
    )
    places = [(25.0 + 62.0 * i / 8, 18.0) for i in range(9)]
    items = [
        *drilled(1, drill, places, -15.2),
        *roughed(2, rough, slot, [-3.0, -6.0, -9.0, -12.5]),
        *finished(3, finish, slot, -12.5, arcs=True),
    ]
    return Sample(job, run_of(job, items), (drill, rough, finish))


def fence_bar() -> Sample:
    """Long and thin, a blind slot, in inches, under two clamps."""
    slot = slot_of("x", (50.8, 330.2), 12.7, 9.525, depth=3.175)
    keepouts = (
        Keepout(name="left clamp", low=(5.0, -20.0, -8.0), high=(30.0, 18.0, 12.0)),
        Keepout(name="right clamp", low=(370.0, -20.0, -8.0), high=(395.0, 18.0, 12.0)),
    )
    job = job_of(
        "Fence bar", (400.0, 25.4, 6.35), (slot,), keepouts=keepouts, beneath=0.0, units="in"
    )
    mill = cutter_of("3/8 in slot drill", "end mill", 9.525)
    return Sample(job, run_of(job, roughed(1, mill, slot, [-1.5, -3.175])), (mill,))


def swivel_seat() -> Sample:
    """A slot along y, open at the back, datum in the middle, with two findings."""
    slot = slot_of("y", (-20.0, 45.0), 0.0, 12.0, open_ends=(False, True))
    job = job_of("Swivel seat", (60.0, 90.0, 15.0), (slot,), middle=True, beneath=10.0)
    drill, mill = (
        cutter_of("10 mm drill", "drill", 10.0),
        cutter_of("12 mm end mill", "end mill", 12.0),
    )
    items = [
        *drilled(1, drill, [(0.0, -14.0), (0.0, 0.0), (0.0, 14.0)], -19.0),
        *roughed(2, mill, slot, [-5.0, -10.0, -15.5]),
    ]
    findings = (
        Finding((3.0, 10.0, -8.0), "the wall at x 6 is 0.12 mm too far out", "gouge"),
        Finding(None, "the width is 12.31 mm, more than 12.2 mm", "size"),
    )
    return Sample(job, run_of(job, items), (drill, mill), findings)


def guide_bush_key() -> Sample:
    """Tiny: drawn ten times as large."""
    slot = slot_of("x", (2.0, 9.0), 4.0, 2.0, depth=1.0)
    job = job_of("Key of the guide bush", (12.0, 8.0, 3.0), (slot,), beneath=2.0)
    mill = cutter_of("2 mm end mill", "end mill", 2.0)
    return Sample(job, run_of(job, roughed(1, mill, slot, [-0.5, -1.0])), (mill,))


def base_plate() -> Sample:
    """Huge, two slots at right angles, one along x and one along y, many holes."""
    level = slot_of("x", (100.0, 700.0), 60.0, 20.0)
    upright = slot_of("y", (120.0, 260.0), 500.0, 16.0, depth=12.0)
    job = job_of("Base plate of the press", (900.0, 300.0, 40.0), (level, upright), beneath=60.0)
    drill, mill = (
        cutter_of("16 mm drill", "drill", 16.0),
        cutter_of("16 mm end mill", "end mill", 16.0),
    )
    places = [(110.0 + 580.0 * i / 29, 60.0) for i in range(30)]
    items = [
        *drilled(1, drill, places, -46.0),
        *roughed(2, mill, level, [-10.0, -20.0, -30.0, -40.5]),
        *finished(3, mill, level, -40.5, arcs=False),
        *roughed(4, mill, upright, [-6.0, -12.0]),
    ]
    return Sample(job, run_of(job, items), (drill, mill))


SAMPLES = {
    "latch plate": latch_plate,
    "fence bar": fence_bar,
    "swivel seat": swivel_seat,
    "guide bush key": guide_bush_key,
    "base plate": base_plate,
}


# --- reading a drawing ------------------------------------------------------------------------


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg.encode())


def group(root: ET.Element, kind: str) -> ET.Element:
    return next(each for each in root.iter(f"{SVG}g") if each.get("class") == kind)


def all_of(root: ET.Element, tag: str, kind: str) -> list[ET.Element]:
    return [each for each in root.iter(f"{SVG}{tag}") if each.get("class") == kind]


def words_of(root: ET.Element) -> str:
    texts = (each.text or "" for each in root.iter(f"{SVG}text"))
    plain = str.maketrans("\N{NO-BREAK SPACE}\N{MINUS SIGN}\N{MULTIPLICATION SIGN}", " -x")
    return " ".join(texts).translate(plain)


def zero_of(plan: ET.Element) -> tuple[float, float]:
    x, y = (plan.get("data-zero") or "").split()
    return float(x), float(y)


def numbers_in(path: str) -> list[float]:
    return [float(each) for each in re.findall(r"-?\d+(?:\.\d+)?", path)]


class Rect(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float


def text_rect(text: ET.Element) -> Rect:
    """Return a text's box by a rough estimate: 0.55 of the font's size a character."""
    size = float(text.get("font-size", "0"))
    width, height = 0.55 * size * len(text.text or ""), 0.72 * size
    x, y = float(text.get("x", "0")), float(text.get("y", "0"))
    before = {"start": 0.0, "middle": width / 2, "end": width}[text.get("text-anchor", "start")]
    if text.get("transform"):
        return Rect(x - height, y - width + before, x, y + before)
    return Rect(x - before, y - height, x - before + width, y)


def overlaps(a: Rect, b: Rect) -> bool:
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom


def overlapping_texts(svg: str) -> list[tuple[str | None, str | None]]:
    boxes = [(text_rect(each), each.text) for each in parsed(svg).iter(f"{SVG}text")]
    pairs = itertools.combinations(boxes, 2)
    return [(a[1], b[1]) for a, b in pairs if overlaps(a[0], b[0])]


# --- what every drawing must be ---------------------------------------------------------------


@pytest.fixture(params=list(SAMPLES))
def sample(request: pytest.FixtureRequest) -> Sample:
    return SAMPLES[request.param]()


def test_a_drawing_is_a_sheet_of_a4_that_needs_nothing_else(sample: Sample) -> None:
    svg = sample.svg()
    root = parsed(svg)
    assert (root.get("width"), root.get("height")) == ("297mm", "210mm")
    assert root.get("viewBox") == "0 0 297 210"
    assert "href" not in svg
    assert "@import" not in svg
    assert svg.count("http") == 1  # the name of SVG itself


def test_the_same_input_gives_the_same_bytes(sample: Sample) -> None:
    assert sample.svg() == sample.svg()


def test_no_words_cover_others(sample: Sample) -> None:
    assert overlapping_texts(sample.svg()) == []


def test_all_words_are_within_the_frame_and_large_enough(sample: Sample) -> None:
    for text in parsed(sample.svg()).iter(f"{SVG}text"):
        box = text_rect(text)
        assert box.left >= 20, text.text
        assert box.right <= 287, text.text
        assert box.top >= 10, text.text
        assert box.bottom <= 200, text.text
        # Capitals of 2.5 mm at least, for a font whose capitals are 0.73 of its size.
        assert float(text.get("font-size", "0")) * 0.73 >= 2.499, text.text


def test_overlap_is_noticed_when_there_is_some() -> None:
    text = '<text x="{}" y="50" font-size="5">jaw</text>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg">{text.format(50)}{text.format(52)}</svg>'
    assert overlapping_texts(svg) == [("jaw", "jaw")]


@pytest.mark.parametrize(
    ("name", "scale", "blank"),
    [
        ("latch plate", 1.0, (120.0, 36.0)),
        ("fence bar", 0.5, (200.0, 12.7)),
        ("swivel seat", 1.0, (60.0, 90.0)),
        ("guide bush key", 10.0, (120.0, 80.0)),
        ("base plate", 0.1, (90.0, 30.0)),
    ],
)
def test_the_blank_is_drawn_in_true_proportion(
    name: str, scale: float, blank: tuple[float, float]
) -> None:
    plan = group(parsed(SAMPLES[name]().svg()), "plan")
    assert float(plan.get("data-scale", "0")) == scale
    rects = [
        (float(r.get("width", "0")), float(r.get("height", "0"))) for r in plan.iter(f"{SVG}rect")
    ]
    assert any(size == pytest.approx(blank, abs=1e-3) for size in rects)


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    svg = SAMPLES["latch plate"]().svg()
    assert "20 mm (plan)" in words_of(parsed(svg))
    parts = re.findall(r'<rect x="[\d.]+" y="[\d.]+" width="5" height="1.2"', svg)
    assert len(parts) == 4  # at 1:1 four parts of 5 mm


# --- the wanted outline -----------------------------------------------------------------------


def test_a_closed_slot_lies_where_it_is_wanted() -> None:
    plan = group(parsed(latch_plate().svg()), "plan")
    x0, y0 = zero_of(plan)
    (outline,) = all_of(plan, "path", "slot")
    # Ends at 20 and 92, centre line at 18, width 10, at 1:1: walls from 25 to 87, at 13 and 23.
    wanted = [25, 13, 87, 13, 5, 5, 0, 0, 0, 87, 23, 25, 23, 5, 5, 0, 0, 0, 25, 13]
    got = numbers_in(outline.get("d", ""))
    for place in (0, 2, 9, 11, 18):  # from the sheet's corner to the part's zero, y upwards
        got[place : place + 2] = [got[place] - x0, y0 - got[place + 1]]
    assert got == pytest.approx(wanted, abs=1e-3)
    assert float(outline.get("stroke-width", "0")) == 0.7


def test_the_zero_of_a_corner_datum_is_the_blanks_corner() -> None:
    plan = group(parsed(latch_plate().svg()), "plan")
    x0, y0 = zero_of(plan)
    blank = next(r for r in plan.iter(f"{SVG}rect") if r.get("width") == "120")
    foot = float(blank.get("y", "0")) + float(blank.get("height", "0"))
    assert (float(blank.get("x", "0")), foot) == pytest.approx((x0, y0), abs=2e-3)


def test_an_open_end_is_left_open_at_the_face() -> None:
    plan = group(parsed(swivel_seat().svg()), "plan")
    x0, y0 = zero_of(plan)
    path = all_of(plan, "path", "slot")[0].get("d", "")
    assert path.count("M") == 2  # the far end is open: the outline is taken up anew there
    assert path.count("A") == 1
    got = numbers_in(path)
    # From the middle of 60 x 90: the walls at x -6 and 6 run from y -14 to the face at y 45.
    relative = [(got[i] - x0, y0 - got[i + 1]) for i in (0, 2, 4, 6)]
    wanted = [(-6, -14), (-6, 45), (6, 45), (6, -14)]
    for place, where in zip(relative, wanted, strict=True):
        assert place == pytest.approx(where, abs=1e-3)


@pytest.mark.parametrize("name", ["latch plate", "swivel seat"])
def test_round_ends_bulge_outwards(name: str) -> None:
    sample = SAMPLES[name]()
    slot = sample.setup.slots[0]
    plan = group(parsed(sample.svg()), "plan")
    x0, y0 = zero_of(plan)
    path = all_of(plan, "path", "slot")[0].get("d", "")
    # The last round end: a half turn of sweep 0 (against the clock on the sheet) or 1.
    start, sweep, end = re.findall(r"L([\d.,]+)A[\d.]+,[\d.]+ 0 0 ([01]) ([\d.,]+)$", path)[0]
    (xa, ya), (xb, yb) = numbers_in(start), numbers_in(end)
    sign = 1 if sweep == "1" else -1
    tip = (xa + xb) / 2 + sign * (yb - ya) / 2, (ya + yb) / 2 - sign * (xb - xa) / 2
    wanted = slot.point(slot.low_end, slot.centre_line)
    assert (tip[0] - x0, y0 - tip[1]) == pytest.approx(wanted, abs=2e-3)


# --- what the run does ------------------------------------------------------------------------


def test_every_hole_is_drawn_to_size_where_it_is_drilled() -> None:
    plan = group(parsed(latch_plate().svg()), "plan")
    x0, y0 = zero_of(plan)
    circles = all_of(plan, "circle", "drilled")
    places = [(float(c.get("cx", "0")) - x0, y0 - float(c.get("cy", "0"))) for c in circles]
    assert [place[0] for place in places] == pytest.approx(
        [25, 32.75, 40.5, 48.25, 56, 63.75, 71.5, 79.25, 87], abs=2e-3
    )
    assert {round(place[1], 2) for place in places} == {18.0}
    assert {c.get("r") for c in circles} == {"3.75"}


def test_holes_are_numbered_in_the_order_of_drilling() -> None:
    root = parsed(latch_plate().svg())
    x0, _ = zero_of(group(root, "plan"))
    numbered = {
        t.text: float(t.get("x", "0")) - x0
        for t in root.iter(f"{SVG}text")
        if (t.text or "").isdigit()
        and float(t.get("font-size", "0")) < 4
        and not t.get("transform")
    }
    assert [numbered[str(n)] for n in (1, 5, 9)] == pytest.approx([25, 56, 87], abs=0.01)


def test_every_pass_has_its_own_line_in_the_plan_and_in_the_legend() -> None:
    root = parsed(latch_plate().svg())
    passes = all_of(group(root, "plan"), "g", "pass")
    assert [each.get("data-cutter") for each in passes] == ["8 mm end mill", "6 mm mill"]
    assert [each.get("data-cuts") for each in passes] == ["4", "4"]
    dashes = [next(each.iter(f"{SVG}path")).get("stroke-dasharray") for each in passes]
    assert None not in dashes
    assert len(set(dashes)) == 2
    swatches = [line.get("stroke-dasharray") for line in root.iter(f"{SVG}line")]
    assert all(dash in swatches for dash in dashes)
    words = words_of(root)
    assert "1. 7.5 mm drill, Ø7.5: 9 holes, lowest z -15.2" in words
    assert "2. 8 mm end mill, Ø7.98: 4 cuts, lowest z -12.5" in words
    assert "3. 6 mm mill, Ø6: 4 cuts, lowest z -12.5" in words


def test_a_rough_pass_lies_on_the_centre_line() -> None:
    plan = group(parsed(latch_plate().svg()), "plan")
    x0, y0 = zero_of(plan)
    rough = all_of(plan, "g", "pass")[0]
    xa, ya, xb, yb = numbers_in(next(rough.iter(f"{SVG}path")).get("d", ""))
    assert (xa - x0, y0 - ya, xb - x0, y0 - yb) == pytest.approx((25, 18, 87, 18), abs=2e-3)


def test_arcs_of_a_finish_pass_reach_the_ends_of_the_slot() -> None:
    plan = group(parsed(latch_plate().svg()), "plan")
    x0, y0 = zero_of(plan)
    finish = all_of(plan, "g", "pass")[1]
    values = numbers_in(next(finish.iter(f"{SVG}path")).get("d", ""))
    xs, ys = [x - x0 for x in values[::2]], [y0 - y for y in values[1::2]]
    # A cutter of 6 mm in a slot of 10 mm: its axis goes 2 mm round the centre line.
    assert (min(xs), max(xs)) == pytest.approx((23, 89), abs=0.01)
    assert (min(ys), max(ys)) == pytest.approx((16, 20), abs=0.01)


def test_a_program_without_cycles_drills_by_going_straight_down() -> None:
    sample = latch_plate()
    items: list[Item] = [FitCutter(number=1, name="7.5 mm drill", diameter=7.5)]
    for x in (25.0, 56.0):
        items += [Rapid(x, 18.0, 2.0), Feed(x, 18.0, -6.0, 60.0), Rapid(x, 18.0, 2.0)]
        items += [Feed(x, 18.0, -15.2, 60.0), Rapid(x, 18.0, 2.0)]
    drawn = sample._replace(run=run_of(sample.job, items))
    root = parsed(drawn.svg())
    assert len(all_of(root, "circle", "drilled")) == 2
    assert "7.5 mm drill, Ø7.5: 2 holes, lowest z -15.2" in words_of(root)


def test_what_the_run_does_beyond_the_blank_cannot_spoil_the_scale() -> None:
    sample = latch_plate()
    stray = (*sample.run.items, Feed(9000.0, 18.0, -12.5, 60.0))
    drawn = sample._replace(run=run_of(sample.job, list(stray)))
    plan = group(parsed(drawn.svg()), "plan")
    assert float(plan.get("data-scale", "0")) >= 0.5


# --- dimensions, heights, findings, words -----------------------------------------------------


def dimensioned(sample: Sample) -> list[str | None]:
    return [each.get("data-value") for each in all_of(parsed(sample.svg()), "g", "dimension")]


def test_ends_centre_line_length_and_width_are_dimensioned() -> None:
    # Plan: ends 20 and 92, length 72, centre line 18, width with its limits; section: thickness.
    wanted = ["10 +0.05/0", "12", "18", "20", "72", "92"]
    assert sorted(str(each) for each in dimensioned(latch_plate())) == wanted


def test_dimensions_speak_inches_where_the_job_does() -> None:
    # 50.8, 330.2, 279.4, 12.7, 9.525 and 6.35 mm, each divided by 25.4.
    wanted = ["0.25", "0.375", "0.5", "11", "13", "2"]
    assert sorted(str(each) for each in dimensioned(fence_bar())) == wanted


def test_dimension_lines_are_as_long_as_their_figures_say() -> None:
    root = parsed(latch_plate().svg())
    checked = 0
    for each in all_of(group(root, "plan"), "g", "dimension"):
        tips = [numbers_in(p.get("points", ""))[:2] for p in each.iter(f"{SVG}polygon")]
        figure = float((each.get("data-value") or "").split()[0])
        assert math.dist(*tips) == pytest.approx(figure, abs=2e-3)  # at 1:1
        checked += 1
    assert checked == 5


def test_the_section_shows_how_far_the_tools_go_beneath() -> None:
    root = parsed(latch_plate().svg())
    words = words_of(root)
    for level in ("0 top", "-12 underside", "-12.5 cutter", "-15.2 drill", "-32 bed"):
        assert level in words
    assert "Drills go 3.2 below the underside; cutters go 0.5 below the underside" in words
    assert "air beneath 20, 16.8 of it to spare" in words
    section = group(root, "section")
    scale, (_, zero) = float(section.get("data-scale", "0")), zero_of(section)
    # The plane at y 18 meets all holes; the point of the drill is at z -15.2.
    drill = numbers_in(next(all_of(section, "g", "drill")[0].iter(f"{SVG}path")).get("d", ""))
    assert max(drill[1::2]) == pytest.approx(zero + 15.2 * scale, abs=2e-3)
    # A point of 118 degrees on 7.5 mm is 3.75 / tan 59 = 2.253 mm high.
    shoulder = sorted(set(drill[1::2]))[-2]
    assert max(drill[1::2]) - shoulder == pytest.approx(2.253 * scale, abs=2e-3)


def test_too_little_air_beneath_is_said() -> None:
    sample = latch_plate()
    setup = sample.setup
    job = job_of("Latch plate", (120.0, 36.0, 12.0), setup.slots, beneath=2.0)
    drawn = sample._replace(job=job)
    assert "air beneath 2, SHORT BY 1.2" in words_of(parsed(drawn.svg()))


def test_findings_are_listed_and_flagged_where_they_are() -> None:
    root = parsed(swivel_seat().svg())
    words = words_of(root)
    assert "gouge: the wall at x 6 is 0.12 mm too far out" in words
    assert "size: the width is 12.31 mm, more than 12.2 mm" in words
    texts = [each.text for each in root.iter(f"{SVG}text")]
    holes_and_flags = texts.count("1")
    assert holes_and_flags == 3  # hole 1, the flag in the plan, its number in the list
    assert texts.count("2") == 2  # hole 2, the number in the list: a finding without a place


def test_findings_that_find_no_room_go_on_on_another_page() -> None:
    many = tuple(
        Finding((20.0 + i, 18.0, 0.0), f"the wall is {i / 100:g} mm out", "gouge")
        for i in range(60)
    )
    svg = latch_plate()._replace(findings=many).svg()
    # The pages lie one under the other, 210 mm each, and words outside of a page's frame are none.
    feet = [
        float(y)
        for y, words in re.findall(r'<text x="[^"]+" y="([\d.]+)"[^>]*>([^<]+)', svg)
        if words.startswith("gouge: ")
    ]
    assert len(feet) == 60
    first = [foot for foot in feet if foot < 210]
    assert 0 < len(first) < 60
    assert all(10 < foot % 210 < 200 for foot in feet)
    assert ">more notes on page 2<" in svg
    pages = 1 + int(max(feet) // 210)
    assert f'viewBox="0 0 297 {210 * pages}"' in svg
    assert overlapping_texts(svg) == []


def test_limits_on_one_side_of_a_size_are_signed_once() -> None:
    size = Size(nominal=30.0, low=29.95, high=30.0, basis="own limits")
    assert sized(Units("mm"), size, 30.0) == "30 0/\N{MINUS SIGN}0.05"


def test_a_finding_outside_the_plan_is_flagged_at_its_edge() -> None:
    far = (Finding((5000.0, 18.0, 0.0), "far off", "stray"), Finding((math.nan, 0, 0), "?", "odd"))
    sample = latch_plate()._replace(findings=far)
    assert overlapping_texts(sample.svg()) == []
    assert "stray: far off" in words_of(parsed(sample.svg()))


def test_what_people_write_cannot_break_the_drawing() -> None:
    title = 'Bar <g onload="x()"> & 3/8" \x00\x1b\ud800 \N{HEBREW LETTER ALEF}' + 30 * "long "
    finding = Finding((30.0, 18.0, 0.0), "</text><script>&amp;" + 80 * "w", "]]>")
    svg = latch_plate(title)._replace(findings=(finding,)).svg()
    root = parsed(svg)
    tags = {each.tag.removeprefix(SVG) for each in root.iter()}
    assert tags <= {
        *("svg", "title", "g", "rect", "line", "path", "circle", "polygon", "text", "clipPath")
    }
    assert 'Bar <g onload="x()"> & 3/8"' in (root.findtext(f"{SVG}title") or "")
    assert overlapping_texts(svg) == []


def test_the_title_block_names_the_job() -> None:
    words = words_of(parsed(fence_bar().svg()))
    for each in ("Fence bar", "slot from the top", "knee mill", "mild steel", "1:2", "inches"):
        assert each in words
    assert "15.748 x 1 x 0.25" in words
    assert "ISO 2768-1 m" in words


def test_jaws_and_parallels_are_named_and_jaws_hatched() -> None:
    root = parsed(latch_plate().svg())
    words = words_of(root)
    for name in ("front jaw", "back jaw", "front parallel", "back parallel"):
        assert name in words
    hatched = [g for g in all_of(root, "g", "keepout") if g.find(f"{SVG}path") is not None]
    assert len(hatched) == 4


def test_an_empty_run_still_shows_what_is_wanted() -> None:
    sample = latch_plate()
    root = parsed(sample._replace(run=run_of(sample.job, [])).svg())
    assert len(all_of(root, "path", "slot")) == 1
    assert all_of(root, "g", "pass") == []


def test_places_not_known_yet_are_left_out() -> None:
    sample = latch_plate()
    nowhere: list[Item] = [
        FitCutter(number=1, name="7.5 mm drill", diameter=7.5),
        Drill(math.nan, 18.0, -15.2, 2.0, 60.0),
        Drill(25.0, 18.0, -15.2, 2.0, 60.0),
    ]
    svg = sample._replace(run=run_of(sample.job, nowhere)).svg()
    assert len(all_of(parsed(svg), "circle", "drilled")) == 1
    assert "nan" not in svg


def test_a_part_too_large_for_the_sheet_is_refused() -> None:
    slot = slot_of("x", (100.0, 500.0), 60.0, 20.0)
    job = job_of("A whole bridge", (40000.0, 3000.0, 40.0), (slot,))
    with pytest.raises(Refusal, match="40000 x 3000 x 40 mm on A4"):
        draw_setup(job, job.setups[0], run_of(job, []), ())


@pytest.mark.parametrize("along", ["x", "y"])
@pytest.mark.parametrize(
    "blank",
    [
        (6.0, 5.0, 1.0),
        (30.0, 300.0, 5.0),
        (300.0, 12.0, 60.0),
        (80.0, 80.0, 80.0),
        (1200.0, 60.0, 3.0),
    ],
)
@pytest.mark.parametrize("open_ends", [(False, False), (True, False), (True, True)])
def test_parts_of_all_shapes_find_room_without_covered_words(
    along: Literal["x", "y"], blank: tuple[float, float, float], open_ends: tuple[bool, bool]
) -> None:
    long, wide = blank[:2] if along == "x" else blank[1::-1]
    width = 0.3 * min(long, wide)
    ends = (0.0 if open_ends[0] else 0.15 * long, long if open_ends[1] else 0.9 * long)
    slot = slot_of(along, ends, 0.45 * wide, max(width, 0.6), open_ends=open_ends)
    mill = cutter_of("mill", "end mill", slot.width.nominal)
    drill = cutter_of("drill", "drill", 0.9 * slot.width.nominal)
    low, high = ends[0] + width / 2, ends[1] - width / 2
    places = [lined(slot, low + (high - low) * i / 11, 0.0) for i in range(12)]
    items = [
        *drilled(1, drill, places, -1.1 * blank[2]),
        *roughed(2, mill, slot, [-0.5 * blank[2], -1.02 * blank[2]]),
    ]
    job = job_of("Shape", blank, (slot,))
    svg = draw_setup(job, job.setups[0], run_of(job, items), (mill, drill))
    assert overlapping_texts(svg) == []
    assert len(all_of(parsed(svg), "circle", "drilled")) == 12
