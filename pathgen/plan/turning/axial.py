"""Holes on the axis: centred, drilled in steps, reamed, or tapped by hand from the tailstock."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import TypeAlias

from pathgen.input.where import Refusal, Where
from pathgen.job.turning.inside import LEAD_CHIPS, AxialHole
from pathgen.moves.actions import Note, Pause, Spindle, Touch, WorkBy, Zero
from pathgen.moves.moves import Drill, How, Term
from pathgen.moves.plan import Item, Purpose
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.ways import along
from pathgen.reckon.drill_series import Drill as SeriesDrill
from pathgen.reckon.drilling import DrillStep, Method, drilling_sequence, even_peck, opening_steps
from pathgen.reckon.oversize import drilled_oversize
from pathgen.shop.axial_tools import AxialKind, AxialTool

ON_RIM = 0.15  # mm that touching the rim of a hole leaves open; common practice, no source
ON_FACE = 0.05  # mm, of a pointed tool on the face
STEADY = 2.0  # pilots of a centre drill that it goes in by, where that is no deeper than its cone
WIDER = 0.9  # of the next drill: the mouth that a centre drill leaves, at most
AT_WALL = 0.02  # mm by which a depth differs close to the wall, where a drill's point begins
BRISK = 0.02  # mm above its size that a reamer may be

TRADES: dict[AxialKind, str] = {
    "centre drill": "spotting",
    "spotting drill": "spotting",
    "drill": "drilling",
    "reamer": "reaming",
}
BREAKING_OUT = (
    "Ease the feed as the drill breaks out; clear the chips with a brush, spindle stopped, never"
    " with the fingers. Hold the drill chuck's taper firmly home."
)
REAMING = "Ream slowly with oil, never turn the work backwards, and draw out with the work turning."
Found: TypeAlias = tuple[AxialTool, ...]
_Steps: TypeAlias = Callable[[Sequence[SeriesDrill]], Sequence[DrillStep]]


def plan_axial_hole(hole: AxialHole, bench: TurningBench) -> Iterator[TurnedOperation]:
    """Yield the operations of a hole on the axis.

    Raises:
        Refusal: no tools of the crib lead to it, or the lathe has nothing to hold them.
    """
    _guard_depth(hole, bench)
    reamer = _reamer(hole, bench) if hole.finish == "reamed" else None
    deep = bench.through if hole.depth is None else hole.depth.middle
    lower = 0.0 if reamer is None or hole.depth is None else reamer.point_length + LEAD_CHIPS / 2
    drills = _drills(hole, bench, reamer, deep + lower)
    yield from drilled(drills, deep + lower, bench, (hole.name, hole.where))
    if reamer is not None:
        yield sunk(
            reamer, deep + reamer.point_length, drills[-1].diameter, bench, (hole.name, hole.where)
        )
    if hole.tapping is not None:
        yield _tapped(hole, drills[-1], bench)


def drilled(
    drills: Found, deep: float, bench: TurningBench, of: tuple[str, Where]
) -> Iterator[TurnedOperation]:
    """Yield the centring and the drilling of a hole, each drill led by the one before.

    Args:
        drills: in their order.
        deep: how deep the last one goes at its full diameter, mm; the others as deep.
        bench: what there is.
        of: the feature's name, and its place for refusals.
    """
    centre = _centre_drill(drills[0], bench, of[1])
    into = min(STEADY * centre.pilot, _into(centre, WIDER * drills[0].diameter), deep)
    yield sunk(centre, into, 0.0, bench, of)
    mouth = centre.mouth_at(into)
    for drill in drills:
        yield sunk(drill, deep + drill.point_length, mouth, bench, of)
        mouth = drill.diameter


def _into(centre: AxialTool, mouth: float) -> float:
    """Return how deep a centre drill goes for a mouth, mm: down to its cone, or its pilot alone."""
    if mouth <= centre.pilot:
        return centre.edge[1][0] + centre.pilot / 2
    return centre.meets_rim(min(mouth, WIDER * centre.diameter))


def sunk(
    tool: AxialTool, tip: float, mouth: float, bench: TurningBench, of: tuple[str, Where]
) -> TurnedOperation:
    """Return one tool put in on the axis until its end is so deep, mm."""
    name, where = of
    _guard(tool, tip, bench, where)
    figures = bench.figures(TRADES[tool.kind], tool.material, tool.mouth_at(tip))
    peck = even_peck(tip, tool.diameter) if tool.kind == "drill" else None
    ream = tool.kind == "reamer"
    terms = [Term("depth at full diameter", -(tip - tool.point_length))]
    if tool.point_length:
        terms.append(Term("its lead" if ream else "its point", -tool.point_length))
    if tool.kind == "centre drill":
        terms = [Term("how deep its end goes", -tip)]
    how = How(makes="size", what=f"in, the {tool.name}", sums=(("z", tuple(terms)),))
    notes = [REAMING] if ream else [BREAKING_OUT] if tool.kind == "drill" else []
    return TurnedOperation(
        purpose=_purpose(tool),
        feature=name,
        tool=tool,
        figures=figures,
        why=f"{bench.say(tip)} deep with its end; {figures.why}",
        items=(
            *(Note(text=text, caution=True) for text in notes),
            Drill(0.0, 0.0, -tip, CLEAR, figures.feed, peck=peck or 0.0, feed_out=ream, how=how),
        ),
        still=() if bench.manual else (_in_line(tool),),
        zeros=_zeros(tool, mouth, figures.rpm),
        by=_by(bench),
    )


def _purpose(tool: AxialTool) -> Purpose:
    match tool.kind:
        case "centre drill" | "spotting drill":
            return "spot"
        case "drill":
            return "drill"
        case "reamer":
            return "ream"


def _by(bench: TurningBench) -> WorkBy | None:
    """Return what the tool is worked by on a lathe with handles: the quill alone."""
    return WorkBy(slides=(bench.quill.name,)) if bench.manual and bench.quill else None


def _guard(tool: AxialTool, tip: float, bench: TurningBench, where: Where) -> None:
    """Refuse a tool that does not reach, or that nothing holds."""
    assert bench.machine.lathe is not None
    if tip > tool.reach:
        raise Refusal(
            where,
            f"go {bench.say(tip)} deep with the {tool.name}, whose flutes are"
            f" {bench.say(tool.reach)} long",
            "put a longer one into the crib",
        )
    if bench.manual:
        _guard_quill(tip, bench, where)
    elif not bench.machine.lathe.drills_in_post:
        raise Refusal(
            where,
            f"drill on the axis of {bench.machine.title}: nothing that its control moves holds a"
            " drill",
            "say drills_in_post in its file if the post does, or use a lathe with a tailstock",
        )


def _guard_depth(hole: AxialHole, bench: TurningBench) -> None:
    """Refuse limits of a depth that no drill on this lathe keeps."""
    if hole.depth is None:
        return
    rounded = bench.quill.count / 2 if bench.quill is not None else 0.0
    between = 2 * (rounded + AT_WALL)
    if hole.depth.high - hole.depth.low < between:
        raise Refusal(
            hole.depth.where or hole.where,
            f"drill to a depth between limits {hole.depth.high - hole.depth.low:.3f} mm apart",
            f"give {math.ceil(between * 1000) / 1000:.3f} mm between them or more, or bore it",
        )


def _guard_quill(tip: float, bench: TurningBench, where: Where) -> None:
    """Refuse what the quill of the tailstock does not reach."""
    if bench.quill is None:
        raise Refusal(
            where,
            f"drill on the axis of {bench.machine.title}: its tailstock has no dial",
            "give the quill as a slide, and name it as `tailstock`",
        )
    travel = tip + 2 * CLEAR
    if bench.quill.travel < travel:
        raise Refusal(
            where,
            f"drill {bench.say(tip)} deep: the quill goes {bench.say(bench.quill.travel)}, of which"
            f" {bench.say(2 * CLEAR)} are air",
            "make the hole shallower, or from both ends",
        )


def _zeros(tool: AxialTool, mouth: float, rpm: float) -> tuple[Item, ...]:
    """Return how a tool on the axis finds its depth: on the face, or on the rim of a hole."""
    at = -tool.meets_rim(mouth)
    label = "right end: the face itself" if not at else "right end: its end inside the hole's rim"
    touch = Touch(
        face="right end",
        towards=-1,
        tool=tool.name,
        radius=0.0,
        paper=0.0,
        at=at,
        terms=(Term(label, at),),
        rpm=rpm,
    )
    within = ON_RIM if at else ON_FACE
    return (
        Zero(axis="z", touches=(touch,), uncertainty=within, why="z 0 is the faced end"),
        along(CLEAR, "off the end"),
    )


def _in_line(tool: AxialTool) -> Zero:
    """Return the setting of what holds the tool in line with the spindle, by an indicator."""
    touch = Touch(
        face="centre",
        towards=-1,
        tool=tool.name,
        radius=0.0,
        paper=0.0,
        at=0.0,
        terms=(Term("centre of the spindle", 0.0),),
    )
    return Zero(axis="x", touches=(touch,), uncertainty=0.0, why="x 0 is the axis")


# ---------------------------------------------------------------------- which tools


def _centre_drill(first: AxialTool, bench: TurningBench, where: Where) -> AxialTool:
    """Return the largest centre drill whose pilot is thinner than the first drill, or spots it."""
    centres = [tool for tool in bench.axial if tool.kind == "centre drill"]
    fitting = [tool for tool in centres if tool.pilot < first.diameter]
    if not fitting:
        raise Refusal(
            where,
            f"start the {first.name} on the axis: no centre drill in the crib has a thinner pilot",
            "put a [[centre_drill]] into the crib",
        )
    return max(fitting, key=lambda tool: tool.pilot)


def _of_kind(bench: TurningBench, kind: AxialKind) -> list[AxialTool]:
    return sorted((t for t in bench.axial if t.kind == kind), key=lambda tool: tool.diameter)


def _reamer(hole: AxialHole, bench: TurningBench) -> AxialTool:
    """Return the reamer of a hole.

    Raises:
        Refusal: the crib has none.
    """
    size = hole.diameter
    fitting = [t for t in _of_kind(bench, "reamer") if size.low <= t.diameter <= size.high]
    if not fitting:
        raise Refusal(
            hole.where.at("diameter"),
            f"ream to {bench.say(size.low)} to {bench.say(size.high)}: no such reamer in the crib",
            "put one into the crib, or bore it",
        )
    return min(fitting, key=lambda tool: abs(tool.diameter - size.middle))


def _drills(hole: AxialHole, bench: TurningBench, reamer: AxialTool | None, deep: float) -> Found:
    """Return the drills of a hole in order, that go so deep at their full diameter, mm.

    Raises:
        Refusal: the crib has none that lead to it.
    """
    if reamer is not None:
        return drills_to(reamer.diameter, "ream", bench, hole.where.at("diameter"), deep)
    size = hole.diameter
    fitting = [
        tool
        for tool in _of_kind(bench, "drill")
        if size.low <= tool.diameter
        and tool.diameter + (0.0 if hole.tapping else drilled_oversize(tool.diameter)) <= size.high
    ]
    if not fitting:
        raise Refusal(
            hole.where.at("diameter"),
            f"drill to {bench.say(size.low)} to {bench.say(size.high)}: no drill of the crib does,"
            " with what drills cut over their size",
            "give wider limits, ream or bore it, or put such a drill into the crib",
        )
    last = min(fitting, key=lambda tool: (abs(tool.diameter - size.nominal), not _own(tool, bench)))
    (as_series,) = _as_series([last])
    return _chosen(bench, hole.where, lambda held: opening_steps(as_series, held), deep, last)


def drills_to(
    size: float,
    method: Method,
    bench: TurningBench,
    where: Where,
    deep: float,
    *,
    own: bool = True,
) -> Found:
    """Return the drills that lead to a diameter that is then bored or reamed, in their order.

    Args:
        size: the diameter, mm.
        method: what follows.
        bench: what there is.
        where: the place for refusals.
        deep: how deep they go at their full diameter, mm.
        own: whether those of the job's units are to be taken where they lead to it.

    Raises:
        Refusal: the crib has none that lead to it.
    """

    def steps(held: Sequence[SeriesDrill]) -> Sequence[DrillStep]:
        return drilling_sequence(size, drills=held, method=method)

    return _chosen(bench, where, steps, deep, own=own)


def _chosen(
    bench: TurningBench,
    where: Where,
    steps: _Steps,
    deep: float,
    *last: AxialTool,
    own: bool = True,
) -> Found:
    """Return the drills of reckoned steps: such as reach, and in the job's units, if they do.

    Where none that reach lead to the hole, the one that is too short is named when it is sunk.
    """
    every = _of_kind(bench, "drill")
    long = [tool for tool in every if deep + tool.point_length <= tool.reach]
    known = {tool.name: tool for tool in every}
    wrong: ValueError | None = None
    of_units = [[tool for tool in long if _own(tool, bench)]] if own else []
    for held in (*of_units, long, every):
        try:
            names = [step.drill.name for step in steps(_as_series(held)) if step.drill is not None]
        except ValueError as error:
            wrong = error
            continue
        return (*(known[name] for name in names), *last)
    raise Refusal(where, f"no drills of the crib lead to this hole: {wrong}", "put it there")


def _own(tool: AxialTool, bench: TurningBench) -> bool:
    """Return whether a drill is named in the job's units."""
    return (" mm" in tool.name) == (bench.job.units == "mm")


