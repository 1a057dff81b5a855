"""Large parts as texts: a pocket of thousands of moves, an outline of thousands of points."""

import math
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
