"""A dish in the end of turned work: by a round nose ring by ring, or along its arc on a control."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from pathgen.input.where import Refusal
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed, How, Rapid, TurnedArc
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.plan.turning.by_file import filed
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.ways import NAN, START, across, along
from pathgen.reckon.dish_rings import DishRings, Place, rings_of
from pathgen.reckon.turning_depths import bench_depth
from pathgen.shop.turning_tools import TurningTool

LEFT = 0.2  # mm that roughing leaves for the cut along the arc
ROUGH_CREST = 0.6  # mm over the surface, of roughing
ROUND = 0.5  # of a dish's radius, the roundest nose that is taken
LOOKS = (
    "This tool looks along the axis, to the chuck: set it so that its sides lie parallel to the"
    " axis, its shank across, to the right of the work. See that it has clearance beneath all round"
    " its nose: in a hollow the side that is away from the axis rubs first."
)
SMOOTHING = (
    "Smooth a dish with the tool wound well away and the spindle at a slow speed: a half-round"
    " scraper on a rest, or abrasive cloth round a ball-ended stick, pressed lightly on the side"
    " that turns away from you; never a finger in the hollow, never cloth that can wind itself up."
)


def plan_dish(dish: TurnedDish, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations that sink a dish into the right end.

    Raises:
        Refusal: the crib has no tool for it, or the job does not say what may be smoothed.
    """
    tool = _tool(dish, bench)
    if bench.manual:
        yield _in_rings(dish, bench, tool)
        return
    yield _roughed(dish, bench, tool)
    yield _followed(dish, bench, tool)


def _tool(dish: TurnedDish, bench: TurningBench) -> TurningTool:
    """Return the tool with the roundest nose that goes into a dish, and deep enough.

    Raises:
        Refusal: the crib has none.
    """
    deep = dish.depth.high + START
    fitting = [
        tool
        for tool in bench.tools
        if tool.kind == "dishing" and tool.nose_radius <= ROUND * dish.radius and tool.reach > deep
    ]
    if not fitting:
        raise Refusal(
            dish.where,
            f"turn a dish of radius {bench.say(dish.radius)}, {bench.say(dish.depth.nominal)} deep",
            "put a [[turning_tool]] of kind dishing into the crib: its nose no rounder than"
            f" {bench.say(ROUND * dish.radius)}, its reach above {bench.say(deep)}",
        )
    return max(fitting, key=lambda tool: tool.nose_radius)


def _figures(dish: TurnedDish, bench: TurningBench, tool: TurningTool) -> TurningFigures:
    """Return speed and feed: it plunges with its whole nose, as a blade does with its edge.

    The speed is that of the rim, the feed that of the last ring, which is as wide as the nose.
    """
    figures = bench.figures("parting", tool.material, dish.across)
    inmost = bench.figures("parting", tool.material, min(tool.nose_radius, dish.across))
    return figures.no_faster(inmost.wanted * figures.rpm)


def _wanted(
    dish: TurnedDish, bench: TurningBench, tool: TurningTool, off: float, crest: float
) -> DishRings:
    return DishRings(
        radius=dish.radius,
        chord=dish.across,
        nose=tool.nose_radius,
        off=off,
        crest=crest,
        widest=bench_depth(bench.job.blank.material, bench.machine.rigidity),
    )


def _touched(bench: TurningBench) -> float:
    """Return the diameter outside that a tool is touched on, mm."""
    turned = [each for each in bench.setup.features if isinstance(each, Turned)]
    return turned[0].steps[0].diameter.middle if turned else bench.job.blank.diameter


def _plunges(
    places: tuple[Place, ...], bench: TurningBench, figures: TurningFigures, what: str
) -> Iterator[Item]:
    """Yield the rings, from the rim inwards: the cross slide only goes in, its slack stays out."""
    yield along(START)
    for number, (z, x) in enumerate(places, start=1):
        how = How(makes="size", what=f"{what} {number} of {len(places)}")
        yield Rapid(x, 0.0, NAN, how)
        yield Feed(x, 0.0, z, figures.feed, How(makes="size", what="towards the chuck"))
        yield along(START, "back out of the dish")
    yield across(bench.clear, "out, clear of the work")


