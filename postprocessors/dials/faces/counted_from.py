"""Where the places of a milled sheet are counted from, in a sentence at its head."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.moves import AXES, Axis
from postprocessors.dials.steps import Sheet, TouchStep

PLUS: dict[Axis, str] = {"x": "to the right", "y": "away from you", "z": "up"}
NEARLY = 1e-6  # mm


def counted_from(sheet: Sheet) -> tuple[str, ...]:
    """Return the sentence, by the faces that are touched; nothing where they do not tell.

    An axis is told of where one face is touched for it, at 0, or two that lie alike about 0.
    """
    said = [
        f"{axis}{' is counted' if not index else ''} from {where}, plus {PLUS[axis]}"
        for index, (axis, where) in enumerate(_told(sheet))
    ]
    return (f"{'; '.join(said)}.",) if said else ()


def _told(sheet: Sheet) -> Iterator[tuple[Axis, str]]:
    """Yield each axis with what it is counted from."""
    for axis in AXES:
        faces = {
            step.called: step.face_at
            for step in sheet.steps
            if isinstance(step, TouchStep) and sheet.dial(step.slide).axis == axis
        }
        if abs(sum(faces.values())) > NEARLY:
            continue
        match [*faces]:
            case [one]:
                yield axis, f"the {one}"
            case [one, other]:
                yield axis, f"the middle between the {one} and the {other}"
            case _:
                pass
