"""The plan: the blank from above with what is wanted, what holds it, and what the cutters do."""

from __future__ import annotations

import math
from typing import NamedTuple

from pathgen.job.job import Keepout
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from postprocessors.drawing.dimensions import FIRST, STACK, Dimension, draw_stack, stacked
from postprocessors.drawing.marks import (
    arrowhead,
    cross,
    datum_triangle,
    flag,
    hatch,
    leader,
    place_label,
    zero_mark,
    zigzag,
)
from postprocessors.drawing.paths import Edge, Work, chains
from postprocessors.drawing.scale import Units, View
from postprocessors.drawing.scene import Extent, Scene, cutting_plane, plan_of
from postprocessors.drawing.sheet import (
    ADJACENT,
    CENTRE,
    HEAVY,
    HIDDEN,
    LABEL,
    NARROW,
    SMALL,
    WIDE,
    Box,
    Lettering,
    Pen,
    Point,
    Sheet,
    box_of,
    width_of,
    written,
)

# One pattern a pass, told apart in black and white; after the sixth they come round again.
PATTERNS: tuple[tuple[float, ...], ...] = (
    (3.5, 1.0),
    (1.2, 0.8),
    (5.0, 0.8, 1.2, 0.8),
    (0.4, 0.7),
    (4.0, 0.8, 0.9, 0.8, 0.9, 0.8),
    (8.0, 1.5),
)
MARK_ZONE = 9.0  # room beside the plan for the ends of the cutting plane, mm
LEAST_ARROWED = 5.0  # a stretch shorter than this on the sheet carries no arrow, mm
LEAST_CUTTER = 0.8  # a cutter's radius on the sheet below which its circle is left out, mm


class Margins(NamedTuple):
    """Room about a window, mm on the sheet."""

    left: float
    top: float
    right: float
    bottom: float


class Stacks(NamedTuple):
    """The dimensions about the plan, in rows from the view outwards."""

    left: list[list[Dimension]]
    top: list[list[Dimension]]
    right: list[list[Dimension]]
    bottom: list[list[Dimension]]


def pattern(index: int) -> Pen:
    """Return the line of a pass, counted from 0 among those that cut across."""
    return Pen(NARROW.width, PATTERNS[index % len(PATTERNS)])


def sheet_box(view: View, extent: Extent) -> Box:
    """Return the rectangle on the sheet of a rectangle of the part."""
    left, bottom = view.at(extent.low_across, extent.low_up)
    right, top = view.at(extent.high_across, extent.high_up)
    return Box(left, top, right, bottom)


def sized(units: Units, size: Size, nominal: float) -> str:
    """Return a size as a dimension has it: with its own limits, or bare under the general tolerance.

    >>> sized(Units("mm"), Size(nominal=10.0, low=9.9, high=10.1, basis="own limits"), 10.0)
    '10 ±0.1'
    """
    words = units.number(nominal)
    if size.basis != "own limits":
        return words
    up, down = size.high - size.nominal, size.nominal - size.low
    if math.isclose(up, down, abs_tol=1e-6):
        return f"{words} ±{units.number(up)}"
    over, under = units.number(up), units.number(-down)
    return f"{words} {'' if over == '0' else '+'}{over}/{under}"


def dimensions(scene: Scene, view: View) -> Stacks:
    """Return the dimensions of all slots, each figure once, stacked by side."""
    sides: tuple[list[Dimension], ...] = ([], [], [], [])
    left, top, right, bottom = sides
    for slot in scene.slots:
        along, across = _from_datum(scene, view, slot)
        own_along, own_across = _own_sizes(scene, view, slot)
        level = slot.along == "x"
        bottom.extend(along if level else across)
        left.extend(across if level else along)
        top.extend(own_along if level else own_across)
        right.extend(own_across if level else own_along)
    return Stacks(*(stacked(_once(side)) for side in sides))


def _once(found: list[Dimension]) -> list[Dimension]:
    """Leave out repeats, and those that would measure nothing."""
    kept = {(round(d.low, 3), round(d.high, 3), d.words): d for d in reversed(found)}
    return [each for each in kept.values() if each.high - each.low > 1e-3]


