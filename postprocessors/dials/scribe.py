"""The scribe: puts steps down one after the other and keeps what the handles have come to."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from pathgen.input.where import Refusal, Where
from pathgen.moves.moves import Axis, Makes, Term
from pathgen.moves.settings import Heads
from postprocessors.dials.handles import Cutting, Handle
from postprocessors.dials.readings import (
    Reading,
    common_rule,
    passes_by_found,
)
from postprocessors.dials.steps import (
    Correction,
    LockStep,
    MeasureStep,
    PassesFrom,
    SpindleStep,
    Step,
    UnlockStep,
    WindStep,
)
from postprocessors.dials.swung import SwungHandle

PACES = 10  # a pace is given to this part of a turn a minute, never faster than asked
THOUSANDTHS = 1000  # of a judged part
LONG_FOR_POWER = 15.0  # mm: a shorter cut is not worth engaging it; common practice, no source
PECKS = 10  # and a peck to this part of a turn, never deeper


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """What a wind step says besides where it goes."""

    makes: Makes = "air"
    slack: Literal["", "past", "up", "corrected"] = ""
    place: float = 0.0
    what: str = ""
    terms: tuple[Term, ...] = ()
    cutting: Cutting | None = None
    to_stop: bool = False


@dataclass(slots=True)
class Scribe:
    """The steps so far, the handles, and what was measured."""

    handles: dict[Axis, Handle]
    clear: float
    by_eye: float | None  # the height above z 0 to which the tool is drawn up by eye; of a mill
    where: Where
    steps: list[Step] = field(default_factory=list)
    measures: dict[str, MeasureStep] = field(default_factory=dict)
    heads: Heads = field(default_factory=Heads)
    lathe: bool = False
    idle: list[Handle] = field(default_factory=list)  # of slides that are not worked by just now
    inside: str = ""  # the feature that the tool is down in to touch its walls; empty: none
    rpm: float = 0.0  # of the spindle
    swung: SwungHandle | None = None  # the handle of a slide that goes neither along nor across

    @property
    def number(self) -> int:
        """Return the number of the next step."""
        return len(self.steps) + 1

    def add(self, step: Step) -> None:
        """Put a step down."""
        self.steps.append(step)
        if isinstance(step, SpindleStep):
            self.rpm = step.rpm

    def refusal(self, cannot: str, instead: str) -> Refusal:
        """Return a refusal in the name of the machine's slides."""
        return Refusal(self.where.at("slide"), cannot, instead)

    def undecided(self, handle: Handle) -> Refusal:
        """Return a refusal of a wind whose way is not known before something is measured."""
        return self.refusal(
            f"the way to wind the {handle.slide.name} hangs on what is found",
            "narrow the range of the measurement",
        )

    # ------------------------------------------------------------------ locks

    def free(self, handles: Iterable[Handle]) -> None:
        """Say which locks to free, if any is not known to be."""
        tight = [each for each in handles if each.slide.lock and each.free is not True]
        if tight:
            self.add(UnlockStep(number=self.number, slides=_names(tight)))
        for each in tight:
            each.free = True

    def lock(self, handles: Iterable[Handle]) -> None:
        """Say which locks to nip, if any is not."""
        loose = [each for each in handles if each.slide.lock and each.free is not False]
        if loose:
            self.add(LockStep(number=self.number, slides=_names(loose)))
        for each in loose:
            each.free = False

    def others(self, handle: Handle) -> list[Handle]:
        """Return the handles but one, in the order of the axes, those not worked by last."""
        every = (*self.handles.values(), *self.idle)
        return [each for each in every if each is not handle]

    # ------------------------------------------------------------------ winds

    def wind(self, handle: Handle, to: Reading, wind: Wind) -> None:
        """Put down one wind of one handle; nothing where it already stands there."""
        travels = self.travels(handle, to)
        if not any(travels):
            handle.reading = to
            return
        if min(travels) < 0 < max(travels):
            raise self.undecided(handle)
        self.free([handle])
        if wind.cutting is not None:
            self.lock(self.others(handle))
        self.add(self._step(handle, to, wind, 1 if max(travels) > 0 else -1))
        lengths = [abs(travel) for travel in travels]
        handle.pushed(1 if max(travels) > 0 else -1, min(lengths), max(lengths))
        handle.reading = to

    def travels(self, handle: Handle, to: Reading) -> tuple[float, ...]:
        """Return how far the handle goes to a reading, mm with sign, for each found value."""
        rule = self.rule_of(handle, to)
        found = (None,) if rule is None else (None, rule.low, rule.high)
        return tuple(handle.turns_from(handle.reading, to, each) for each in found)

    def rule_of(self, handle: Handle, to: Reading) -> Correction | None:
        """Return what a wind follows: the rule of its start or of its end."""
        try:
            return common_rule(handle.reading, to)
        except ValueError as error:
            raise self.refusal(
                f"{error} on the {handle.slide.name}",
                "put a move that follows neither between the two",
            ) from None

    def _step(self, handle: Handle, to: Reading, wind: Wind, direction: int) -> WindStep:
        """Return the wind step; the direction is the tool's along the axis."""
        slide, cutting = handle.slide, wind.cutting
        reading = to.at()
        _, dial = slide.split(reading)
        passes_from = self._passes_from(handle, to)
        return WindStep(
            number=self.number,
            slide=slide.name,
            way=slide.way(direction),
            passes=handle.passes_to(reading),
            dial=dial,
            reading=reading,
            place=wind.place,
            makes=wind.makes,
            cut=cutting is not None,
            turns_per_min=0.0 if cutting is None else _floor(cutting.feed / slide.per_turn, PACES),
            power=self._power(handle, to, cutting),
            power_a_turn=self._power_a_turn(handle, to, cutting),
            peck_turns=_peck_turns(cutting, slide.per_turn),
            slack=wind.slack,
            what=wind.what,
            terms=wind.terms,
            rule=to.rule,
            passes_from=passes_from,
            to_stop=wind.to_stop,
            measure=(to.measure or handle.reading.measure) if passes_from or to.rule else "",
        )

    def _power(self, handle: Handle, to: Reading, cutting: Cutting | None) -> float:
        """Return the feed by power for a cut that is long enough for it, mm/min; 0 by hand."""
        if cutting is None or not self._long(handle, to, cutting) or handle.slide.axis == "z":
            return 0.0
        return handle.slide.by_power(cutting.feed)

    def _power_a_turn(self, handle: Handle, to: Reading, cutting: Cutting | None) -> float:
        """Return the same of a lathe whose work turns, in mm a turn of it."""
        if cutting is None or not self._long(handle, to, cutting) or not self.rpm:
            return 0.0
        return handle.slide.a_turn_by_power(cutting.feed / self.rpm)

    def _long(self, handle: Handle, to: Reading, cutting: Cutting) -> bool:
        """Return whether a cut is worth engaging the power feed for."""
        shortest = min(abs(each) for each in self.travels(handle, to))
        return shortest >= LONG_FOR_POWER and not cutting.peck

    def _passes_from(self, handle: Handle, to: Reading) -> tuple[PassesFrom, ...]:
        """Return how the count of passes follows the found value; a readout has none."""
        self.rule_of(handle, to)
        if handle.slide.readout:
            return ()
        return passes_by_found(handle.reading, to, handle.slide.counts_per_turn)


