"""What stands beside the section of turned work: what is wanted, the passes, its title."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from postprocessors.drawing.found import finding_entries
from postprocessors.drawing.frame import TitleRows, spoken_units
from postprocessors.drawing.half_balls import rows_of_balls
from postprocessors.drawing.half_grooves import rows_of_grooves
from postprocessors.drawing.half_inside import rows_inside
from postprocessors.drawing.half_knurls import rows_of_knurls
from postprocessors.drawing.half_outside import rows_of_edges
from postprocessors.drawing.half_scene import HalfScene
from postprocessors.drawing.half_threads import threads
from postprocessors.drawing.lettering import ACROSS, SMALL, wrapped
from postprocessors.drawing.notes import Entry, heading
from postprocessors.drawing.scale import scale_name
from postprocessors.drawing.strip import Stage

SIGNS = (
    "Above the axis as it is cut: hatched close, what is left; hatched wide, what goes, with the"
    " number of the pass. Below it as it is wanted. Dash and two dots: the bar as it comes, jaws."
)
FROM = "Lengths are from the faced end."


def half_entries(scene: HalfScene, stages: Sequence[Stage], width: float) -> list[Entry]:
    """Return the notes of a drawing of turned work, wrapped to a width."""

    def plain(words: str) -> Entry:
        return Entry("plain", 0, wrapped(words, width, SMALL))

    found = [heading("HOW IT IS DRAWN"), plain(f"{SIGNS} {FROM}")]
    wanted = list(_wanted(scene))
    if wanted:
        found += [heading("WANTED"), *(plain(words) for words in wanted)]
    if stages:
        found.append(heading("PASSES IN ORDER"))
        found += [plain(f"{each.number}. {each.title}; {each.cutter}") for each in stages]
    return [*found, *finding_entries(scene.findings, width)]


def _wanted(scene: HalfScene) -> Iterator[str]:
    """Yield what the section shows that a dimension does not say."""
    say = scene.units.number
    for name, right, left, outer, _ in threads(scene.setup):
        yield f"Thread {name}, {say(right - left)} long, on {ACROSS}{say(2 * outer)}"
    for name, across, start, end in rows_inside(scene.setup):
        to = "through the part" if math.isinf(end) else f"{say(start)} to {say(end)} deep"
        yield f"{name}: {ACROSS}{say(across)}, {to}"
    units = scene.job.units
    for words, start, end in (
        *rows_of_grooves(scene.setup, units),
        *rows_of_knurls(scene.setup, units),
    ):
        yield f"{words}, {say(start)} to {say(end)}"
    yield from rows_of_balls(scene.setup, scene.job.units)
    for edge, shape in rows_of_edges(scene.setup, scene.job.units):
        face = -edge.face
        filed = edge.file_to_line
        by_file = f"; filed to the line, at most {say(filed)}" if filed is not None else ""
        yield f"{edge.name}: {shape}, {say(face)} to {say(face + edge.along)}{by_file}"


def half_title(scene: HalfScene, scale: float) -> TitleRows:
    """Return what the title block says, row by row."""
    job, number = scene.job, scene.units.number
    size = f"{ACROSS}{number(job.blank.diameter)} \N{MULTIPLICATION SIGN} "
    size += number(job.blank.length)
    return (
        (("Part", job.title), ("Setup", scene.setup.name), ("Machine", scene.machine)),
        (
            ("Blank", size),
            ("Material", job.blank.material),
            ("Lengths in", spoken_units(job.units)),
        ),
        (
            ("View", "section through the axis"),
            ("Scale", scale_name(scale)),
            ("Limits not stated", f"ISO 2768-1 {job.tolerance_class}"),
        ),
    )