def _from_datum(scene: Scene, view: View, slot: Slot) -> tuple[list[Dimension], list[Dimension]]:
    """Return the dimensions from the datums: of the ends, and of the centre line."""
    units = scene.units
    along = [
        _between(view, slot, (0.0, end), units.number(abs(end)))
        for end in (slot.low_end, slot.high_end)
    ]
    words = units.number(abs(slot.centre_line))
    if slot.across.basis == "own limits":
        half = (slot.across.high - slot.across.low) / 2
        words = f"{words} ±{units.number(half)}"
    return along, [_beside(view, slot, (0.0, slot.centre_line), words)]


def _own_sizes(scene: Scene, view: View, slot: Slot) -> tuple[list[Dimension], list[Dimension]]:
    """Return the dimensions of the length and of the width."""
    length = sized(scene.units, slot.length, slot.high_end - slot.low_end)
    width = sized(scene.units, slot.width, slot.width.nominal)
    half = slot.width.nominal / 2
    walls = (slot.centre_line - half, slot.centre_line + half)
    return (
        [_between(view, slot, (slot.low_end, slot.high_end), length)],
        [_beside(view, slot, walls, width)],
    )


def _between(view: View, slot: Slot, ends: tuple[float, float], words: str) -> Dimension:
    """Return a dimension along a slot, its extension lines starting at the centre line."""
    places = [view.at(*slot.point(end, slot.centre_line)) for end in ends]
    starts = [view.at(*slot.point(end, 0.0 if end == 0.0 else slot.centre_line)) for end in ends]
    return _dimension(places, starts, words, upright=slot.along == "y")


def _beside(view: View, slot: Slot, places: tuple[float, float], words: str) -> Dimension:
    """Return a dimension across a slot: extension lines from the end that lies nearer to the line."""
    from_datum = places[0] == 0.0
    radius = 0.0 if slot.open_low or slot.open_high else slot.width.nominal / 2
    end = slot.low_end if from_datum else slot.high_end - radius
    ends = (0.0 if from_datum else end, end)
    both = [view.at(*slot.point(at, place)) for at, place in zip(ends, places, strict=True)]
    return _dimension(both, both, words, upright=slot.along == "x")


def _dimension(places: list[Point], starts: list[Point], words: str, *, upright: bool) -> Dimension:
    """Return a dimension between two places of the sheet, in order along the line."""
    along, across = (1, 0) if upright else (0, 1)
    pairs = sorted(
        (place[along], start[across]) for place, start in zip(places, starts, strict=True)
    )
    (low, from_low), (high, from_high) = pairs
    return Dimension(
        low=low, high=high, from_low=from_low, from_high=from_high, words=words, upright=upright
    )


def margins(scene: Scene, scale: float) -> Margins:
    """Return the room that the plan's dimensions and marks need about its window."""
    view = View(scale, 0.0, 0.0)
    window = sheet_box(view, scene.plan_window(scale))
    stacks = dimensions(scene, view)
    level = [d.reach for row in (*stacks.top, *stacks.bottom) for d in row]
    upright = [d.reach for row in (*stacks.left, *stacks.right) for d in row]
    left = max([0.0, *(window.left - low for low, _ in level)])
    right = max([0.0, *(high - window.right for _, high in level)])
    top = max([0.0, *(window.top - low for low, _ in upright)])
    bottom = max([0.0, *(high - window.bottom for _, high in upright)])
    return Margins(
        max(left, MARK_ZONE + 2 + _room(stacks.left, 6.0)) + 1,
        max(top, 4.0, FIRST + 5.0 + STACK * (len(stacks.top) - 1) if stacks.top else 0.0) + 1,
        max(right, MARK_ZONE + 2 + _room(stacks.right, 6.0)) + 1,
        max(bottom, 4.0, FIRST + 2.5 + STACK * (len(stacks.bottom) - 1) + 1) + 1,
    )


def _room(rows: list[list[Dimension]], first: float) -> float:
    """Return the room of upright dimension lines beyond the marks of the cutting plane."""
    return first + STACK * (len(rows) - 1) + 3.0 if rows else 0.0


