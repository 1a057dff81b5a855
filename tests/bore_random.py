"""Random jobs with one bore each, as texts."""

from __future__ import annotations

import random

MATERIALS = ("mild steel", "aluminium", "brass", "cast iron")
CLASSES = ("H6", "H7", "H8", "H9", "H11")


def job_text(chance: random.Random) -> str:
    """Return a job: a block with a bore in it, with or without wider ones; not all can be made."""
    thickness = round(chance.uniform(6, 32), 1)
    at = f"[{chance.uniform(38, 52):.2f}, {chance.uniform(28, 32):.2f}]"
    return f"""
title = "bearing block"
units = "mm"
[blank]
form = "bar"
length = 90
width = 60
thickness = {thickness}
material = "{chance.choice(MATERIALS)}"
[[setup]]
name = "bore"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = {chance.choice((9, 14))} }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
kind = "bore"
name = "seat"
at = {at}
{_bore(chance, thickness)}
"""


def _bore(chance: random.Random, thickness: float) -> str:
    diameter = round(chance.uniform(11.5, 34), chance.choice((0, 1, 2)))
    lines = [f"diameter = {diameter}", f'diameter_fit = "{chance.choice(CLASSES)}"']
    depth = round(chance.uniform(0.25, 0.55) * thickness, 1)
    if chance.random() < 0.6:
        lines.append('depth = "through"')
        depth = thickness
    else:
        lines.append(f"depth = {depth}")
        if chance.random() < 0.4:
            lines.append('floor = "flat"')
    if chance.random() < 0.4:
        wide, deep = diameter * chance.uniform(1.12, 1.4), depth * chance.uniform(0.15, 0.5)
        lines.append(f"counterbore = [{{ diameter = {wide:.1f}, depth = {deep:.1f} }}]")
    if chance.random() < 0.3:
        lines.append(f'ways = {{ way = "{chance.choice(("led round", "boring head"))}" }}')
    return "\n".join(lines)
