"""A step of a bore cut with a boring head: its settings one after the other, measured at the end.

The tool is touched against the wall of the hole there is, which is known roughly; from there the
dial goes out by whole parts. What is measured before the last two cuts, which are alike in depth so
that the bar springs alike, sets them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pathgen.job.holes import BORED_OUT, Holes
from pathgen.moves.actions import Action, Coolant, Pause, SetDiameter, Spindle
from pathgen.moves.moves import Feed, How, Rapid
from pathgen.moves.plan import Item, Purpose
from pathgen.plan import cautions
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.bores.steps import BAND, Step, finished, measured
from pathgen.plan.fluid import fluid_off, fluid_on
from pathgen.plan.holes.drilling import Sink, Target, refuse_beneath, sunk
from pathgen.plan.words import span
from pathgen.shop.boring import BoringHead
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Rigidity

LAST_CUT = 0.3  # mm in diameter: of each of the last two cuts (common practice, no source)
# mm a side at a time, in steel or softer: a bar gives way sooner than a mill (common practice)
MOST_A_SIDE: dict[Rigidity, float] = {"light": 0.4, "medium": 0.6, "rigid": 1.0}
CLEAR_OF_BAR = 0.2  # mm between the bar and the wall that is to be cut, at least
TOUCHED = 0.15  # mm in diameter, half width: by how much a hole may be off what a drill measures
AFTER_BORING = 0.02  # likewise of one that was bored to size (common practice)
MEASURED = 0.005  # mm, half width, of a bore measured with care (common practice, no source)
TOUCH_DEPTH = 3.0  # mm below the mouth: where the tool touches the wall
SLOWLY = 100.0  # mm/min, for a bar that goes into a hole with the spindle off (a choice of ours)
BELOW = 1.0  # mm that the tool goes out of the underside of a bore that goes through
ABOVE_HEAD = 2.0  # mm between the head and the work at the bottom, at least
DWELL_S = 1.0  # at a floor, a turn or more, so that it comes out flat (common practice)

Site = tuple[Cutter, Target, Bench]
Reason = tuple[str, str]


def bottom_of(step: Step, bench: Bench) -> float:
    """Return the z that the tool goes down to, mm."""
    return bench.bottom - BELOW if step.floor is None else step.floor


def heads_of(bore: Holes, bench: Bench) -> list[Cutter]:
    """Return the boring heads there are, the stiffest bar first; or the one that the job names."""
    named = None if bore.boring is None else bore.boring.head
    if named is not None:
        return [bench.named(named, ("boring head",), bore.where.at("ways.head"))]
    return sorted(bench.of_kind("boring head"), key=lambda each: -each.shank)


def head_for(bore: Holes, step: Step, widest: float, bench: Bench) -> Cutter | Reason:
    """Return the boring head with the stiffest bar for a step; or why none does, and what would.

    Args:
        bore: what is wanted.
        step: which diameter of it.
        widest: the widest hole that there can be before, mm.
        bench: what there is.
    """
    heads = heads_of(bore, bench)
    wrong = {each.name: unfit(step, each, widest, bench) for each in heads}
    fitting = [each for each in heads if not wrong[each.name]]
    if fitting:
        return fitting[0]
    reasons = [*wrong.values()] or ["there is no boring head"]
    if bench.machine.interpolates:
        reasons.insert(0, "no mill goes round in it deep enough")
    return f"nothing in the crib bores {span(step.size, bench.job.units)}: " + ", ".join(
        reasons
    ), _what_would(step, bench)


def _what_would(step: Step, bench: Bench) -> str:
    """Return what would cut a step."""
    wanted = "a flat floor" if step.flat else "this bore"
    instead = f"put a boring head for {wanted} into the crib, or a slot drill of its size"
    if bench.machine.interpolates:
        return f"{instead}, or a longer or smaller mill"
    return f"{instead}; or use a machine that interpolates"


def unfit(step: Step, cutter: Cutter, widest: float, bench: Bench) -> str:
    """Return why a boring head does not do for a step, or nothing."""
    head = cutter.head
    assert head is not None
    deep = ABOVE_HEAD - bottom_of(step, bench)
    if step.size.middle + BAND > head.most:
        return f"{cutter.name} cuts {bench.say(head.most - BAND)} at most, with room to correct it"
    if min(widest, step.size.middle - 2 * BORED_OUT) < head.least:
        return (
            f"{cutter.name} goes into {bench.say(head.least)} or more, and the hole before it is "
            f"{bench.say(min(widest, step.size.middle - 2 * BORED_OUT))} at most"
        )
    if head.reach < deep:
        return f"{cutter.name} reaches {bench.say(head.reach)}, and {bench.say(deep)} are wanted"
    if step.flat and step.counterbore is None:
        return f"{cutter.name} leaves the middle of a floor as the drill leaves it"
    if step.flat and not head.flat:
        return f"the tool of {cutter.name} is not ground for a flat floor"
    return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """One cut at one setting; mm."""

    purpose: Purpose
    diameter: float
    before: float  # the diameter before it
    open: float  # of the setting, half width
    measure: int = 0  # which measuring it follows; 0 for none


def cuts_of(start: float, end: float, head: BoringHead, rigidity: Rigidity) -> tuple[_Cut, ...]:
    """Return the cuts from a hole to a bore: equal ones, then two alike that follow measurements.

    All are set by whole judged parts of the dial from where the tool touched, the last too.

    >>> head = BoringHead(least=15, most=50, bar=12, reach=48, per_division=0.02, divisions=50,
    ...     judged=0.5, slack=0.0, flat=False)
    >>> [(cut.purpose, round(cut.diameter, 2)) for cut in cuts_of(18.0, 20.01, head, "light")]
    [('rough', 18.7), ('rough', 19.41), ('semi-finish', 19.71), ('finish', 20.01)]
    """
    last = round(LAST_CUT / head.count)
    parts = round((end - start) / head.count) - 2 * last
    most = 2 * min(MOST_A_SIDE[rigidity], head.side - CLEAR_OF_BAR)
    count = max(1, math.ceil(parts * head.count / most - 1e-9))
    found: list[_Cut] = []
    before = start
    for row in range(1, count + 1):
        diameter = start + (parts * row // count) * head.count
        open_ = TOUCHED + head.count / 2
        found.append(_Cut(purpose="rough", diameter=diameter, before=before, open=open_))
        before = diameter
    open_ = head.count / 2 + MEASURED
    semi = before + last * head.count
    found.append(_Cut(purpose="semi-finish", diameter=semi, before=before, open=open_, measure=1))
    end = reached(start, end, head)
    found.append(_Cut(purpose="finish", diameter=end, before=semi, open=open_, measure=2))
    return tuple(found)


def reached(start: float, end: float, head: BoringHead) -> float:
    """Return the diameter nearest to one aimed at that a dial comes to from another, mm."""
    return start + round((end - start) / head.count) * head.count


def bored(step: Step, start: float, site: Site, done: Step | None) -> Iterator[Operation]:
    """Yield the cuts of a boring head that open a hole to a step, each at its setting.

    Args:
        step: which diameter of the bore.
        start: the diameter of the hole there is, mm.
        site: the head, where, and what there is.
        done: the step that the head has just bored and goes on from; None: it is touched.

    Raises:
        Refusal: there is no air beneath.
    """
    cutter, _, bench = site
    head = cutter.head
    assert head is not None
    if step.floor is None:
        ends = {f"the tool of the {cutter.name}": bottom_of(step, bench)}
        refuse_beneath(bench, ends, "hold the blank with {} or more under the bore")
    *rough, semi, last = cuts_of(start, step.size.middle, head, bench.machine.rigidity)
    roughing = _roughing(step, tuple(rough), site)
    if done is not None:
        proved = finished(done, start)
        yield replace(roughing, before=(proved, *_setting(step, rough[0], site)))
    else:
        yield replace(roughing, ready=tuple(_touching(step, start, rough[0], site)))
    for cut in (semi, last):
        yield replace(_one(step, cut, site), before=tuple(_setting(step, cut, site)))


def _roughing(step: Step, cuts: tuple[_Cut, ...], site: Site) -> Operation:
    """Return the cuts before anything is measured, at the speed of the widest."""
    target, bench = site[1], site[2]
    first, *others = (_one(step, cut, site, across=cuts[-1].diameter) for cut in cuts)
    items: list[Item] = [*first.moves]
    hand = Rapid(target.x, target.y, bench.hand, How(what="up, to make room for hands"))
    clear = Rapid(target.x, target.y, bench.clear, How(what="down again, clear of the work"))
    on = [each for each in fluid_on(first.purpose, bench) if isinstance(each, Coolant)]
    stop: list[Item] = [*fluid_off(bench), Spindle(rpm=0.0)]
    for cut, operation in zip(cuts[1:], others, strict=True):
        items.extend((*stop, hand, *_setting(step, cut, site), clear))
        items.extend((Spindle(rpm=first.cutting.rpm), *on, *operation.moves))
    why = f"the boring head out to {bench.say(cuts[-1].diameter)} in {len(cuts)} cuts"
    return replace(
        first,
        moves=tuple(items),
        why=f"{why}, each down and out again at the feed",
        width_of_cut=max((cut.diameter - cut.before) / 2 for cut in cuts),
    )


def _one(step: Step, cut: _Cut, site: Site, across: float | None = None) -> Operation:
    """Return one cut: down at the feed, and out again at the feed.

    Args:
        step: which diameter of the bore.
        cut: at which setting.
        site: the head, where, and what there is.
        across: the diameter that the speed is for, mm; None: that of the cut.
    """
    cutter, target, bench = site
    why = f"the boring head at {bench.say(cut.diameter)}; down and out again at the feed"
    if cut.purpose == "finish":
        why += ", which takes what the bar has sprung"
    return sunk(
        bench,
        Sink(
            purpose=step.purpose(cut.purpose),
            trade="boring",
            cutter=cutter,
            across=across or cut.diameter,
            targets=(target,),
            bottom=bottom_of(step, bench),
            why=why,
            dwell_s=0.0 if step.counterbore is None else DWELL_S,
            feed_out=True,
            width=(cut.diameter - cut.before) / 2,
            notes=(cautions.BORING,),
        ),
    )


def _touching(step: Step, start: float, first: _Cut, site: Site) -> Iterator[Item]:
    """Yield how the tool is touched against the wall of the hole there is, and set from there."""
    cutter, target, bench = site
    x, y = target.x, target.y
    yield Rapid(math.nan, math.nan, bench.hand, How(what="up, to make room for hands"))
    yield Pause(reason=f"{cutter.name}: draw its tool in, until it goes freely into the hole")
    yield Rapid(x, y, bench.clear, How(makes="size", what="over the bore"))
    depth = min(TOUCH_DEPTH, -bottom_of(step, bench) / 2)
    how = How(what="into the mouth of the hole, the spindle off")
    if bench.machine.manual:
        yield Rapid(x, y, -depth, how)
    else:  # slowly: nothing but a person's eye says that the tool is drawn in
        yield Feed(x, y, -depth, SLOWLY, how)
    yield _set_to(start, cutter, touch=TOUCHED if step.counterbore is None else AFTER_BORING)
    yield Rapid(x, y, bench.hand, How(what="up, to make room for hands"))
    yield from _setting(step, first, site)
    yield Rapid(x, y, bench.clear, How(what="down again, clear of the work"))


def _setting(step: Step, cut: _Cut, site: Site) -> Iterator[Action]:
    """Yield the setting for a cut, after the measuring that it follows."""
    cutter = site[0]
    if not cut.measure:
        yield _set_to(cut.diameter, cutter, cut=cut)
        return
    advice = "outside this range something is amiss: the touch, the dial, the clamping of the tool"
    measure = measured(step, cut.measure, (cut.before, cut.diameter), "setting", advice)
    yield measure
    setting = _set_to(cut.diameter, cutter, cut=cut)
    yield replace(setting, follows=measure.name, expected=measure.expected)


def _set_to(
    diameter: float, cutter: Cutter, *, touch: float = 0.0, cut: _Cut | None = None
) -> SetDiameter:
    """Return the setting of a boring head: where its tool touches, or for a cut."""
    head = cutter.head
    assert head is not None
    return SetDiameter(
        head=cutter.name,
        diameter=diameter,
        per_division=head.per_division,
        judged=head.judged,
        uncertainty=touch if cut is None else cut.open,
        turned=0.0 if cut is None else (cut.diameter - cut.before) / head.per_division,
        touched=cut is None,
    )
