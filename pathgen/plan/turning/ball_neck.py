"""The back of a ball and its neck: plunged by a blade, whose right corner comes to the ball."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.input.where import Refusal
from pathgen.job.turning.ball_neck import BallNeck
from pathgen.job.turning.turned import Turned
from pathgen.moves.actions import Note
from pathgen.moves.moves import Feed, How, TurnedArc
from pathgen.moves.plan import Item
from pathgen.plan.turning.bench import CLEAR, JAWS_CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.by_file import filed
from pathgen.plan.turning.edges import FILING
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.grooves import CHATTER, CHIPS, SHANK_CLEAR
from pathgen.plan.turning.last_cuts import measured_by
from pathgen.plan.turning.plunging import OVERLAP
from pathgen.plan.turning.ways import NAN, across, along
from pathgen.reckon.edge_steps import Place, RoundEdge, StepsWanted, steps_along
from pathgen.shop.turning_tools import GROOVING, TurningTool

LEFT = 0.15  # mm that roughing leaves on a ball which a control then follows
ROUGH_CREST = 0.3  # mm over the ball, that of the roughing


def plan_ball_neck(neck: BallNeck, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations that make the back of a ball and its neck.

    Raises:
        Refusal: the crib has no blade for it, or the job does not say what may be filed.
    """
    tool = _blade(neck, bench)
    _guard_jaws(neck, bench)
    if bench.manual:
        yield _by_hand(neck, bench, tool)
        return
    places = corner_places(neck, LEFT, ROUGH_CREST)
    why = f"plunges that leave {bench.say(LEFT)} for the cut along the ball"
    yield _operation(neck, bench, tool, why, tuple(_plunged(neck, bench, tool, places)))
    yield _operation(neck, bench, tool, _called(neck, bench), _followed(neck, bench, tool))


def _blade(neck: BallNeck, bench: TurningBench) -> TurningTool:
    """Return the widest blade that goes between ball and shoulder, and reaches the neck.

    Raises:
        Refusal: the crib has none.
    """
    deep = neck.radius - neck.neck + SHANK_CLEAR
    room = neck.foot + neck.shoulder.middle
    fitting = [
        tool
        for tool in bench.tools
        if tool.kind in GROOVING and tool.reach >= deep and tool.width <= room
    ]
    if not fitting:
        raise Refusal(
            neck.where,
            f"cut a neck {bench.say(room)} long and {bench.say(deep)} deep with a blade",
            "put a [[turning_tool]] of kind grooving into the crib, no wider, with such a reach",
        )
    return max(fitting, key=lambda tool: tool.width)


def _guard_jaws(neck: BallNeck, bench: TurningBench) -> None:
    """Refuse a neck so near to the jaws that the blade's holder would come to them."""
    if -neck.shoulder.high - JAWS_CLEAR < bench.setup.jaws_at:
        need = JAWS_CLEAR + neck.shoulder.high + bench.setup.facing
        raise Refusal(
            bench.setup.where.at("hold"),
            f"cut a neck {bench.say(neck.shoulder.high)} from the faced end so near to the jaws",
            f"let the bar stand out {bench.say(need)} or more",
        )


def _guard_touch(neck: BallNeck, bench: TurningBench) -> None:
    """Refuse a ball whose diameter is not measured while another of its profile is.

    The blade is touched on it, and what the other is found to be off may be off here as well.
    """
    profile = next(e for e in bench.setup.features if isinstance(e, Turned) and e.name == neck.of)
    measured = [bool(measured_by(step.diameter, neck.of, bench)) for step in profile.steps]
    if any(measured) and not measured[0]:
        raise Refusal(
            profile.where.at("steps"),
            f"touch the blade of {neck.name!r} on a diameter that is not measured, another of"
            f" {neck.of!r} being so",
            "give its first diameter limits of its own, so that it is measured too",
        )


def corner_places(neck: BallNeck, off: float, crest: float) -> tuple[Place, ...]:
    """Return where the blade's right corner stops on the back of the ball, from its middle on.

    Seen from behind it is an edge like any: a sharp corner steps off the fewest places whose
    crests stay below a height; those that would go deeper than the neck are left out.
    """
    ball = RoundEdge(centre=(0.0, 0.0), radius=neck.radius, last_deg=90.0)
    wanted = StepsWanted(
        face=neck.radius,
        out=neck.radius,
        nose=0.0,
        approach_deg=90.0,
        off=off,
        crest=crest,
        deepest=neck.radius,
    )
    behind = [each for each in reversed(steps_along(ball, wanted)) if each[1] > neck.neck]
    at_neck = math.sqrt((neck.radius + off) ** 2 - neck.neck**2), neck.neck
    return tuple((neck.middle - back, x) for back, x in (*behind, at_neck))


