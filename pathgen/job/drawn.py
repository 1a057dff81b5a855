"""Contours from a layer of a drawing in DXF: its lines and arcs joined to closed contours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from pathgen import INCH
from pathgen.input.where import nearest, quoted
from pathgen.job.contour import Bend, Contour, Segment, Spot, Straight, anticlockwise, circle

if TYPE_CHECKING:
    from ezdxf.document import Drawing

JOIN = 0.01  # mm: ends nearer than this are joined; a drawing's own rounding is far below it
DRAWN_UNITS: dict[int, float] = {1: INCH, 4: 1.0, 5: 10.0, 6: 1000.0}  # $INSUNITS to mm a unit
STATES_UNITS = "AC1015"  # forms of the format older than this cannot state their units
UNIT: dict[str, float] = {"mm": 1.0, "in": INCH}


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of a drawing that is not closed by itself: where it begins, and its segments."""

    start: Spot
    segments: tuple[Segment, ...]

    @property
    def end(self) -> Spot:
        """Return where it ends, mm."""
        return self.segments[-1].to

    def turned(self) -> Piece:
        """Return the same piece the other way round."""
        starts = [self.start, *(segment.to for segment in self.segments)]
        return Piece(
            start=self.end,
            segments=tuple(
                Straight(to=at)
                if isinstance(segment, Straight)
                else Bend(to=at, centre=segment.centre, clockwise=not segment.clockwise)
                for at, segment in zip(starts[-2::-1], self.segments[::-1], strict=True)
            ),
        )


def drawn_contours(path: Path, layer: str, units: Literal["mm", "in"] | None) -> list[Contour]:
    """Return the closed contours on a layer of a DXF file, anticlockwise, the largest first; mm.

    Args:
        path: the file.
        layer: its layer's name.
        units: of the drawing, where the job says so; None: those that the drawing itself states.

    Raises:
        ValueError: "what is wrong; what would be right".
    """
    document = _document(path)
    scale = _scale(document, units)
    entities = [each for each in document.modelspace() if each.dxf.layer == layer]
    if not entities:
        names = sorted({each.dxf.layer for each in document.modelspace()})
        right = nearest(layer, names) or f"its layers are {', '.join(names) or 'all empty'}"
        raise ValueError(f"nothing is drawn on a layer {quoted(layer)}; {right}")
    closed: list[Contour] = []
    open_pieces: list[Piece] = []
    for entity in entities:
        found = _read(entity, scale)
        if isinstance(found, Contour):
            closed.append(found)
        elif found is not None:
            open_pieces.append(found)
    closed.extend(join(open_pieces))
    if not closed:
        raise ValueError(f"no lines on the layer {quoted(layer)}; draw the contour on it")
    return sorted((anticlockwise(each) for each in closed), key=lambda each: -each.area)


def _document(path: Path) -> Drawing:
    # Slow to load, and only jobs with a drawing need it.
    from ezdxf.filemanagement import readfile  # noqa: PLC0415
    from ezdxf.lldxf.const import DXFError  # noqa: PLC0415

    try:
        return readfile(path)
    except OSError as error:
        reason = error.strerror or "it is no drawing in DXF"
        raise ValueError(f"{path.name} cannot be read: {reason}; name a DXF file") from error
    except DXFError as error:
        raise ValueError(f"{path.name} is damaged: {error}; save it anew as DXF") from error


def _scale(document: Drawing, units: Literal["mm", "in"] | None) -> float:
    """Return how many mm one unit of a drawing is."""
    code = int(document.header.get("$INSUNITS", 0)) if document.dxfversion >= STATES_UNITS else 0
    stated = DRAWN_UNITS.get(code)
    if units is None:
        if stated is None:
            raise ValueError('the drawing does not state its units; give units = "mm" or "in"')
        return stated
    if stated is not None and not math.isclose(stated, UNIT[units]):
        raise ValueError(
            f"the drawing states that its unit is {stated:g} mm, the job {units}; "
            "leave out units, or mend the drawing"
        )
    return UNIT[units]


def _read(entity: Any, scale: float) -> Contour | Piece | None:
    """Return what one thing drawn is: closed by itself, a piece, or nothing that bounds."""
    kind: str = entity.dxftype()
    match kind:
        case "LINE":
            start, end = _spot(entity.dxf.start, scale), _spot(entity.dxf.end, scale)
            if math.dist(start, end) < JOIN:
                return None
            return Piece(start=start, segments=(Straight(to=end),))
        case "ARC":
            start, end = _spot(entity.start_point, scale), _spot(entity.end_point, scale)
            bend = Bend(to=end, centre=_spot(entity.dxf.center, scale), clockwise=False)
            return Piece(start=start, segments=(bend,))
        case "CIRCLE":
            return circle(_spot(entity.dxf.center, scale), entity.dxf.radius * scale)
        case "LWPOLYLINE" | "POLYLINE":
            return _polyline(_corners(entity), scale, is_closed=bool(entity.is_closed))
        case "POINT" | "TEXT" | "MTEXT" | "DIMENSION":
            return None  # words and marks bound nothing
        case _:
            raise ValueError(
                f"the layer holds a drawn {kind}, which cannot be cut as it stands; "
                "draw it as lines, arcs, circles or a flat polyline"
            )


