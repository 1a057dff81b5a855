"""What a sheet says of screw-cutting: the wheels, the half-nuts, a cut along the thread."""

from __future__ import annotations

from postprocessors.dials import steps
from postprocessors.dials.faces import figures
from postprocessors.dials.steps import Sheet

Screwing = steps.WheelsStep | steps.HalfNutsStep | steps.ThreadStep


def said_of_screwing(step: Screwing, sheet: Sheet, dial: tuple[int, int]) -> list[str]:
    """Return what a step of screw-cutting says.

    Args:
        step: the step.
        sheet: its sheet.
        dial: teeth and marks of the thread dial that was set last; 0 where it is not looked at.
    """
    match step:
        case steps.WheelsStep():
            return _wheels(step)
        case steps.HalfNutsStep():
            return _nuts(step)
        case steps.ThreadStep():
            return _cut(step, sheet, dial)


def _wheels(step: steps.WheelsStep) -> list[str]:
    """Return which wheels are put up."""
    pairs = [f"{a} drives {b}" for a, b in zip(step.wheels[::2], step.wheels[1::2], strict=True)]
    lines = [
        f"PUT UP the change wheels, from the spindle on: {'; on its stud '.join(pairs)}",
        (
            "machine isolated; the last on the leadscrew, an idler where one is wanted so that the"
            f" carriage goes {_way(step.left_hand)}; a lead of {step.lead:.4f} mm"
        ),
        (
            "prove it before the tool cuts: ten turns of the chuck by hand, half-nuts closed, take"
            f" the carriage {10 * step.lead:.2f} mm by a rule"
        ),
    ]
    if step.dial_teeth:
        lines.append(
            f"the thread dial with its wheel of {step.dial_teeth} teeth, {step.dial_marks} marks"
        )
    return lines


def _way(left_hand: bool) -> str:  # noqa: FBT001 - as the step says it
    """Return which way the carriage goes, the spindle forward."""
    return "AWAY FROM the chuck" if left_hand else "towards the chuck"


def _nuts(step: steps.HalfNutsStep) -> list[str]:
    """Return what becomes of the half-nuts for good."""
    if step.closed:
        return [
            "CLOSE the half-nuts, and LEAVE THEM CLOSED until a step says otherwise",
            (
                "no mark of the thread dial brings the tool back into its groove: opened once, the"
                " thread is lost"
            ),
            (
                "spindle stopped, and so it stays until a pass starts it; where they do not drop"
                " in, turn the chuck by hand until they do"
            ),
        ]
    return ["OPEN the half-nuts", "the thread is done"]


def _cut(step: steps.ThreadStep, sheet: Sheet, dial: tuple[int, int]) -> list[str]:
    """Return how one pass goes, or the way back with the spindle reversed."""
    of = sheet.dial(step.along)
    there = figures.whole_figure(of, step.reading)
    place = f"{figures.shown_place(of, step.place)} {of.units}"
    reads = f"the {step.along} reads {there} (z {place}), its handle turning with it"
    if step.nuts == "reversed":
        return [
            (
                f"REVERSE the spindle, {step.rpm:g} rev/min, the tool clear of the thread, until"
                f" {reads}"
            ),
            "stop it there, and let it stand; the half-nuts stay closed",
        ]
    marks = _marks(step.every, dial[1], step.first)
    begin = (
        f"close the half-nuts as {marks} of the thread dial comes to its line"
        if step.nuts == "dial"
        else f"start the spindle forward, {step.rpm:g} rev/min, the half-nuts closed already"
    )
    last = "open the half-nuts" if step.nuts == "dial" else "stop the spindle"
    return [
        f"THREAD {_way(step.left_hand)} until {reads}",
        f"{begin}; hands off the {step.along}",
        f"there AT ONCE wind the tool clear of the thread, as the next step has it, and {last}",
    ]


def _marks(every: int, marks: int, first: int = 1) -> str:
    """Return at which marks the half-nuts may be closed.

    >>> _marks(1, 8), _marks(4, 8), _marks(8, 8), _marks(4, 8, first=3)
    ('any mark', 'mark 1 or 5', 'mark 1, and always 1,', 'mark 3 or 7')
    """
    if every <= 1:
        return "any mark"
    named = [str(each) for each in range((first - 1) % every + 1, marks + 1, every)]
    if len(named) == 1:
        return f"mark {named[0]}, and always {named[0]},"
    return f"mark {', '.join(named[:-1])} or {named[-1]}"