def _plunged(
    neck: BallNeck, bench: TurningBench, tool: TurningTool, places: tuple[Place, ...]
) -> Iterator[Item]:
    """Yield the plunges: along the ball, each further left and deeper, then along the neck."""
    figures = _figures(neck, bench, tool)
    yield Note(text=CHATTER, caution=True)
    yield Note(text=CHIPS, caution=True)
    yield across(_off(neck), "in, over the diameter of the ball")
    for number, (right, x) in enumerate(places, start=1):
        what = f"right corner of the blade to the ball, {number} of {len(places)}"
        yield along(right - tool.width, what, makes_size=True)
        yield Feed(x, 0.0, NAN, figures.feed, How(makes="size", what="in"))
        yield across(_off(neck), "straight out")
    yield from _along_neck(neck, tool, figures, places[-1][0] - tool.width)
    yield across(bench.clear, "out, clear of the work")


def _along_neck(
    neck: BallNeck, tool: TurningTool, figures: TurningFigures, first: float
) -> Iterator[Item]:
    """Yield the plunges from the foot of the ball to the shoulder, ``first`` being done."""
    last = -neck.shoulder.middle
    count = math.ceil((first - last) / (OVERLAP * tool.width) - 1e-9)
    for number in range(1, count + 1):
        at = first + (last - first) * number / count
        yield along(at, f"left corner of the blade, neck {number} of {count}", makes_size=True)
        yield Feed(neck.neck, 0.0, NAN, figures.feed, How(makes="size", what="in, to the neck"))
        yield across(_off(neck), "straight out")


def _off(neck: BallNeck) -> float:
    """Return the x at which the blade goes along, over the diameter."""
    return neck.radius + CLEAR


def _figures(neck: BallNeck, bench: TurningBench, tool: TurningTool) -> TurningFigures:
    return bench.figures("parting", tool.material, 2 * neck.radius)


def _operation(
    neck: BallNeck, bench: TurningBench, tool: TurningTool, why: str, items: tuple[Item, ...]
) -> TurnedOperation:
    """Return one operation."""
    figures = _figures(neck, bench, tool)
    return TurnedOperation(
        purpose="groove",
        feature=neck.name,
        tool=tool,
        figures=figures,
        why=f"{why}; {figures.why}",
        items=items,
        touched=neck.land.middle,
    )


def _by_hand(neck: BallNeck, bench: TurningBench, tool: TurningTool) -> TurnedOperation:
    """Return the plunges on handles, and the filing."""
    _guard_touch(neck, bench)
    left = filed(neck.file_to_line, bench, neck.where, neck.name)
    places = corner_places(neck, left.rounded, left.crest)
    return _operation(
        neck,
        bench,
        tool,
        f"{_called(neck, bench)}, the ball in {len(places)} steps; no more than"
        f" {bench.say(left.granted)} stays over it",
        (
            *_plunged(neck, bench, tool, places),
            Note(text=FILING, caution=True),
            Note(text=_filed(neck, bench)),
        ),
    )


def _followed(neck: BallNeck, bench: TurningBench, tool: TurningTool) -> tuple[Item, ...]:
    """Return the cut along the ball by the blade's right corner, from its middle to the neck."""
    figures = _figures(neck, bench, tool)
    start = neck.middle - tool.width
    return (
        across(_off(neck), "in, over the diameter of the ball"),
        along(start),
        Feed(neck.radius, 0.0, start, figures.feed, How(what="to the middle of the ball")),
        TurnedArc(
            x=neck.neck,
            z=neck.foot - tool.width,
            centre_x=0.0,
            centre_z=start,
            outwards=True,
            feed=figures.feed,
            how=How(makes="size", what="along the ball, inwards to its neck"),
        ),
        across(bench.clear, "out, clear of the work"),
    )


def _called(neck: BallNeck, bench: TurningBench) -> str:
    """Return a ball's back and its neck in words."""
    return (
        f"the back of a ball of {bench.say(2 * neck.radius)} across, its neck"
        f" {bench.say(2 * neck.neck)} thick"
    )


def _filed(neck: BallNeck, bench: TurningBench) -> str:
    """Return how the steps are filed."""
    return (
        f"Marking-out dye on the steps of {neck.name}. File them off while the work turns, until"
        " the last of the dye in the corners just goes, and no further; near the neck with the safe"
        " edge of the file to it. Try the ball with a ring or a tube, its edge true and less wide"
        f" than {bench.say(2 * neck.radius)}: it touches all round, however it is laid on. Then"
        " polish."
    )