def _corners(entity: Any) -> list[tuple[Any, float]]:
    """Return the places of a polyline with their bulges.

    Raises:
        ValueError: it does not lie flat.
    """
    if entity.dxftype() == "LWPOLYLINE":
        return [((x, y), bulge) for x, y, bulge in entity.get_points("xyb")]
    if not entity.is_2d_polyline:
        raise ValueError("the layer holds a polyline in space; draw it flat")
    return [(vertex.dxf.location, vertex.dxf.bulge) for vertex in entity.vertices]


def _spot(place: Any, scale: float) -> Spot:
    return float(place[0]) * scale, float(place[1]) * scale


def _polyline(
    corners: list[tuple[Any, float]], scale: float, *, is_closed: bool
) -> Contour | Piece | None:
    """Return a polyline with its bulges as arcs."""
    rows = [(_spot(place, scale), float(bulge)) for place, bulge in corners]
    if not is_closed and len(rows) > 2 and math.dist(rows[0][0], rows[-1][0]) < JOIN:
        rows, is_closed = rows[:-1], True
    ends = [*rows[1:], *(rows[:1] if is_closed else [])]
    segments = tuple(
        _bulged(start, bulge, end)
        for (start, bulge), (end, _) in zip(rows, ends, strict=False)
        if math.dist(start, end) >= JOIN
    )
    if not segments:
        return None
    if is_closed:
        return Contour(start=rows[0][0], segments=_ending_at(segments, rows[0][0]))
    return Piece(start=rows[0][0], segments=segments)


def _bulged(start: Spot, bulge: float, end: Spot) -> Segment:
    """Return a straight, or the arc that a bulge makes of it: tan of a quarter of its angle."""
    if abs(bulge) < 1e-9:
        return Straight(to=end)
    off = (1 - bulge * bulge) / (4 * bulge)  # of the centre, in chords, to the left
    (x0, y0), (x1, y1) = start, end
    centre = ((x0 + x1) / 2 - off * (y1 - y0), (y0 + y1) / 2 + off * (x1 - x0))
    return Bend(to=end, centre=centre, clockwise=bulge < 0)


def _ending_at(segments: tuple[Segment, ...], start: Spot) -> tuple[Segment, ...]:
    """Return segments whose last ends at the very start."""
    last = segments[-1]
    if isinstance(last, Straight):
        return (*segments[:-1], Straight(to=start))
    return (*segments[:-1], Bend(to=start, centre=last.centre, clockwise=last.clockwise))


def join(pieces: Iterable[Piece]) -> Iterator[Contour]:
    """Yield the closed contours that pieces make, end to end.

    Raises:
        ValueError: ends that meet none, with their places; or more than two that meet.
    """
    left = list(pieces)
    while left:
        chain = left.pop()
        start = chain.start
        segments = list(chain.segments)
        while math.dist(segments[-1].to, start) >= JOIN:
            end = segments[-1].to
            near = [each for each in left if _meets(each, end)]
            if not near:
                raise ValueError(_gap(end, start, left))
            if len(near) > 1:
                raise ValueError(
                    f"{len(near) + 1} lines meet at {end[0]:.4g}, {end[1]:.4g}; "
                    "a contour goes on in one way only: take out what is drawn twice"
                )
            left.remove(near[0])
            piece = near[0] if math.dist(near[0].start, end) < JOIN else near[0].turned()
            segments.extend(piece.segments)
        yield Contour(start=start, segments=_ending_at(tuple(segments), start))


def _meets(piece: Piece, place: Spot) -> bool:
    return min(math.dist(piece.start, place), math.dist(piece.end, place)) < JOIN


def _gap(end: Spot, start: Spot, left: list[Piece]) -> str:
    """Return the words for a contour that does not close: where, and how far the next end is."""
    ends = [start, *(spot for piece in left for spot in (piece.start, piece.end))]
    near = min(ends, key=lambda spot: math.dist(spot, end))
    return (
        f"the contour is open at {end[0]:.4g}, {end[1]:.4g}; "
        f"the nearest other end is {math.dist(near, end):.3g} mm away at {near[0]:.4g}, "
        f"{near[1]:.4g}: close the gap in the drawing"
    )
