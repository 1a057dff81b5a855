"""The picture beside a sheet that is followed: where the cutter is, what is cut, what is left.

It shows the plan and the front of the blank, at no standard scale. Each cut is a line as wide as
its cutter, in a group that says of which step or line it is (``data-number``); what follows the
sheet shows those done and moves the two groups of class "tool".
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from contextlib import AbstractContextManager
from itertools import groupby
from typing import NamedTuple

from postprocessors.drawing.gone import draw_gone_in_plan
from postprocessors.drawing.marks import hatch, zero_mark
from postprocessors.drawing.plan_areas import draw_wanted_areas
from postprocessors.drawing.plan_holes import draw_wanted_holes
from postprocessors.drawing.plan_view import draw_keepout, slot_path
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.scene import Scene, front_of
from postprocessors.drawing.sheet import ADJACENT, HEAVY, NARROW, WIDE, Box, Pen, Sheet, written
from postprocessors.drawing.stages import Cut

WIDE_PLAN, HIGH_PLAN = 180.0, 130.0  # most room of the plan, mm of the picture
EDGE = 4.0
BETWEEN = 9.0  # from the plan to the front
ABOVE = 14.0  # of air shown over the blank in front, mm of the picture
BENEATH = 3.0
LEAST = 0.6  # a narrower cut is shown so wide, mm of the picture
REACH = 60.0  # of the tool that is shown, mm of the picture


class Views(NamedTuple):
    """The plan and the front in the same scale, and the size of the picture; mm."""

    plan: View
    front: View
    window: Extent  # of the plan
    heights: tuple[float, float]  # of the front
    size: tuple[float, float]


def draw_chart(scene: Scene, cuts: Iterable[Cut], name: str = "chart-") -> str:
    """Return the picture as SVG to stand within a page.

    Args:
        scene: what is drawn.
        cuts: all cuts of the run, in order.
        name: begins the names of its parts, which a page must hold once only.
    """
    views = views_of(scene)
    sheet = Sheet(name)
    cuts = tuple(cuts)
    with (
        placed(sheet, "plan", views.plan, "x y"),
        sheet.clipped(sheet_box(views.plan, views.window)),
    ):
        draw_plan_of(sheet, scene, views.plan, cuts)
        with sheet.group("tool"):
            sheet.circle((0.0, 0.0), 1.0, WIDE)
    zero_mark(sheet, views.plan.at(0.0, 0.0), Box(0.0, 0.0, *views.size))
    _draw_front(sheet, scene, views, cuts)
    return sheet.picture("Plan and front: where the tool is, what is cut", views.size)


def views_of(scene: Scene, wide: float = WIDE_PLAN, high: float = HIGH_PLAN) -> Views:
    """Return the views in the room that they may have at most, mm of the picture."""
    shown = scene.plan_extent()
    scale = min(wide / (shown[2] - shown[0]), high / (shown[3] - shown[1]))
    for _ in range(2):  # the window takes in some of the jaws: how much hangs on the scale
        window = scene.plan_window(scale)
        scale = min(wide / (window[2] - window[0]), high / (window[3] - window[1]))
    low = min(scene.lowest, scene.low[2]) - BENEATH / scale
    top = scene.high[2] + ABOVE / scale
    plan = View(scale, EDGE - window[0] * scale, EDGE + window[3] * scale)
    foot = plan.foot - window[1] * scale + BETWEEN
    front = View(scale, plan.left, foot + top * scale)
    size = (2 * EDGE + (window[2] - window[0]) * scale, foot + (top - low) * scale + EDGE)
    return Views(plan, front, window, (low, top), size)


def draw_plan_of(sheet: Sheet, scene: Scene, view: View, cuts: Iterable[Cut]) -> None:
    """Draw the blank from above with what holds it, cuts as wide as they are, what is wanted."""
    for keepout in scene.setup.hold.keepouts:
        draw_keepout(sheet, view, scene, keepout)
    box = sheet_box(view, scene.plan_blank())
    with sheet.group("blank"):
        sheet.rectangle(box, WIDE)
    draw_gone_in_plan(sheet, view, scene)
    with sheet.clipped(box):
        draw_cuts(sheet, scene, view, cuts)
    with sheet.group("wanted"):
        for slot in scene.slots:
            sheet.path(slot_path(view, slot), HEAVY, "slot")
        draw_wanted_areas(sheet, view, scene)
        draw_wanted_holes(sheet, view, scene)


def draw_cuts(sheet: Sheet, scene: Scene, view: View, cuts: Iterable[Cut]) -> None:
    """Draw cuts in plan as lines as wide as the cutter; those alike and in a row as one."""
    under = scene.low[2] + 1e-6

    def alike(cut: Cut) -> tuple[int, float, bool]:
        return cut.number, cut.width, cut.low < under

    for (number, width, through), run in groupby(cuts, alike):
        path = "".join(dict.fromkeys(_line(view, cut) for cut in run))
        with sheet.group("through" if through else "part", data_number=str(number), **ROUND):
            sheet.path(path, Pen(max(width * view.scale, LEAST)), "cut")


ROUND = {"stroke_linecap": "round", "stroke_linejoin": "round"}


def _line(view: View, cut: Cut) -> str:
    """Return the way of a cut in SVG's notation; a line of no length shows as its round ends."""
    points = cut.points if len(cut.points) > 1 else cut.points * 2
    pairs = (view.at(*point) for point in points)
    return "M" + "L".join(f"{written(x)},{written(y)}" for x, y in pairs)


