"""What a printed sheet says of a slide that is swung to the angle of a taper."""

from __future__ import annotations

from pathgen.input.units import Units
from postprocessors.dials import steps
from postprocessors.dials.faces import figures
from postprocessors.dials.steps import Dial, Sheet

SQUARE = 90.0
MINUTES = 60
STEEP = 45.0  # degrees from the axis: a slide that stands steeper cuts no taper, but a thread


def said_of_swinging(step: steps.SwingStep, sheet: Sheet) -> list[str]:
    """Return how a slide is swung, what proves it, and where its dial is set to 0."""
    dial = sheet.dial(step.slide)
    return [
        *(_by_what_was_found(step, sheet.units) if step.measure else _to_the_angle(step)),
        *_proved(step, dial, sheet.units),
        (
            f"then wind the {step.slide} to the right, so far that it has its whole way towards the"
            f" chuck before it; half a turn on it {_inwards(dial)}, and SET ITS DIAL to 0 there"
        ),
    ]


def _to_the_angle(step: steps.SwingStep) -> list[str]:
    """Return to which angle it is swung, by either kind of scale."""
    angle = abs(step.angle_deg)
    way = "OUT, away from the axis," if step.angle_deg > 0 else "IN, towards the axis,"
    bar = step.angle_deg < 0 and angle < STEEP  # that of a taper in a bore
    stands = "bar would lie along" if bar else "tool stands square to"
    return [
        (
            f"SWING   the {step.slide} so that towards the chuck it takes the tool {way}"
            f" {degrees(angle)} from the axis"
        ),
        (
            f"spindle stopped; its scale then shows {angle:.2f} where its 0 lies along the axis,"
            f" {SQUARE - angle:.2f} where it lies square to it; turn the tool post back until the"
            f" {stands} the axis again, its point at the height of the axis{_why(angle)}"
        ),
    ]


def _why(angle: float) -> str:
    """Return why, or how, the tool is set so, by the angle from the axis."""
    if angle > STEEP:
        return ", by a thread gauge laid along the work"
    return ": too low or too high, the taper comes out too slow"


def _by_what_was_found(step: steps.SwingStep, units: Units) -> list[str]:
    """Return by how much the angle is put right."""
    return [
        (
            f"SWING   the {step.slide} by what {step.measure} was found to be off: nip it lightly,"
            " and tap it round"
        ),
        (
            f"{step.measure} found ________ - {figures.size(step.expected, units)} = ________;"
            f" x {step.factor:.3f} = ________ {units} for the indicator"
        ),
    ]


def _proved(step: steps.SwingStep, dial: Dial, units: Units) -> list[str]:
    """Return how an indicator proves the angle."""
    turns = f"{step.over / dial.per_turn:g} turns" if not dial.readout else "so much"
    over = f"over {figures.both_sizes(step.over, units)} of the {step.slide} ({turns})"
    at = "against a diameter that was turned"
    must = f"it must show {figures.both_sizes(abs(step.rise), units)} at the end"
    must += ", its foot come out" if step.rise > 0 else ", its foot pressed in"
    if step.against != "turned":
        inside = step.against == "bored taper"
        at = "against the taper as it was roughed" + (", in the bore" if inside else "")
        plus, minus = ("pressed in", "come out") if inside else ("come out", "pressed in")
        must = (
            "as the slide stood it showed no change; it must show the figure worked out above,"
            f" its foot {plus} with a plus, {minus} with a minus"
        )
    return [
        (
            f"PROVE IT by an indicator held by the tool post, its foot {at}, at the height of the"
            f" axis: wound towards the chuck {over}, started half a turn before, {must}"
        ),
        (
            f"it is off by {step.uncertainty_deg:.3f} degrees at most then; nip it hard, and read"
            " the indicator once more"
        ),
    ]


def _inwards(dial: Dial) -> str:
    """Return which way the dial's handle is wound towards the chuck."""
    return "anticlockwise" if dial.plus == "clockwise" else "clockwise"


def degrees(angle: float) -> str:
    """Return an angle in degrees and minutes.

    >>> degrees(2.3859), degrees(1.999), degrees(5.0)
    ('2 degrees 23 minutes', '2 degrees', '5 degrees')
    """
    whole, minutes = divmod(round(angle * MINUTES), MINUTES)
    return f"{whole} degrees" + (f" {minutes} minutes" if minutes else "")
