"""The drawing of a flat piece on the faceplate: from the tailstock, and cut through its end."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.units import spoken
from pathgen.job.faceplate import FaceplateHold, Flat, Segment
from pathgen.job.held_on import KeepOut, held_on, keep_outs
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.moves.moves import Feed, Rapid
from pathgen.moves.plan import Run
from pathgen.shop.machines import Machine
from postprocessors.drawing.scale import SCALES, Extent, View, scale_name, sheet_box
from postprocessors.drawing.sheet import (
    ADJACENT,
    CENTRE,
    HEAVY,
    HIDDEN,
    LABEL,
    NARROW,
    WIDE,
    Box,
    Lettering,
    Point,
    Sheet,
)

FACE = Box(15.0, 30.0, 165.0, 180.0)  # room of the view from the tailstock, mm on the sheet
SECTION = Box(180.0, 40.0, 282.0, 140.0)
UNDER = 30.0  # mm under a rounded end that the section shows
OVER = 8.0  # mm over the corners, and beside what holds the work
CHORDS = 40  # of a drawn arc
TITLE = Lettering(bold=True)
SMALL = Lettering(2.5)
LABEL_OFF = 7.0  # mm on the sheet from the cut end to the middle of the words on its piece
LABEL_DOWN = 1.0  # from that middle down to the line that they stand on
ROW = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """What is drawn: the piece, how it lies, what is turned on it."""

    job: TurnedJob
    setup: TurnedSetup
    flat: Flat
    hold: FaceplateHold
    segment: Segment
    about: tuple[KeepOut, ...]

    @property
    def plate(self) -> float:
        """Return how far from the axis the plate reaches, mm."""
        return max(x for each in self.about if each.code == "faceplate" for _, x in each.corners)

    @property
    def corner(self) -> float:
        """Return how far from the axis the corners of the end are that is cut, mm."""
        return self.flat.furthest(self.hold.end_at)

    @property
    def furthest(self) -> float:
        """Return how far from the axis anything reaches, mm."""
        return max(self.plate, self.hold.furthest(self.flat))

    def say(self, length: float) -> str:
        """Return a length in the job's units."""
        return spoken(length, self.job.units)


def draw_on_faceplate(job: TurnedJob, setup: TurnedSetup, run: Run, machine: Machine) -> str:
    """Return both views as SVG on an A4 sheet."""
    (segment,) = (each for each in setup.features if isinstance(each, Segment))
    assert job.flat is not None, "nothing else lies on a faceplate"
    assert isinstance(setup.hold, FaceplateHold)
    piece = _Piece(
        job=job,
        setup=setup,
        flat=job.flat,
        hold=setup.hold,
        segment=segment,
        about=keep_outs(job, setup, held_on(setup, machine)),
    )
    sheet = Sheet()
    _face(sheet, piece)
    _section(sheet, piece, run)
    _words(sheet, piece, machine)
    return sheet.svg(f"{job.title}: {setup.name}")


def _fitting(size: tuple[float, float], room: Box) -> float:
    """Return the largest usual scale at which something of a size, mm, has room."""
    most = min(room.width / size[0], room.height / size[1])
    return next((scale for scale in SCALES if scale <= most), most)


def _face(sheet: Sheet, piece: _Piece) -> None:
    """Draw the plate from the tailstock: the work's end up, the piece opposite down."""
    out = piece.furthest
    scale = _fitting((2 * out, 2 * out), FACE)
    view = View(scale, *FACE.centre)
    middle = view.at(0.0, 0.0)
    with sheet.group("jaws"):
        sheet.circle(middle, scale * piece.plate, ADJACENT)
        for each in (piece.hold.clamps_to, piece.hold.packing_to):
            sheet.circle(middle, scale * each, HIDDEN)
    with sheet.group("wanted"):
        for length, up in ((piece.flat.length, 1), (piece.hold.dummy, -1)):
            _lying(sheet, view, piece, length, up)
    for across, rise in ((out, 0.0), (0.0, out)):
        sheet.line(view.at(-across, -rise), view.at(across, rise), CENTRE)
    radius, behind = piece.segment.radius.middle, -piece.segment.beyond
    for words, up in (("work", 1), ("opposite", -1)):
        middle_up = up * (radius + behind * LABEL_OFF / scale)
        sheet.text(view.at(0.0, middle_up - LABEL_DOWN / scale), words, LABEL)
    foot = (FACE.left, FACE.bottom + ROW)
    sheet.text(foot, f"From the tailstock, {scale_name(scale)}; dashed: clamps, packing", SMALL)