def draw_plan(sheet: Sheet, view: View, scene: Scene, within: Box) -> None:
    """Draw the plan in its place; lettering that can be moved stays within a box."""
    window = sheet_box(view, scene.plan_window(view.scale))
    place = {
        "data_scale": f"{view.scale:g}",
        "data_zero": f"{written(view.left)} {written(view.foot)}",
    }
    with sheet.group("plan", **place):
        for keepout in scene.setup.hold.keepouts:
            _draw_keepout(sheet, view, scene, keepout)
        sheet.rectangle(sheet_box(view, scene.plan_blank()), WIDE)
        with sheet.group("wanted"):
            for slot in scene.slots:
                sheet.path(slot_path(view, slot), HEAVY, "slot")
                _centre_line(sheet, view, slot)
        with sheet.clipped(window.grown(0.4)):
            _draw_holes(sheet, view, scene)
            for index, work in enumerate(scene.mills):
                _draw_work(sheet, view, work, index)
        _draw_dimensions(sheet, view, scene, window)
        _plane_ends(sheet, view, scene, window)
    _label_all(sheet, view, scene, within)


def _draw_dimensions(sheet: Sheet, view: View, scene: Scene, window: Box) -> None:
    """Draw the stacked dimensions on the four sides."""
    stacks = dimensions(scene, view)
    beside = MARK_ZONE + 6.0
    draw_stack(sheet, stacks.top, window.top - FIRST, -1)
    draw_stack(sheet, stacks.bottom, window.bottom + FIRST, 1)
    draw_stack(sheet, stacks.left, window.left - beside + 1.5, -1)
    draw_stack(sheet, stacks.right, window.right + beside, 1)


def _label_all(sheet: Sheet, view: View, scene: Scene, within: Box) -> None:
    """Write what can be moved out of the way: zero, faces, holes, jaws, findings."""
    zero_mark(sheet, view.at(0.0, 0.0), within)
    _draw_datums(sheet, view, scene, within)
    _number_holes(sheet, view, scene, within)
    for keepout in scene.setup.hold.keepouts:
        _name_keepout(sheet, view, scene, (keepout, within))
    window = scene.plan_window(view.scale)
    for number, (x, y) in flags(scene):
        shown = min(max(x, window[0]), window[2]), min(max(y, window[1]), window[3])
        flag(sheet, view.at(*shown), number, within)


def flags(scene: Scene) -> list[tuple[str, tuple[float, float]]]:
    """Return the numbers of the findings that have a place, those at one place together."""
    found: dict[tuple[float, float], list[str]] = {}
    for number, finding in enumerate(scene.findings, start=1):
        if finding.at is not None and all(math.isfinite(each) for each in finding.at[:2]):
            place = round(finding.at[0], 2), round(finding.at[1], 2)
            found.setdefault(place, []).append(str(number))
    return [(_short(numbers), place) for place, numbers in found.items()]


def _short(numbers: list[str]) -> str:
    """Return a few numbers in a row; of many the first and the last."""
    return ",".join(numbers) if len(numbers) < 4 else f"{numbers[0]}...{numbers[-1]}"


def slot_path(view: View, slot: Slot) -> str:
    """Return a slot's outline in true proportion, left open where the slot runs out of the blank."""
    radius = slot.width.nominal / 2
    low = slot.low_end + (0.0 if slot.open_low else radius)
    high = slot.high_end - (0.0 if slot.open_high else radius)
    near, far = slot.centre_line - radius, slot.centre_line + radius
    corners = [(low, near), (high, near), (high, far), (low, far)]
    a, b, c, d = (_pair(view.at(*slot.point(*corner))) for corner in corners)
    # Along x the round ends bulge with the sense 0 of SVG; along y the outline is mirrored.
    sweep = 0 if slot.along == "x" else 1
    on_sheet = written(radius * view.scale)
    arc = f"A{on_sheet},{on_sheet} 0 0 {sweep} "
    over_high = f"M{c}" if slot.open_high else f"{arc}{c}"
    over_low = "" if slot.open_low else f"{arc}{a}"
    return f"M{a}L{b}{over_high}L{d}{over_low}"


def _pair(point: Point) -> str:
    return f"{written(point[0])},{written(point[1])}"


def _centre_line(sheet: Sheet, view: View, slot: Slot) -> None:
    """Draw the centre line at both ends of a slot; within it the cutter's ways take its place."""
    beyond, into = 4.0 / view.scale, 1.5 / view.scale
    for end, sign in ((slot.low_end, -1), (slot.high_end, 1)):
        start = view.at(*slot.point(end - sign * into, slot.centre_line))
        sheet.line(start, view.at(*slot.point(end + sign * beyond, slot.centre_line)), NARROW)


