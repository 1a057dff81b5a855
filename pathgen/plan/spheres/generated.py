"""Dishes and domes cut by a fly cutter, the work turning about a tilted axis."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from pathgen.input.where import Refusal
from pathgen.job.gone import openings
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import Measure, Note
from pathgen.moves.moves import Axis, Feed, How, Move, Rapid, Rule, Term, TurnWork
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.cutting import cutting
from pathgen.plan.heights import ABOVE_CHIPS
from pathgen.plan.spheres.fly_setting import Chosen, choose
from pathgen.plan.spheres.generated_setting import NAN, Work, set_up, tilted
from pathgen.reckon.sphere_errors import Setting
from pathgen.reckon.sphere_steps import (
    FLY_DEPTHS,
    FLY_FEEDS,
    chord_at,
    depth_by_chord,
    depth_of_dome_rim,
    even_chip_depths,
)
from pathgen.reckon.spheres import sign

FINISH = 0.15  # mm of depth left for the last cut (common practice, no source)
SKIN = 0.1  # mm that the top of a dome lies below the face, so that it comes clean
QUICKEST = 360.0  # degrees a minute that work is turned by hand (common practice, no source)
OUT_BY = 0.06  # mm of depth that a roughed dish may be out and still be finished
OUT_SHARE = 1 / 6  # of the depth, at most: beyond, the last pair would not follow in proportion
WHOLE_FACE = 2.0  # mm about the middle of the face that have to be there for the first touch
WHOLE = 360.0
CHORD = "M1"  # the measuring of the chord before the last cut
MEASURED = 3  # decimals of a mm that a chord is asked for


def plan_generated(sphere: Sphere, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that cut a dish or dome by a fly cutter.

    Raises:
        Refusal: the machine, the crib or the setup cannot do it; says what would.
    """
    _refuse_places(sphere, bench)
    chosen = choose(sphere, bench)
    wide = replace(chosen.cutter, diameter=chosen.setting.sweep)
    figures = cutting(bench.machine, wide, bench.material, "fly cutting")
    rough, finish = _depths(sphere, bench, chosen)
    work = Work(
        sphere=sphere, bench=bench, chosen=chosen, figures=figures, rough=rough, finish=finish
    )
    return (*_roughed(work), _finished(work))


def _refuse_places(sphere: Sphere, bench: Bench) -> None:
    """Refuse an axis that x and y do not find, a middle that is gone, dials that are not set."""
    import shapely  # noqa: PLC0415 - heavy

    if any(abs(each) > 1e-9 for each in sphere.at):
        raise Refusal(
            sphere.where.at("at"),
            "turn the work about an axis that is not where x and y are zero",
            "put the zeros of x and y, the middle of two faces, where the axis of "
            f"{sphere.name!r} is",
        )
    gone = openings(bench.job, bench.setup)
    if gone is not None and gone.distance(shapely.Point(0.0, 0.0)) < WHOLE_FACE:
        raise Refusal(
            sphere.where,
            f"find the first touch of {sphere.name!r} in the middle of the {bench.upper}, which is "
            "gone already",
            "cut it first, and what goes through its middle after it",
        )
    for axis in ("x", "z"):
        slide = bench.machine.slide(axis) if bench.machine.manual else None
        if slide is not None and not slide.resettable:
            raise Refusal(
                sphere.where,
                f"zero the {slide.name} anew with the work tilted: its dial cannot be set",
                "use a machine whose dials can be set",
            )


def _depths(sphere: Sphere, bench: Bench, chosen: Chosen) -> tuple[tuple[float, ...], float]:
    """Return the depths of the roughing cuts and of the last, along the work's axis; mm."""
    most = sphere.ways.depth_of_cut or FLY_DEPTHS[bench.machine.rigidity]
    radius = chosen.setting.radius
    if sphere.form == "dish":
        finish = chosen.setting.depth
        left = min(FINISH, finish / 2)
        return even_chip_depths(radius, finish - left, most), finish
    drop = depth_of_dome_rim(radius, 2 * chosen.corner)
    finish = SKIN
    way = drop + finish - FINISH
    count = max(1, math.ceil(way / most - 1e-9))
    return tuple(-drop + way * step / count for step in range(1, count + 1)), finish


