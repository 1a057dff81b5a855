"""How each kind of feature is judged: one match a question, so that no kind is left out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias, assert_never

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.measured.chamfer import FinishedChamfer, measure_chamfer
from pathgen.check.measured.finished import Finished, place_of_cut
from pathgen.check.measured.finished_areas import FinishedArea
from pathgen.check.measured.finished_holes import FinishedHoles
from pathgen.check.measured.holes import measure_holes
from pathgen.check.measured.slots import measure
from pathgen.check.measured.t_slot import FinishedTSlot, measure_t_slot
from pathgen.check.metal.legs import Ints
from pathgen.check.rules.bores import bore_findings, hole_places
from pathgen.check.rules.chamfer import chamfer_findings, chamfer_places
from pathgen.check.rules.left import metal_left
from pathgen.check.rules.size import size_findings
from pathgen.check.rules.t_slot import t_slot_findings, t_slot_places
from pathgen.check.wanted.outline import Allowed, deepest, widest
from pathgen.check.wanted.pointed import pointed
from pathgen.job.areas import Facing, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.job import Feature
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot

Judged: TypeAlias = (
    Finished | FinishedTSlot | FinishedHoles | FinishedArea | FinishedChamfer
)  # a closed union: one class a kind of feature


def judge(context: Context, feature: Feature) -> Judged:
    """Return a feature as the moves leave it, with its finished sizes."""
    match feature:
        case Slot():
            return measure(context, feature)
        case TSlot():
            return measure_t_slot(context, feature)
        case Holes():
            return measure_holes(context, feature)
        case Pocket() | Outside() | Step() | Facing():
            from pathgen.check.measured.areas import measure_area  # noqa: PLC0415 - only jobs with areas need it

            return measure_area(context, feature)
        case Sphere():
            raise TypeError("a dish or dome has a setup, and a check, of its own")
        case Chamfer():
            return measure_chamfer(context, feature)
        case _:
            assert_never(feature)


def allowed(context: Context, judged: Judged) -> list[Allowed]:
    """Return where cutters may cut for a feature, where it was cut."""
    match judged:
        case Finished(slot=slot):
            floor = deepest(slot, context.box[1][2])
            outline = widest(slot, place_of_cut(judged))
            return [Allowed(name=slot.name, outline=outline, floor=floor)]
        case FinishedTSlot():
            return t_slot_places(context, judged)
        case FinishedHoles():
            return hole_places(context, judged)
        case FinishedArea():
            from pathgen.check.rules.areas import area_places  # noqa: PLC0415 - only jobs with areas need it

            return area_places(context, judged)
        case FinishedChamfer():
            return chamfer_places(judged)
        case _:
            assert_never(judged)


def own_findings(context: Context, judged: Judged, over: Ints) -> Iterator[Finding]:
    """Yield what is wrong with a feature itself.

    Args:
        context: what every rule is given.
        judged: the feature as the moves leave it.
        over: the legs that may cut the blank.
    """
    every, over = over, over[~pointed(context, over)]  # what countersinks cut is no wall
    match judged:
        case Finished():
            yield from size_findings(context, judged, over)
            yield from metal_left(context, judged)
        case FinishedTSlot():
            yield from t_slot_findings(context, judged, over)
        case FinishedHoles():
            yield from bore_findings(context, judged, every)
        case FinishedArea():
            from pathgen.check.rules.areas import area_findings  # noqa: PLC0415 - only jobs with areas need it

            yield from area_findings(context, judged, over)
        case FinishedChamfer():
            yield from chamfer_findings(context, judged, every)
        case _:
            assert_never(judged)