def _peck_turns(cutting: Cutting | None, per_turn: float) -> float:
    """Return the turns of one peck, 0 for none."""
    if cutting is None or cutting.peck <= 0:
        return 0.0
    return _floor(cutting.peck / per_turn, PECKS)


def _floor(value: float, parts: int) -> float:
    """Return a value down to whole parts, but one part at least.

    >>> _floor(1.18, 10), _floor(0.03, 10), _floor(1.2, 10)
    (1.1, 0.1, 1.2)
    """
    return max(1, math.floor(value * parts + 1e-9)) / parts


def _names(handles: list[Handle]) -> tuple[str, ...]:
    """Return the names of handles' slides."""
    return tuple(handle.slide.name for handle in handles)


def off_half_way(counts: float) -> float:
    """Return judged parts moved to half of a thousandth of one.

    So what may be measured in round figures never leads just half-way between two parts, where
    rounding is a matter of luck.
    """
    return (math.floor(counts * THOUSANDTHS) + 0.5) / THOUSANDTHS


def correction(handle: Handle, measure: MeasureStep, factor: float, counts: float) -> Correction:
    """Return the rule as data: how a reading of ``counts`` follows what is measured."""
    return Correction(
        measure=measure.name,
        factor=factor,
        expected=measure.expected,
        low=measure.low,
        high=measure.high,
        base=off_half_way(counts),
        per_mm=handle.slide.rise * factor / handle.slide.count,
    )


def past(handle: Handle, to: Reading) -> Reading:
    """Return the reading to wind back past to, whatever is found, so that one comes up again."""
    rule = to.rule
    found = (None,) if rule is None else (None, rule.low, rule.high)
    step = handle.slide.rise * handle.side
    hindmost = min(to.at(each) * step for each in found)
    return Reading(base=float((hindmost - handle.back) * step))