# ---------------------------------------------------------------- cuts


def _roughed(work: Work) -> Iterator[Operation]:
    """Yield the roughing: cut by cut deeper along the work's axis, a whole turn each."""
    first = (0.0 if work.sphere.form == "dish" else work.rough[0]) if work.rough else 0.0
    at = work.place(min(first, 0.0))
    moves: list[Move] = [
        Rapid(0.0, 0.0, work.clear, How(what="over the middle of the work")),
        Rapid(at[0], 0.0, NAN, How(makes="size", what="where the first cut begins")),
        Rapid(at[0], 0.0, at[1] + ABOVE_CHIPS, How(what="down in the air, just above the metal")),
    ]
    for number, deep in enumerate(work.rough, start=1):
        label = f"cut {number} of {len(work.rough)}"
        moves.extend(_pair_and_turn(work, deep, at, label))
        at = work.place(deep)
    moves.append(Rapid(at[0], 0.0, work.clear, How(what="up clear")))
    control = work.bench.machine.control
    at_stops = control is not None and control.rotary == "none"
    stops = (cautions.TURNED_AT_A_STOP,) if at_stops else ()
    yield Operation(
        purpose="rough",
        cutter=work.chosen.cutter,
        cutting=work.figures,
        why=_why(work),
        moves=tuple(moves),
        before=tilted(work),
        zeroed=set_up(work),
        depth_of_cut=_deepest_step(work),
        notes=(cautions.FLY_CUTTING, cautions.WORK_TURNS, *stops),
    )


def _finished(work: Work) -> Operation:
    """Return the last cut, and a spring turn at the same setting."""
    before = work.rough[-1]
    at, x = work.place(before), work.place(work.finish)[0]
    back = at[1] + ABOVE_CHIPS
    rules = _rules(work, before)
    beside = tuple(rule for rule in rules if rule.axis == "x")
    moves: list[Move] = [
        Rapid(at[0], 0.0, back, How(what="down again, just above the last cut")),
        *_pair_and_turn(work, work.finish, at, "last cut", rules),
        _turn(work, work.finish, "spring turn, nothing set deeper"),
        Rapid(x, 0.0, work.clear, How(what="up clear", rules=beside)),
    ]
    return Operation(
        purpose="finish",
        cutter=work.chosen.cutter,
        cutting=work.figures,
        why="the last cut and a spring turn, for the surface",
        moves=tuple(moves),
        before=_measured(work, before),
    )


def _rules(work: Work, before: float) -> tuple[Rule, ...]:
    """Return how the last pair follows the chord that is measured before it, worked by hand.

    A chord found wider tells that the first touch was taken so much too deep: what is left along
    the work's axis is less by as much, and both slides go so much less far.
    """
    if not _follows(work):
        return ()
    less = depth_by_chord(work.setting.radius, before)
    x, z = (each * -less for each in work.place(1.0))
    factors: dict[Axis, float] = {"x": x, "z": z}
    return tuple(
        Rule(axis=axis, measure=CHORD, factor=factor) for axis, factor in factors.items() if factor
    )


def _follows(work: Work) -> bool:
    """Return whether the last pair follows a measured chord: of a dish, by hand."""
    return work.sphere.form == "dish" and work.bench.machine.manual


def _pair_and_turn(
    work: Work,
    deep: float,
    before: tuple[float, float],
    label: str,
    rules: tuple[Rule, ...] = (),
) -> Iterator[Move]:
    """Yield the pair of readings for a depth, sideways first, and one slow whole turn.

    Sideways first, the circle stays within what is to be cut: it is drawn back along the spindle.
    """
    x, z = work.place(deep)
    feed = work.figures.feed
    beside = tuple(rule for rule in rules if rule.axis == "x")
    sideways = How(
        makes="size",
        what=f"{label}: sideways first",
        sums=_sum_of(work, deep, "x"),
        rules=beside,
    )
    down = How(
        makes="size", what=f"{label}: then deeper", sums=_sum_of(work, deep, "z"), rules=rules
    )
    if not work.bench.machine.manual:  # both at once go along the work's axis
        together = How(makes="size", what=label)
        yield Feed(x, 0.0, z, feed, together)
    elif abs(x - before[0]) > 1e-9:
        yield Feed(x, 0.0, NAN, feed, sideways)
    if work.bench.machine.manual:
        yield Feed(x, 0.0, z, feed, down)
    yield _turn(work, deep, label)