def placed(sheet: Sheet, kind: str, view: View, axes: str) -> AbstractContextManager[None]:
    """Keep together a view, which says its scale, the place of its zero, its axes across and up."""
    zero = f"{written(view.left)} {written(view.foot)}"
    return sheet.group(kind, data_scale=f"{view.scale:g}", data_zero=zero, data_axes=axes)


def _draw_front(sheet: Sheet, scene: Scene, views: Views, cuts: Iterable[Cut]) -> None:
    """Draw the blank from the front: how deep each cut goes, jaws, and the tool."""
    view = views.front
    window = Extent(views.window[0], views.heights[0], views.window[2], views.heights[1])
    blank = Extent(scene.low[0], scene.low[2], scene.high[0], scene.high[2])
    with placed(sheet, "front", view, "x z"), sheet.clipped(sheet_box(view, window).grown(0.3)):
        for keepout in scene.setup.hold.keepouts:
            shown = front_of(keepout).common(window)
            if not shown.empty and keepout.high[2] > scene.low[2]:
                with sheet.group("keepout"):
                    sheet.rectangle(sheet_box(view, shown), ADJACENT)
        with sheet.group("blank"):
            sheet.rectangle(sheet_box(view, blank), WIDE)
        for number, run in groupby(cuts, lambda cut: cut.number):
            _draw_depths(sheet, view, blank, (number, tuple(run)))
        with sheet.group("metal"):
            sheet.lines(hatch(sheet_box(view, blank), 1, 3.2), NARROW)
        with sheet.group("tool"):
            sheet.rectangle(Box(-1.0, -REACH, 1.0, 0.0), WIDE)


def _draw_depths(
    sheet: Sheet, view: View, blank: Extent, numbered: tuple[int, tuple[Cut, ...]]
) -> None:
    """Draw how deep the cuts of one step or line go, as far as they lie within the blank."""
    number, cuts = numbered
    deep = [_front_of(cut, blank).common(blank) for cut in cuts]
    with sheet.group("depth", data_number=str(number)):
        for each in _largest([each for each in deep if not each.empty]):
            sheet.rectangle(sheet_box(view, each), NARROW)


def _front_of(cut: Cut, blank: Extent) -> Extent:
    """Return what a cut takes seen from the front, from its lowest place up."""
    across = [x for x, _ in cut.points]
    return Extent(min(across) - cut.width / 2, cut.low, max(across) + cut.width / 2, blank[3])


def _largest(extents: list[Extent]) -> list[Extent]:
    """Return extents that go up equally high without those that another holds.

    The lowest come first, so one is held if it lies across within one before it. Of those only the
    widest are asked: the further right they begin, the further right they end.

    >>> _largest([Extent(1, -2, 3, 0), Extent(0, -3, 4, 0), Extent(2, -1, 5, 0)])
    [Extent(low_across=0, low_up=-3, high_across=4, high_up=0), \
Extent(low_across=2, low_up=-1, high_across=5, high_up=0)]
    """
    kept: list[Extent] = []
    begins: list[float] = []
    ends: list[float] = []
    for each in sorted(set(extents), key=lambda e: (e[1], e[0] - e[2])):
        low, high = each.low_across, each.high_across
        after = bisect_right(begins, low)
        if after and ends[after - 1] >= high:
            continue
        kept.append(each)
        held = slice(bisect_left(begins, low), bisect_right(ends, high))
        begins[held], ends[held] = [low], [high]
    return kept
