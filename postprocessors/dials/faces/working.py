"""What a sheet says of the slides that are worked by, and of touching inside and on the axis."""

from __future__ import annotations

from pathgen.moves.moves import Axis
from postprocessors.dials import steps
from postprocessors.dials.steps import Dial, Sheet

NIPPED = "spindle off; turn the work by hand until the paper between is nipped"


def on_axis(sheet: Sheet) -> set[int]:
    """Return the numbers of the tools that are held in a lathe's tailstock."""
    found: set[int] = set()
    alone = False
    for step in sheet.steps:
        if isinstance(step, steps.WorkByStep):
            alone = all(sheet.dial(name).axis == "z" for name in step.slides)
        elif isinstance(step, steps.FitStep) and alone:
            found.add(step.cutter)
    return found


def said_of_working(step: steps.WorkByStep, sheet: Sheet) -> list[str]:
    """Return which slides are worked by, and for inside work which way it comes to size."""
    dials = [sheet.dial(name) for name in step.slides]
    idle = [dial.slide for dial in sheet.dials if dial.slide not in step.slides]
    lines = [f"WORK BY the {' and the '.join(step.slides)} from here on"]
    if not any(dial.axis == "x" for dial in dials):
        lines.append(
            "the tool post wound well clear of it; the tailstock brought up and clamped to the bed"
            " with its quill nearly in, so that the quill goes as deep as the steps say"
        )
    if idle:
        lines.append(f"the {' and the '.join(idle)} locked and not touched meanwhile")
    if idle and not step.outwards and len(dials) > 1:
        along = next(dial.slide for dial in dials if dial.axis == "z")
        lines.append(
            f"the {along} first wound well to the right, so that it has room towards the chuck"
        )
    if step.outwards:
        lines += [_outwards(dial) for dial in dials if dial.axis == "x"]
    return lines


def _outwards(dial: Dial) -> str:
    """Return how inside work comes to size on a dial that goes across."""
    back = "clockwise" if dial.plus == "anticlockwise" else "anticlockwise"
    return (
        f"INSIDE WORK: the bore grows as the tool goes OUT ({dial.plus}), its figures the other way"
        f" than in outside work. Come to every size GOING OUT; overrun, go {back} past it and come"
        " out again"
    )


def said_of_stop(step: steps.StopStep) -> list[str]:
    """Return how the stop on the bed is set, or taken away."""
    if step.away:
        return [f"TAKE AWAY the stop of the {step.slide} from the bed"]
    return [
        f"SET THE STOP on the bed against the {step.slide} where it stands; nip it",
        (
            "try it: off and up to it again by hand, the dial shows the same; a stop never ends a"
            " power feed: that is disengaged short of it"
        ),
    ]


def ways_of_touching_inside(step: steps.TouchStep, axis: Axis) -> list[str]:
    """Return how to touch the wall of a bore, or the end beside it, in words.

    Where there is paper between, the work is hollow for a part of the turn only.
    """
    if step.paper:
        return [_where_hollowed(axis), NIPPED]
    if axis == "z":
        return [
            "beside the bore, on the work's right end",
            "work turning; slowly, until the tool just marks it",
        ]
    where = "just inside the bore's mouth" if step.face == "bore" else f"in the {step.face}"
    return [
        (f"{where}, the other handle by eye; see that the bar's far side is clear of the wall"),
        f"work turning; slowly out, until the {step.tool} just marks the wall",
    ]


def _where_hollowed(axis: Axis) -> str:
    """Return where work is touched whose end is turned to the axis."""
    if axis == "z":
        return "the face of the work, at the x where the tool stands"
    return (
        "where the end comes nearest to the axis, the point within its thickness, the other handle"
        " by eye; see that the bar's far side and its holder are clear"
    )


def ways_of_touching_on_axis(step: steps.TouchStep, axis: Axis) -> list[str]:
    """Return how what is held in the tailstock touches, in words."""
    del axis  # there is but one
    where = "on the middle of the work's right end"
    if step.face_at < 0:
        where = "in the mouth of the hole, its lips on the rim"
    return [where, f"work turning; slowly, until the {step.tool} just marks it"]
