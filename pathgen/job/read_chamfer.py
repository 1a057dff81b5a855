"""Reading chamfers: of which edge, how wide, how steep."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pathgen.input.getters import Table
from pathgen.input.where import listed, nearest, quoted
from pathgen.job.areas import Edge, Outside, Pocket, Step
from pathgen.job.chamfer import BLANK, Chamfer
from pathgen.job.frame import FACES, in_order
from pathgen.job.holes import Holes
from pathgen.job.read_steps import EDGES
from pathgen.job.sizes import read_size
from pathgen.job.slot import Slot
from pathgen.job.stock import Workpiece
from pathgen.job.t_slot import TSlot

if TYPE_CHECKING:
    from pathgen.job.job import Feature

STEEPEST, FLATTEST = 75.0, 15.0  # degrees: what cutters with a point are made for


def read_chamfer(table: Table, workpiece: Workpiece, tolerance_class: str) -> Chamfer | None:
    """Read a chamfer; what it is of is looked up when all features are read."""
    name = table.text("name")
    of = table.text("of")
    edges = _edges(table, workpiece, of)
    width = read_size(table, "width", table.length("width", above=0), tolerance_class)
    angle = table.number("angle_deg", default=45.0, least=FLATTEST, most=STEEPEST)
    cutter = table.optional_text("cutter")
    table.no_more()
    if table.faulty:
        return None
    return Chamfer(
        name=name,
        of=of,
        edges=edges,
        width=width,
        angle_deg=angle,
        cutter=cutter,
        where=table.where(),
    )


def _edges(table: Table, workpiece: Workpiece, of: str) -> tuple[Edge, ...]:
    """Return which edges of the blank are meant, as it lies: all four where nothing is said."""
    sides = {
        face: edge
        for axis in (0, 1)
        for face, edge in zip(workpiece.faces(axis), EDGES[axis], strict=True)
    }
    options = in_order(tuple(sides))
    if not table.says("of", BLANK):
        if table.has("edges"):
            table.wrong(
                "edges",
                f"given for a chamfer of {of!r}",
                f"leave it out, or say of = {quoted(BLANK)}",
            )
        return ()
    if not table.has("edges"):
        return tuple(sides[face] for face in options)
    named = table.words("edges", options, among=FACES)
    return tuple(sides[face] for face in options if face in named)


def guard_chamfers(table: Table, features: Sequence[Feature]) -> None:
    """Record chamfers of what is not there, or has no upper edge to follow; and two of one edge."""
    edged = [f.name for f in features if isinstance(f, Slot | TSlot | Pocket | Outside | Step)]
    seen: set[str] = set()
    for chamfer in (each for each in features if isinstance(each, Chamfer)):
        of = chamfer.of
        if of in seen:
            table.wrong("feature", f"two chamfers of {of!r}", "make one of them")
        seen.add(of)
        if of == BLANK:
            _guard_edges(table, chamfer, features)
        if of == BLANK or of in edged:
            continue
        known = next((each for each in features if each.name == of), None)
        if isinstance(known, Holes):
            right = "say countersink = { diameter = ... } with the holes themselves"
            table.wrong("feature", f"chamfer {chamfer.name!r} of holes", right)
        else:
            right = nearest(of, edged) or f"name {listed([*edged, BLANK])}"
            table.wrong(
                "feature", f"chamfer {chamfer.name!r}: no edge of {of!r} is cut here", right
            )


def _guard_edges(table: Table, chamfer: Chamfer, features: Sequence[Feature]) -> None:
    """Record edges of the blank that are cut away, or left to waste, in the same setup."""
    for each in features:
        gone = set(each.edges) if isinstance(each, Step) else set()
        if isinstance(each, Outside):
            gone = set(chamfer.edges)
        if gone & set(chamfer.edges):
            table.wrong(
                "feature",
                f"chamfer {chamfer.name!r}: {each.name!r} leaves nothing of that edge of the blank",
                f"say of = {quoted(each.name)}, or leave those edges out",
            )
