"""Following a sheet step by step: what the hands do, and what comes of it."""

from __future__ import annotations

import math

from pathgen.moves.actions import FitCutter, FitTouching, Lock, Measure, SetHeight, Unlock
from pathgen.moves.moves import AXES, Axis, Drill, Feed, Rapid
from pathgen.moves.plan import Item, Wider
from postprocessors.dials import steps
from postprocessors.dials.claims import compare_wind
from postprocessors.dials.comparing import REWRITE, Plain, as_action
from postprocessors.dials.hands import Hands
from postprocessors.dials.head_in_play import (
    HeadInPlay,
    ahead_of,
    compare_expected,
    compare_setting,
    setting_of,
    turned_out,
)
from postprocessors.dials.screwing import follow_screwing
from postprocessors.dials.slanting import carry_along, follow_swing
from postprocessors.dials.slides_in_play import SlideInPlay
from postprocessors.dials.stops import follow_stop, look_at_the_stop, wind_to_stop
from postprocessors.dials.tilting import follow_tilting
from postprocessors.dials.touching import find
from postprocessors.dials.working import follow_work_by


def follow(hands: Hands, step: steps.Step) -> None:  # noqa: C901, PLR0912 - a case a kind
    """Do what one step says."""
    hands.record.step = step.number
    match step:
        case steps.WindStep():
            _wind(hands, step)
        case steps.TouchStep() | steps.ClearStep() | steps.SetDialStep():
            find(hands, step)
        case steps.LockStep() | steps.UnlockStep():
            _nip(hands, step)
        case steps.FitTouchingStep() | steps.FitStep():
            _fit(hands, step)
        case steps.HeightStep():
            _set_height(hands, step)
        case steps.MeasureStep():
            _measure(hands, step)
        case steps.SetHeadStep():
            _set_head(hands, step)
        case steps.AngleStep() | steps.SweepStep() | steps.TurnStep():
            follow_tilting(hands, step)
        case steps.WorkByStep():
            follow_work_by(hands, step)
        case steps.SwingStep():
            follow_swing(hands, step)
        case steps.StopStep():
            follow_stop(hands, step)
        case steps.WheelsStep() | steps.HalfNutsStep() | steps.ThreadStep():
            follow_screwing(hands, step)
        case _:
            _without_slides(hands, step)


def _without_slides(hands: Hands, step: steps.SetHeadStep | Plain) -> None:
    """Do what a step says that moves nothing that the hands count."""
    if isinstance(step, steps.SetHeadStep):
        _set_head(hands, step)
        return
    hands.rpm = step.rpm if isinstance(step, steps.SpindleStep) else hands.rpm
    hands.record.put(as_action(step))


# ---------------------------------------------------------------------- winding


def _wind(hands: Hands, step: steps.WindStep) -> None:
    """Wind a handle to where the way, the passes and the figure take it."""
    slide = hands.slide(step.slide)
    if slide is None:
        return
    hands.look_at_locks(slide, cuts=step.cut)
    if step.cut:
        _look_at_zeros(hands)
    direction = slide.direction(step.way)
    if direction == slide.at_face:
        hands.record.trouble(
            "not-raised",
            f"the {step.slide} is wound on against the face that the tool touches",
            "draw the tool up clear first",
        )
    slide.at_face = 0
    start = hands.place()
    if slide.shown_at is None:
        hands.record.trouble(
            "no-zero", f"the {step.slide} has no zero to wind from", "set its zero first"
        )
    else:
        before = slide.tool, slide.told
        if step.to_stop:
            wind_to_stop(hands, slide, step)
        else:
            _turn(hands, slide, step)
            look_at_the_stop(hands, slide, before[0])
        carry_along(hands, slide, before)
        if not slide.astray:
            compare_wind(hands, slide, step)
    hands.record.put(_move(hands, step, slide, start))
    if step.cut and hands.lathe:
        _note_what_is_turned(hands, slide, start[0])


def _note_what_is_turned(hands: Hands, slide: SlideInPlay, before: float) -> None:
    """Note where a cut truly went: along the work, plunged into it, or across its end.

    ``before`` is how far from the axis the tool stood when it began, mm.
    """
    x, _, z = hands.place()
    if slide.slide.axis == "z":
        hands.turned_at = x
    elif x < 0:
        hands.faced_at = z
    elif x < before:
        hands.turned_at = x


