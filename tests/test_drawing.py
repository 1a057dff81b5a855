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
