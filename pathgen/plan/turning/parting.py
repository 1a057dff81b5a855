"""Parting off."""

from __future__ import annotations

from pathgen.input.where import Refusal
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.inside import AxialHole, Bored, wide_at
from pathgen.job.turning.turned import Parted, Turned
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed, How, Term
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import JAWS_CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.ways import across, along
from pathgen.shop.turning_tools import TurningTool

THROUGH = 0.5  # mm past the axis, so that no thread of metal is left
PARTING = (
    "Part off slowly and steadily, the blade square and as far in its holder as it goes, oil on it."
    " Do not catch the part with the hand; let it fall on the swarf."
)


def plan_parting(parted: Parted, bench: TurningBench, diameter: float) -> TurnedOperation:
    """Return the cut that parts the work off behind a diameter, mm.

    Raises:
        Refusal: no blade is long enough, or the jaws are in its way.
    """
    blade = blade_for(parted, bench)
    z = -parted.length.middle - blade.width
    if z - JAWS_CLEAR < bench.setup.jaws_at:
        need = JAWS_CLEAR - z + bench.setup.facing
        raise Refusal(
            bench.setup.where.at("hold"),
            f"part off {bench.say(-z)} from the faced end so near to the jaws",
            f"let the bar stand out {bench.say(need)} or more",
        )
    figures = bench.figures("parting", blade.material, bench.job.blank.diameter)
    terms = (
        Term("the faced end", 0.0),
        Term("length of the part", -parted.length.middle),
        Term("width of the blade", -blade.width),
    )
    place = How(makes="size", what="left corner of the blade", sums=(("z", terms),))
    inner = bored_at(bench, parted.length.middle)
    where = "in, through into the bore" if inner else "in to the middle"
    items: tuple[Item, ...] = (
        Note(text=PARTING, caution=True),
        across(bench.clear),
        along(z)._replace(how=place),
        Feed(inner - THROUGH, 0.0, z, figures.feed, How(makes="stop", what=where)),
        across(bench.clear, "out, clear of the work"),
    )
    return TurnedOperation(
        purpose="part off",
        feature=parted.name,
        tool=blade,
        figures=figures,
        why=f"{bench.say(parted.length.middle)} long; {figures.why}",
        items=items,
        touched=diameter,
    )


def blade_for(parted: Parted, bench: TurningBench) -> TurningTool:
    """Return the narrowest blade that reaches the middle of the bar, or a bore through it.

    Raises:
        Refusal: the crib has none.
    """
    inner = bored_at(bench, parted.length.middle)
    past = THROUGH - inner
    fitting = [
        tool
        for tool in bench.tools
        if tool.kind == "parting"
        and tool.reach >= _widest(bench, parted.length.middle + tool.width) + past
    ]
    if not fitting:
        need = bench.job.blank.diameter / 2 + past
        middle = "its bore" if inner else "its middle"
        raise Refusal(
            parted.where,
            f"part off a bar of {bench.say(bench.job.blank.diameter)}: no blade in the crib reaches"
            f" {middle}",
            f"put a [[turning_tool]] of kind parting with a reach of {bench.say(need)} or more into"
            " the crib, or saw it off",
        )
    return min(fitting, key=lambda tool: tool.width)


def _widest(bench: TurningBench, deep: float) -> float:
    """Return the radius that the shank of a blade stands over: of the bar, or of what is turned.

    Args:
        bench: what there is.
        deep: how far from the faced end the blade's left side is, mm.
    """
    turned = [each for each in bench.setup.features if isinstance(each, Turned)]
    steps = [step for each in turned for step in each.steps]
    if not any(step.to.middle >= deep for step in steps):
        return bench.job.blank.diameter / 2
    return max(step.diameter.middle for step in steps) / 2


def bored_at(bench: TurningBench, depth: float) -> float:
    """Return the radius that is hollow at a depth, at its least, mm."""
    holes = [each for each in bench.setup.features if isinstance(each, AxialHole | Bored)]
    across = [wide_at(hole, depth) for hole in holes]
    dishes = [each for each in bench.setup.features if isinstance(each, TurnedDish)]
    across += [each.chord.high for each in dishes if depth <= 0]  # it narrows from there on
    tapers = [each for each in bench.setup.features if isinstance(each, BoredTaper)]
    across += [2 * each.widened(depth) for each in tapers]
    return max(across, default=0.0) / 2
