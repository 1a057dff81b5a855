"""What a replay compares a sheet's dials with, and the actions that its plain steps are."""

from __future__ import annotations

from typing import TypeAlias, assert_never

from pathgen.moves.actions import Action, Clamp, Coolant, Dwell, Note, Pause, Spindle
from pathgen.shop.slides import Slide
from postprocessors.dials import steps

Plain: TypeAlias = (
    steps.ClampStep
    | steps.NoteStep
    | steps.SpindleStep
    | steps.CoolantStep
    | steps.PauseStep
    | steps.DwellStep
)  # a step without slides

REWRITE = "write the sheet again for the machine as it is"


def changes(dial: steps.Dial, slide: Slide | None) -> list[str]:
    """Return in what a machine's slide differs from the dial that a sheet was written for."""
    if slide is None:
        return [f"no slide {dial.slide!r} any more"]
    pairs = {
        "axis": (dial.axis, slide.axis),
        "travel for a turn": (dial.per_turn, slide.per_turn),
        "divisions": (dial.divisions, slide.divisions),
        "judged part": (dial.judged, slide.judged),
        "plus way": (dial.plus, slide.plus),
        "rising way": (dial.rising, slide.rising),
        "slack": (dial.slack, slide.slack),
        "spread of the slack": (dial.slack_spread, slide.slack_spread),
        "lock": (dial.lock, slide.lock),
        "least step of the readout": (dial.readout, slide.readout),
        "error of the readout's scale": (dial.scale_error, slide.scale_error),
        "way of setting the readout": (dial.preset, slide.preset),
        "ring": (dial.resettable, slide.resettable),
        "units of the dial": (dial.units, slide.dial_units),
        "kind of reading": (dial.diameter_reading, slide.diameter_reading),
    }
    return [
        f"{dial.slide}: {what} was {written}, is {now}"
        for what, (written, now) in pairs.items()
        if written != now
    ]


def as_action(step: Plain) -> Action:
    """Return the action that a step without slides is."""
    match step:
        case steps.ClampStep():
            return Clamp(lines=step.lines)
        case steps.NoteStep():
            return Note(text=step.text, caution=step.caution)
        case steps.SpindleStep():
            return Spindle(rpm=step.rpm)
        case steps.CoolantStep():
            return Coolant(kind=step.coolant)
        case steps.PauseStep():
            return Pause(reason=step.reason)
        case steps.DwellStep():
            return Dwell(seconds=step.seconds)
        case _:
            assert_never(step)
