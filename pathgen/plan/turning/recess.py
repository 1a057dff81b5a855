"""Recesses inside a bore: plunged outwards by a blade on a bar, cut beside cut."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.turning.inside import AxialHole, Bored, Recess, wide_at
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed, How, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.boring import bar_for, inside_by, inside_zeros, off_wall
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.last_cuts import guard_limits
from pathgen.plan.turning.plunging import plunges_beside
from pathgen.plan.turning.ways import across, along
from pathgen.shop.turning_tools import TurningTool

RECESSING = (
    "A blade inside is neither seen nor stiff: plunge slowly, and come off the wall before winding"
    " along."
)


def plan_recess(recess: Recess, bench: TurningBench) -> TurnedOperation:
    """Return the plunges that make a recess.

    Raises:
        Refusal: no blade goes in, or it is too wide or too short.
    """
    guard_limits(recess.diameter, recess.where.at("diameter"), bench)
    holes = [each for each in bench.setup.features if isinstance(each, AxialHole | Bored)]
    bore = max(wide_at(hole, recess.start.low) for hole in holes) / 2
    tool = _blade(recess, bench, bore)
    figures = bench.figures("parting", tool.material, recess.diameter.nominal)
    return TurnedOperation(
        purpose="undercut",
        feature=recess.name,
        tool=tool,
        figures=figures,
        why=f"{bench.say(recess.width.middle)} wide with a blade of {bench.say(tool.width)};"
        f" {figures.why}",
        items=(
            Note(text=RECESSING, caution=True),
            *_plunges(recess, bench, tool, bore, figures),
            along(CLEAR, "out of the bore"),
        ),
        zeros=inside_zeros(bench, tool, _mouth(holes) / 2, figures.rpm),
        by=inside_by(bench),
    )


def _mouth(holes: list[AxialHole | Bored]) -> float:
    """Return how wide the bore is at its mouth, at the middle of its limits, mm."""
    hole = holes[0]
    return (hole.diameter if isinstance(hole, AxialHole) else hole.steps[0].diameter).middle


def _blade(recess: Recess, bench: TurningBench, bore: float) -> TurningTool:
    """Return the blade of a recess.

    Raises:
        Refusal: the crib has none.
    """
    deep = recess.diameter.middle / 2 - bore
    fitting = [
        tool
        for tool in bench.tools
        if tool.kind == "recessing" and tool.width <= recess.width.low and tool.reach > deep
    ]
    if not fitting:
        raise Refusal(
            recess.where,
            f"cut a recess {bench.say(recess.width.nominal)} wide and {bench.say(deep)} deep: no"
            " blade of the crib is as narrow and reaches as far",
            "put a [[turning_tool]] of kind recessing with such a blade into the crib",
        )
    end = recess.start.middle + recess.width.middle
    return bar_for(fitting, 2 * bore, end, bench, recess.where)


def _plunges(
    recess: Recess, bench: TurningBench, tool: TurningTool, bore: float, figures: TurningFigures
) -> Iterator[Item]:
    """Yield the plunges from the right wall to the left one."""
    yield across(bore - off_wall(bench), "in line with the bore where the recess is")
    away, out = bore - off_wall(bench), recess.diameter.middle / 2
    more = recess.width.middle - tool.width
    for z, to_place in plunges_beside(recess.start.middle, tool, more):
        yield to_place
        depth = (Term("half of the recess", out),)
        how = How(makes="size", what="out to the recess", sums=(("x", depth),))
        yield Feed(out, 0.0, z, figures.feed, how)
        yield across(away, "in, off the wall")
