"""What stands beside the views: the legend of the passes, findings, heights, the title block."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from pathgen.job.chamfer import Chamfer
from postprocessors.drawing.area_words import in_full as area_in_full
from postprocessors.drawing.area_words import limited
from postprocessors.drawing.gone import gone_words
from postprocessors.drawing.lettering import SMALL, shortened, width_of, wrapped
from postprocessors.drawing.marks import cross
from postprocessors.drawing.plan_holes import in_full
from postprocessors.drawing.plan_view import pattern
from postprocessors.drawing.scale import scale_name
from postprocessors.drawing.scene import Scene
from postprocessors.drawing.sheet import NARROW, WIDE, Box, Lettering, Point, Sheet
from postprocessors.drawing.spheres import setting_words, sphere_in_full

LINE = 4.2  # from one line to the next, mm
AFTER = 1.2  # after an entry
SWATCH = 13.0  # room for a pass's line pattern
MOST_HOLES = 24  # more are not listed one by one
READ_TO = 0.1  # mm that a hole may be off by how dials are read and zeros touched
SAME_HEIGHT = 5e-4  # mm
Mark = Literal["heading", "cut", "drilled", "finding", "plain"]


class Entry(NamedTuple):
    """An entry of the notes: its mark, which pass or finding it stands for, its lines."""

    mark: Mark
    which: int
    lines: tuple[str, ...]

    @property
    def height(self) -> float:
        """Return the height it takes, mm."""
        return LINE * len(self.lines) + AFTER


def entries(scene: Scene, width: float) -> list[Entry]:
    """Return the notes of a drawing, wrapped to a width: what is wanted and what is done."""
    found = [*_wanted(scene, width), *_spheres(scene, width), *_gone(scene, width)]
    if scene.works:
        found += [_heading("PASSES IN ORDER"), *_passes(scene, width)]
    if scene.findings:
        found.append(_heading("FINDINGS"))
        for number, finding in enumerate(scene.findings):
            words = f"{finding.code}: {finding.what}"
            found.append(Entry("finding", number, wrapped(words, width - SWATCH, SMALL)))
    found.append(_heading("BENEATH THE BLANK"))
    found.append(Entry("plain", 0, wrapped(beneath(scene), width, SMALL)))
    if scene.holes:
        found.append(_heading("HOLES FROM THE ZERO: x, y"))
        found.append(Entry("plain", 0, wrapped(_holes(scene), width, SMALL)))
    return found


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
    rows = (("AREAS WANTED", areas), ("HOLES WANTED", found), ("CHAMFERS WANTED", edges))
    return [entry for words, row in rows if row for entry in (_heading(words), *row)]


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
        heading = _heading(f"{sphere.form.upper()} WANTED")
        found += [heading, *(Entry("plain", 0, wrapped(each, width, SMALL)) for each in words)]
    return found


def _gone(scene: Scene, width: float) -> list[Entry]:
    """Return what is gone before the setup, in one entry."""
    words = gone_words(scene)
    if not words:
        return []
    told = wrapped(f"{'; '.join(words)}. Narrow lines, broken where hidden.", width, SMALL)
    return [_heading("GONE BEFORE"), Entry("plain", 0, told)]


def _heading(words: str) -> Entry:
    return Entry("heading", 0, (words,))


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


def height_in(found: list[Entry], columns: int) -> float:
    """Return the least height, mm, at which entries find room in so many columns."""
    blocks = [sum(each.height for each in block) for block in _blocks(found)]
    low = max([*blocks, sum(blocks) / columns])
    while _columns(blocks, low) > columns:
        low += LINE
    return low


def _blocks(found: list[Entry]) -> list[list[Entry]]:
    """Return entries in blocks that stay together: a heading with what comes first under it."""
    blocks: list[list[Entry]] = []
    for each in found:
        if blocks and blocks[-1][-1].mark == "heading":
            blocks[-1].append(each)
        else:
            blocks.append([each])
    return blocks


def _columns(blocks: list[float], height: float) -> int:
    """Return how many columns blocks of some heights fill at a height."""
    count, used = 1, 0.0
    for each in blocks:
        if used + each > height + SAME_HEIGHT and used:
            count, used = count + 1, 0.0
        used += each
    return count


def draw_notes(sheet: Sheet, found: list[Entry], box: Box, columns: int) -> None:
    """Write the notes into a box in columns; say how many had no room."""
    width, blocks = box.width / columns, _blocks(found)
    column, y = 0, box.top
    for index, block in enumerate(blocks):
        height = sum(each.height for each in block)
        if y + height > box.bottom + SAME_HEIGHT and y > box.top and column < columns - 1:
            column, y = column + 1, box.top
        left = box.left + width * column
        line = 0.0 if column < columns - 1 or index == len(blocks) - 1 else LINE
        if y + height + line > box.bottom + SAME_HEIGHT:
            words = f"and {sum(map(len, blocks[index:]))} more notes: no room here"
            sheet.text((left, y + SMALL), words, Lettering(SMALL, bold=True))
            return
        for each in block:
            _draw_entry(sheet, each, (left, y))
            y += each.height


def _draw_entry(sheet: Sheet, each: Entry, left_top: Point) -> None:
    """Write one entry with its mark."""
    x, y = left_top[0], left_top[1] + SMALL
    middle = y - SMALL / 2
    plain = each.mark in ("heading", "plain")
    for line, words in enumerate(each.lines):
        at = (x if plain else x + SWATCH, y + LINE * line)
        sheet.text(at, words, Lettering(SMALL, bold=each.mark == "heading"))
    if each.mark == "cut":
        sheet.line((x, middle), (x + SWATCH - 2, middle), pattern(each.which))
    elif each.mark == "drilled":
        sheet.circle((x + 5, middle), 1.6, NARROW)
        cross(sheet, (x + 5, middle), 0.8)
    elif each.mark == "finding":
        number = str(each.which + 1)
        half = width_of(number, SMALL) / 2 + 0.6
        sheet.text((x + 5, y), number, Lettering(SMALL, "middle"))
        sheet.rectangle(Box(x + 5 - half, y - SMALL - 0.7, x + 5 + half, y + 0.7), WIDE)


def draw_title_block(sheet: Sheet, scene: Scene, box: Box, scale: float) -> None:
    """Draw the title block: three rows of three cells."""
    job, setup, number = scene.job, scene.setup, scene.units.number
    blank = job.blank
    size = " \N{MULTIPLICATION SIGN} ".join(
        number(v) for v in (blank.length, blank.width, blank.thickness)
    )
    rows = (
        (("Part", job.title), ("Setup", setup.name), ("Machine", scene.machine)),
        (("Blank", size), ("Material", blank.material), ("Lengths in", _units(job.units))),
        (
            ("Views", "plan; section A\N{EN DASH}A from the front"),
            ("Scale of the plan", scale_name(scale)),
            ("Limits not stated", f"ISO 2768-1 {job.tolerance_class}"),
        ),
    )
    widths = (0.42, 0.29, 0.29)
    height = box.height / len(rows)
    sheet.rectangle(box, WIDE)
    for row, cells in enumerate(rows):
        left = box.left
        for share, (caption, words) in zip(widths, cells, strict=True):
            cell = Box(
                left, box.top + row * height, left + share * box.width, box.top + (row + 1) * height
            )
            sheet.rectangle(cell, NARROW)
            tall = 3.5 if caption == "Part" else SMALL
            _draw_cell(sheet, cell, caption, (words, tall))
            left += share * box.width


def _units(units: str) -> str:
    return "inches" if units == "in" else "millimetres"


def _draw_cell(sheet: Sheet, cell: Box, caption: str, what: tuple[str, float]) -> None:
    """Write a caption and its words on one line, shortened to the cell."""
    words, height = what
    foot = cell.centre[1] + height / 2
    sheet.text((cell.left + 1.5, foot), caption, Lettering(SMALL))
    start = cell.left + 1.5 + width_of(caption, SMALL) + 2.5
    room = (cell.right - start - 1.0) / (1.1 if height > SMALL else 1.0)
    bold = height > SMALL
    sheet.text((start, foot), shortened(words, room, height), Lettering(height, bold=bold))
