"""Holding the blank and finding the zeros: the actions before the first cut."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.units import Units, figure, spoken
from pathgen.input.where import Refusal
from pathgen.job.apart import stretches
from pathgen.job.frame import Face
from pathgen.job.job import Datum, Job, JobSetup, Keepout, Picked
from pathgen.moves.actions import Clamp, FitTouching, Note, Touch, Zero
from pathgen.moves.moves import Axis, How, Rapid, Term
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.bench import Bench
from pathgen.plan.lying import carried_notes, lying_lines
from pathgen.plan.places import touch_place
from pathgen.plan.reaching import Nose, head_set, raised
from pathgen.plan.set_over import in_the_work, set_over_lines
from pathgen.plan.shaft_setting import past_the_middle, shaft_lines, touching_notes
from pathgen.plan.table.setting import laid_true, rotary_of, table_lines
from pathgen.shop.machines import Machine

LEAST_CLEAR = 3.0  # mm above the work for crossing by hand or at rapid
FINDER_SPEED = 1000.0  # rev/min for an edge finder that kicks; common practice, no source
ABOVE_CLAMPS = 3.0  # mm above the highest clamp


def clear_plane(setup: JobSetup, machine: Machine) -> float:
    """Return the z at which the cutter may cross anything, mm: for a handle, in whole turns."""
    highest = max((keepout.high[2] for keepout in setup.hold.keepouts), default=0.0)
    wanted = max(LEAST_CLEAR, highest + ABOVE_CLAMPS)
    if not machine.manual:
        return max(5.0, wanted)
    per_turn = machine.slide("z").per_turn
    return math.ceil(wanted / per_turn - 1e-9) * per_turn


def hand_plane(machine: Machine, clear: float, lowest: float = 0.0) -> float:
    """Return the z to go up to for hands, mm: room to measure or to change the cutter.

    Args:
        machine: whose file says how much they want, and how far it goes.
        clear: the clear plane, z; mm.
        lowest: the lowest place that the cutter goes to, z; mm.
    """
    return clear + machine.room_for_hands(clear, lowest)


def sides(setup: JobSetup, machine: Machine) -> tuple[tuple[Axis, int], ...]:
    """Return from which side positions are reached: the way of the (first) touch; z going down."""
    tilt = machine.tilt if machine.manual and setup.spheres else None
    return (
        # under a fly cutter x goes one way from the first touch on: deeper
        ("x", _comes(setup, machine, "x") if tilt is None else -tilt.side),
        ("y", _comes(setup, machine, "y")),
        ("z", -1),
    )


def _comes(setup: JobSetup, machine: Machine, axis: Axis) -> int:
    """Return which way positions of an axis are come to."""
    picked = setup.datum(axis).picked
    if picked is not None and picked.indicator:
        return machine.slide(axis).rise if machine.manual else 1
    return setup.touched_going(axis, _faces(setup, machine, axis)[0])


def _faces(setup: JobSetup, machine: Machine, axis: Axis) -> tuple[Face, ...]:
    """Return the faces of a datum in the order of touching.

    Of two, the one first that is come to while the dial's figures rise, so that the person counts
    upwards from the first touch.
    """
    faces = setup.datum(axis).faces
    if len(faces) == 1 or not machine.manual:
        return faces
    rise = machine.slide(axis).rise
    return tuple(sorted(faces, key=lambda face: setup.touched_going(axis, face) != rise))


def setting_items(
    job: Job, setup: JobSetup, machine: Machine, zeros: tuple[Item, ...]
) -> tuple[Item, ...]:
    """Return the cautions, the clamping and the zeros of x and y, which are given."""
    told = [*cautions.EVERY_SETUP, cautions.without_locks(machine)]
    if not machine.manual:
        told.append(cautions.PROGRAM)
    first = [Note(text=text, caution=True) for text in told if text]
    lines = (*clamp_lines(job, in_the_work(job, setup)), *set_over_lines(job, setup))
    held: tuple[Item, ...] = (Clamp(lines=lines), *carried_notes(job, setup))
    if job.blank.is_shaft:
        held = (*held, *touching_notes(job))
    if setup.table is None:
        return (*first, *held, *zeros, *_kept_depth(setup, machine))
    on_table = Clamp(lines=table_lines(setup, rotary_of(setup, machine)))
    laying = laid_true(setup, job.blank_box(setup), finder_speed(machine), held, job.units)
    return (*first, on_table, *zeros, *laying)


def zeros_across(bench: Bench, nose: Nose | None) -> tuple[Item, ...]:
    """Return how the zeros of x and y are found, the head set to a height before if it has one."""
    job, setup, machine = bench.job, bench.setup, bench.machine
    head = () if nose is None else head_set(nose, bench, setup.datum_x.tool)
    knee = raised(machine, bench.hand)
    other = _fitted(setup.datum_y, setup.datum_x)
    return (
        *head,
        *_fitted(setup.datum_x, None),
        *knee,
        _zero(job, setup, machine, "x"),
        *_along_the_face(job, setup, machine),
        *other,
        *(knee if other else ()),
        _zero(job, setup, machine, "y"),
    )


def _fitted(datum: Datum, before: Datum | None) -> tuple[Item, ...]:
    """Return the fitting of what touches, unless it is in the spindle from the datum before."""
    diameter = datum.tool_diameter or 0.0
    if before is not None and (before.tool, before.tool_diameter) == (datum.tool, diameter):
        return ()
    return (FitTouching(name=datum.tool, diameter=diameter),)


def _kept_depth(setup: JobSetup, machine: Machine) -> tuple[Item, ...]:
    """Return the depth zero that holds for all cutters, where the control keeps their lengths."""
    if machine.control is None or not machine.control.tool_length:
        return ()
    zero = depth_zero(setup, "the end of any cutter, its length in force", None)
    return (replace(zero, why="it holds for every cutter whose length is in the control's table"),)


def _along_the_face(job: Job, setup: JobSetup, machine: Machine) -> tuple[Item, ...]:
    """Return the move from the zero of x, a corner of the blank as a rule, to beside its face."""
    x, y = setup.datum_x.picked, setup.datum_y.picked
    if y is not None:
        if not machine.manual or (x is not None and x.feature == y.feature):
            return ()
        return (Rapid(y.beside, math.nan, math.nan, How(what=f"over the middle of {y.feature}")),)
    place = touch_place(job, setup, setup.datum_y.tool_diameter or 0.0)
    if not machine.manual or place is None:
        return ()
    how = How(what="well along the face that is touched next, off the corner")
    return (Rapid(place[0], math.nan, math.nan, how),)


def clamp_lines(job: Job, setup: JobSetup) -> tuple[str, ...]:
    """Return how the blank is held: the job's own lines, and what follows from its figures."""
    hold, units = setup.hold, job.units
    lines = list(shaft_lines(job, setup) if job.blank.is_shaft else _bar_lines(job, setup))
    if hold.beneath > 0:
        lines.append(
            f"Leave {spoken(hold.beneath, units)} of air under the places that are cut through."
        )
    up = setup.lie.called(setup.lie.up)
    lines.extend(
        _keepout_line(keepout, up, units) for keepout in hold.keepouts if keepout.high[2] > 0
    )
    return tuple(lines)