def _lying(sheet: Sheet, view: View, piece: _Piece, length: float, up: int) -> None:
    """Draw one piece: as it is sawn, and its end as it is turned."""
    half, end = piece.flat.width / 2, piece.hold.end_at
    radius = piece.segment.radius.middle
    back = end - piece.segment.beyond * length
    sawn = [(-half, back), (-half, end), (half, end), (half, back), (-half, back)]
    sheet.polyline([view.at(x, up * y) for x, y in sawn], NARROW)
    angle = math.asin(half / radius)
    turns = [angle * (2 * each / CHORDS - 1) for each in range(CHORDS + 1)]
    arc = [(radius * math.sin(turn), radius * math.cos(turn)) for turn in turns]
    sides = [(half, back), (-half, back), arc[0]]
    sheet.polyline([view.at(x, up * y) for x, y in arc], HEAVY)
    sheet.polyline([view.at(x, up * y) for x, y in (arc[-1], *sides)], WIDE)


def _section(sheet: Sheet, piece: _Piece, run: Run) -> None:
    """Draw the cut through the end along the axis: work, what is near it, where the tool went."""
    hold, flat, radius = piece.hold, piece.flat, piece.segment.radius.middle
    hollow = piece.segment.hollow
    window = Extent(
        -flat.thickness - hold.packing - OVER,
        hold.end_at - OVER if hollow else radius - UNDER,
        hold.clamps_high + OVER,
        max(hold.furthest(flat) + OVER, piece.plate),
    )
    size = (window.high_across - window.low_across, window.high_up - window.low_up)
    scale = _fitting(size, SECTION)
    view = View(
        scale, SECTION.left - scale * window.low_across, SECTION.top + scale * window.high_up
    )
    with sheet.clipped(sheet_box(view, window).grown(0.4)):
        with sheet.group("jaws"):
            for each in piece.about:
                corners = [*each.corners, each.corners[0]]
                sheet.polyline([view.at(z, x) for z, x in corners], ADJACENT)
        with sheet.group("blank"):
            came = Extent(-flat.thickness, hold.inner, 0.0, hold.furthest(flat))
            sheet.rectangle(sheet_box(view, came), NARROW)
        with sheet.group("passes"):
            for start, end in _cuts(run):
                sheet.line(view.at(*start), view.at(*end), NARROW)
        with sheet.group("wanted"):
            inner, outer = (radius, hold.end_at + flat.length) if hollow else (0.0, radius)
            wanted = Extent(-flat.thickness, inner, 0.0, outer)
            sheet.rectangle(sheet_box(view, wanted), HEAVY)
    foot = (SECTION.left, sheet_box(view, window).bottom + ROW)
    sheet.text(foot, f"Through the end, {scale_name(scale)}; the axis is below", SMALL)


def _cuts(run: Run) -> Iterator[tuple[Point, Point]]:
    """Yield where the tool's point went cutting, from z and x to z and x, mm."""
    at = (math.nan, math.nan)
    for item in run.items:
        if isinstance(item, Rapid | Feed):
            to = (
                at[0] if math.isnan(item.z) else item.z,
                at[1] if math.isnan(item.x) else item.x,
            )
            if isinstance(item, Feed) and not math.isnan(sum(at) + sum(to)):
                yield at, to
            at = to


def _words(sheet: Sheet, piece: _Piece, machine: Machine) -> None:
    """Write what it is, and the sizes by which it is laid and cut."""
    job, hold, say = piece.job, piece.hold, piece.say
    size = piece.segment.radius
    sheet.text((FACE.left, 15.0), f"{job.title}: {piece.setup.name}", TITLE)
    flat = f"{say(piece.flat.length)} x {say(piece.flat.width)} x {say(piece.flat.thickness)}"
    sheet.text((FACE.left, 22.0), f"{machine.title}; {job.blank.material} flat, {flat}", SMALL)
    way, over = ("in", "between the") if hold.hollow else ("out", "over both")
    rows = [
        f"{piece.segment.name}: R {say(size.nominal)}, {say(size.low)} to {say(size.high)}",
        f"measured {over} pieces: {say(2 * size.low)} to {say(2 * size.high)}",
        f"sawn ends {say(hold.end_at)} from the axis",
        f"corners {say(piece.corner)} from the axis",
        f"packing {say(hold.packing)} thick, {way} to {say(hold.packing_to)}",
        f"clamps {way} to {say(hold.clamps_to)}, {say(hold.clamps_high)} high",
    ]
    if hold.counter is not None:
        rows.append(f"counterweights {say(hold.counter.at)} from the axis")
    if hold.hollow:
        rows.insert(1, f"{say(piece.segment.depth.nominal)} deep over {say(piece.flat.width)}")
    for number, words in enumerate(rows):
        sheet.text((SECTION.left, 162.0 + ROW * number), words, SMALL)
