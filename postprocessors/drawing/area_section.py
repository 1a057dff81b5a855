"""Areas cut through: where a plane finds them, how deep, and where the walls of steps lie."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TypeAlias, assert_never

from pathgen.job.areas import Edge, Facing, Outside, Pocket, Step
from pathgen.job.contour import Contour
from pathgen.job.job import Area
from postprocessors.drawing.scene import Scene

Spans: TypeAlias = list[tuple[float, float]]
EVEN = 0.01  # mm: chords of a contour that is cut through


def walls_of(scene: Scene, step: Step) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Yield the line of each wall of a step, from end to end of the blank, mm."""
    (x0, y0, _), (x1, y1, _) = scene.low, scene.high
    for edge in step.edges:
        at = wall_at(scene, step, edge)
        yield ((at, y0), (at, y1)) if edge in ("left", "right") else ((x0, at), (x1, at))


def wall_at(scene: Scene, step: Step, edge: Edge) -> float:
    """Return where the wall of a step lies across its edge, mm."""
    axis = 0 if edge in ("left", "right") else 1
    low, high = scene.low[axis], scene.high[axis]
    width = step.width.nominal
    return low + width if edge in ("left", "front") else high - width


def spans_at(contours: list[Contour], y: float) -> Spans:
    """Return from where to where, in x, a line across y lies within an odd number of contours."""
    places: list[float] = []
    for contour in contours:
        corners = contour.points(EVEN)
        for (x0, y0), (x1, y1) in pairwise([*corners, corners[0]]):
            if (y0 <= y) != (y1 <= y):
                places.append(x0 + (x1 - x0) * (y - y0) / (y1 - y0))
    places.sort()
    return list(zip(places[::2], places[1::2], strict=True))


def cut_spans(scene: Scene, area: Area, y: float) -> Spans:
    """Return from where to where, in x, a plane across y finds an area cut away; mm."""
    low, high = scene.low[0], scene.high[0]
    match area:
        case Pocket():
            return spans_at([area.contour, *area.islands], y)
        case Outside():
            part = spans_at([area.contour], y)
            if not area.cleared:
                return [
                    span
                    for a, b in part
                    for span in ((a - _groove(scene), a), (b, b + _groove(scene)))
                ]
            if not part:
                return [(low, high)]
            return [(low, part[0][0]), (part[-1][1], high)]
        case Step():
            return _step_spans(scene, area, y)
        case Facing():
            return [(low, high)]
        case _:
            assert_never(area)


def _groove(scene: Scene) -> float:
    """Return how wide a groove round a part comes out: as the widest mill, mm."""
    return max((work.diameter for work in scene.mills), default=1.0)


def _step_spans(scene: Scene, step: Step, y: float) -> Spans:
    found: Spans = []
    for edge in step.edges:
        at = wall_at(scene, step, edge)
        if edge == "left":
            found.append((scene.low[0], at))
        elif edge == "right":
            found.append((at, scene.high[0]))
        elif (edge == "front" and y < at) or (edge == "back" and y > at):
            found.append((scene.low[0], scene.high[0]))
    return found


def floor_at(scene: Scene, area: Area) -> float:
    """Return the height of an area's floor, z; the underside where it goes through."""
    if isinstance(area, Facing):
        return scene.high[2] - area.off
    return scene.low[2] if area.depth is None else scene.high[2] - area.depth.nominal
