"""Random parts of several features, as texts, and random machines to make them on; mm."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeAlias

from pathgen.reckon.cutting import Rigidity
from pathgen.shop.machines import Control, Machine
from pathgen.shop.slides import Slide
from tests.read_jobs import the_shop

MATERIALS = ("mild steel", "aluminium", "brass", "cast iron")
RIGIDITIES: tuple[Rigidity, ...] = ("light", "medium", "rigid")
CELL = 54.0  # each feature has a square of the blank to itself
MARGIN = 6.0  # that it keeps from the square's edges
Square: TypeAlias = tuple[float, float]  # the middle
Maker: TypeAlias = Callable[[random.Random, Square, float], str]


def by_handles(chance: random.Random) -> str:
    """Return a job for handles: pockets and slots are not mixed.

    What is measured of a pocket may be put down to its cutter, by up to 0.15 mm; a slot that is cut
    to width by the same cutter's own width then leaves its limits, which the check tells.
    """
    sunk = chance.choice((_pocket, _slot))
    return _part(chance, (sunk, sunk, sunk, _holes, _holes))


def by_control(chance: random.Random) -> str:
    """Return a job for a control: pockets, slots and holes side by side."""
    return _part(chance, (_pocket, _pocket, _slot, _slot, _holes, _holes, _round))


def _part(chance: random.Random, kinds: Sequence[Maker]) -> str:
    """Return a job of two or three features side by side, at times after a facing or with a step.

    Not every one can be cut; two that run into one another are no job.
    """
    count = chance.randint(2, 3)
    length, width = count * CELL, CELL
    thickness = round(chance.uniform(8, 18), 1)
    faced = chance.random() < 0.3
    height = thickness - 1.0 if faced else thickness
    makers = chance.sample(kinds, count)
    features = [
        each(chance, ((row + 0.5) * CELL, width / 2), height) for row, each in enumerate(makers)
    ]
    if chance.random() < 0.3:
        features.append(_step(chance, height))
    chance.shuffle(features)
    named = "".join(
        f'[[setup.feature]]\nname = "feature {row}"\n{each}'
        for row, each in enumerate(features, start=1)
    )
    return f"""
title = "swivel seat"
units = "mm"
[blank]
form = "bar"
length = {length}
width = {width}
thickness = {thickness}
material = "{chance.choice(MATERIALS)}"
{_facing(thickness - 1.0) if faced else ""}
{_setup("openings")}
{named}
"""


def _setup(name: str) -> str:
    return f"""[[setup]]
name = "{name}"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = 15 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
"""


def _facing(thickness: float) -> str:
    return f"""{_setup("top")}
[[setup.feature]]
kind = "face"
name = "top"
thickness = {thickness}
"""


def _depth(chance: random.Random, height: float) -> str:
    if chance.random() < 0.4:
        return 'depth = "through"'
    return f"depth = {chance.uniform(0.2, 0.6) * height:.2f}"


def _pocket(chance: random.Random, middle: Square, height: float) -> str:
    x, y = middle
    sides = [round(chance.uniform(16, CELL - 2 * MARGIN), 1) for _ in range(2)]
    return f"""kind = "pocket"
rectangle = [{sides[0]}, {sides[1]}]
corner_radius = {chance.choice((3, 4, 5, 6))}
centre = [{x}, {y}]
{_depth(chance, height)}
"""


def _round(chance: random.Random, middle: Square, height: float) -> str:
    x, y = middle
    diameter = round(chance.uniform(18, CELL - 2 * MARGIN), 1)
    depth = f"depth = {chance.uniform(0.2, 0.6) * height:.2f}"
    island = chance.random() < 0.4 and diameter > 32
    ring = f"island = [{{ round = 8, centre = [{x}, {y}] }}]\n" if island else ""
    return f'kind = "pocket"\nround = {diameter}\ncentre = [{x}, {y}]\n{depth}\n{ring}'


def _slot(chance: random.Random, middle: Square, height: float) -> str:
    x, y = middle
    width = chance.choice((5, 6, 8, 10, 12))
    length = round(chance.uniform(1.6 * width, CELL - 2 * MARGIN), 1)
    return f"""kind = "slot"
along = "{chance.choice("xy")}"
width = {width}
length = {length}
centre = [{x}, {y}]
{_depth(chance, height)}
"""


def _holes(chance: random.Random, middle: Square, height: float) -> str:
    x, y = middle
    apart = chance.choice((12, 15, 18))
    places = chance.choice(
        (
            f"at = [[{x - apart}, {y}], [{x + apart}, {y}], [{x}, {y + apart}]]",
            f"at = [[{x}, {y}]]",
        )
    )
    size = chance.choice(("diameter = 5", "diameter = 8", 'tapped = "M6"', "diameter = 6.5"))
    return f'kind = "holes"\n{places}\n{size}\n{_depth(chance, height)}\n'


def _step(chance: random.Random, height: float) -> str:
    return f"""kind = "step"
edge = "{chance.choice(("front", "back"))}"
width = {chance.uniform(1.5, 4.5):.1f}
depth = {chance.uniform(0.2, 0.7) * height:.2f}
"""


def machine(chance: random.Random) -> Machine:
    """Return a machine that differs from one shipped: its dials and slack, or its control."""
    known = the_shop().machines[chance.choice(("converted-mill", "bench-mill-metric"))]
    known = replace(known, rigidity=chance.choice(RIGIDITIES))
    if known.control is not None:
        return replace(known, control=_control(chance, known.control))
    return replace(known, slides=tuple(_slide(chance, each) for each in known.slides))


def _control(chance: random.Random, known: Control) -> Control:
    """Return a control that understands more or less."""
    return replace(
        known,
        units=chance.choice(("mm", "in")),
        decimals=chance.choice((4, 5)),
        arcs=chance.choice(("centre", "centre", "radius", "none")),
        full_circle=chance.random() < 0.5,
        helix=chance.random() < 0.5,
        tool_length=chance.random() < 0.5,
        tool_change=chance.random() < 0.5,
        cycles=chance.choice(((), known.cycles)),
    )


def _slide(chance: random.Random, known: Slide) -> Slide:
    """Return a slide with another screw, dial and slack."""
    per_turn, divisions = chance.choice(((2.0, 100.0), (2.5, 50.0), (2.5, 125.0), (4.0, 80.0)))
    slack = round(chance.uniform(0.02, 0.3), 3)
    return replace(
        known,
        per_turn=per_turn,
        divisions=divisions,
        judged=chance.choice((0.5, 1.0)),
        plus=chance.choice(("clockwise", "anticlockwise")),
        rising=chance.choice(("clockwise", "anticlockwise")),
        slack=slack,
        slack_spread=round(slack * chance.uniform(0.0, 0.2), 4),
        dial_units="mm",
    )
