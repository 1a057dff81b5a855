"""What a printed sheet says of a boring head: where it touches, how far its dial goes out."""

from __future__ import annotations

from pathgen.input.units import Units
from postprocessors.dials.faces import figures
from postprocessors.dials.steps import SetHeadStep

FEWEST = 4  # decimals of a judged part that are looked for


def head_lines(step: SetHeadStep, units: Units) -> tuple[str, ...]:
    """Return the lines of one setting, the first of them for its row."""
    return _touch(step, units) if step.touched else _out(step, units)


def _touch(step: SetHeadStep, units: Units) -> tuple[str, ...]:
    """Return how its tool is brought to the wall."""
    diameter, open_ = (figures.size(each, units) for each in (step.diameter, step.uncertainty))
    division = figures.size(step.per_division, units)
    return (
        f"SET HEAD  the {step.head}: OUT until its tool touches the wall",
        "spindle off; turn it by hand, backwards, until the tool just marks the wall all round",
        f"there it is set to {diameter}, as wide as the hole, give or take {open_}",
        f"dial shows: ________ ; a division more is {division} more of DIAMETER",
    )


def _out(step: SetHeadStep, units: Units) -> tuple[str, ...]:
    """Return how far the dial goes out from where it stands."""
    shown, cuts = divisions(step, step.out), figures.both_sizes(step.diameter, units)
    turning = "only outwards; if overrun, in by half a turn and out again; then nip its screws"
    head = f"SET HEAD  the {step.head}: OUT"
    if not step.measure:
        return (
            f"{head} {shown} divisions from where it stands",
            f"it then cuts {cuts}",
            turning,
            _dial_line(),
        )
    goal = figures.size(step.expected + step.base * step.count, units)
    per = figures.size(step.per_division, units).removesuffix(f" {units}")
    total = f"({goal} - {step.measure} found ________ ) : {per} = ________ divisions"
    return (
        f"{head} ________ divisions from where it stands",
        f"{total}, to the nearest {step.judged:g}",
        f"with {step.measure} just as expected: {shown}; it then cuts {cuts}",
        turning,
        _dial_line(),
    )


def _dial_line() -> str:
    return "dial shows before: ________ ; after: ________"


def divisions(step: SetHeadStep, parts: int) -> str:
    """Return judged parts as divisions, with as few decimals as the judged part wants."""
    return figures.fixed(parts * step.judged, figures.decimals_of(step.judged, FEWEST))
