"""Rewrites of planned items into what a control understands, before anything is written.

Each is a plain function that takes items, the setting, and where the cutter is when they begin, and
yields items. `rewrites_for` names those that a control needs, in order.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from pathgen.input.where import Refusal, Where
from pathgen.moves.actions import Dwell, FitCutter, Pause, SetAngle, SetSweep, Zero
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item
from pathgen.shop.machines import Control, Cycle
from postprocessors.gcode import arcs
from postprocessors.gcode.arcs import Point
from postprocessors.gcode.numbers import Grid

NOWHERE: Point = (math.nan, math.nan, math.nan)
ABOVE_LAST_PECK = 0.5  # mm left between the last bottom and the end of the rapid back down
NEAR_WHOLE_DEG = 345.0  # above it an arc is ill defined by its rounded ends
MOST_BY_RADIUS_DEG = 90.0  # the centre of a longer arc given by its radius hangs on the last digits


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What rewriting needs to know besides the items."""

    control: Control
    grid: Grid
    clear: float  # z at which the cutter may go across anything, mm
    where: Where

    def refuse(self, key: str, cannot: str, instead: str) -> Refusal:
        """Return the refusal of something that the control cannot be told, and so cannot do."""
        return Refusal(self.where.at(key) if key else self.where, f"cannot {cannot}", instead)


# Which cycle pecks, stays at the bottom, feeds out again; no cycle does the others.
CYCLE_OF: dict[tuple[bool, bool, bool], Cycle] = {
    (False, False, False): "G81",
    (False, True, False): "G82",
    (True, False, False): "G83",
    (False, False, True): "G85",
    (False, True, True): "G89",
}
Rewrite: TypeAlias = Callable[[Iterable[Item], Setting, Point], Iterator[Item]]


def place_after(item: Item, at: Point) -> Point:
    """Return where the cutter is after an item; nan for a coordinate that is not known.

    A fitted cutter ends at another height than the last one, and while fitting or zeroing it, or
    at a stop for something else, a person may take it elsewhere.
    """
    if isinstance(item, Rapid):
        return end_of(_wholly_said(item, at))
    if isinstance(item, (Feed, Arc, Drill)):
        return end_of(item)
    lost = (FitCutter, Zero, Pause, SetAngle, SetSweep)
    return NOWHERE if isinstance(item, lost) else at


def _wholly_said(rapid: Rapid, at: Point) -> Rapid:
    """Return a rapid with the coordinates that it leaves alone, which are nan, filled in."""
    x, y, z = (here if math.isnan(to) else to for to, here in zip(rapid[:3], at, strict=True))
    return Rapid(x, y, z, rapid.how)


def with_starts(items: Iterable[Item], at: Point) -> Iterator[tuple[Point, Item]]:
    """Yield each item with the place where the cutter is when it begins."""
    for item in items:
        yield at, item
        at = place_after(item, at)


def rewritten(items: Iterable[Item], setting: Setting, at: Point) -> list[Item]:
    """Return items in the form in which the control can be told them."""
    for rewrite in rewrites_for(setting.control):
        items = rewrite(items, setting, at)
    return list(items)


def rewrites_for(control: Control) -> tuple[Rewrite, ...]:
    """Return the rewrites that a control needs, in order."""
    chosen: list[Rewrite] = [known_starts, holes, straight_rapids]
    if not control.rapid_straight:
        chosen.append(one_axis_rapids)
    if control.arcs == "none":
        return (*chosen, arcs_as_chords)
    if not control.helix:
        chosen.append(helices_as_chords)
    chosen += [turn_by_turn, near_circles_in_halves]
    if control.arcs == "radius":
        return (*chosen, short_pieces, short_arcs_as_lines)
    if not control.full_circle:
        chosen.append(circles_in_quarters)
    return (*chosen, short_arcs_as_lines, ill_rounded_arcs_as_chords)


