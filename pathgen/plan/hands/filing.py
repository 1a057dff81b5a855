"""Filing to a line: what is scribed before a part is clamped, and filed once it is cut."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.units import figure
from pathgen.job.areas import Outside, Pocket
from pathgen.job.contour import Bend, Contour
from pathgen.job.job import Job, JobSetup
from pathgen.job.on_table import turned_radius
from pathgen.moves.actions import Note
from pathgen.plan.bench import Bench
from pathgen.plan.hands.region import filed_contours, filing, must_file
from pathgen.shop.machines import Machine

MOST_TOLD = 24  # straights and arcs of one contour that are told one by one


def filed_by_hand(setup: JobSetup, machine: Machine) -> tuple[Pocket | Outside, ...]:
    """Return the areas of a setup of which a machine leaves walls to be filed."""
    if machine.interpolates:
        return ()
    return tuple(
        area
        for area in setup.areas
        if isinstance(area, Pocket | Outside)
        and must_file(area)
        and turned_radius(setup, area) is None
    )


def scribing(job: Job, setup: JobSetup, machine: Machine) -> Iterator[Note]:
    """Yield what is scribed on the blank before it is clamped, for walls that are filed."""
    areas = filed_by_hand(setup, machine)
    if not areas:
        return
    names = " and ".join(repr(area.name) for area in areas)
    faces = " and ".join(
        f"the {face} face" for axis in (setup.datum_x, setup.datum_y) for face in axis.faces
    )
    upper = setup.lie.called(setup.lie.up)
    yield Note(
        text=f"Before the blank is clamped, scribe {names} on its {upper}: marking-out dye, lines "
        f"from {faces} by a height gauge, arcs by dividers from a light centre-punch mark. The "
        "lines are what the file goes to, so check each by a rule."
    )
    for area in areas:
        for contour in filed_contours(area):
            yield Note(text=f"Scribe for {area.name}: {_told(contour, job)}.")


def _told(contour: Contour, job: Job) -> str:
    """Return a contour in words, straight by straight and arc by arc."""
    if len(contour.segments) > MOST_TOLD:
        return (
            f"from the drawing it was taken from, {len(contour.segments)} straights and arcs; "
            "glue a print to the blank, or prick it through"
        )

    def place(spot: tuple[float, float]) -> str:
        x, y = (figure(value, job.units) for value in spot)
        return f"x {x} y {y}"

    words = [f"from {place(contour.start)}"]
    for start, segment in contour.legs():
        if isinstance(segment, Bend):
            radius = figure(math.dist(start, segment.centre), job.units)
            words.append(
                f"by an arc of radius {radius} about {place(segment.centre)} to {place(segment.to)}"
            )
        else:
            words.append(f"straight to {place(segment.to)}")
    return ", ".join(words)


def filing_notes(area: Pocket | Outside, bench: Bench) -> Iterator[Note]:
    """Yield how walls are filed that handles have left in steps."""
    if area not in filed_by_hand(bench.setup, bench.machine):
        return
    files = filing(area, bench)
    say = bench.say
    yield Note(
        text=f"File the curved and slanted walls of {area.name} to the scribed line, the part out "
        f"of the machine and in a bench vice with soft jaws: {say(files.least)} stays beside the "
        f"line where the cutter stopped, up to {say(files.granted)} on the ridges between the "
        "stops; the places are those of the steps under 'finish'. File square to the face, try "
        "with a square, and stop when the line is split.",
    )
    yield Note(
        text="A file has a handle on its tang; never file near a turning spindle.", caution=True
    )
