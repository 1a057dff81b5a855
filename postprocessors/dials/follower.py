"""The hands that follow a sheet, step by step, and what comes of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pathgen.moves.actions import FitCutter, Lock, Measure, Touch, Unlock, Zero
from pathgen.moves.moves import AXES, Axis, Drill, Feed, Rapid
from pathgen.moves.plan import Doubt, Item
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide
from postprocessors.dials import steps
from postprocessors.dials.cases import Case
from postprocessors.dials.comparing import REWRITE, as_action, changes
from postprocessors.dials.record import Record
from postprocessors.dials.slides_in_play import SlideInPlay, hands_stop_at


@dataclass(slots=True)
class Follower:
    """The slides, what was found, and the moves and actions that came of the steps so far."""

    slides: dict[str, SlideInPlay]
    to_find: dict[str, float]  # the case's, met when it is measured
    found: dict[str, float] = field(default_factory=dict)
    record: Record = field(default_factory=Record)
    wider: list[tuple[int, float]] = field(default_factory=list)
    zero_doubt: dict[Axis, float] = field(default_factory=dict)
    touches: dict[Axis, list[Touch]] = field(default_factory=dict)
    cutter: int = 0

    @classmethod
    def at_the_start(cls, sheet: steps.Sheet, machine: Machine, case: Case) -> Follower:
        """Return hands at a machine whose slack stands as the case says."""
        slides = {each.name: _in_play(each, case) for each in machine.slides}
        follower = cls(slides=slides, to_find=dict(case.found))
        for dial in sheet.dials:
            for change in changes(dial, machine.slide_named(dial.slide)):
                follower.record.trouble("machine-changed", change, REWRITE)
        return follower

    def doubt(self) -> Doubt:
        """Return what the machine leaves open, per axis."""
        by_axis = {each.slide.axis: each.slide for each in self.slides.values()}
        x, y, z = (by_axis[axis] for axis in AXES)
        zero = self.zero_doubt
        return Doubt(
            setting=(x.count / 2, y.count / 2, z.count / 2),
            zero=(zero.get("x", 0.0), zero.get("y", 0.0), zero.get("z", 0.0)),
            stop=(x.slack_spread, y.slack_spread, z.slack_spread),
        )

    def follow(self, step: steps.Step) -> None:
        """Do what one step says."""
        self.record.step = step.number
        match step:
            case steps.WindStep():
                self._wind(step)
            case steps.TouchStep() | steps.ClearStep() | steps.SetDialStep():
                self._find(step)
            case steps.LockStep() | steps.UnlockStep():
                self._nip(step)
            case steps.FitStep():
                self._fit(step)
            case steps.MeasureStep():
                self._measure(step)
            case _:
                self.record.put(as_action(step))

    # ------------------------------------------------------------------ winding

    def _wind(self, step: steps.WindStep) -> None:
        """Wind a handle to where the way, the passes and the figure take it."""
        slide = self._slide(step.slide)
        if slide is None:
            return
        self._look_at_locks(slide, cuts=step.cut)
        if step.cut:
            self._look_at_zeros()
        direction = slide.direction(step.way)
        if direction == slide.at_face:
            self.record.trouble(
                "not-raised",
                f"the {step.slide} is wound on against the face that the tool touches",
                "draw the tool up clear first",
            )
        slide.at_face = 0
        start = self._place()
        if slide.shown_at is None:
            self.record.trouble(
                "no-zero", f"the {step.slide} has no zero to wind from", "set its zero first"
            )
        else:
            self._turn(slide, step)
        self.record.put(self._move(step, slide, start))

    def _turn(self, slide: SlideInPlay, step: steps.WindStep) -> None:
        """Wind until 0 has passed as often as the step says and the dial shows its figure."""
        passes, total = self._wanted(step)
        turn = slide.slide.counts_per_turn
        dial = step.dial if step.rule is None else total % turn
        rising = step.way == slide.slide.rising
        stop = hands_stop_at(slide.reading, passes, dial, rising=rising, turn=turn)
        if stop is None:  # hands go on until the figure comes
            stop = hands_stop_at(slide.reading, passes + 1, dial, rising=rising, turn=turn)
        assert stop is not None
        slide.turn_to(stop)
        if stop != total:
            self.record.trouble(
                "miscounted",
                f"{step.way} with {passes} passes of 0 to {dial * slide.slide.judged:g} the"
                f" {step.slide} comes to {stop / turn:.3f} turns from its zero, not"
                f" {total / turn:.3f}",
                "count the turns of this step and of those before it again",
            )

    def _wanted(self, step: steps.WindStep) -> tuple[int, int]:
        """Return the passes of 0 and the total, as they follow from what was found."""
        total, passes = step.reading, step.passes
        if step.rule is not None:
            rule, found = step.rule, self._found(step.rule.measure, step.rule.expected)
            if not rule.low <= found <= rule.high:
                self.record.out_of_range(rule.measure, found, rule.low, rule.high)
            total = math.floor(rule.base + rule.per_mm * (found - rule.expected) + 0.5)
        if step.passes_from:
            found = self._found(step.measure, step.passes_from[0].found)
            for entry in step.passes_from:
                passes = entry.passes if found >= entry.found else passes
        return passes, total

    def _move(
        self, step: steps.WindStep, slide: SlideInPlay, start: tuple[float, float, float]
    ) -> Item:
        """Return the move that a wind was."""
        x, y, z = self._place()
        if not step.cut:
            return Rapid(x, y, z)
        feed = step.turns_per_min * slide.slide.per_turn
        if step.peck_turns:
            peck = step.peck_turns * slide.slide.per_turn
            return Drill(x, y, bottom=z, clear=start[2], feed=feed, peck=peck, back_to=z)
        return Feed(x, y, z, feed)

    def _look_at_zeros(self) -> None:
        """See that the tool's place is known before it cuts."""
        for each in self.slides.values():
            if not each.zeroed:
                self.record.trouble(
                    "no-zero",
                    f"a cut, and the zero of the {each.slide.name} is not set",
                    "set its zero first",
                )

    def _look_at_locks(self, slide: SlideInPlay, *, cuts: bool) -> None:
        """See that the slide is free, and for a cut that the others are not."""
        if slide.slide.lock and slide.locked is not False:
            self.record.trouble(
                "locked", f"the {slide.slide.name} is wound, its lock not freed", "free it first"
            )
        for other in self.slides.values():
            if cuts and other is not slide and other.slide.lock and not other.locked:
                self.record.trouble(
                    "unlocked",
                    f"a cut with the {slide.slide.name}, the {other.slide.name} not locked",
                    "lock every slide that stays still",
                )

    # ------------------------------------------------------------------ zeroing

    def _find(self, step: steps.TouchStep | steps.ClearStep | steps.SetDialStep) -> None:
        """Touch a face, draw clear of it, or set a dial."""
        slide = self._slide(step.slide)
        if slide is None:
            return
        match step:
            case steps.SetDialStep():
                self._set(slide, step)
                return
            case steps.TouchStep():
                self._look_at_locks(slide, cuts=False)
                self._touch(slide, step)
            case steps.ClearStep():
                self._look_at_locks(slide, cuts=False)
                slide.run_off(step.way)
                for each in self.slides.values():
                    each.at_face = 0

    def _touch(self, slide: SlideInPlay, step: steps.TouchStep) -> None:
        """Wind until the tool touches; note what the dial reads where that is asked for."""
        axis = slide.slide.axis
        place = step.face_at - step.towards * (step.radius + step.paper)
        slide.touch(step.way, place)
        self.touches.setdefault(axis, []).append(
            Touch(
                face=step.face,
                towards=step.towards,
                tool=step.tool,
                radius=step.radius,
                paper=step.paper,
                at=place,
                terms=step.terms,
            )
        )
        if axis == "z":
            slide.at_face = 0  # it is drawn up from there, the dial being set at once
        if step.note is None:
            return
        if slide.shown_at is None:
            self.record.trouble(
                "no-zero", "a reading is noted, but the dial was not set", "set it first"
            )
            return
        noted = step.note
        found = math.floor(slide.reading + 0.5) * slide.slide.count
        self.found[noted.name] = found
        if not noted.low <= found <= noted.high:
            self.record.out_of_range(noted.name, found, noted.low, noted.high)

    def _set(self, slide: SlideInPlay, step: steps.SetDialStep) -> None:
        """Turn the ring; the zero holds from there on if the step says so."""
        axis = slide.slide.axis
        reading = step.turn * slide.slide.counts_per_turn + step.dial
        fixed = not slide.slide.resettable
        slide.set_ring(step.exact if fixed and step.exact is not None else reading)
        if fixed and step.exact is None:
            self.record.trouble(
                "machine-changed", f"the dial of the {step.slide} cannot be set", REWRITE
            )
        if slide.frame is None:
            self.record.trouble(
                "no-zero",
                f"the dial of the {step.slide} is set, but nothing has been touched",
                "touch the face first",
            )
        if not step.zero:
            return
        slide.zeroed = True
        self.zero_doubt[axis] = max(step.uncertainty, self.zero_doubt.get(axis, 0.0))
        touches = tuple(self.touches.pop(axis, ()))[-2:]
        if touches:
            self.record.put(Zero(axis=axis, touches=touches, uncertainty=step.uncertainty))

    # ------------------------------------------------------------------ the rest

    def _nip(self, step: steps.LockStep | steps.UnlockStep) -> None:
        """Nip or free the locks of slides."""
        locked = isinstance(step, steps.LockStep)
        for name in step.slides:
            slide = self._slide(name)
            if slide is not None:
                slide.locked = locked
                self.record.put(Lock(slide=name) if locked else Unlock(slide=name))

    def _fit(self, step: steps.FitStep) -> None:
        """Fit a cutter; the depth's zero is gone."""
        self.cutter = step.cutter
        for slide in self.slides.values():
            if slide.slide.axis == "z":
                slide.forget()
        self.record.put(FitCutter(number=step.cutter, name=step.name, diameter=step.diameter))

    def _measure(self, step: steps.MeasureStep) -> None:
        """Measure; what is found is the case's."""
        found = self.to_find.get(step.name, step.expected)
        self.found[step.name] = found
        if step.found_by == "cutter" and found != step.expected:
            self.wider.append((self.cutter, found - step.expected))
        self.record.put(
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

    # ------------------------------------------------------------------ within

    def _slide(self, name: str) -> SlideInPlay | None:
        """Return a slide by its name; a trouble and None if the machine has none."""
        slide = self.slides.get(name)
        if slide is None:
            self.record.trouble(
                "no-slide", f"the machine has no slide {name!r}", "write the sheet again"
            )
        return slide

    def _place(self) -> tuple[float, float, float]:
        """Return where the tool is in the setup's frame, nan where that is not known."""
        by_axis = {each.slide.axis: each.place for each in self.slides.values()}
        return by_axis["x"], by_axis["y"], by_axis["z"]

    def _found(self, name: str, expected: float) -> float:
        """Return what was found; what was expected, with a trouble, if nothing was measured."""
        if name not in self.found:
            self.record.trouble(
                "out-of-range", f"{name} was not measured before", "measure it first"
            )
        return self.found.get(name, expected)


def _in_play(slide: Slide, case: Case) -> SlideInPlay:
    """Return a slide with its slack as the case has it."""
    slack = slide.slack + case.slack * slide.slack_spread
    return SlideInPlay(slide=slide, slack=slack, tool=slack if case.play > 0 else 0.0)
