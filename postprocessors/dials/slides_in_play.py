"""Simulated slides: a screw that the handle turns, and a slide that lags behind it by the slack."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.shop.slides import Slide, Way

AT_ONE_FIGURE = 1e-6  # of a judged part: less is no wind


@dataclass(slots=True)
class SlideInPlay:
    """One slide as the hands find it; lengths in mm, in a frame of its own until it is anchored.

    The screw stands at ``screw``; the tool at ``tool``, from the screw to ``slack`` beyond it.
    ``shown_at`` is where the screw stands when the dial reads 0, and ``frame`` what turns the
    slide's own places into those of the setup, known from a touch on.
    """

    slide: Slide
    slack: float  # the true one
    side: int = 1  # the direction in which the sheet comes up to readings
    screw: float = 0.0
    tool: float = 0.0
    shown_at: float | None = None
    frame: float | None = None
    stated: float | None = None  # where the sheet has the tool when the dial reads 0
    zeroed: bool = False
    astray: bool = False  # a fault was told that puts it elsewhere than the sheet has it
    stopped_at: float | None = None  # where its stop holds the tool, in its own frame
    locked: bool | None = None  # None: nobody has said
    at_face: int = 0  # the direction in which the tool stands against a face, 0 for none
    loose: float = 0.0  # how far the case's slack may have put the place of the last touch off
    middle_off: float = 0.0  # how far the middle of the touched faces is from the sheet's

    @property
    def place(self) -> float:
        """Return where the tool is in the setup's frame; nan while that is not known."""
        if self.frame is None or not self.zeroed:
            return math.nan
        return self.tool + self.frame

    @property
    def told(self) -> float:
        """Return where the dial has the tool: where it is with the slack on the chosen side."""
        if self.frame is None:
            return math.nan
        return self.screw + (0.0 if self.side > 0 else self.slack) + self.frame

    @property
    def reading(self) -> float:
        """Return what the dial reads, in judged parts, whole turns included."""
        if self.shown_at is None:
            return math.nan
        return self.slide.rise * (self.screw - self.shown_at) / self.slide.count

    def direction(self, way: Way) -> int:
        """Return +1 if winding a way takes the tool the plus way, else -1."""
        return 1 if way == self.slide.plus else -1

    def turn_to(self, reading: float) -> None:
        """Wind until the dial reads so; the slide follows as far as it is pushed."""
        assert self.shown_at is not None
        self._screw_to(self.shown_at + self.slide.rise * reading * self.slide.count)

    def drawn_to(self, direction: int, reading: float) -> None:
        """Be drawn along, the handle dragged behind, until the dial reads so."""
        assert self.shown_at is not None
        self.screw = self.shown_at + self.slide.rise * reading * self.slide.count
        self.tool = self.screw if direction < 0 else self.screw + self.slack
        self.at_face = 0

    def touch(self, way: Way, place: float) -> None:
        """Wind a way until the tool touches something that stands at a place of the frame."""
        direction = self.direction(way)
        if self.frame is None:
            self.frame = place - self.tool
        self.tool = place - self.frame
        self.screw = self.tool if direction > 0 else self.tool - self.slack
        self.at_face = direction

    def begin_at_zero(self, direction: int) -> None:
        """Be wound in a direction until the slack is out, and have the ring set to 0 there."""
        self.side = direction
        self.tool = self.screw if direction > 0 else self.screw + self.slack
        self.frame = -self.tool
        self.set_ring(0.0)
        self.zeroed = True
        self.at_face = 0

    def meet_stop(self, way: Way) -> None:
        """Wind a way until the slide meets its stop."""
        assert self.stopped_at is not None
        self.tool = self.stopped_at
        self.screw = self.tool if self.direction(way) > 0 else self.tool - self.slack
        self.at_face = 0

    def run_off(self, way: Way) -> None:
        """Wind a way by more than a turn, uncounted: where the tool is then nobody knows."""
        self._screw_to(self.screw + self.direction(way) * (self.slide.per_turn + self.slack))
        self.forget()

    def forget(self) -> None:
        """Lose the zero and the place."""
        self.shown_at = None
        self.frame = None
        self.zeroed = False

    def stops_at(self, way: Way, passes: int, dial: int) -> int | None:
        """Return the reading at which hands stop that wind a way until a figure shows.

        By a dial they let 0 pass so often before. None if they would have to turn back for it.
        """
        rising = way == self.slide.rising
        if not self.slide.readout:
            turn = self.slide.counts_per_turn
            return hands_stop_at(self.reading, passes, dial, rising=rising, turn=turn)
        judged = math.floor(self.reading + 0.5)
        return dial if (dial >= judged if rising else dial <= judged) else None

    def set_ring(self, reading: float) -> None:
        """Turn the ring so that the dial reads so where the screw stands."""
        self.stated = None
        self.astray = False
        self.shown_at = self.screw - self.slide.rise * reading * self.slide.count

    def _screw_to(self, screw: float) -> None:
        """Turn the screw to a place and push the slide along."""
        self.screw = screw
        self.tool = min(max(self.tool, screw), screw + self.slack)


def hands_stop_at(start: float, passes: int, dial: int, *, rising: bool, turn: int) -> int | None:
    """Return the reading at which hands stop that let 0 pass so often and then look for a figure.

    Hands count the 0 on which they stop but not the one on which they start. None if they would
    have to turn back for it.

    >>> hands_stop_at(0, 5, 0, rising=True, turn=100)
    500
    >>> hands_stop_at(30, 1, 95, rising=False, turn=100)
    -5
    >>> hands_stop_at(42, 0, 30, rising=True, turn=100) is None
    True
    """
    judged = math.floor(start + 0.5)
    if rising:
        stop = (judged // turn + passes) * turn + dial
        return stop if stop >= judged else None
    last_zero = math.ceil(judged / turn) - passes
    stop = last_zero * turn if dial == 0 else (last_zero - 1) * turn + dial
    return stop if stop <= judged else None