def _bar_lines(job: Job, setup: JobSetup) -> Iterator[str]:
    """Yield what a rectangular blank is, how it lies and is held, and what lies beneath it."""
    blank, hold, units = job.blank, setup.hold, job.units
    size = " x ".join(figure(each, units) for each in (blank.length, blank.width))
    size = f"{size} x {spoken(blank.thickness, units)}"
    yield f"Blank: {blank.material} bar, {size}; deburr it, so that it sits flat."
    yield from lying_lines(job, setup)
    upright = ", top face up, length along x" if setup.lie.upright else ", as it lies"
    where = "Clamp it on" if setup.table is not None else "Hold it in"
    yield from hold.lines or (f"{where} the {hold.how}{upright}.",)
    yield from _packing_lines(job, setup)
    if not hold.keepouts and setup.table is None:
        yield (
            "The job tells of no jaws nor clamps, so none were checked: see that the cutter goes"
            " clear of them all the way."
        )


def _packing_lines(job: Job, setup: JobSetup) -> Iterator[str]:
    """Yield how high the parallels are that lift the work out of the jaws, and where none may be.

    By the jaws that the job declares: their upper face lies below the work's.
    """
    hold, units = setup.hold, job.units
    jaws = [keepout.high[2] for keepout in hold.keepouts if "jaw" in keepout.name.casefold()]
    low, high = job.blank_box(setup)
    if jaws and low[2] < max(jaws) <= 0:
        gripped = max(jaws) - low[2]
        stands = f"stands {spoken(-max(jaws), units)} above the jaws"
        if hold.how == "chuck":
            yield f"It {stands}, alike all round, and is gripped over {spoken(gripped, units)}."
            return
        yield (
            f"Parallels as high as the jaws are deep, less {spoken(gripped, units)}: it is gripped "
            f"over that, and {stands}."
        )
    if any("parallel" in keepout.name.casefold() for keepout in hold.keepouts):
        return  # the job says where they lie
    rows = [
        f"{figure(max(least, low[1]), units)} to {spoken(min(most, high[1]), units)}"
        for least, most in _cut_through(setup)
    ]
    if rows:
        places = " nor from y ".join(rows)
        yield f"Nothing beneath it where it is cut through, no parallel from y {places}."


def _cut_through(setup: JobSetup) -> list[tuple[float, float]]:
    """Return the stretches of y in which the work is cut through, rising; one where they meet."""
    cut = [s for feature in setup.features if feature.through for s in stretches(feature)]
    rows: list[tuple[float, float]] = []
    for least, most in sorted((s.y0 - s.radius, s.y1 + s.radius) for s in cut):
        if rows and least <= rows[-1][1]:
            rows[-1] = rows[-1][0], max(most, rows[-1][1])
        else:
            rows.append((least, most))
    return rows


