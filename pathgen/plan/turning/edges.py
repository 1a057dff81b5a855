"""Crowned, rounded and chamfered edges: in steps on handles, along their line on a control."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.where import Refusal
from pathgen.job.turning.edges import Bevel, Crown, Rounded, TurnedEdge
from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed, How, Rapid, Rule, TurnedArc
from pathgen.moves.plan import Item
from pathgen.plan.turning.allowances import SPRING
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.plan.turning.by_file import filed
from pathgen.plan.turning.compound import called, plan_by_compound
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.outside import knife_tool, measured_as, measurement
from pathgen.plan.turning.ways import NAN, across, along
from pathgen.reckon.edge_steps import (
    Edge,
    Place,
    RoundEdge,
    StepsWanted,
    StraightEdge,
    steps_along,
)
from pathgen.reckon.tapers import set_over_exact
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.turning_tools import TurningTool

LEFT = 0.2  # mm that roughing leaves on an edge which a control then follows
ROUGH_CREST = 0.4  # mm over the line, that of the roughing
SLENDER = 3.0  # times as long as high: what is called a taper and no chamfer
FILING = (
    "File with the tool wound well away, the file's handle on it, the handle in the left hand and"
    " both arms clear of the turning jaws, the spindle at a slow speed; for emery cloth use a stick"
    " or a backing strip, never cloth wrapped round the work or a finger."
)


def plan_edge(edge: TurnedEdge, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations that give an edge its shape.

    Raises:
        Refusal: the lathe leaves steps, and the job does not say what may be filed.
    """
    turned = next(
        each for each in bench.setup.features if isinstance(each, Turned) and each.name == edge.of
    )
    tool = knife_tool(bench, turned)
    if bench.manual and edge.way == "compound":
        yield from plan_by_compound(edge, bench, tool, measured_as(turned, edge.step, bench))
        return
    if bench.manual and edge.way == "set-over":
        raise _set_over(edge, bench)
    if bench.manual:
        yield _in_steps(edge, bench, tool, measured_as(turned, edge.step, bench))
        return
    steps = steps_along(line_of(edge), _wanted(edge, bench, tool, LEFT, ROUGH_CREST))
    if steps:
        yield _roughed(edge, bench, tool, steps)
    yield _followed(edge, bench, tool, LEFT if steps else _corner(edge))


def _set_over(edge: TurnedEdge, bench: TurningBench) -> Refusal:
    """Return the refusal of a taper by the tailstock set over, with the figure for whoever may."""
    ratio, whole = 2 * math.tan(math.radians(edge.angle_deg)), bench.job.blank.length
    why = "the work is held in a chuck, and would be bent"
    if bench.held.dog is not None:
        why = "no cuts are planned so yet, and diameters turned after it would be tapers too"
    return Refusal(
        edge.where.at("way"),
        f"set the tailstock over for {edge.name!r}: {why}",
        'say way = "compound" or "steps". Between centres the tailstock goes'
        f" {set_over_exact(ratio, whole):.3f} mm towards you for {bench.say(whole)} from point to"
        f" point of the centres, {set_over_exact(ratio, 100.0):.3f} mm for every 100 mm, however"
        " short the taper",
    )


def line_of(edge: TurnedEdge) -> Edge:
    """Return the line of an edge, with its sizes at the middle of their limits."""
    match edge.shape:
        case Crown(radius=radius):
            last = math.degrees(math.asin(min(1.0, edge.out / radius)))
            return RoundEdge(centre=(edge.face - radius, 0.0), radius=radius, last_deg=last)
        case Rounded(radius=radius):
            centre = edge.face - radius, edge.out - radius
            return RoundEdge(centre=centre, radius=radius, last_deg=90.0)
        case Bevel():
            top = edge.face - edge.along, edge.out
            return StraightEdge(foot=(edge.face, edge.foot), top=top)


def _called(edge: TurnedEdge, bench: TurningBench) -> str:
    """Return an edge in words."""
    match edge.shape:
        case Crown(radius=radius):
            return f"the end crowned to a radius of {bench.say(radius)}"
        case Rounded(radius=radius):
            return f"the edge of {bench.say(2 * edge.out)} rounded to {bench.say(radius)}"
        case Bevel(width=width, rise=rise) if width > SLENDER * rise:
            return called(edge, bench)
        case Bevel(width=width):
            angle = math.degrees(math.atan2(edge.out - edge.foot, width))
            return (
                f"the edge of {bench.say(2 * edge.out)} chamfered, {bench.say(width)} wide at"
                f" {angle:g} degrees to the axis"
            )


def _figures(edge: TurnedEdge, bench: TurningBench, tool: TurningTool) -> TurningFigures:
    return bench.figures("turning finish", tool.material, 2 * edge.out)


def _wanted(
    edge: TurnedEdge, bench: TurningBench, tool: TurningTool, off: float, crest: float
) -> StepsWanted:
    return StepsWanted(
        face=edge.face,
        out=edge.out,
        nose=tool.nose_radius,
        approach_deg=tool.approach_deg,
        off=off,
        crest=crest,
        deepest=bench_depth(bench.job.blank.material, bench.machine.rigidity),
    )


def _corner(edge: TurnedEdge) -> float:
    """Return how far the corner stands over the line before anything is taken off it, mm."""
    return line_of(edge).off((edge.face, edge.out))