def _draw_keepout(sheet: Sheet, view: View, scene: Scene, keepout: Keepout) -> None:
    """Draw a jaw, clamp or parallel: hatched, or only its hidden outline if the blank covers it."""
    window = scene.plan_window(view.scale)
    whole, shown = plan_of(keepout), plan_of(keepout).common(window)
    if shown.empty:
        return
    box = sheet_box(view, shown)
    with sheet.group("keepout"):
        if not scene.seen_from_above(keepout):
            sheet.rectangle(box, HIDDEN)
            return
        for part in _uncovered(scene, keepout, shown):
            sheet.lines(hatch(sheet_box(view, part), -1), NARROW)
        cut = [a != b for a, b in zip(whole, shown, strict=True)]
        draw_outline(sheet, box, (cut[0], cut[3], cut[2], cut[1]))


def draw_outline(sheet: Sheet, box: Box, cut: tuple[bool, bool, bool, bool]) -> None:
    """Draw a box's sides (left, top, right, bottom): break lines where it goes on beyond."""
    left, top, right, bottom = box
    sides = (
        ((left, bottom), (left, top)),
        ((left, top), (right, top)),
        ((right, top), (right, bottom)),
        ((right, bottom), (left, bottom)),
    )
    for (start, end), broken in zip(sides, cut, strict=True):
        if broken:
            zigzag(sheet, start, end)
        else:
            sheet.line(start, end, ADJACENT)


def _uncovered(scene: Scene, keepout: Keepout, shown: Extent) -> list[Extent]:
    """Return the parts of a box that lie open to the eye from above, as rectangles."""
    blank = scene.plan_blank()
    if keepout.high[2] > scene.low[2] + 1e-6:
        return [shown]
    x0, y0, x1, y1 = shown
    low, high = max(y0, blank[1]), min(y1, blank[3])
    parts = [
        Extent(x0, y0, x1, min(y1, blank[1])),
        Extent(x0, max(y0, blank[3]), x1, y1),
        Extent(x0, low, min(x1, blank[0]), high),
        Extent(max(x0, blank[2]), low, x1, high),
    ]
    return [part for part in parts if not part.empty]


def _name_keepout(sheet: Sheet, view: View, scene: Scene, named: tuple[Keepout, Box]) -> None:
    """Write the name of a jaw, clamp or parallel on it, or beside it with a leader."""
    keepout, within = named
    shown = plan_of(keepout).common(scene.plan_window(view.scale))
    if shown.empty:
        return
    box = sheet_box(view, shown)
    x, y = box.centre
    width = width_of(keepout.name, SMALL)
    places = [
        (x + share * max(0.0, box.width - width - 3), y + SMALL / 2)
        for share in (0.0, 0.25, -0.25, 0.45, -0.45)
    ]
    written_at = place_label(sheet, keepout.name, places, within)
    if not box.meets(written_at):
        leader(sheet, written_at, box.centre)


def _draw_holes(sheet: Sheet, view: View, scene: Scene) -> None:
    """Draw every hole to size with a cross at its centre."""
    with sheet.group("holes"):
        for work in scene.works:
            for hole in work.holes:
                sheet.circle(view.at(hole.x, hole.y), work.radius * view.scale, NARROW, "drilled")
        widest = max([work.radius for work in scene.works if work.holes], default=0.0)
        for x, y in scene.holes:
            cross(sheet, view.at(x, y), min(1.2, max(0.5, widest * view.scale)), NARROW)


def _number_holes(sheet: Sheet, view: View, scene: Scene, within: Box) -> None:
    """Number the holes in the order of drilling; of very many only every 2nd, 5th, 10th."""
    holes = scene.holes
    room = sum(_length_of(slot) * view.scale for slot in scene.slots) + 40.0
    needed = width_of("00", SMALL) + 1.5
    step = next((each for each in (1, 2, 5, 10, 20, 50) if len(holes) / each * needed <= room), 100)
    for number, (x, y) in enumerate(holes, start=1):
        if number in (1, len(holes)) or number % step == 0:
            _number_hole(sheet, view, scene, (str(number), (x, y), within))


def _length_of(slot: Slot) -> float:
    return slot.high_end - slot.low_end


