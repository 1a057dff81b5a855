"""The hands that follow a sheet: the slides they turn, and what they have come to know."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

from pathgen.moves.actions import Touch
from pathgen.moves.moves import AXES, Axis
from pathgen.moves.plan import Doubt, Wider
from pathgen.shop.machines import HeightWay, Machine
from pathgen.shop.slides import Slide
from postprocessors.dials import steps
from postprocessors.dials.cases import Case
from postprocessors.dials.comparing import REWRITE, changes
from postprocessors.dials.head_in_play import HeadInPlay
from postprocessors.dials.record import Record
from postprocessors.dials.slides_in_play import SlideInPlay
from postprocessors.dials.swung import SwungSlide


@dataclass(slots=True)
class Hands:
    """The slides, what was found, and the moves and actions that came of the steps so far."""

    sheet: steps.Sheet
    slides: dict[str, SlideInPlay]
    case: Case
    found: dict[str, float] = field(default_factory=dict)
    expected: dict[str, float] = field(default_factory=dict)  # of what is measured, by name
    record: Record = field(default_factory=Record)
    wider: list[Wider] = field(default_factory=list)
    zero_doubt: dict[Axis, float] = field(default_factory=dict)
    touches: dict[Axis, list[Touch]] = field(default_factory=dict)
    heads: dict[str, HeadInPlay] = field(default_factory=dict)
    cutter: int = 0
    lathe: bool = False
    rpm: float = 0.0  # of the spindle
    beside: str = ""  # the face that the tool was taken down beside, as called; empty: none
    height: HeightWay | None = None  # the machine's
    height_locked: bool = False  # by a step that says so
    inside: str = ""  # the feature that it was taken down into; empty: none
    carriage_stop: str = ""  # the slide that may run against a stop on the bed
    leadscrew: float = 0.0  # its pitch, mm
    lead: float = 0.0  # that the change wheels give, mm a turn
    left_hand: bool = False  # whether they take the carriage away from the chuck
    turned_at: float = math.nan  # where the tool stood across in the last cut along; nan: none yet
    faced_at: float = math.nan  # where the work's end truly is, once it is faced
    working: tuple[str, ...] = ()  # the slides of a lathe that it is worked by; empty: any
    swung: SwungSlide | None = None  # one that goes neither along nor across

    @classmethod
    def at_the_start(cls, sheet: steps.Sheet, machine: Machine, case: Case) -> Hands:
        """Return hands at a machine whose slack stands as the case says."""
        sides = {dial.slide: dial.side for dial in sheet.dials}
        slides = {each.name: _in_play(each, case) for each in machine.slides}
        for name, slide in slides.items():
            slide.side = sides.get(name, 1)
        hands = cls(
            sheet=sheet,
            slides=slides,
            case=case,
            height=machine.height,
            lathe=machine.lathe is not None,
            carriage_stop="" if machine.lathe is None else machine.lathe.carriage_stop,
            leadscrew=0.0 if machine.lathe is None else machine.lathe.leadscrew_pitch or 0.0,
        )
        hands.expected = {
            step.name: step.expected for step in sheet.steps if isinstance(step, steps.MeasureStep)
        }
        for dial in sheet.dials:
            for change in changes(dial, machine.slide_named(dial.slide)):
                hands.record.trouble("machine-changed", change, REWRITE)
        return hands

    def doubt(self) -> Doubt:
        """Return what the machine leaves open, per axis."""
        slides = [self.on_axis(axis) for axis in AXES]
        return Doubt(
            setting=_each(slides, lambda each: each.slide.setting),
            zero=_each(slides, lambda each: self.zero_doubt.get(each.slide.axis, 0.0)),
            stop=_each(slides, lambda each: each.slide.lag_spread),
            wander=_each(slides, lambda each: _wander(each.slide)),
        )

    def slide(self, name: str) -> SlideInPlay | None:
        """Return a slide by its name; a trouble and None if the machine has none."""
        slide = self.slides.get(name)
        if slide is None:
            self.record.trouble(
                "no-slide", f"the machine has no slide {name!r}", "write the sheet again"
            )
        return slide

    def on_axis(self, axis: Axis) -> SlideInPlay | None:
        """Return the slide of an axis that is worked by; None where there is none."""
        return next(
            (
                each
                for name, each in self.slides.items()
                if each.slide.axis == axis and (not self.working or name in self.working)
            ),
            None,
        )

    def worked_by(self) -> list[SlideInPlay]:
        """Return the slides that are worked by: at most one along an axis, the first of several."""
        firsts: dict[Axis, SlideInPlay] = {}
        for name, slide in self.slides.items():
            if not self.working or name in self.working:
                firsts.setdefault(slide.slide.axis, slide)
        return list(firsts.values())

    def forget(self, axis: Axis) -> None:
        """Forget where the slide of an axis stands; nothing where the machine has none."""
        slide = self.on_axis(axis)
        if slide is not None:
            slide.forget()

    def place(self) -> tuple[float, float, float]:
        """Return where the tool is in the setup's frame, nan where that is not known."""
        return _each([self.on_axis(axis) for axis in AXES], lambda each: each.place)

    def spread(self, slide: SlideInPlay) -> float:
        """Return how far the case's slack of a slide is from the measured one, mm."""
        return abs(self.case.slack) * slide.slide.lag_spread

    def value_of(self, name: str, expected: float) -> float:
        """Return what was found; what was expected, with a trouble, if nothing was measured."""
        if name not in self.found:
            self.record.trouble(
                "out-of-range", f"{name} was not measured before", "measure it first"
            )
        return self.found.get(name, expected)

    def look_at_locks(self, slide: SlideInPlay, *, cuts: bool) -> None:
        """See that the slide is free, and for a cut that the others are not."""
        if slide.slide.lock and slide.locked is not False:
            self.record.trouble(
                "locked", f"the {slide.slide.name} is wound, its lock not freed", "free it first"
            )
        if cuts and self.height is not None and not self.height_locked:
            self.record.trouble(
                "unlocked",
                f"a cut, and the height of the {self.height.name} was not set and locked",
                "set it first",
            )
        for other in self.slides.values():
            if cuts and other is not slide and other.slide.lock and not other.locked:
                self.record.trouble(
                    "unlocked",
                    f"a cut with the {slide.slide.name}, the {other.slide.name} not locked",
                    "lock every slide that stays still",
                )


def _each(
    slides: list[SlideInPlay | None], asked: Callable[[SlideInPlay], float]
) -> tuple[float, float, float]:
    """Return what is asked of the slides of x, y and z; 0 of an axis that a lathe has not."""
    x, y, z = (0.0 if each is None else asked(each) for each in slides)
    return x, y, z


def _in_play(slide: Slide, case: Case) -> SlideInPlay:
    """Return a slide with its slack as the case has it."""
    slack = slide.lag + case.slack * slide.lag_spread
    return SlideInPlay(slide=slide, slack=slack, tool=slack if case.play > 0 else 0.0)


def _wander(slide: Slide) -> float:
    """Return how far a cut may push a slide that stands still, mm: by its slack, or not at all."""
    return 0.0 if slide.lock else slide.slack + slide.slack_spread
