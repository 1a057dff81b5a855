"""What a program says in comments, in a form that is read back: form 1.

The first comment is ``(pathgen program, form 1)``. Then, one comment each::

    (title: TEXT) (digest: WORD) (setup: TEXT) (machine: TEXT)
    (crib: TEXT)                           where the cutters are from; may be left out
    (begins at pass: NUMBER)               where work goes on after a stop; may be left out
    (found: LENGTH, QUANTITY)              what was measured and is reckoned with; may be left out
    (cutter NUMBER: LENGTH, NAME)          the diameter as measured; one for each cutter

Later comments stand for what a person does. A record is a first comment and its details, in this
order; a LENGTH is a decimal number, a blank, and ``mm`` or ``in``::

    (hold)                                       (line: TEXT) ...
    (fit to touch: LENGTH, NAME)                 the diameter of the end that touches, 0: it swings
    (zero AXIS: within LENGTH)                   (touch ...) (term ...) ... (why: TEXT)
    (measure NAME: LENGTH, from LENGTH to LENGTH, by cutter|setting|touch|spring|nothing)
                                                 (what: TEXT) (advice: TEXT)
    (note: TEXT) or (caution: TEXT)
    (touch FACE[ of FEATURE]: going plus|minus, radius LENGTH, paper LENGTH, at LENGTH,
      spindle still|at NUMBER, with TOOL)        FACE is "centre" where an indicator is swung
                                                 a depth: at LENGTH, over x LENGTH y LENGTH, spindle
    (term: LENGTH, LABEL)                        the terms of the sum that gives the touch its place

A lathe program says in its head besides what its X is, ``(x words: radius|diameter)``; a FACE of
its touches is ``outside`` or ``right end``, and ``(stop, zero x by NAME: within LENGTH)`` stands
for a zero that is set by the diameter that was measured; with ``zero z by NAME less LENGTH`` the
tool stands as far off as what was measured is longer.

A programmed stop stands for what the record before it says, whose first comment then begins with
``stop,``: ``(stop, zero z: within 0.02 mm)``. Stops have these records besides::

    (stop, fit cutter NUMBER)
    (stop, speed NUMBER)                         rev/min, to be set by hand
    (stop, coolant off|mist|flood)               to be turned by hand
    (stop, pause)                                (reason: TEXT)
    (stop, tilt NUMBER deg to the left|right, within NUMBER deg: NAME)
    (stop, sweep of cutter NUMBER: LENGTH over LENGTH, looks outwards|inwards, within LENGTH)
    (stop, turn work from NUMBER to NUMBER deg, NUMBER deg a minute, cutting|clear: NAME)
    (stop, touch with LENGTH within LENGTH: NAME)      a boring head's tool against a wall so wide
    (stop, set LENGTH within LENGTH, out NUMBER: NAME) its dial out by so many divisions
                                                 (dial: LENGTH a division, NUMBER judged)
                                                 (follows: NAME from LENGTH)

What is shown at the stop says the same, as `messages` has it; a reader holds the two together.
All other comments begin with ``--``. One that heads a pass, ``-- PURPOSE, FEATURE: WHY``, is
compared with what is cut under it; the rest are for people only.
"""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import (
    Clamp,
    FitTouching,
    Measure,
    Note,
    SetDiameter,
    Touch,
    Zero,
)
from pathgen.moves.plan import Head
from postprocessors.gcode.comments import clean
from postprocessors.gcode.numbers import Grid

FORM = "pathgen program, form 1"


def head_texts(head: Head, grid: Grid) -> Iterator[str]:
    """Yield the comments of the head, in order, not yet broken into lines."""
    yield FORM
    for key, text in (
        ("title", head.title),
        ("digest", head.digest),
        ("setup", head.setup),
        ("machine", head.machine),
    ):
        yield f"{key}: {clean(text)}".rstrip()
    if head.crib:
        yield f"crib: {clean(head.crib)}"
    if head.begins_at:
        yield f"begins at pass: {head.begins_at}"
    for found in head.found:
        yield f"found: {grid.finely(found.value)}, {clean(found.quantity)}"
    for cutter in head.cutters:
        yield f"cutter {cutter.number}: {grid.finely(cutter.diameter)}, {clean(cutter.name)}"


def clamp_texts(clamp: Clamp) -> Iterator[str]:
    """Yield the record of a clamping."""
    yield "hold"
    for line in clamp.lines:
        yield f"line: {clean(line)}"


def touching_text(fit: FitTouching, grid: Grid) -> str:
    """Return the record of what is put into the spindle to find the zeros."""
    return f"fit to touch: {grid.finely(fit.diameter)}, {clean(fit.name)}"


def zero_texts(zero: Zero, grid: Grid) -> Iterator[str]:
    """Yield the record of a zeroing, with the sum of each touch term by term."""
    yield f"zero {zero.axis}: within {grid.finely(zero.uncertainty)}"
    for touch in zero.touches:
        yield _touch_text(touch, grid)
        for term in touch.terms:
            yield f"term: {grid.spoken(term.value)}, {clean(term.label)}"
    if zero.why:
        yield f"why: {clean(zero.why)}"


def _touch_text(touch: Touch, grid: Grid) -> str:
    """Return the record's line for one touch; its place is what is typed into the control."""
    way = "plus" if touch.towards > 0 else "minus"
    of = f" of {clean(touch.of)}" if touch.of else ""
    over = ""
    if touch.over is not None:
        over = f" over x {grid.spoken(touch.over[0])} y {grid.spoken(touch.over[1])},"
    return (
        f"touch {touch.face}{of}: going {way}, radius {grid.finely(touch.radius)},"
        f" paper {grid.finely(touch.paper)}, at {grid.spoken(touch.at)},{over}"
        f" spindle {f'at {touch.rpm:.0f}' if touch.rpm else 'still'}, with {clean(touch.tool)}"
    )


def measure_texts(measure: Measure, grid: Grid) -> Iterator[str]:
    """Yield the record of a measurement."""
    yield (
        f"measure {clean(measure.name)}: {grid.finely(measure.expected)},"
        f" from {grid.finely(measure.low)} to {grid.finely(measure.high)}, by {measure.found_by}"
    )
    yield f"what: {clean(measure.what)}"
    if measure.advice:
        yield f"advice: {clean(measure.advice)}"


def setting_texts(setting: SetDiameter, grid: Grid) -> Iterator[str]:
    """Yield the record of a boring head's setting; its divisions are rounded already."""
    size = f"{grid.finely(setting.diameter)} within {grid.finely(setting.uncertainty)}"
    if setting.touched:
        yield f"touch with {size}: {clean(setting.head)}"
    else:
        yield f"set {size}, out {divisions(setting)}: {clean(setting.head)}"
    yield f"dial: {grid.finely(setting.per_division)} a division, {setting.judged:g} judged"
    if setting.follows:
        yield f"follows: {clean(setting.follows)} from {grid.finely(setting.expected)}"


def divisions(setting: SetDiameter) -> str:
    """Return by how many divisions a head is turned, as few figures as its judged part wants.

    >>> divisions(SetDiameter(head="H", diameter=20.0, per_division=0.02, judged=0.5,
    ...     uncertainty=0.01, turned=14.5))
    '14.5'
    """
    return f"{setting.turned:.3f}".rstrip("0").rstrip(".")


def note_text(note: Note) -> str:
    """Return the comment for a note or a caution."""
    return f"{'caution' if note.caution else 'note'}: {clean(note.text)}"
