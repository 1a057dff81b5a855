"""How a tool that is fitted, or a slide that is taken in hand, finds its zeros outside."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pathgen.job.turning.edges import Crown, TurnedEdge
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Touch, Zero
from pathgen.moves.moves import Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import TOUCHED
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.facing import end_touched
from pathgen.plan.turning.parting import bored_at
from pathgen.plan.turning.ways import across, along
from pathgen.reckon.screw_cutting import flank_beside
from pathgen.shop.turning_tools import TurningTool

IN_CORNER = 0.1  # mm under the outside, where a threading tool touches the end
BY_POINT = 0.3  # mm that touching with it leaves open along the axis; common practice, no source


def fitted_items(operation: TurnedOperation, bench: TurningBench) -> Iterator[Item]:
    """Yield how a tool that was just fitted finds its zeros: touched outside, then on the end."""
    rpm = operation.figures.rpm
    yield _touched(operation, bench, rpm)
    if isinstance(operation.tool, TurningTool) and operation.tool.kind == "threading":
        yield from _by_its_point(operation.tool, operation, bench)
        return
    crowned = operation.faced and any(
        isinstance(each, TurnedEdge) and isinstance(each.shape, Crown)
        for each in bench.setup.features
    )
    if bench.manual and crowned:
        yield across(0.0, "in to the middle, where the crown has left the faced end")
    elif bench.manual:
        yield across(_on_the_end(operation, bench), "in, over the metal of the end")
    at = 0.0 if operation.faced else bench.setup.facing
    label = "the faced end" if operation.faced else "the sawn end, to be faced off"
    label += ", at its middle" if crowned else ""
    found_as = "" if operation.faced or bench.setup.overall is None else "L1"
    yield end_touched(operation.tool.name, rpm, at, label, found_as)
    yield along(at + CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def _on_the_end(operation: TurnedOperation, bench: TurningBench) -> float:
    """Return the x at which the right end is touched, mm: half-way between its hollow and its rim.

    Of what is turned and bored at some time in the setup, so that it does whenever it is done.
    """
    if not operation.faced:
        return (bench.setup.came_hollow + operation.touched) / 4
    hollow = min(max(bored_at(bench, 0.0), bench.about_the_axis), bench.rim)
    rim = min(bench.rim, operation.touched / 2)
    at, tool = (hollow + rim) / 2, operation.tool
    if isinstance(tool, TurningTool) and tool.kind == "knurling":  # what holds its wheels is wider
        return max(at, min(rim, bench.outside - tool.reach / 2))
    return at


def changed_over_items(operation: TurnedOperation, bench: TurningBench) -> Iterator[Item]:
    """Yield how another slide along the axis finds its zero, the tool being left as it is."""
    middle = (bench.about_the_axis + bench.outside) / 2
    yield across(middle, "in, between the middle and the rim")
    yield end_touched(operation.tool.name, operation.figures.rpm, 0.0, "the faced end")
    yield along(CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def _by_its_point(
    tool: TurningTool, operation: TurnedOperation, bench: TurningBench
) -> Iterator[Item]:
    """Yield how a threading tool is touched on the corner of the end: it has no square edge."""
    at = corner_touched(tool)
    yield across(operation.touched / 2 - IN_CORNER, "in, its point a little under the outside")
    touch = end_touched(tool.name, operation.figures.rpm, at, "its corner, the point beside it")
    yield replace(touch, uncertainty=BY_POINT if operation.faced else 0.0)
    yield along(at + CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def corner_touched(tool: TurningTool) -> float:
    """Return the z of a pointed tool whose flank touches the corner of the end, mm.

    Its tip is `IN_CORNER` beyond the surface.
    """
    height = IN_CORNER + IN_CORNER / 2  # the work may be a little thicker than the dial has it
    return flank_beside(height, tool.nose_radius, tool.point_deg) - tool.nose_radius


def _touched(operation: TurnedOperation, bench: TurningBench, rpm: float) -> Zero:
    """Return the touch on the outside."""
    bar = operation.touched == bench.job.blank.diameter
    skimmed = any(isinstance(each, Turned) for each in bench.setup.features)
    first = not operation.faced or (not bench.setup.facing and operation.purpose == "rough")
    turned = f"outside, half of the {bench.say(operation.touched)} that was turned"
    if operation.purpose == "part off" and _knurled(bench, operation.touched):
        turned += ", beside the knurl"
    label = "outside, half of the bar's diameter" if bar else turned
    touch = Touch(
        face="outside",
        towards=-1,
        tool=operation.tool.name,
        radius=0.0,
        paper=0.0,
        at=operation.touched / 2,
        terms=(Term(label, operation.touched / 2),),
        rpm=rpm,
        found_as="M1" if first and skimmed else "",
    )
    return Zero(axis="x", touches=(touch,), uncertainty=TOUCHED, why="x 0 is the axis")


def _knurled(bench: TurningBench, diameter: float) -> bool:
    """Return whether there is a knurl on a diameter, mm: it swells, and is no place to touch."""
    knurls = [each for each in bench.setup.features if isinstance(each, Knurl)]
    return any(each.land.middle == diameter for each in knurls)
