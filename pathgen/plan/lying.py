"""How the blank lies in a setup, in words, and how its zeros follow from those before."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pathgen.input.units import Units, spoken
from pathgen.job.frame import AXIS_NAMES, OUTWARD, AxisName, Face, Frame, Lie
from pathgen.job.job import Job, JobSetup
from pathgen.moves.actions import Note

SAME = 1e-9  # two places that differ by less are one, mm


def lying_lines(job: Job, setup: JobSetup) -> Iterator[str]:
    """Yield how the blank is marked and laid, where it lies otherwise than described at all."""
    if all(each.lie.upright for each in job.setups):
        return
    if setup.name == job.setups[0].name:
        yield _marks(job)
    yield f"{_laid(setup.lie)}{_turned(job, setup)}."
    yield f"It stands on the face marked {setup.lie.faces(2)[0]}: no burr, no chip under it."


def _marks(job: Job) -> str:
    """Return how the faces of the blank are marked."""
    blank, units = job.blank, job.units
    return (
        "Mark all six faces with a pen before anything else: "
        f"{spoken(blank.length, units)} from left to right, {spoken(blank.width, units)} from "
        f"front to back, {spoken(blank.thickness, units)} from bottom to top."
    )


def _laid(lie: Lie) -> str:
    (left, _), (near, _) = lie.faces(0), lie.faces(1)
    return (
        f"Lay it so: the face marked {lie.up} up, the face marked {near} towards you; the face "
        f"marked {left} is then on your left"
    )


def _turned(job: Job, setup: JobSetup) -> str:
    """Return how it is turned from how it lay in the setup before."""
    before = _before(job, setup)
    if before is None or before.lie == setup.lie:
        return "" if before is None else ", as before"
    old, new = before.lie, setup.lie
    kept = [axis for axis in range(3) if old.ways[axis] == new.ways[axis]]
    half = [axis for axis in range(3) if old.ways[axis] == new.ways[axis].back]
    if len(half) < 2 or not kept:
        return ""
    words = (
        "turned over, its front to the back, left stays on the left",
        "turned over end for end, its left to the right",
        "turned half round, the same face up",
    )
    return f" ({words[kept[0]]})"


def _before(job: Job, setup: JobSetup) -> JobSetup | None:
    """Return the setup before one, None for the first."""
    return next(
        (one for one, other in pairwise(job.setups) if other.name == setup.name),
        None,
    )


# ---------------------------------------------------------------- zeros


def carried_notes(job: Job, setup: JobSetup) -> Iterator[Note]:
    """Yield from which machined faces the zeros are taken, and how they follow from before."""
    stock = job.stock_before(setup)
    for axis in AXIS_NAMES:
        if setup.datum(axis).picked is not None:
            continue
        for face in setup.datum(axis).faces:
            where = stock.machined_in(face)
            if where is not None:
                called = setup.lie.called(face)
                yield Note(text=f"The {called}, from which {axis} is taken, was cut in {where!r}.")
    before = _before(job, setup)
    if before is None or before.frame == setup.frame or setup.set_over is not None:
        return  # of work set over it is said where each slot comes to lie
    yield Note(
        text=f"What lies at x, y, z in setup {before.name!r} lies here at "
        f"{_places(before.frame, setup.frame, job.units)}."
    )
    for axis in AXIS_NAMES:
        yield from _other_faces(job, setup, before, axis)


def _places(old: Frame, new: Frame, units: Units) -> str:
    """Return where a place of one frame lies in another, axis by axis."""
    constant = new.into(old.out_of((0.0, 0.0, 0.0)))
    words = []
    for axis, way in enumerate(new.lie.ways):
        there = next(i for i, each in enumerate(old.lie.ways) if each.axis == way.axis)
        sign = "+" if old.lie.ways[there] == way else "-"
        signed = f"{sign} {AXIS_NAMES[there]}"
        if abs(constant[axis]) < SAME:
            place = signed.removeprefix("+ ").replace(" ", "")
        else:
            place = f"{spoken(constant[axis], units)} {signed}"
        words.append(f"{AXIS_NAMES[axis]} = {place}")
    return ", ".join(words)


def _other_faces(job: Job, setup: JobSetup, before: JobSetup, axis: AxisName) -> Iterator[Note]:
    """Yield the caution that a zero comes from another face than in the setup before."""
    if setup.datum(axis).picked is not None:
        return  # what is picked up has its place from the setup that it is described in
    faces = setup.datum(axis).faces
    other = before.datum(AXIS_NAMES[before.lie.side(faces[0]).axis])
    others = other.faces
    if other.picked is not None or set(faces) == set(others):
        return
    along = OUTWARD[faces[0]].axis
    size = ("length", "width", "thickness")[along]
    box = job.stock_before(setup).box
    yield Note(
        text=f"The zero of {axis} is taken from {_named(faces)} here and from {_named(others)} in "
        f"{before.name!r}: how the two fit together hangs on the blank's {size}, taken as "
        f"{spoken(box.high[along] - box.low[along], job.units)}. Measure it again.",
        caution=True,
    )


def _named(faces: tuple[Face, ...]) -> str:
    if len(faces) == 2:
        return f"the middle of {faces[0]} and {faces[1]}"
    return f"the {faces[0]} face"
