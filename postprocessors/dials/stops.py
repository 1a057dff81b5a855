"""The stop on a lathe's bed: set where a slide stands, and run against again and again."""

from __future__ import annotations

import math

from pathgen.moves.actions import SetStop
from postprocessors.dials import steps
from postprocessors.dials.comparing import REWRITE
from postprocessors.dials.hands import Hands
from postprocessors.dials.slides_in_play import SlideInPlay

PAST = 1e-6  # mm


def follow_stop(hands: Hands, step: steps.StopStep) -> None:
    """Set the stop where the slide truly stands, or take it away."""
    slide = hands.slide(step.slide)
    if slide is None:
        return
    if step.slide != hands.carriage_stop:
        hands.record.trouble("machine-changed", f"the {step.slide} has no stop", REWRITE)
    slide.stopped_at = None if step.away else slide.tool
    hands.record.put(SetStop(slide=step.slide, away=step.away))


def wind_to_stop(hands: Hands, slide: SlideInPlay, step: steps.WindStep) -> None:
    """Wind until the slide meets its stop; its dial then shows what the sheet says, nearly."""
    if slide.stopped_at is None:
        hands.record.trouble(
            "stop", f"the {step.slide} is wound to a stop that is not set", "set it first"
        )
        return
    if (slide.stopped_at - slide.tool) * slide.direction(step.way) < -PAST:
        hands.record.trouble(
            "wrong-way",
            f"{step.way} the {step.slide} goes away from its stop",
            "wind the other way",
        )
        return
    slide.meet_stop(step.way)
    off = abs(math.floor(slide.reading + 0.5) - step.reading)
    if off > 1:
        hands.record.trouble(
            "figure",
            f"at its stop the {step.slide} reads {off} judged parts off the sheet's figure",
            "set the stop where the sheet has it",
        )


def look_at_the_stop(hands: Hands, slide: SlideInPlay, start: float) -> None:
    """Record a slide that would have to go through its stop, from where it stood before, mm."""
    if slide.stopped_at is None:
        return
    if (start - slide.stopped_at) * (slide.tool - slide.stopped_at) < 0 and (
        abs(slide.tool - slide.stopped_at) > slide.slide.count
    ):
        hands.record.trouble(
            "stop",
            f"the {slide.slide.name} is wound past the stop that it runs against",
            "take the stop away first",
        )