def _as_series(tools: list[AxialTool]) -> list[SeriesDrill]:
    return [SeriesDrill(name=t.name, series="metric", diameter=t.diameter) for t in tools]


# ---------------------------------------------------------------------- tapping


def _tapped(hole: AxialHole, drill: AxialTool, bench: TurningBench) -> TurnedOperation:
    """Return the stop at which a hole is tapped by hand, the tap led by the tailstock."""
    assert hole.tapping is not None
    thread = hole.tapping.thread
    deep = "through" if hole.tapping.depth is None else f"{bench.say(hole.tapping.depth)} deep"
    turns = "" if hole.tapping.depth is None else f", {hole.tapping.depth / thread.pitch:.0f} turns"
    reason = (
        f"Tap {thread.designation} {deep}{turns}: spindle stopped and its drive disengaged; taper"
        " tap first, its square end led by the tailstock's centre, which follows it by hand; turn"
        " the tap by its wrench and the chuck held by hand, half a turn back each turn to break the"
        " chips, oil on it. Never start the spindle with the tap in the work."
    )
    return TurnedOperation(
        purpose="tap",
        feature=hole.name,
        tool=drill,
        figures=TurningFigures(rpm=0.0, feed=0.0, why=""),
        why=f"{thread.designation}, by hand, the spindle stopped",
        items=(Spindle(rpm=0.0), Pause(reason=reason)),
        zeros=(),
        by=_by(bench),
    )