def _sum_of(work: Work, deep: float, axis: Axis) -> tuple[tuple[Axis, tuple[Term, ...]], ...]:
    """Return where a reading comes from: the depth along the work's axis, resolved."""
    x, z = work.place(deep)
    value = x if axis == "x" else z
    label = f"{work.bench.say(deep)} along the work's axis, at {work.setting.tilt_deg:g} degrees"
    return ((axis, (Term(label, value),)),)


def _turn(work: Work, deep: float, label: str) -> TurnWork:
    """Return one slow whole turn of the work, with the chord that it leaves."""
    radius = work.setting.radius
    say = work.bench.say
    if work.sphere.form == "dish":
        wide = chord_at(radius, deep)
        told = f"{label}: {say(deep)} deep; the chord is {say(wide)} after it"
    else:
        wide = work.setting.chord
        told = f"{label}: the top {say(-deep)} above the face" if deep < 0 else f"{label}"
    feed = FLY_FEEDS["rough" if deep in work.rough else "finish"] * work.figures.rpm
    rate = min(WHOLE * feed / (math.pi * wide), QUICKEST)
    return TurnWork(
        f"the {work.tilt.name}, {work.tilt.turned_by}", 0.0, WHOLE, rate, how=How(what=told)
    )


def _measured(work: Work, deep: float) -> tuple[Item, ...]:
    """Return the measuring of the chord of a roughed dish, before the last cut."""
    if work.sphere.form == "dome":
        return ()
    radius, out = work.setting.radius, min(OUT_BY, OUT_SHARE * deep)
    return (
        Measure(
            name=CHORD,
            what=f"chord of {work.sphere.name} across the face",
            expected=round(chord_at(radius, deep), MEASURED),
            low=round(chord_at(radius, deep - out), MEASURED),
            high=round(chord_at(radius, deep + out), MEASURED),
            found_by="first touch" if _follows(work) else "nothing",
            advice="measure the depth too, and see by the command below what is out",
        ),
        Note(text=_true_radius(work)),
    )


def _true_radius(work: Work) -> str:
    """Return the command that tells the true radius and what to correct, its figures filled in."""
    setting = work.setting
    sweep, nose = (work.bench.say(each).replace(" ", "") for each in (setting.sweep, setting.nose))
    return (
        "Whether the radius comes right: measure the depth beside any pip in the middle as well, "
        "and how wide the pip is. `pathgen reckon sphere-found --chord CHORD --depth DEPTH --pip "
        f"PIP --tilt {setting.tilt_deg:g} --sweep {sweep} --nose {nose}` tells the radius as it is "
        "cut and what of tilt, sweep and centring to correct; go on only once it agrees."
    )


def _deepest_step(work: Work) -> float:
    """Return the deepest single step of the slide that takes depth, while it cuts metal; mm."""
    depths = (0.0, *work.rough) if work.sphere.form == "dish" else work.rough
    heights = [min(work.place(deep)[1], 0.0) for deep in depths]
    return max((above - below for above, below in pairwise(heights)), default=0.0)


def _why(work: Work) -> str:
    """Return what is generated, and how."""
    say, setting = work.bench.say, work.setting
    steps = len(work.rough) + 1
    made = generated(setting)
    return (
        f"radius {say(setting.radius)} by a sweep of {say(setting.sweep)} at {setting.tilt_deg:g} "
        f"degrees ({made}); {steps} cuts, each a pair of readings and one whole turn of the work"
    )


def generated(setting: Setting) -> str:
    """Return the sum that gives the radius, in words."""
    nose = ""
    if setting.nose:
        nose = " + nose" if sign(setting.form) > 0 else " - nose"
    return f"radius of the nose's circle / sin{nose}"