def _number_hole(
    sheet: Sheet, view: View, scene: Scene, what: tuple[str, tuple[float, float], Box]
) -> None:
    """Write one hole's number beside its slot, as near as there is room, and lead to the hole."""
    words, place, within = what
    x, y = view.at(*place)
    slot = next((s for s in scene.slots if _holds(s, place)), None)
    half = (slot.width.nominal / 2 if slot else 0.0) * view.scale + 1.5
    upright = slot is not None and slot.along == "y"
    places = []
    for away in (half, half + 4.0, half + 8.0):
        for shift in (0.0, 2.0, -2.0, 4.0, -4.0, 6.0, -6.0):
            side = away + width_of(words, SMALL) / 2
            places += (
                [(x + side, y + SMALL / 2 + shift), (x - side, y + SMALL / 2 + shift)]
                if upright
                else [(x + shift, y - away), (x + shift, y + away + SMALL)]
            )
    free = [p for p in places if sheet.free(box_of(p, words, LABEL).grown(0.35), within)]
    box = place_label(sheet, words, (free or places)[:1], within)
    leader(sheet, box, (x, y))


def _holds(slot: Slot, place: tuple[float, float]) -> bool:
    along, across = place if slot.along == "x" else place[::-1]
    inside = slot.low_end <= along <= slot.high_end
    return inside and abs(across - slot.centre_line) <= slot.width.nominal / 2


def _draw_work(sheet: Sheet, view: View, work: Work, index: int) -> None:
    """Draw one pass: the ways of the cutter's axis, which way it cuts, and the cutter once."""
    pen = pattern(index)
    with sheet.group("pass", data_cutter=work.name, data_cuts=str(work.cuts)):
        for chain in chains(work.edges):
            sheet.polyline([view.at(*place) for place in chain], pen)
        arrowed = [e for e in work.edges if _on_sheet(view, e) >= LEAST_ARROWED]
        longest = sorted(work.edges, key=lambda e: -_on_sheet(view, e))[:1]
        for edge in arrowed or longest:
            _arrows(sheet, view, edge, index)
        first = chains(work.edges)[0] if index % 2 == 0 else chains(work.edges)[-1][::-1]
        if work.radius * view.scale >= LEAST_CUTTER:
            sheet.circle(view.at(*first[0]), work.radius * view.scale, pen, "cutter")


def _on_sheet(view: View, edge: Edge) -> float:
    return math.dist(edge.start, edge.end) * view.scale


def _arrows(sheet: Sheet, view: View, edge: Edge, index: int) -> None:
    """Draw an arrowhead for each way a stretch is cut, set off from those of other passes."""
    start, end = view.at(*edge.start), view.at(*edge.end)
    share = 0.35 + 0.12 * (index % 3)
    for on, at, sign in ((edge.forth, share, 1), (edge.back, 1 - share, -1)):
        if on:
            tip = (start[0] + at * (end[0] - start[0]), start[1] + at * (end[1] - start[1]))
            arrowhead(sheet, tip, (sign * (end[0] - start[0]), sign * (end[1] - start[1])), 2.2)


def _draw_datums(sheet: Sheet, view: View, scene: Scene, within: Box) -> None:
    """Mark the faces that are touched for the zeros of x and y."""
    blank = scene.plan_blank()
    x = blank[0] + min(0.2 * (blank[2] - blank[0]), 14.0 / view.scale)
    y = blank[1] + 0.72 * (blank[3] - blank[1])
    faces = {
        "left": ((blank[0], y), (-1.0, 0.0)),
        "right": ((blank[2], y), (1.0, 0.0)),
        "front": ((x, blank[1]), (0.0, 1.0)),
        "back": ((x, blank[3]), (0.0, -1.0)),
    }
    for letter, datum in (("X", scene.setup.datum_x), ("Y", scene.setup.datum_y)):
        for face in datum.faces:
            if face in faces:
                foot, outward = faces[face]
                datum_triangle(sheet, view.at(*foot), outward, letter, within)


def _plane_ends(sheet: Sheet, view: View, scene: Scene, window: Box) -> None:
    """Mark the ends of the cutting plane A-A, seen from the front, on both sides of the plan."""
    _, y = view.at(0.0, cutting_plane(scene))
    for edge, sign in ((window.left, -1), (window.right, 1)):
        sheet.line((edge + sign * 1.0, y), (edge + sign * 3.5, y), CENTRE)
        sheet.line((edge + sign * 3.5, y), (edge + sign * 7.5, y), HEAVY)
        foot = (edge + sign * 6.5, y)
        sheet.line((foot[0], y + 6.0), foot)
        arrowhead(sheet, foot, (0.0, -1.0))
        at = (edge + sign * 6.5, y + 10.0)
        sheet.text(at, "A", Lettering(3.5, "middle", backed=True, bold=True))
