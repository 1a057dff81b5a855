"""What comes before the first cut of turned work, and how each tool finds its zeros."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import assert_never

from pathgen.input.where import Refusal
from pathgen.job.dies import DieThread
from pathgen.job.grooves import Groove
from pathgen.job.inside import AxialHole, Bored, Recess, depth_of
from pathgen.job.knurls import Knurl
from pathgen.job.screwed import Screwed
from pathgen.job.sizes import Size
from pathgen.job.turned import OVERHANG, Parted, Turned, TurnedFeature, TurnedSetup
from pathgen.job.turned_edges import Crown, TurnedEdge
from pathgen.moves.actions import Clamp, Note, Touch, Zero
from pathgen.moves.moves import Term
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.turning.bench import CLEAR, TurnedOperation, TurningBench, leaves_open
from pathgen.plan.turning.outside import TOUCHED, across, along, end_touched
from pathgen.plan.turning.parting import bored_at
from pathgen.reckon.screw_cutting import flank_beside
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide
from pathgen.shop.turning_tools import TurningTool

IN_CORNER = 0.1  # mm under the outside, where a threading tool touches the end
BY_POINT = 0.3  # mm that touching with it leaves open along the axis; common practice, no source
RUN_UP = 3 * CLEAR  # mm of travel to the right of the faced end
LONG = 25.0  # mm: to change over for shorter cuts is not worth it; common practice, no source
FOUR = 4  # jaws of a chuck that is set by an indicator
RUNS_TRUE = 0.02  # mm, in all, of work that is set by an indicator; common practice, no source
SHARE = 0.7  # of half a tolerance of length that a dial may leave open
STARTING = (
    "Take the chuck key out before letting go of it, and turn the spindle by hand once round: "
    "jaws, work, tool and slides clear of one another. Never measure or touch turning work."
)
SWARF = (
    "Long curling chips cut deep: stop the lathe, then pull them off with a hook; never with the "
    "fingers or a rag."
)
LOCKED = "Nip the locks of slides that stand still; wind one handle at a time."


def slides_for(setup: TurnedSetup, machine: Machine) -> tuple[str, ...]:
    """Return the names of the slides that a setup is done with: the cross slide, and one along.

    Of those along the axis the one that tells lengths the finest, of those that go far enough.

    Raises:
        Refusal: none does.
    """
    assert machine.lathe is not None
    if not machine.manual:
        return ()
    ends = [end for each in setup.features if (end := _end(each)) is not None]
    span = -min(ends, default=0.0) + RUN_UP + setup.facing
    lengths = [size for each in setup.features for size in _lengths(each)]
    if setup.round is not None:
        lengths.append(setup.round.length)
    half = min((size.high - size.low) / 2 for size in lengths) * SHARE
    lengthwise = [
        slide
        for slide in machine.slides
        if slide.axis == "z" and slide.name != machine.lathe.tailstock
    ]
    reaching = [slide for slide in lengthwise if slide.travel >= span]
    finest = min(reaching, key=leaves_open, default=None)
    if finest is not None and leaves_open(finest) <= half:
        return machine.slide("x").name, finest.name
    names = " or ".join(slide.name for slide in lengthwise)
    raise Refusal(
        setup.where,
        f"set lengths to within {2 * half / SHARE:.3f} mm over {span:.1f} mm by the {names}",
        "give wider limits to the lengths (and more as file_to_line to edges in steps), or use a"
        " lathe with a finer dial along its axis",
    )


def carriage_for(setup: TurnedSetup, machine: Machine, slides: tuple[str, ...]) -> Slide | None:
    """Return the slide that roughs by its power feed in place of the one that sets lengths.

    None where that one has a power feed itself, or where the cuts are too short to change over.
    """
    if not slides or machine.lathe is None:
        return None
    own = machine.slide_named(slides[1])
    end = max((-each.end for each in setup.features if isinstance(each, Turned)), default=0.0)
    if end < LONG or (own is not None and own.power_a_turn):
        return None
    fitting = (
        slide
        for slide in machine.slides
        if slide.axis == "z" and slide.power_a_turn and slide.travel >= end + RUN_UP
    )
    return next(fitting, None)


def _end(feature: TurnedFeature) -> float | None:
    """Return the z to which the post takes a tool for a feature, mm; None where nothing says."""
    match feature:
        case Turned():
            return feature.end
        case Parted():
            return -feature.length.high
        case Screwed():
            return feature.end
        case Bored() | Recess():
            deep = depth_of(feature)
            return None if deep is None else -deep
        case AxialHole() | TurnedEdge() | Groove() | Knurl() | DieThread():
            return None
        case _:
            assert_never(feature)


def _lengths(feature: TurnedFeature) -> Iterator[Size]:  # noqa: C901 - a case a kind
    """Yield the lengths of a feature that are set along the axis by the post."""
    match feature:
        case Turned():
            yield from (step.to for step in feature.steps)
        case Parted():
            yield feature.length
        case Bored():
            yield from (step.to for step in feature.steps if step.to is not None)
        case Recess():
            yield from (feature.start, feature.width)
        case Knurl():
            yield from (feature.start, feature.width)
        case Groove():
            yield feature.width
            if not feature.foot:
                yield feature.right
        case TurnedEdge(file_to_line=granted):
            if granted is not None:  # else refused where it is planned
                yield Size(nominal=0.0, low=0.0, high=granted, basis="what may be filed")
        case AxialHole() | Screwed() | DieThread():
            return
        case _:
            assert_never(feature)


def guard_overhang(bench: TurningBench) -> None:
    """Refuse work that stands out too far without a centre."""
    most = OVERHANG * bench.job.held(bench.setup)
    if bench.setup.hold.stick_out > most:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"turn work that stands out {bench.say(bench.setup.hold.stick_out)} without a centre:"
            f" more than {OVERHANG:g} diameters",
            f"let no more than {bench.say(most)} stand out",
        )


def guard_chuck(bench: TurningBench) -> None:
    """Refuse a bar that the chuck does not hold, or that the lathe does not swing."""
    diameter, chuck = bench.job.held(bench.setup), bench.chuck
    assert bench.machine.lathe is not None
    if not chuck.least <= diameter <= chuck.most:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"hold a bar of {bench.say(diameter)} in the {chuck.name} chuck, which takes"
            f" {bench.say(chuck.least)} to {bench.say(chuck.most)}",
            "use another chuck",
        )
    inside = bench.job.blank.length - bench.setup.hold.stick_out
    if inside > chuck.jaw_length and diameter > bench.machine.lathe.spindle_bore:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"put {bench.say(inside)} of a bar of {bench.say(diameter)} into the chuck: it does not"
            f" go into the spindle, and the jaws are {bench.say(chuck.jaw_length)} long",
            f"saw the bar to {bench.say(bench.setup.hold.stick_out + chuck.jaw_length)} or less",
        )


def before_items(bench: TurningBench) -> tuple[Item, ...]:
    """Return the cautions and the clamping."""
    told = [cautions.INSTRUCTION, cautions.DRESS, STARTING, SWARF]
    told.append(LOCKED if bench.manual else cautions.PROGRAM)
    blank, hold = bench.job.blank, bench.setup.hold
    what = (
        f"Blank: {blank.material} bar, {bench.say(blank.diameter)} across and"
        f" {bench.say(blank.length)} long as measured."
    )
    held: tuple[str, ...] = (f"Hold it in the {hold.chuck} chuck, running true.",)
    if bench.setup.round is not None:
        what = f"The part as it came from the setup before, about {bench.say(blank.length)} long."
        held = _held_round(bench)
    lines = [
        what,
        *(hold.lines or held),
        f"Let {bench.say(hold.stick_out)} stand out of the jaws.",
        *(_slide_lines(bench) if bench.manual else ()),
    ]
    return (
        *(Note(text=text, caution=True) for text in told),
        Clamp(lines=tuple(lines)),
    )


def _held_round(bench: TurningBench) -> tuple[str, ...]:
    """Return how a part is held that was turned round."""
    packing = "Soft packing of even thickness, copper or aluminium, between the jaws and the work."
    true = (
        "Turn it by hand against an indicator on a finished diameter: what is turned now lies off"
        " the axis of what was turned before by half of what the needle goes from end to end."
    )
    if bench.chuck.jaws == FOUR:
        true = (
            "Set the four jaws by an indicator on a finished diameter, opposite jaws in turn, until"
            f" the needle goes {bench.say(RUNS_TRUE)} or less in a turn of the work."
        )
    hold = f"Turn it round; hold it in the {bench.chuck.name} chuck on"
    return (
        f"{hold} the diameter of {bench.say(bench.job.held(bench.setup))}.",
        packing,
        true,
    )


def _slide_lines(bench: TurningBench) -> Iterator[str]:
    """Yield how the slides are set that the setup is done without."""
    used = bench.machine.slide("z").name
    yield (
        f"Lengths are set by the {used}: whatever else goes along the axis is locked where it"
        " stands, the compound set along the axis, until all is done or the steps say otherwise."
    )


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
    found_as = "" if operation.faced or bench.setup.round is None else "L1"
    yield end_touched(operation.tool.name, rpm, at, label, found_as)
    yield along(at + CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def _on_the_end(operation: TurnedOperation, bench: TurningBench) -> float:
    """Return the x at which the right end is touched, mm: half-way between its hollow and its rim.

    Of what is turned and bored at some time in the setup, so that it does whenever it is done.
    """
    if not operation.faced:
        return operation.touched / 4
    hollow = min(bored_at(bench, 0.0), bench.outside)
    outside = min(bench.outside, operation.touched / 2)
    at = (hollow + outside) / 2
    tool = operation.tool
    if isinstance(tool, TurningTool) and tool.kind == "knurling":  # what holds its wheels is wider
        return max(at, outside - tool.reach / 2)
    return at


def changed_over_items(operation: TurnedOperation, bench: TurningBench) -> Iterator[Item]:
    """Yield how another slide along the axis finds its zero, the tool being left as it is."""
    yield across(bench.outside / 2, "in, between the middle and the rim")
    yield end_touched(operation.tool.name, operation.figures.rpm, 0.0, "the faced end")
    yield along(CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def _by_its_point(
    tool: TurningTool, operation: TurnedOperation, bench: TurningBench
) -> Iterator[Item]:
    """Yield how a threading tool is touched on the corner of the end: it has no square edge."""
    height = IN_CORNER + IN_CORNER / 2  # the work may be a little thicker than the dial has it
    at = flank_beside(height, tool.nose_radius, tool.point_deg) - tool.nose_radius
    yield across(operation.touched / 2 - IN_CORNER, "in, its point a little under the outside")
    touch = end_touched(tool.name, operation.figures.rpm, at, "its corner, the point beside it")
    yield replace(touch, uncertainty=BY_POINT if operation.faced else 0.0)
    yield along(at + CLEAR, "off the end")
    yield across(bench.clear, "out, clear of the work")


def _touched(operation: TurnedOperation, bench: TurningBench, rpm: float) -> Zero:
    """Return the touch on the outside."""
    bar = operation.touched == bench.job.blank.diameter
    skimmed = any(isinstance(each, Turned) for each in bench.setup.features)
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
        found_as="" if operation.faced or not skimmed else "M1",
    )
    return Zero(axis="x", touches=(touch,), uncertainty=TOUCHED, why="x 0 is the axis")


def _knurled(bench: TurningBench, diameter: float) -> bool:
    """Return whether there is a knurl on a diameter, mm: it swells, and is no place to touch."""
    knurls = [each for each in bench.setup.features if isinstance(each, Knurl)]
    return any(each.land.middle == diameter for each in knurls)


def after_items(bench: TurningBench) -> tuple[Item, ...]:
    """Return what is done once the last cut is made."""
    return (
        Note(text=cautions.BURRS, caution=True),
        Note(
            text="Break every edge: a file with its handle on, held in the left hand, or a scraper;"
            f" {bench.say(0.2)} is enough."
        ),
    )