def _turn(hands: Hands, slide: SlideInPlay, step: steps.WindStep) -> None:
    """Wind until 0 has passed as often as the step says and the dial shows its figure."""
    passes, total = _wanted(hands, step)
    dial = step.dial if step.rule is None else slide.slide.split(total)[1]
    stop = slide.stops_at(step.way, passes, dial)
    if slide.slide.readout:
        _to_the_figure(hands, slide, step, stop)
        return
    if stop is None:  # hands go on until the figure comes
        stop = slide.stops_at(step.way, passes + 1, dial)
    assert stop is not None
    slide.turn_to(stop)
    if stop != total:
        turn = slide.slide.counts_per_turn
        slide.astray = True
        hands.record.trouble(
            "miscounted",
            f"{step.way} with {passes} passes of 0 to {dial * slide.slide.judged:g} the"
            f" {step.slide} comes to {stop / turn:.3f} turns from its zero, not"
            f" {total / turn:.3f}",
            "count the turns of this step and of those before it again",
        )


def _to_the_figure(
    hands: Hands, slide: SlideInPlay, step: steps.WindStep, stop: int | None
) -> None:
    """Wind until a readout shows a figure; the wrong way it never comes, and nobody winds back."""
    if stop is not None:
        slide.turn_to(stop)
        return
    slide.astray = True
    hands.record.trouble(
        "wrong-way",
        f"wound {step.way}, the readout of the {step.slide} goes away from its figure",
        "wind the other way",
    )


def _wanted(hands: Hands, step: steps.WindStep) -> tuple[int, int]:
    """Return the passes of 0 and the total, as they follow from what was found."""
    total, passes = step.reading, step.passes
    if step.rule is not None:
        rule, found = step.rule, hands.value_of(step.rule.measure, step.rule.expected)
        if not rule.low <= found <= rule.high:
            hands.record.out_of_range(rule.measure, found, rule.low, rule.high)
        total = math.floor(rule.base + rule.per_mm * (found - rule.expected) + 0.5)
    if step.passes_from:
        found = hands.value_of(step.measure, step.passes_from[0].found)
        for entry in step.passes_from:
            passes = entry.passes if found >= entry.found else passes
    return passes, total


def _move(
    hands: Hands, step: steps.WindStep, slide: SlideInPlay, start: tuple[float, float, float]
) -> Item:
    """Return the move that a wind was."""
    x, y, z = hands.place()
    if not step.cut:
        return Rapid(x, y, z)
    feed = _feed(hands, step, slide)
    if step.peck_turns:
        peck = step.peck_turns * slide.slide.per_turn
        return Drill(x, y, bottom=z, clear=start[2], feed=feed, peck=peck, back_to=z)
    return Feed(x, y, z, feed)


def _feed(hands: Hands, step: steps.WindStep, slide: SlideInPlay) -> float:
    """Return the feed of a cut, mm/min: by power, or by the pace of the hand."""
    if step.power and slide.slide.by_power(step.power) != step.power:
        hands.record.trouble(
            "machine-changed",
            f"the {step.slide} has no feed by power of {step.power:g} mm a minute",
            REWRITE,
        )
    if step.power_a_turn and step.power_a_turn not in slide.slide.power_a_turn:
        hands.record.trouble(
            "machine-changed",
            f"the {step.slide} has no feed by power of {step.power_a_turn:g} mm a turn",
            REWRITE,
        )
    by_power = step.power or step.power_a_turn * hands.rpm
    return by_power or step.turns_per_min * slide.slide.per_turn


def _look_at_zeros(hands: Hands) -> None:
    """See that the tool's place is known before it cuts."""
    for each in hands.worked_by():
        if not each.zeroed:
            hands.record.trouble(
                "no-zero",
                f"a cut, and the zero of the {each.slide.name} is not set",
                "set its zero first",
            )


# ---------------------------------------------------------------------- the rest


