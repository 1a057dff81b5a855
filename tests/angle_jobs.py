"""Random jobs with one slot at an angle each, as texts: by its middle, or by its round ends."""

from __future__ import annotations

import math
import random


def job_text(chance: random.Random) -> str:
    """Return a job that loads: a plate and one slot at an angle in it; not each can be cut."""
    width = chance.choice((3.0, 4.0, 6.0, 8.0, 10.0, 12.0, round(chance.uniform(3, 16), 2)))
    between = round(chance.uniform(0.2, 40), 2)
    angle = round(chance.choice((-1, 1)) * chance.uniform(0.5, 89.5), 3)
    x, y = round(chance.uniform(38, 62), 2), round(chance.uniform(-12, 12), 2)
    thickness = round(chance.uniform(2, 15), 1)
    blind = f"{chance.uniform(0.3, 0.7) * thickness:.2f}"
    depth = chance.choice(('"through"', blind))
    place = f"centre = [{x}, {y}]\nangle_deg = {angle}\ncentres = {between}"
    if chance.random() < 0.5:
        dx = between / 2 * math.cos(math.radians(angle))
        dy = between / 2 * math.sin(math.radians(angle))
        place = f"from = [{x - dx:.4f}, {y - dy:.4f}]\nto = [{x + dx:.4f}, {y + dy:.4f}]"
    limits = chance.choice(("", f"width_limits = [{width - 0.02:.2f}, {width + 0.05:.2f}]"))
    holes = chance.choice(("", 'ways = { holes = "none" }', 'ways = { holes = "ends and middle" }'))
    return f"""
title = "pawl slot of the latch plate"
units = "mm"
blank = {{ form = "bar", length = 100, width = 80, thickness = {thickness}, material = "{
        chance.choice(("mild steel", "brass", "aluminium", "cast iron"))
    }" }}
[[setup]]
name = "pawl"
machine = "converted-mill"
hold = {{ how = "vice", beneath = 15 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ middle_of = ["front", "back"], tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
kind = "slot"
name = "pawl slot"
width = {width}
{place}
depth = {depth}
{limits}
{holes}
"""