def _in_steps(
    edge: TurnedEdge, bench: TurningBench, tool: TurningTool, measure: str
) -> TurnedOperation:
    """Return the steps on handles, from the outermost inwards, and the filing."""
    left = filed(edge.file_to_line, bench, edge.where, edge.name)
    wanted = _wanted(edge, bench, tool, left.rounded, left.crest)
    if measure != measurement(edge.step):  # then the diameter may come out thicker by the spring
        wanted = replace(wanted, out=edge.out + SPRING / 2)
    steps = steps_along(line_of(edge), wanted)
    if not steps:
        raise _all_filed(edge, bench, left.granted, left.least)
    figures = _figures(edge, bench, tool)
    rules = (Rule(axis="x", measure=measure, factor=-1 / 2),) if measure else ()
    items: list[Item] = [along(edge.face + bench.start)]
    for number, place in enumerate(reversed(steps), start=1):
        what = f"step {number} of {len(steps)}"
        items += _step(place, edge, bench, figures, How(makes="size", what=what, rules=rules))
    items += [
        across(bench.clear, "out, clear of the work"),
        Note(text=FILING, caution=True),
        Note(text=_filed(edge, bench)),
    ]
    return TurnedOperation(
        purpose="finish",
        feature=edge.name,
        tool=tool,
        figures=figures,
        why=f"{_called(edge, bench)}, in {len(steps)} steps, the nose of"
        f" {bench.say(tool.nose_radius)} allowed for; no more than {bench.say(left.granted)} stays"
        f" over the line; {figures.why}",
        items=tuple(items),
        depth_of_cut=_deepest(edge, steps),
        touched=2 * edge.out,
    )


def _all_filed(edge: TurnedEdge, bench: TurningBench, granted: float, least: float) -> Refusal:
    """Return the refusal of an edge so low that what may be filed covers all of it."""
    corner = _corner(edge)
    less = max(least, corner / 2)
    control = "use a lathe with a control"
    return Refusal(
        edge.where.at("file_to_line"),
        f"turn {edge.name!r} in steps: its corner stands {bench.say(corner)} over the line, and the"
        f" job grants {bench.say(granted)} to be filed, which is all of it",
        f"say no more than {bench.say(less)}, or {control}" if less < corner else control,
    )


def _filed(edge: TurnedEdge, bench: TurningBench) -> str:
    """Return what is filed, and when it is done."""
    return (
        f"Marking-out dye on the steps of {edge.name}: {_called(edge, bench)}. File the crests off"
        " while the work turns, until the last of the dye in the corners between the steps just"
        " goes, and no further; try it with a radius gauge, a template or the part that it goes"
        " against; then polish."
    )


def _deepest(edge: TurnedEdge, steps: tuple[Place, ...]) -> float:
    """Return the thickest ring that one of the steps takes, mm."""
    outs = [*(x for _, x in steps[1:]), edge.out]
    rings = [min(out - max(x, 0.0), edge.face - z) for (z, x), out in zip(steps, outs, strict=True)]
    return max(rings, default=0.0)


def _step(
    place: Place, edge: TurnedEdge, bench: TurningBench, figures: TurningFigures, how: How
) -> Iterator[Item]:
    """Yield one step: in to its x, along to its z, and back; the next x is further in."""
    z, x = place
    yield Rapid(x, 0.0, NAN, how)
    yield Feed(x, 0.0, z, figures.feed, How(makes="size", what="towards the chuck"))
    yield along(edge.face + bench.back, "back from the step")


def _roughed(
    edge: TurnedEdge, bench: TurningBench, tool: TurningTool, steps: tuple[Place, ...]
) -> TurnedOperation:
    """Return the steps that leave a little for the cut along the line."""
    figures = _figures(edge, bench, tool)
    items: list[Item] = [across(bench.clear), along(edge.face + bench.start)]
    for place in reversed(steps):
        items += _step(place, edge, bench, figures, How(what="roughing, a step"))
    return TurnedOperation(
        purpose="rough",
        feature=edge.name,
        tool=tool,
        figures=figures,
        why=f"steps that leave {bench.say(LEFT)} for the cut along the line; {figures.why}",
        items=(*items, across(bench.clear, "out, clear of the work")),
        depth_of_cut=_deepest(edge, steps),
        touched=2 * edge.out,
    )


def _followed(
    edge: TurnedEdge, bench: TurningBench, tool: TurningTool, left: float
) -> TurnedOperation:
    """Return the cut along the line, from the face outwards, where so much is left over it."""
    line, nose = line_of(edge), tool.nose_radius
    (z, x), (end_z, end_x) = line.at(0.0, 0.0, nose), line.at(1.0, 0.0, nose)
    figures = _figures(edge, bench, tool)
    how = How(makes="size", what="along the line, outwards")
    match line:
        case RoundEdge(centre=(centre_z, centre_x)):
            cut: Item = TurnedArc(
                x=end_x,
                z=end_z,
                centre_x=centre_x - nose,
                centre_z=centre_z - nose,
                outwards=True,
                feed=figures.feed,
                how=how,
            )
        case StraightEdge():
            cut = Feed(end_x, 0.0, end_z, figures.feed, how)
    return TurnedOperation(
        purpose="finish",
        feature=edge.name,
        tool=tool,
        figures=figures,
        why=f"{_called(edge, bench)}, the nose of {bench.say(nose)} allowed for; {figures.why}",
        items=(
            along(edge.face + bench.start),
            across(x),
            Feed(x, 0.0, z, figures.feed, How(what="to the foot of the line")),
            cut,
            across(bench.clear, "out, clear of the work"),
        ),
        depth_of_cut=left,
        touched=2 * edge.out,
    )