def cycle_for(drill: Drill, control: Control) -> Cycle | Literal["G84"] | None:
    """Return the canned cycle that makes a hole, None where its moves are to be written out."""
    if drill.lead > 0:
        return "G84" if control.tapping == "G84" else None
    wanted = CYCLE_OF.get((drill.peck > 0, drill.dwell_s > 0, drill.feed_out))
    return wanted if wanted in control.cycles else None


def known_starts(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Begin at the clear plane wherever the height is not known; refuse to cut from there."""
    for start, item in with_starts(items, at):
        known = not any(math.isnan(each) for each in start)
        if isinstance(item, Rapid) and known:
            yield _wholly_said(item, start)
            continue
        if isinstance(item, Rapid):
            if not item.z >= setting.clear - setting.grid.count / 2:
                raise setting.refuse(
                    "",
                    f"go to z {item.z:g} mm fast from a height that is not known",
                    f"go up to the clear plane at {setting.clear:g} mm first",
                )
            yield Rapid(start[0], start[1], item.z, item.how)
        elif isinstance(item, (Feed, Arc, Drill)) and not known:
            raise setting.refuse(
                "",
                f"cut to x {item.x:g} y {item.y:g} mm from a place that is not known",
                "go there by a rapid at the clear plane first",
            )
        yield item


def holes(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Go over each hole first, and write it out move by move where no cycle of the control fits."""
    for start, item in with_starts(items, at):
        if not isinstance(item, Drill):
            yield item
            continue
        grid = setting.grid
        if grid.counts(start[2]) < grid.counts(item.clear):
            raise setting.refuse(
                "",
                f"drill from {item.clear:g} mm with the cutter at {start[2]:g} mm",
                "go up to the hole's clear plane first",
            )
        if start[:2] != (item.x, item.y):
            yield Rapid(item.x, item.y, start[2])
        if cycle_for(item, setting.control):
            yield item
        elif item.lead > 0:
            yield from _in_step(item, start[2], setting)
        else:
            yield from written_out(item, start[2])


def _in_step(tapped: Drill, z: float, setting: Setting) -> Iterator[Item]:
    """Yield the moves of a hole that is tapped without a cycle: it begins and ends where it is."""
    if setting.control.tapping == "none":
        raise setting.refuse(
            "tapping",
            "tap in step with the spindle",
            "tap by hand, or say tapping",
        )
    if z != tapped.clear:
        yield Rapid(tapped.x, tapped.y, tapped.clear)
    yield tapped._replace(back_to=math.nan)
    if tapped.left_at != tapped.clear:
        yield Rapid(tapped.x, tapped.y, tapped.left_at)


def written_out(drill: Drill, z: float) -> Iterator[Item]:
    """Yield the moves of one hole; the last peck ends exactly at the bottom."""
    x, y, clear, feed, how = drill.x, drill.y, drill.clear, drill.feed, drill.how
    if z != clear:
        yield Rapid(x, y, clear)
    above = min(ABOVE_LAST_PECK, drill.peck / 2)
    for peck in range(1, drill.pecks):
        last = clear - peck * drill.peck
        yield Feed(x, y, last, feed, how)
        yield Rapid(x, y, clear)
        yield Rapid(x, y, last + above)
    yield Feed(x, y, drill.bottom, feed, how)
    if drill.dwell_s > 0:
        yield Dwell(seconds=drill.dwell_s)
    if drill.feed_out:
        yield Feed(x, y, clear, feed)
    if drill.left_at != clear or not drill.feed_out:
        yield Rapid(x, y, drill.left_at)


def straight_rapids(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Split rapids that go up or down and across at once: up first, down last."""
    grid = setting.grid
    for start, item in with_starts(items, at):
        if isinstance(item, Rapid) and not math.isnan(start[0] + start[1] + start[2]):
            up = grid.counts(item.z) - grid.counts(start[2])
            across = _across(item, start, grid)
            if up > 0 and any(across):
                yield Rapid(start[0], start[1], item.z)
            elif up < 0 and any(across):
                yield Rapid(item.x, item.y, start[2])
        yield item


def one_axis_rapids(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Let rapids below the clear plane change one axis at a time, x before y.

    A control whose axes arrive one after the other would sweep anywhere in the box of both ends.
    """
    for start, item in with_starts(items, at):
        low = isinstance(item, Rapid) and item.z < setting.clear - setting.grid.count / 2
        if isinstance(item, Rapid) and low and all(_across(item, start, setting.grid)):
            yield Rapid(item.x, start[1], item.z)
        yield item


def _across(item: Rapid, start: Point, grid: Grid) -> tuple[bool, bool]:
    """Return whether a rapid changes x, and whether it changes y, in the program."""
    return (
        grid.counts(item.x) != grid.counts(start[0]),
        grid.counts(item.y) != grid.counts(start[1]),
    )


def turn_by_turn(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Write an arc of many turns turn by turn: a line of a program holds one at most."""
    for start, item in with_starts(items, at):
        if isinstance(item, Arc):
            _guard(item, start, setting)
            yield from arcs.turns_of(item, start)
        else:
            yield item


def near_circles_in_halves(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Halve arcs of nearly a turn: rounding could make next to nothing of them."""
    del setting
    for start, item in with_starts(items, at):
        if isinstance(item, Arc) and NEAR_WHOLE_DEG < arcs.sweep_deg(item, start) < 360:
            yield from arcs.pieces(item, start, 2)
        else:
            yield item


def circles_in_quarters(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Quarter whole circles for a control that does not take them."""
    del setting
    for start, item in with_starts(items, at):
        if isinstance(item, Arc) and arcs.sweep_deg(item, start) == 360:
            yield from arcs.pieces(item, start, 4)
        else:
            yield item


def short_pieces(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Cut arcs into quarter turns at most for a control that takes them by their radius."""
    del setting
    for start, item in with_starts(items, at):
        if isinstance(item, Arc):
            count = math.ceil(arcs.sweep_deg(item, start) / MOST_BY_RADIUS_DEG - 1e-9)
            yield from arcs.pieces(item, start, max(1, count))
        else:
            yield item


def short_arcs_as_lines(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Write arcs of a few counts as lines, lest rounding turn them into whole circles."""
    for start, item in with_starts(items, at):
        if isinstance(item, Arc) and arcs.is_short(item, start, setting.grid):
            yield Feed(item.x, item.y, item.z, item.feed, item.how)
        else:
            yield item


def helices_as_chords(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Write arcs that change depth as chords where the control has no helix."""
    grid = setting.grid
    for start, item in with_starts(items, at):
        if isinstance(item, Arc) and grid.counts(item.z) != grid.counts(start[2]):
            _guard(item, start, setting)
            yield from arcs.chords(item, start)
        else:
            yield item


def arcs_as_chords(items: Iterable[Item], setting: Setting, at: Point) -> Iterator[Item]:
    """Write all arcs as chords where the control has none."""
    for start, item in with_starts(items, at):
        if isinstance(item, Arc):
            _guard(item, start, setting)
            yield from arcs.chords(item, start)
        else:
            yield item


def ill_rounded_arcs_as_chords(
    items: Iterable[Item], setting: Setting, at: Point
) -> Iterator[Item]:
    """Write an arc as chords where no rounding of it passes the control's check of the radii."""
    for start, item in with_starts(items, at):
        if isinstance(item, Arc) and arcs.rounded_centre(item, start, setting.grid) is None:
            yield from arcs.chords(item, start)
        else:
            yield item


def _guard(arc: Arc, start: Point, setting: Setting) -> None:
    """Refuse an arc that is none."""
    first, last = arcs.radii(arc, start)
    if min(first, last) <= arcs.WHOLE or abs(first - last) > arcs.CHORD_ERROR / 2:
        raise setting.refuse(
            "",
            f"go along an arc with a radius of {first:.4f} mm at its start, {last:.4f} at its end",
            "give one centre that is as far from both ends",
        )