def _keepout_line(keepout: Keepout, up: str, units: Units) -> str:
    """Return where something that stands above the upper face may be."""
    (x0, y0, _), (x1, y1, top) = keepout.low, keepout.high
    return (
        f"{keepout.name}: stands {spoken(top, units)} above the {up}, within x "
        f"{figure(x0, units)} to {spoken(x1, units)} and y {figure(y0, units)} to "
        f"{spoken(y1, units)}; nowhere nearer the cut."
    )


def finder_speed(machine: Machine) -> float:
    """Return the speed for an edge finder that kicks: the machine's highest that is no faster."""
    spindle = machine.spindle
    if not spindle.speeds:
        return min(max(FINDER_SPEED, spindle.lowest), spindle.highest)
    return max((each for each in spindle.speeds if each <= FINDER_SPEED), default=spindle.lowest)


def _zero(job: Job, setup: JobSetup, machine: Machine, axis: Axis) -> Zero:
    """Return how the zero of x or y is found."""
    datum = setup.datum(axis)
    if datum.picked is not None:
        return _picked_zero(setup, machine, axis, datum.picked)
    box = job.blank_box(setup)
    touches = tuple(
        replace(
            _touch(setup, machine, axis, (face, box.end(setup.lie.side(face)))),
            under=past_the_middle(job.blank) if axis == "y" else 0.0,
        )
        for face in _faces(setup, machine, axis)
    )
    middle = len(touches) == 2
    return Zero(
        axis=axis,
        touches=touches,
        uncertainty=datum.uncertainty,
        dial_reads=datum.dial_reads,
        why="the middle of two touches" if middle else f"the {setup.lie.called(datum.faces[0])}",
    )


def _picked_zero(setup: JobSetup, machine: Machine, axis: Axis, picked: Picked) -> Zero:
    """Return how a zero is picked up: from both walls of a feature, or by an indicator.

    Raises:
        Refusal: the axis has a dial that cannot be set, for which one face has to be known.
    """
    datum = setup.datum(axis)
    if machine.manual and not machine.slide(axis).resettable:
        raise Refusal(
            setup.where.at(f"datum.{axis}"),
            f"pick {picked.feature!r} up with the {machine.slide(axis).name}, whose dial cannot be "
            "set",
            "take this zero from a face, or use a machine whose dials can be set",
        )
    if picked.indicator:
        centre = Touch(
            face="centre",
            of=picked.feature,
            towards=_comes(setup, machine, axis),
            tool=datum.tool,
            radius=0.0,
            paper=0.0,
            at=picked.at,
            terms=(Term(f"centre of {picked.feature}", picked.at),),
        )
        touches: tuple[Touch, ...] = (centre,)
    else:
        touches = tuple(
            _touch(setup, machine, axis, (face, setup.lie.side(face).sign * picked.half))
            for face in _faces(setup, machine, axis)
        )
    return Zero(
        axis=axis,
        touches=touches,
        uncertainty=datum.uncertainty,
        why=f"the centre of {picked.feature}",
    )


def _touch(setup: JobSetup, machine: Machine, axis: Axis, wall: tuple[Face, float]) -> Touch:
    """Return the touch of a face, or of a wall towards it, that lies at a place of the axis, mm."""
    face, place = wall
    datum, towards = setup.datum(axis), setup.touched_going(axis, face)
    radius = (datum.tool_diameter or 0.0) / 2
    terms = [
        Term(setup.called(axis, face), place),
        Term(f"half of the {datum.tool}", -towards * radius),
    ]
    if datum.paper:
        terms.append(Term("paper", -towards * datum.paper))
    return Touch(
        face=face,
        towards=towards,
        tool=datum.tool,
        radius=radius,
        paper=datum.paper,
        at=sum(term.value for term in terms),
        terms=tuple(terms),
        rpm=finder_speed(machine) if datum.spindle == "turning" else 0.0,
        of="" if datum.picked is None else datum.picked.feature,
    )


def depth_zero(setup: JobSetup, cutter_name: str, over: tuple[float, float] | None) -> Zero:
    """Return how the depth zero of a cutter is taken: its end on the upper face, through paper.

    Args:
        setup: which setup.
        cutter_name: what touches.
        over: where in plan, mm; None for anywhere on whole metal.
    """
    datum, up = setup.datum_z, setup.lie.up
    terms = (Term(setup.lie.called(up), 0.0), Term("paper", datum.paper))
    touch = Touch(
        face=up,
        towards=-1,
        tool=cutter_name,
        radius=0.0,
        paper=datum.paper,
        at=datum.paper,
        terms=terms,
        over=over,
    )
    return Zero(
        axis="z",
        touches=(touch,),
        uncertainty=datum.uncertainty,
        dial_reads=datum.dial_reads,
        why="the depth zero belongs to this cutter alone",
    )
