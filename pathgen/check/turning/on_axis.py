"""What is looked at where a tool works on the axis: where it is zeroed, its line, its pecks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry import Polygon

from pathgen.check.turning.metal import Bar
from pathgen.check.turning.outline import swept
from pathgen.reckon.drilling import pecks
from pathgen.shop.axial_tools import AxialTool

LOOK = 0.05  # mm to both sides of where a tool is said to touch
FAR = 20.0  # mm: beyond it nobody looks for the metal
OFF_LINE = 0.05  # mm that a tool may be off the axis
LONGER = 1.2  # times as deep in one go as is usual is a slip, not a choice

Found = tuple[str, str, str, float]  # code, what, remedy, amount


def off_on_axis(axis: str, place: float, tool: AxialTool, bar: Bar) -> float:
    """Return how far a tool on the axis is from where it is zeroed, mm.

    Along the axis that is from where it just touches the metal that there is; across, from the
    axis.
    """
    if axis == "x":
        return abs(place)
    return abs(place - _touches_at(tool, bar, place))


def _touches_at(tool: AxialTool, bar: Bar, near: float) -> float:
    """Return the z of a tool's end when it comes from the right and first touches metal, mm."""
    clear, inside = near + FAR, near - FAR
    while clear - inside > LOOK / 2:
        middle = (clear + inside) / 2
        end = swept(tool, (middle, 0.0), (middle, 0.0)).end
        if end.intersection(bar.metal).area > 1e-6:
            inside = middle
        else:
            clear = middle
    return clear


def drill_findings(
    tool: AxialTool, x: float, removed: Sequence[Polygon], *, pecking: bool
) -> Iterator[Found]:
    """Yield what is wrong with a cut on the axis besides its speed and feed.

    Args:
        tool: what cuts.
        x: how far off the axis it is, mm.
        removed: what it took.
        pecking: whether it was drawn clear meanwhile as often as it wants.
    """
    if abs(x) > OFF_LINE:
        yield "off-axis", f"{tool.name} cuts {x:.2f} mm off the axis", "bring x to 0", abs(x)
    if tool.kind != "drill" or pecking:
        return
    deep = max(piece.bounds[2] for piece in removed) - min(piece.bounds[0] for piece in removed)
    most = pecks(deep, tool.diameter)
    if len(most) > 1 and deep - tool.point_length > LONGER * most[0]:
        yield (
            "chips",
            f"{tool.name} goes {deep:.1f} mm deep in one go",
            "draw it out to clear the chips on the way",
            deep,
        )
