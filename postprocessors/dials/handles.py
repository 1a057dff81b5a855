"""What the writer knows of a handle while it writes: reading, slack that may be out, lock."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pathgen.moves.moves import Makes, Rule
from pathgen.shop.slides import Slide
from postprocessors.dials.readings import Reading, passes_between
from postprocessors.dials.steps import Correction, Dial

HALF_TURN = 0.5  # how far past a reading a handle goes to take out the slack: the old rule
SURELY = 0.1  # of a turn, by which the wind past must exceed the slack
NOWHERE = 1e-9  # mm


@dataclass(slots=True)
class Handle:
    """One slide's handle; lengths in mm, positive the way the tool goes to the plus side.

    ``origin`` is where the tool stands, its slack on the chosen side, when the dial reads 0; None
    while there is no zero. ``out`` says for each direction how far the handle may have to be wound
    that way before the slide surely moves.
    """

    slide: Slide
    side: int
    origin: float | None = None
    reading: Reading = field(default_factory=lambda: Reading(base=0.0))
    out: dict[int, float] = field(default_factory=dict)
    free: bool | None = None  # None: it has not been said yet
    asked: float = math.nan  # the coordinate that the plan last asked for
    rule: Rule | None = None  # that the coordinate followed
    exact: bool = False  # it was reached in a way that holds it

    def __post_init__(self) -> None:
        """Start with the slack anywhere."""
        self.forget_slack()

    @property
    def most_slack(self) -> float:
        """Return the most that the slack in the readings may be, mm."""
        return self.slide.lag + self.slide.lag_spread

    @property
    def back(self) -> int:
        """Return how far past a reading to wind, in judged parts: half a turn, or what it takes."""
        turn = self.slide.counts_per_turn
        wanted = max(HALF_TURN, self.most_slack / self.slide.per_turn + SURELY)
        return math.ceil(wanted * turn)

    def forget_slack(self) -> None:
        """Take the slack to be anywhere."""
        self.out = {1: self.most_slack, -1: self.most_slack}

    def pushed(self, direction: int, least: float, most: float) -> None:
        """Record a wind of between ``least`` and ``most``, mm, in a direction."""
        self.out[direction] = max(0.0, self.out[direction] - least)
        self.out[-direction] = min(self.most_slack, self.out[-direction] + most)

    def lose_zero(self) -> None:
        """Forget where the dial's zero is, and where the tool stands."""
        self.origin = None
        self.asked = math.nan
        self.rule = None
        self.exact = False

    def aim(self, place: float, rule: Correction | None = None) -> Reading:
        """Return the reading for a place of the tool, its slack on the chosen side."""
        if self.origin is None:
            raise ValueError(f"{self.slide.name} is wound before its zero is set")
        counts = self.slide.rise * (place - self.origin) / self.slide.count
        return Reading(base=counts, rule=rule)

    def place(self, reading: Reading) -> float:
        """Return where the tool stands at a reading, its slack on the chosen side."""
        assert self.origin is not None
        return self.origin + self.slide.rise * reading.at() * self.slide.count

    def turns_from(self, turning: Reading, turned: Reading, found: float | None) -> float:
        """Return how far the tool's screw goes from one reading to another, mm, with its sign."""
        counts = turned.at(found) - turning.at(found)
        return self.slide.rise * counts * self.slide.count

    def passes_to(self, reading: int) -> int:
        """Return how often 0 passes on the way to a reading; a readout has none that does."""
        if self.slide.readout:
            return 0
        return passes_between(self.reading.at(), reading, self.slide.counts_per_turn)

    def dial(self) -> Dial:
        """Return the dial for the head of the sheet."""
        slide = self.slide
        return Dial(
            slide=slide.name,
            axis=slide.axis,
            units=slide.dial_units,
            per_turn=slide.per_turn,
            divisions=slide.divisions,
            judged=slide.judged,
            plus=slide.plus,
            rising=slide.rising,
            diameter_reading=slide.diameter_reading,
            resettable=slide.resettable,
            slack=slide.slack,
            slack_spread=slide.slack_spread,
            lock=slide.lock,
            side=self.side,
            readout=slide.readout,
            scale_error=slide.scale_error,
            preset=slide.preset,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """A wind that cuts: its feed, and how far to drill between drawing up clear."""

    feed: float  # mm/min
    peck: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where a handle is to go: its reading from the chosen side, and against it."""

    plain: Reading
    against: Reading  # corrected by the measured slack
    makes: Makes
    place: float
