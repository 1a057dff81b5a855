"""Random jobs with one slot each, as texts: many shapes, materials, datums and ways."""

from __future__ import annotations

import random

MATERIALS = ("mild steel", "aluminium", "brass", "stainless 303", "cast iron")
ENDS = {"x": ("left", "right"), "y": ("front", "back")}


def job_text(chance: random.Random) -> str:
    """Return a job that loads: a bar and one slot in it; not every one can be cut."""
    along = chance.choice("xy")
    length, width = round(chance.uniform(30, 160), 1), round(chance.uniform(15, 60), 1)
    thickness = round(chance.uniform(2, 20), 1)
    extent, other = (length, width) if along == "x" else (width, length)
    slot_width = min(chance.choice((3, 4, 5, 6, 8, 10, 12, 16, chance.uniform(3, 20))), other - 8)
    slot_width = round(max(slot_width, 3), 2)
    origin_x, datum_x = _datum(chance, ("left", "right"), length)
    origin_y, datum_y = _datum(chance, ("front", "back"), width)
    return f"""
title = "hinge of the latch plate"
units = "mm"
blank = {{ form = "bar", length = {length}, width = {width}, thickness = {thickness}, material = "{
        chance.choice(MATERIALS)
    }" }}
[[setup]]
name = "slot"
machine = "converted-mill"
hold = {{ how = "vice", beneath = {chance.choice((0, 8, 15))} }}
datum.x = {{ {datum_x}, tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ {datum_y}, tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
kind = "slot"
name = "hinge"
along = "{along}"
width = {slot_width}
{_place(chance, along, (length / 2 - origin_x, width / 2 - origin_y), extent, slot_width)}
{_depth(chance, thickness)}
{_limits(chance, slot_width)}
{_ways(chance)}
"""


def _datum(chance: random.Random, faces: tuple[str, str], extent: float) -> tuple[float, str]:
    """Return where a datum lies from the low face, and its key."""
    kind = chance.randrange(3)
    if kind == 2:
        return extent / 2, f'middle_of = ["{faces[0]}", "{faces[1]}"]'
    return (0.0, extent)[kind], f'face = "{faces[kind]}"'


def _place(
    chance: random.Random,
    along: str,
    middle: tuple[float, float],
    extent: float,
    slot_width: float,
) -> str:
    """Return the keys that say where the slot lies, how long it is, and which ends are open."""
    low, high = slot_width * 1.02 + 0.5, max(slot_width * 1.05 + 1, extent - 6)
    length = round(chance.uniform(low, high), 2)
    shift = chance.uniform(-1, 1) * max(0.0, (extent - length) / 2 - 2)
    x, y = middle
    x, y = (x + shift, y) if along == "x" else (x, y + shift)
    opened = chance.choice(((), (), (), (0,), (1,), (0, 1)))
    if not opened:
        return f"centre = [{x:.2f}, {y:.2f}]\nlength = {length}"
    names = ", ".join(f'"{ENDS[along][end]}"' for end in opened)
    line = y if along == "x" else x
    size = "" if len(opened) == 2 else f"\nlength = {length}"
    return f"open_at = [{names}]\ncentre_line = {line:.2f}{size}"


def _depth(chance: random.Random, thickness: float) -> str:
    if chance.random() < 0.6:
        return 'depth = "through"'
    return f"depth = {chance.uniform(0.3, 0.7) * thickness:.2f}"


def _limits(chance: random.Random, width: float) -> str:
    if chance.random() < 0.5:
        return ""
    return f"width_limits = [{width - 0.02:.3f}, {width + 0.1:.3f}]"


def _ways(chance: random.Random) -> str:
    if chance.random() < 0.7:
        return ""
    small = f'finish = "{chance.choice((4, 5))} mm end mill", '  # the round ends then are reamed
    cutters = chance.choice(("", 'rough = "none", ', small))
    return f'ways = {{ {cutters}holes = "{chance.choice(("all", "ends and middle", "none"))}" }}'