def _in_rings(dish: TurnedDish, bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the rings on handles, and the smoothing."""
    left = filed(dish.file_to_line, bench, dish.where, dish.name)
    _guard_chord(dish, bench, 2 * left.rounded)
    wanted = _wanted(dish, bench, tool, left.rounded, left.crest)
    places, figures = rings_of(wanted), _figures(dish, bench, tool)
    return TurnedOperation(
        purpose="finish",
        feature=dish.name,
        tool=tool,
        figures=figures,
        why=f"{_called(dish, bench)}, in {len(places)} rings from the rim inwards, the nose of"
        f" {bench.say(tool.nose_radius)} allowed for; no more than {bench.say(left.granted)} stays"
        f" over the surface; {figures.why}",
        items=(
            *_plunges(places, bench, figures, "ring"),
            Note(text=SMOOTHING, caution=True),
            Note(text=_smoothed(dish, bench)),
        ),
        depth_of_cut=_widest(places),
        touched=_touched(bench),
        still=(Note(text=LOOKS),),
    )


def _guard_chord(dish: TurnedDish, bench: TurningBench, off: float) -> None:
    """Refuse a dish so shallow that its width hangs on what the dials leave open of its depth."""
    narrower = 2 * off * dish.radius / (dish.across / 2)
    room = dish.across - dish.chord.low
    if narrower > room:
        raise Refusal(
            dish.where,
            f"set the width of {dish.name!r} by handles: it is so shallow that {off:.3f} mm of"
            f" depth, which the dials leave open, are {narrower:.2f} mm of it, and its limits leave"
            f" {room:.2f} mm",
            "give its chord wider limits, or use a lathe with finer dials or a control",
        )


def _roughed(dish: TurnedDish, bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the rings that leave a little for the cut along the arc."""
    wanted, figures = _wanted(dish, bench, tool, LEFT, ROUGH_CREST), _figures(dish, bench, tool)
    places = rings_of(wanted)
    return TurnedOperation(
        purpose="rough",
        feature=dish.name,
        tool=tool,
        figures=figures,
        why=f"rings that leave {bench.say(LEFT)} for the cut along the arc; {figures.why}",
        items=tuple(_plunges(places, bench, figures, "roughing, ring")),
        depth_of_cut=_widest(places),
        touched=_touched(bench),
        still=(Note(text=LOOKS),),
    )


def _followed(dish: TurnedDish, bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the cut along the arc, from the axis outwards to the rim."""
    wanted, figures = _wanted(dish, bench, tool, 0.0, LEFT), _figures(dish, bench, tool)
    (z, x), (end_z, end_x) = wanted.at(0.0), wanted.at(wanted.rim)
    nose = tool.nose_radius
    return TurnedOperation(
        purpose="finish",
        feature=dish.name,
        tool=tool,
        figures=figures,
        why=f"{_called(dish, bench)}, the nose of {bench.say(nose)} allowed for; {figures.why}",
        items=(
            along(START),
            across(x),
            Feed(x, 0.0, z, figures.feed, How(what="in, on the axis")),
            TurnedArc(
                x=end_x,
                z=end_z,
                centre_x=-nose,
                centre_z=dish.centre - nose,
                outwards=False,
                feed=figures.feed,
                how=How(makes="size", what="along the arc, outwards to the rim"),
            ),
            along(START, "out of the dish"),
            across(bench.clear, "out, clear of the work"),
        ),
        depth_of_cut=LEFT,
        touched=_touched(bench),
    )


def _widest(places: tuple[Place, ...]) -> float:
    """Return the widest ring, mm."""
    return max(right[1] - left[1] for right, left in pairwise(places))


def _called(dish: TurnedDish, bench: TurningBench) -> str:
    """Return a dish in words."""
    return (
        f"a dish of radius {bench.say(dish.radius)}, {bench.say(dish.across)} across in the face"
        f" and {bench.say(dish.depth.nominal)} deep"
    )


def _smoothed(dish: TurnedDish, bench: TurningBench) -> str:
    """Return how the crests are taken off."""
    return (
        f"Marking-out dye in {dish.name}: {_called(dish, bench)}. Smooth the crests away while the"
        " work turns, until the last of the dye between the rings just goes, and no further; try"
        " it with a ball of its radius, or the part that turns in it, and a thin line of blue."
    )
