"""What is told beside the views of milled work: what is wanted, the passes, heights, its title."""

from __future__ import annotations

import math

from pathgen.job.chamfer import Chamfer
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from postprocessors.drawing.area_words import in_full as area_in_full
from postprocessors.drawing.area_words import limited
from postprocessors.drawing.found import finding_entries
from postprocessors.drawing.frame import TitleRows, spoken_units
from postprocessors.drawing.gone import gone_words
from postprocessors.drawing.lettering import ACROSS, SMALL, wrapped
from postprocessors.drawing.notes import SAME_HEIGHT, SWATCH, Entry, heading
from postprocessors.drawing.plan_holes import in_full
from postprocessors.drawing.scale import scale_name
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.spheres import setting_words, sphere_in_full

MOST_HOLES = 24  # more are not listed one by one
READ_TO = 0.1  # mm that a hole may be off by how dials are read and zeros touched


def entries(scene: Scene, width: float) -> list[Entry]:
    """Return the notes of a drawing, wrapped to a width: what is wanted and what is done."""
    found = [
        *_set_over(scene, width),
        *_wanted(scene, width),
        *_spheres(scene, width),
        *_gone(scene, width),
    ]
    if scene.works:
        found += [heading("PASSES IN ORDER"), *_passes(scene, width)]
    found += finding_entries(scene.findings, width)
    found.append(heading("BENEATH THE BLANK"))
    found.append(Entry("plain", 0, wrapped(beneath(scene), width, SMALL)))
    if scene.holes:
        found.append(heading("HOLES FROM THE ZERO: x, y"))
        found.append(Entry("plain", 0, wrapped(_holes(scene), width, SMALL)))
    return found


def _set_over(scene: Scene, width: float) -> list[Entry]:
    """Return how the work is set over, which the drawing shows as it lies before."""
    set_over = scene.setup.set_over
    if set_over is None:
        return []
    words = (
        f"{round(abs(set_over.angle_deg), 3):g}\N{DEGREE SIGN} {set_over.way}, seen from above. "
        "Drawn as it lies before that: x and y here are the work's own, those of the "
        "sheet are the slides'."
    )
    return [heading("SET OVER"), Entry("plain", 0, wrapped(words, width, SMALL))]


def _wanted(scene: Scene, width: float) -> list[Entry]:
    """Return what the wanted areas, holes and chamfers are, feature by feature."""
    areas = [
        Entry("plain", 0, wrapped(area_in_full(area, scene.units), width, SMALL))
        for area in scene.areas
    ]
    found = [
        Entry("plain", 0, wrapped(in_full(holes, scene.units), width, SMALL))
        for holes in scene.wanted_holes
    ]
    edges = [
        Entry("plain", 0, wrapped(_chamfer(scene, each), width, SMALL))
        for each in scene.setup.chamfers
    ]
    keyways = [
        Entry("plain", 0, wrapped(_keyway(scene, slot, slot.key.across, slot.depth), width, SMALL))
        for slot in scene.slots
        if slot.key is not None and slot.key.across is not None and slot.depth is not None
    ]
    rows = (
        ("KEYWAYS WANTED", keyways),
        ("AREAS WANTED", areas),
        ("HOLES WANTED", found),
        ("CHAMFERS WANTED", edges),
    )
    return [entry for words, row in rows if row for entry in (heading(words), *row)]


def _keyway(scene: Scene, slot: Slot, across: float, depth: Size) -> str:
    """Return how deep a keyway in a shaft is, from the crown and from the far side."""
    number = scene.units.number
    return (
        f"{slot.name}: {number(depth.low)} to {number(depth.high)} deep from the crown; "
        f"{number(across - depth.high)} to {number(across - depth.low)} from its floor to the "
        "far side"
    )


def _chamfer(scene: Scene, chamfer: Chamfer) -> str:
    """Return a chamfer in words: its width along the face, its angle, whose edge it is."""
    width = limited(scene.units, chamfer.width)
    of = f"edge of {chamfer.of}"
    if chamfer.edges:
        of = f"{', '.join(chamfer.edges)} edge of the blank"
    return f"{chamfer.name}: {width} along the face, {chamfer.angle_deg:g}\N{DEGREE SIGN}, {of}"


def _spheres(scene: Scene, width: float) -> list[Entry]:
    """Return what a dish or dome is, and how a fly cutter is set for it."""
    found = []
    for sphere in scene.spheres:
        words = [sphere_in_full(sphere, scene.units)]
        if scene.tilting is not None:
            words += setting_words(sphere, scene.tilting, scene.units)
        over = heading(f"{sphere.form.upper()} WANTED")
        found += [over, *(Entry("plain", 0, wrapped(each, width, SMALL)) for each in words)]
    return found


