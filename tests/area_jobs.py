"""Random jobs with areas, as texts: pockets of every shape, outsides, steps, whole faces."""

from __future__ import annotations

import math
import random

MATERIALS = ("mild steel", "aluminium", "brass", "cast iron")


def job_text(chance: random.Random) -> str:
    """Return a job that loads: a plate and one area cut in it; not every one can be cut."""
    length, width = round(chance.uniform(60, 160), 1), round(chance.uniform(40, 90), 1)
    thickness = round(chance.uniform(4, 20), 1)
    kind = chance.choice((_pocket, _pocket, _free_pocket, _outside, _step, _face))
    return f"""
title = "latch plate"
units = "mm"
blank = {{ form = "bar", length = {length}, width = {width}, thickness = {thickness}, material = "{
        chance.choice(MATERIALS)
    }" }}
[[setup]]
name = "top"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = {chance.choice((8, 15))} }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
name = "area"
{kind(chance, (length, width, thickness))}
"""


def _depth(chance: random.Random, thickness: float) -> str:
    if chance.random() < 0.4:
        return 'depth = "through"'
    return f"depth = {chance.uniform(0.2, 0.7) * thickness:.2f}"


def _pocket(chance: random.Random, blank: tuple[float, float, float]) -> str:
    length, width, thickness = blank
    depth = _depth(chance, thickness)
    long, wide = (round(chance.uniform(0.2, 0.7) * each, 1) for each in (length, width))
    shape = (
        f"round = {min(long, wide)}"
        if chance.random() < 0.4
        else f"rectangle = [{long}, {wide}]\ncorner_radius = "
        f"{min(chance.choice((3, 4, 5, 6, 8)), math.floor(min(long, wide) / 2))}"
    )
    island = ""
    if "through" not in depth and min(long, wide) > 30 and chance.random() < 0.5:
        x, y = length / 2 + chance.uniform(-1, 1), width / 2 + chance.uniform(-1, 1)
        island = f"island = [{{ round = {chance.uniform(4, 9):.1f}, centre = [{x:.2f}, {y:.2f}] }}]"
    return f"""kind = "pocket"
centre = [{length / 2}, {width / 2}]
{shape}
{depth}
{island}
corners = "{chance.choice(("refused", "left"))}"
{_filed(chance)}
"""


def _filed(chance: random.Random) -> str:
    return chance.choice(("", "", "file_to_line = 0.5"))


def _free_pocket(chance: random.Random, blank: tuple[float, float, float]) -> str:
    return f"""kind = "pocket"
contour = {_contour(chance, blank)}
{_depth(chance, blank[2])}
corners = "{chance.choice(("refused", "left"))}"
walls = {chance.choice((0.1, 0.2))}
{_filed(chance)}
"""


def _outside(chance: random.Random, blank: tuple[float, float, float]) -> str:
    return f"""kind = "outside"
contour = {_contour(chance, blank)}
{_depth(chance, blank[2])}
cleared = {chance.choice(("true", "false"))}
corners = "left"
{_filed(chance)}
"""


def _contour(chance: random.Random, blank: tuple[float, float, float]) -> str:
    """Return a star of corners about the middle, some of them rounded."""
    length, width, _ = blank
    count = chance.randint(3, 7)
    corners = []
    for row in range(count):
        angle = 2 * math.pi * (row + chance.uniform(-0.25, 0.25)) / count
        reach = chance.uniform(0.5, 0.95)
        x = length / 2 + (length / 2 - 8) * reach * math.cos(angle)
        y = width / 2 + (width / 2 - 8) * reach * math.sin(angle)
        rounded = chance.choice((0, 3, 5))
        corners.append(f"{{ at = [{x:.2f}, {y:.2f}], round = {rounded} }}")
    return f"[{', '.join(corners)}]"


def _step(chance: random.Random, blank: tuple[float, float, float]) -> str:
    length, width, thickness = blank
    edges = chance.choice((("left",), ("front",), ("back",), ("front", "back"), ("left", "right")))
    across = length if set(edges) & {"left", "right"} else width
    taken = round(chance.uniform(0.03, 0.35) * across, 1)
    edge = f'edge = "{edges[0]}"' if len(edges) == 1 else f'edges = ["{edges[0]}", "{edges[1]}"]'
    wanted = (
        f"width = {taken}" if chance.random() < 0.6 else f"left = {across - taken * len(edges):.1f}"
    )
    at_most = chance.choice(("", "", "at_most = 1"))
    return f'kind = "step"\n{edge}\n{wanted}\n{_depth(chance, thickness)}\n{at_most}\n'


def _face(chance: random.Random, blank: tuple[float, float, float]) -> str:
    return f'kind = "face"\nthickness = {blank[2] - chance.uniform(0.3, 2.5):.2f}\n'
