"""Random jobs with a T-slot, a pocket, a step or a slot, and chamfers along edges, as texts."""

from __future__ import annotations

import random

MATERIALS = ("mild steel", "brass", "aluminium", "cast iron")
HEADS = ((6, 12.5, 6), (8, 16, 8), (10, 18, 8), (12, 21, 9))  # throat, head's width and height
FACES = {"x": ("left", "right"), "y": ("front", "back")}


def job_text(chance: random.Random) -> str:
    """Return a job: a block and one feature in it, its edge chamfered or not."""
    block = tuple(round(chance.uniform(*span), 1) for span in ((60, 140), (45, 90), (20, 40)))
    kind = chance.choice((_t_slot, _t_slot, _pocket, _step, _slot))
    return f"""
title = "guide block"
units = "mm"
blank = {{ form = "bar", length = {block[0]}, width = {block[1]}, thickness = {
        block[2]
    }, material = "{chance.choice(MATERIALS)}" }}
[[setup]]
name = "top"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = 10 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
name = "way"
{kind(chance, block)}
{_chamfer(chance, "way", (0.3, 0.5, 1.2)) if chance.random() < 0.7 else ""}
{_chamfer(chance, "blank", (0.3, 1, 2.2)) if kind is not _step and chance.random() < 0.4 else ""}
"""


def _chamfer(chance: random.Random, of: str, widths: tuple[float, ...]) -> str:
    return f"""[[setup.feature]]
kind = "chamfer"
name = "edge of the {of}"
of = "{of}"
width = {chance.choice(widths)}
"""


def _t_slot(chance: random.Random, block: tuple[float, ...]) -> str:
    along = chance.choice("xy")
    extent, other = (block[0], block[1]) if along == "x" else (block[1], block[0])
    width, head_width, head_height = chance.choice(HEADS)
    opened = chance.choice(((0, 1), (0,), (1,)))
    faces = ", ".join(f'"{FACES[along][end]}"' for end in opened)
    length = f"length = {chance.uniform(0.4, 0.8) * extent:.1f}" if len(opened) == 1 else ""
    return f"""kind = "t-slot"
along = "{along}"
open_at = [{faces}]
centre_line = {chance.uniform(0.4, 0.6) * other:.1f}
{length}
width = {width}
width_limits = [{width}, {width + chance.choice((0.1, 0.15, 0.3))}]
head_width = {head_width}
head_height = {head_height}
depth = {chance.uniform(head_height + 3, min(block[2] - 2, head_height + 12)):.1f}
"""


def _pocket(chance: random.Random, block: tuple[float, ...]) -> str:
    long, wide = (round(chance.uniform(0.3, 0.6) * each, 1) for each in block[:2])
    shape = chance.choice(
        (
            f"round = {wide}",
            f"rectangle = [{long}, {wide}]\ncorner_radius = {chance.choice((3, 5))}",
        )
    )
    return f"""kind = "pocket"
centre = [{block[0] / 2}, {block[1] / 2}]
{shape}
depth = {chance.uniform(3, 8):.1f}
"""


def _step(chance: random.Random, block: tuple[float, ...]) -> str:
    del block
    edges = chance.choice(('"front", "back"', '"left", "right"'))
    return f"""kind = "step"
edges = [{edges}]
width = {chance.uniform(3, 12):.1f}
depth = {chance.uniform(3, 6):.1f}
"""


def _slot(chance: random.Random, block: tuple[float, ...]) -> str:
    return f"""kind = "slot"
along = "x"
centre = [{block[0] / 2}, {block[1] / 2}]
length = {chance.uniform(0.4, 0.8) * block[0]:.1f}
width = {chance.choice((6, 8, 10, 10.3, 12))}
depth = {chance.uniform(3, 8):.1f}
"""