def _gone(scene: Scene, width: float) -> list[Entry]:
    """Return what is gone before the setup, in one entry."""
    words = gone_words(scene)
    if not words:
        return []
    told = wrapped(f"{'; '.join(words)}. Narrow lines, broken where hidden.", width, SMALL)
    return [heading("GONE BEFORE"), Entry("plain", 0, told)]


def _passes(scene: Scene, width: float) -> list[Entry]:
    """Return the legend's entries, one a pass."""
    units, found = scene.units, []
    mills = 0
    for count, work in enumerate(scene.works, start=1):
        number = work.order or count
        name, diameter = work.name, units.number(work.diameter)
        counts = ((len(work.holes), "hole"), (work.cuts, "cut"))
        done = [f"{many} {word}{'s' if many > 1 else ''}" for many, word in counts if many]
        depth = f", lowest z {units.number(work.deepest)}" if math.isfinite(work.deepest) else ""
        purpose = f"{work.purpose}: " if work.purpose else ""
        words = f"{number}. {purpose}{name}, \N{LATIN CAPITAL LETTER O WITH STROKE}{diameter}: "
        words += f"{' and '.join(done)}{depth}"
        lines = wrapped(words, width - SWATCH, SMALL)
        found.append(Entry("cut" if work.cuts else "drilled", mills if work.cuts else 0, lines))
        mills += bool(work.cuts)
    return found


def beneath(scene: Scene) -> str:
    """Return what goes on below the underside, in a sentence."""
    units, under = scene.units, scene.low[2]
    parts = []
    for word, which in (("drills", False), ("cutters", True)):
        depths = [w.deepest for w in scene.works if bool(w.cuts) == which]
        below = under - min(depths, default=math.inf)
        if below > SAME_HEIGHT:
            parts.append(f"{word} go {units.number(below)} below the underside")
        elif depths:
            parts.append(f"{word} stay {units.number(-below)} above the underside")
    parts.append(f"air beneath {units.number(scene.setup.hold.beneath)}")
    spare = scene.lowest - scene.bed
    if spare < -SAME_HEIGHT:
        parts[-1] += f", SHORT BY {units.number(-spare)}"
    elif under - scene.lowest > SAME_HEIGHT:
        parts[-1] += f", {units.number(spare)} of it to spare"
    words = "; ".join(parts)
    return f"{words[0].upper()}{words[1:]}. Heights in the section are z, from the zero."


def _holes(scene: Scene) -> str:
    """Return where the holes are, in their order."""
    number = scene.units.number
    places = [_as_wanted(scene, place) for place in scene.holes]
    holes = [f"{i}: {number(x)}, {number(y)}" for i, (x, y) in enumerate(places, start=1)]
    if len(holes) > MOST_HOLES:
        holes = [*holes[: MOST_HOLES - 1], f"and so on to {holes[-1]}"]
    return (
        "; ".join(holes).replace(", ", ",\N{NO-BREAK SPACE}").replace(": ", ":\N{NO-BREAK SPACE}")
    )


def _as_wanted(scene: Scene, place: tuple[float, float]) -> tuple[float, float]:
    """Return where the job wants a hole, if it was made no further off than a dial may be read."""
    wanted = [each.at for holes in scene.wanted_holes for each in holes.places]
    nearest = min(wanted, key=lambda each: math.dist(each, place), default=place)
    return nearest if math.dist(nearest, place) < READ_TO else place


def title_rows(scene: Scene, scale: float) -> TitleRows:
    """Return what the title block says, row by row."""
    job, setup, number = scene.job, scene.setup, scene.units.number
    blank = job.blank
    sides = [number(v) for v in (blank.length, blank.width, blank.thickness)]
    if blank.is_shaft:
        sides = [f"{ACROSS}{sides[1]}", sides[0]]
    size = " \N{MULTIPLICATION SIGN} ".join(sides)
    return (
        (("Part", job.title), ("Setup", setup.name), ("Machine", scene.machine)),
        (("Blank", size), ("Material", blank.material), ("Lengths in", spoken_units(job.units))),
        (
            ("Views", "plan; section A\N{EN DASH}A from the front"),
            ("Scale of the plan", scale_name(scale)),
            ("Limits not stated", f"ISO 2768-1 {job.tolerance_class}"),
        ),
    )
