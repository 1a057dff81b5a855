"""Large parts as texts: a pocket of thousands of moves, an outline of thousands of points."""

import math
from itertools import pairwise
from pathlib import Path

HEAD = """
title = "Lid of the press's drip tray"
units = "mm"
blank = { form = "bar", length = 260, width = 180, thickness = 20, material = "aluminium" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "clamps", beneath = 12 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
"""


def wavy(count: int, middle: tuple[float, float], reach: tuple[float, float]) -> str:
    """Return a closed outline of so many corners as the job file has it: an oval with waves."""
    corners = []
    for row in range(count):
        angle = 2 * math.pi * row / count
        wave = 1 + 0.05 * math.cos(12 * angle)
        x = middle[0] + reach[0] * wave * math.cos(angle)
        y = middle[1] + reach[1] * wave * math.sin(angle)
        corners.append(f"{{ at = [{x:.3f}, {y:.3f}] }}")
    return f"[{', '.join(corners)}]"


def pocket(corners: int = 120, depth: float = 9.0) -> str:
    """Return a job with a wavy pocket and five islands: about 5,000 moves at 120 corners."""
    islands = ", ".join(
        f"{{ round = {9 + row}, centre = [{70 + 30 * row}, {90 + 20 * (-1) ** row}] }}"
        for row in range(5)
    )
    return f"""{HEAD}kind = "pocket"
name = "tray"
contour = {wavy(corners, (130, 90), (110, 74))}
depth = {depth}
walls = 0.2
corners = "left"
island = [{islands}]
ways = {{ rough = "10 mm end mill", finish = "10 mm end mill" }}
"""


def outline(layer: str, file: Path, points: int = 5000) -> str:
    """Return a job whose part's outline is drawn into a file, point by point.

    Args:
        layer: of the drawing that it goes on.
        file: of the drawing, written here.
        points: of the outline.
    """
    from ezdxf.filemanagement import new  # noqa: PLC0415 - only here

    drawing = new(units=4)
    ways = [2 * math.pi * row / points for row in range(points)]
    wave = [1 + 0.04 * math.sin(9 * way) for way in ways]
    corners = [
        (130 + 100 * w * math.cos(a), 90 + 70 * w * math.sin(a))
        for a, w in zip(ways, wave, strict=True)
    ]
    drawing.modelspace().add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})
    drawing.saveas(file)
    return f"""{HEAD}kind = "outside"
name = "lid"
dxf = {{ file = "{file.name}", layer = "{layer}" }}
depth = "through"
corners = "left"
bridge = [{{ at = [230, 90], width = 8, height = 2 }}, {{ at = [30, 90], width = 8, height = 2 }}]
"""


TRAY = (200.0, 140.0)  # length and width of the plain pocket, mm
LEVEL = 0.5  # mm that each level of the long program goes deeper


def plain_pocket(levels: int) -> str:
    """Return a job with a rectangular pocket as deep as so many levels of the long program."""
    return f"""{HEAD}kind = "pocket"
name = "tray"
rectangle = [{TRAY[0]}, {TRAY[1]}]
corner_radius = 5
centre = [130, 90]
depth = {LEVEL * levels}
depth_limits = [{LEVEL * levels - 0.1}, {LEVEL * levels + 0.1}]
ways = {{ rough = "10 mm end mill", finish = "10 mm end mill" }}
"""


def long_program(text: str, levels: int, spacing: float = 0.5) -> str:
    """Return a program of the plain pocket whose roughing goes in many short straights.

    Args:
        text: the program as made; its roughing is put otherwise.
        levels: of the roughing, each `LEVEL` deeper.
        spacing: of the places along a ring, mm; 0.5 makes about 11,000 lines a level.
    """
    lines = text.splitlines()
    first = next(row for row, line in enumerate(lines) if line.startswith("(-- depth 1"))
    finish = next(row for row, line in enumerate(lines) if line.startswith("(-- finish"))
    last = max(row for row in range(finish) if lines[row].startswith("M5")) - 1
    rough = [line for level in range(levels) for line in _level(-LEVEL * (level + 1), spacing)]
    return "\n".join([*lines[:first], *rough, *lines[last:], ""])


def _level(z: float, spacing: float) -> list[str]:
    """Return the lines of one level: down a ramp to and fro in the middle, rings outwards."""
    half = [(side - 10.6) / 2 for side in TRAY]  # of the way of the centre, less an allowance
    rings = int(half[1] // 4.5)
    core = half[0] - half[1]
    lines = [f"G0 X{130 - core:.4f} Y90.0", f"Z{z + LEVEL + 1:.4f}"]
    lines += [f"G1 X{130 + core:.4f} Z{z + LEVEL / 2:.4f} F100.0", f"X{130 - core:.4f} Z{z:.4f}"]
    lines += [f"X{130 + core:.4f} F300.0"]
    for ring in range(1, rings + 1):
        off = half[1] * (1 - ring / rings)
        lines += _ring(half[0] - off, half[1] - off, spacing)
    return [*lines, "G0 Z5.0"]


def _ring(x: float, y: float, spacing: float) -> list[str]:
    """Return the lines of one ring, clockwise from its right end's middle."""
    corners = [(x, 0.0), (x, -y), (-x, -y), (-x, y), (x, y), (x, 0.0)]
    lines = []
    for (x0, y0), (x1, y1) in pairwise(corners):
        count = max(1, round(math.dist((x0, y0), (x1, y1)) / spacing))
        for step in range(1, count + 1):
            at = (x0 + (x1 - x0) * step / count, y0 + (y1 - y0) * step / count)
            lines.append(f"X{130 + at[0]:.4f} Y{90 + at[1]:.4f}")
    return [f"X{130 + x:.4f} Y90.0", *lines]
