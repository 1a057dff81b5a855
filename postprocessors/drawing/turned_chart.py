"""The picture beside a sheet for a lathe that is followed: the half section, pass by pass."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import groupby

from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Feed, Rapid
from pathgen.moves.plan import Run
from postprocessors.drawing.chart import placed
from postprocessors.drawing.half_holding import wanted_outside
from postprocessors.drawing.scale import Extent, View, sheet_box
from postprocessors.drawing.sheet import CENTRE, HEAVY, NARROW, WIDE, Sheet

ACROSS, HIGHEST = 180.0, 120.0  # room of the half section, mm of the picture
EDGE = 4.0
JAW = 12.0  # shown of the bar behind the jaws' front, mm
RIGHT = 6.0  # shown beyond the bar's end, mm
ROUND = 14.0  # of air shown about the bar, mm

Place = tuple[float, float]  # z and x


def draw_turned_chart(
    job: TurnedJob, setup: TurnedSetup, run: Run, card_of: Callable[[int], int]
) -> str:
    """Return the picture as SVG to stand within a page.

    Args:
        job: the job.
        setup: which of its setups.
        run: what the sheet does.
        card_of: returns the card that a step or a line belongs to.
    """
    radius = job.blank.diameter / 2
    window = Extent(setup.jaws_at - JAW, 0.0, setup.facing + RIGHT, radius + ROUND)
    scale = min(ACROSS / (window[2] - window[0]), HIGHEST / window[3])
    view = View(scale, EDGE - window[0] * scale, EDGE + window[3] * scale)
    sheet = Sheet("chart-")
    bar = Extent(window[0], 0.0, setup.facing, radius)
    box = sheet_box(view, window)
    with placed(sheet, "half", view, "z x"), sheet.clipped(box.grown(0.4)):
        with sheet.group("blank"):
            for left, right, outer in job.comes(setup):
                land = Extent(max(left, window[0]), 0.0, right, outer)
                if right > window[0]:
                    sheet.rectangle(sheet_box(view, land), WIDE)
        for number, cuts in groupby(_cut(run, bar), lambda cut: card_of(cut[0])):
            with sheet.group("depth", data_number=str(number)):
                for _, gone in cuts:
                    sheet.rectangle(sheet_box(view, gone), NARROW)
        with sheet.group("wanted"):
            sheet.polyline([view.at(*corner) for corner in _outline(job, setup)], HEAVY)
        sheet.line(view.at(window[0], 0.0), view.at(window[2], 0.0), CENTRE)
        with sheet.group("jaws"):
            jaw = Extent(window[0], job.held(setup) / 2, setup.jaws_at, window[3])
            sheet.rectangle(sheet_box(view, jaw), WIDE)
        with sheet.group("tool"):
            sheet.circle((0.0, 0.0), 1.5, WIDE)
    return sheet.picture(
        "Half section: where the tool is, what is cut", (box.right + EDGE, box.bottom + EDGE)
    )


def _cut(run: Run, bar: Extent) -> Iterator[tuple[int, Extent]]:
    """Yield what each feed of the tool's point takes off the bar, z across and x up, by step.

    Along the axis that is all beyond it, towards the axis all to the right of it.
    """
    at: Place = (math.nan, math.nan)
    for number, item in zip(run.numbers, run.items, strict=True):
        if isinstance(item, FitCutter):
            at = (math.nan, math.nan)
        if not isinstance(item, Rapid | Feed):
            continue
        to = at[0] if math.isnan(item.z) else item.z, at[1] if math.isnan(item.x) else item.x
        if isinstance(item, Feed) and not math.isnan(sum(at) + sum(to)):
            (z0, z1), (x0, x1) = sorted((at[0], to[0])), sorted((at[1], to[1]))
            along = z1 - z0 >= x1 - x0
            gone = Extent(z0, x0, z1 if along else bar[2], bar[3]).common(bar)
            if not gone.empty:
                yield number, gone
        at = to


def _outline(job: TurnedJob, setup: TurnedSetup) -> list[Place]:
    """Return the wanted outline from the faced end to the left."""
    corners = wanted_outside(job, setup)
    return [(0.0, 0.0), *corners, (corners[-1][0], 0.0)]