def _nip(hands: Hands, step: steps.LockStep | steps.UnlockStep) -> None:
    """Nip or free the locks of slides."""
    locked = isinstance(step, steps.LockStep)
    for name in step.slides:
        slide = hands.slide(name)
        if slide is not None:
            slide.locked = locked
            hands.record.put(Lock(slide=name) if locked else Unlock(slide=name))


def _fit(hands: Hands, step: steps.FitTouchingStep | steps.FitStep) -> None:
    """Fit a cutter, or what touches; the depth's zero is gone."""
    for slide in hands.slides.values():
        if hands.lathe or slide.slide.axis == "z":
            slide.forget()
    hands.beside = hands.inside = ""
    hands.turned_at = math.nan
    if isinstance(step, steps.FitTouchingStep):
        hands.record.put(FitTouching(name=step.name, diameter=step.diameter))
    else:
        hands.cutter = step.cutter
        hands.record.put(FitCutter(number=step.cutter, name=step.name, diameter=step.diameter))
    hands.record.stands_above(math.nan if step.height is None else step.height)


def _set_height(hands: Hands, step: steps.HeightStep) -> None:
    """Set the height by a rule, and lock it; where the tool stands then is not known."""
    height = hands.height
    if height is None or (height.name, height.swings) != (step.by, step.swings):
        hands.record.trouble("machine-changed", f"the machine has no such {step.by}", REWRITE)
    hands.height_locked = True
    lost: tuple[Axis, ...] = AXES if step.swings else ("z",)
    for axis in lost:
        hands.forget(axis)
    hands.beside = hands.inside = ""
    hands.record.put(
        SetHeight(by=step.by, above=step.above, of=step.of, within=step.within, swings=step.swings)
    )
    known = step.above - step.within if step.of == "end" else math.nan
    hands.record.stands_above(known)


def _set_head(hands: Hands, step: steps.SetHeadStep) -> None:
    """Turn the dial of a boring head out, or out until its tool touches."""
    found = hands.value_of(step.measure, step.expected) if step.measure else 0.0
    out = 0 if step.touched else turned_out(step, found)
    known = hands.heads.get(step.head)
    if step.touched or known is None:
        if not step.touched:
            hands.record.trouble(
                "no-zero", f"the {step.head} is set, and its tool has not touched", "touch first"
            )
        known = HeadInPlay(standing=step.diameter, stated=step.diameter)
        hands.heads.pop(step.head, None)  # the one in the spindle comes last
        hands.heads[step.head] = known
    else:
        known.standing += out * step.count
        known.stated += step.out * step.count
    if out < 0:
        hands.record.trouble(
            "wrong-way", f"the {step.head} would go in, where it only goes out", "bore less before"
        )
    compare_setting(hands.record, known, step)
    ahead = ahead_of(hands.sheet, step, dict(hands.case.found))
    if ahead is not None:
        known.off = ahead.found - ahead.out - known.standing
    hands.record.put(setting_of(step, known, out))


def _cut_off(hands: Hands, step: steps.MeasureStep, found: float) -> float:
    """Return by how much a tool cuts off what it should, mm of diameter, by what is found.

    Where something was just turned, that is against where the tool truly stood: a dial that was set
    to the nearest judged part is off too, and what is measured shows both.
    """
    if step.found_by == "spring" and not math.isnan(hands.turned_at):
        return found - 2 * hands.turned_at
    return found - step.expected if step.found_by in ("cutter", "spring") else 0.0


def _measure(hands: Hands, step: steps.MeasureStep) -> None:
    """Measure; what is found is the case's."""
    found = dict(hands.case.found).get(step.name, step.expected)
    hands.found[step.name] = found
    if step.found_by == "setting":
        compare_expected(hands.record, list(hands.heads.values())[-1:], step)
    known = any(each.cutter == hands.cutter for each in hands.wider)  # by what was measured before
    off = _cut_off(hands, step, found)
    if off and not known:
        hands.wider.append(Wider(hands.cutter, off, step.name))
    hands.record.put(
        Measure(
            name=step.name,
            what=step.what,
            expected=step.expected,
            low=step.low,
            high=step.high,
            found_by=step.found_by,
            advice=step.advice,
        )
    )
