"""Random jobs with one to three features of holes each, as texts."""

from __future__ import annotations

import random

MATERIALS = ("mild steel", "aluminium", "brass", "stainless 303", "cast iron")
DIAMETERS = (3, 4.2, 5, 6, 6.5, 8, 9, 10, 12, 13)
THREADS = ("M4", "M5", "M6", "M8", "M10", "2BA", "1/4-20 UNC")


def job_text(chance: random.Random) -> str:
    """Return a job: a bar with holes in strips along it; not every one can be made."""
    count = chance.randint(1, 3)
    length, strip = round(chance.uniform(80, 160), 1), round(chance.uniform(36, 45), 1)
    thickness = round(chance.uniform(5, 25), 1)
    face = chance.choice(("front", "back"))
    base = 0.0 if face == "front" else -count * strip
    middles = [base + (number + 0.5) * strip for number in range(count)]
    features = "\n".join(
        _feature(chance, number, (length, middle), thickness)
        for number, middle in enumerate(middles, start=1)
    )
    return f"""
title = "hinge plate"
units = "mm"
[blank]
form = "bar"
length = {length}
width = {count * strip}
thickness = {thickness}
material = "{chance.choice(MATERIALS)}"
[[setup]]
name = "holes"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = {chance.choice((8, 15))} }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "{face}", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
{features}
"""


def _feature(
    chance: random.Random, number: int, strip: tuple[float, float], thickness: float
) -> str:
    """Return one feature in a strip along the bar, whose length and middle are given, mm."""
    return f"""[[setup.feature]]
kind = "holes"
name = "holes {number}"
{_places(chance, *strip)}
{_size(chance, thickness)}
"""


def _places(chance: random.Random, length: float, y: float) -> str:
    x = round(chance.uniform(14, 18), 1)
    match chance.randrange(4):
        case 0:
            return f"at = [{x}, {y:.2f}]"
        case 1:
            count = chance.randint(2, 3)
            last = f"[{length - 15:.1f}, {y:.2f}]"
            return f"row = {{ from = [{x}, {y:.2f}], to = {last}, count = {count} }}"
        case 2:
            first = chance.randint(0, 90)
            middle = f"[{length / 2:.2f}, {y:.2f}]"
            return (
                f"circle = {{ centre = {middle}, diameter = 17, count = 2, first_deg = {first} }}"
            )
        case _:
            return f"at = [[{x}, {y + 2:.2f}], [{x + 28}, {y - 3:.2f}], [{x + 55}, {y:.2f}]]"


def _size(chance: random.Random, thickness: float) -> str:
    through = chance.random() < 0.6
    depth = "through" if through else round(chance.uniform(0.3, 0.6) * thickness, 1)
    lines = [f"depth = {depth!r}".replace("'", '"')]
    if chance.random() < 0.3:
        lines.append(f'tapped = "{chance.choice(THREADS)}"')
        return "\n".join(lines)
    diameter = chance.choice((*DIAMETERS, round(chance.uniform(2.5, 13), 2)))
    lines.append(f"diameter = {diameter}")
    kind = chance.randrange(4)
    if kind == 0:
        lines.append(f"diameter_limits = [{diameter - 0.01:.3f}, {diameter + 0.03:.3f}]")
    elif kind == 1:
        wide, angle = round(diameter * chance.uniform(1.3, 1.8), 1), chance.choice((90, 90, 82))
        lines.append(f"countersink = {{ diameter = {wide}, angle_deg = {angle} }}")
    elif kind == 2:
        wide = chance.choice((8, 10, 12, 16, round(diameter * chance.uniform(1.4, 2), 1)))
        lines.append(f"counterbore = {{ diameter = {wide}, depth = {thickness * 0.2:.2f} }}")
    return "\n".join(lines)
