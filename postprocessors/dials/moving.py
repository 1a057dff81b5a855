"""Moves as winds of one handle after the other."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pathgen.moves.moves import Axis, Drill, Feed, How, Makes, Rapid
from postprocessors.dials.handles import Cutting, Handle
from postprocessors.dials.scribe import Scribe
from postprocessors.dials.steps import DwellStep
from postprocessors.dials.winding import EMPTY, Going, reach, wants_over

SAME = 1e-7  # mm: less is no move


def write_rapid(scribe: Scribe, move: Rapid) -> None:
    """Go in the air: up before going across, down after it, one handle at a time."""
    how = move.how or EMPTY
    places: tuple[tuple[Axis, float], ...] = (("x", move.x), ("y", move.y))
    rises = _rises(scribe.handles["z"], move.z)
    words = (
        how if how.what else replace(how, what="up, in the air" if rises else "down, in the air")
    )
    across = [Going(axis=axis, place=place, how=how, makes=how.makes) for axis, place in places]
    crosses = any(moves(scribe.handles[each.axis], each.place) for each in across)
    makes: Makes = "air" if rises and crosses else how.makes
    z = Going(axis="z", place=move.z, how=words, makes=makes, over=scribe.handles["z"].side < 0)
    moving = moves(scribe.handles["z"], move.z)
    if moving and rises:
        reach(scribe, z)
    _across(scribe, [each for each in across if _wanted(scribe, across, each, still=not moving)])
    if moving and not rises:
        reach(scribe, z)


def write_feed(scribe: Scribe, move: Feed) -> None:
    """Cut along one axis."""
    how = move.how or EMPTY
    every: tuple[tuple[Axis, float], ...] = (("x", move.x), ("y", move.y), ("z", move.z))
    places = [each for each in every if each[0] in scribe.handles]
    changed = [each for each in places if moves(scribe.handles[each[0]], each[1])]
    changed = changed or [each for each in places if _follows_anew(scribe, how, *each)]
    if len(changed) > 1:
        axes = " and ".join(axis for axis, _ in changed)
        raise scribe.refusal(
            f"a cut along {axes} at once", "cut along one axis at a time, one handle is wound"
        )
    for axis, place in changed:
        makes: Makes = "stop" if how.makes == "air" else how.makes
        cutting = Cutting(feed=move.feed)
        reach(
            scribe, Going(axis=axis, place=place, how=how, makes=makes, cutting=cutting, over=False)
        )


def write_drill(scribe: Scribe, move: Drill) -> None:
    """Drill: down to the clear plane in the air, down to the bottom cutting, and up again."""
    if move.lead > 0:
        raise scribe.refusal("a tap in step with the spindle", "tap by hand under the spindle")
    how = move.how or EMPTY
    place = replace(how, makes="size", rules=(), sums=())
    write_rapid(scribe, Rapid(move.x, move.y, math.nan, place))
    sink(scribe, move, MILLED)


@dataclass(frozen=True, slots=True, kw_only=True)
class SinkWords:
    """What a drill's ways are called: to just off the metal, back at its feed, back in the air."""

    air: str
    feeding: str
    out: str


MILLED = SinkWords(
    air="down in the air, just above the metal", feeding="up, spindle turning", out="up clear"
)


def sink(scribe: Scribe, move: Drill, words: SinkWords) -> None:
    """Take a drill that stands over its place, or in line with it, to the bottom and back."""
    how = move.how or EMPTY
    z = scribe.handles["z"]
    if z.asked > move.clear + SAME:
        air = How(what=words.air)
        reach(scribe, Going(axis="z", place=move.clear, how=air))
    makes: Makes = "stop" if how.makes == "air" else how.makes
    cutting = Cutting(feed=move.feed, peck=move.peck)
    down = Going(axis="z", place=move.bottom, how=how, makes=makes, cutting=cutting, over=False)
    reach(scribe, down)
    if move.dwell_s:
        scribe.add(DwellStep(number=scribe.number, seconds=move.dwell_s))
    out = Cutting(feed=move.feed) if move.feed_out else None
    up = How(what=words.feeding if move.feed_out else words.out)
    makes = "stop" if move.feed_out else "air"
    reach(
        scribe,
        Going(axis="z", place=move.left_at, how=up, makes=makes, cutting=out, over=False),
    )


def _across(scribe: Scribe, goings: list[Going]) -> None:
    """Go across; lift the tool first where a place must be gone past and the tool is low."""
    z = scribe.handles["z"]
    low = z.asked < scribe.clear - SAME and any(wants_over(scribe, each) for each in goings)
    depth, exact = z.asked, z.exact
    if low:
        reach(scribe, Going(axis="z", place=scribe.clear, how=How(what="up clear to go past")))
    for each in goings:
        reach(scribe, each)
    if any(each.makes == "size" for each in goings):
        across = (scribe.handles["x"], scribe.handles["y"])
        scribe.lock([handle for handle in across if handle.exact])
    if low:
        makes: Makes = "size" if exact else "air"
        back = How(what="back down to where it was")
        reach(scribe, Going(axis="z", place=depth, how=back, makes=makes, over=z.side < 0))


def _wanted(scribe: Scribe, across: list[Going], going: Going, *, still: bool) -> bool:
    """Return whether a handle has work in a move across.

    It has with a new place; with an old one that is not held, or followed another rule, as soon as
    the move does go across. ``still`` says that the depth stays, so that a rule alone is a move.
    """
    handle = scribe.handles[going.axis]
    if moves(handle, going.place):
        return True
    if math.isnan(going.place):
        return False
    if any(moves(scribe.handles[each.axis], each.place) for each in across):
        loose = going.makes == "size" and not handle.exact
        return loose or handle.rule != going.how.rule_of(going.axis)
    return still and _follows_anew(scribe, going.how, going.axis, going.place)


def moves(handle: Handle, place: float) -> bool:
    """Return whether a coordinate is given and differs from the one asked for before."""
    return not math.isnan(place) and not abs(place - handle.asked) <= SAME


def _follows_anew(scribe: Scribe, how: How, axis: Axis, place: float) -> bool:
    """Return whether a coordinate, itself the same, follows another rule than before."""
    rule = how.rule_of(axis)
    return not math.isnan(place) and rule is not None and scribe.handles[axis].rule != rule


def _rises(handle: Handle, place: float) -> bool:
    """Return whether a depth is above the one before, or that is not known."""
    return not place < handle.asked
