"""The zeros of a run against those that the job asks for: from which touches, and in time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isnan

from pathgen import INCH
from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.spelling import same_words
from pathgen.job.frame import FACES, Face
from pathgen.job.job import Datum, Picked
from pathgen.moves.actions import FitCutter, FitTouching, SetHeight, Touch, Zero
from pathgen.moves.moves import AXES, Arc, Axis, Drill, Feed, Rapid, Term, end_of
from pathgen.moves.plan import Item

EXACT = 1e-5  # figures of a touch that differ by less are one written differently, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wanted:
    """A touch as the job has it; lengths in mm, in the setup's frame."""

    face: str  # or the centre of what is picked up
    called: str  # as the setup has it: "left face"
    place: float  # of the face
    towards: int  # 0 where it may be come to either way
    tool: str  # empty where any will do
    radius: float
    paper: float
    turning: bool  # the spindle, meanwhile
    of: str = ""  # what is picked up

    @property
    def at(self) -> float:
        """Return where the axis, or the end, of what touches stands at the touch."""
        return self.place - self.towards * (self.radius + self.paper)

    def terms(self) -> tuple[tuple[str, float], ...]:
        """Return the terms that add up to it, each with the word that its label has to have."""
        return (
            (self.called, self.place),
            (self.tool or "half", -self.towards * self.radius),
            ("paper", -self.towards * self.paper),
        )


def zero_findings(context: Context) -> Iterator[Finding]:
    """Yield zeros that are not those of the job, and moves before the zeros they depend on.

    A machine that keeps no cutter lengths loses its depth zero with every change of cutter.
    """
    missing, in_spindle = set(AXES), ""
    for item, number in zip(context.run.items, context.run.numbers, strict=True):
        if isinstance(item, Zero):
            missing.discard(item.axis)
            yield from _zero(context, item, number, in_spindle)
        elif isinstance(item, FitTouching):
            in_spindle = item.name
            yield from _fitted(context, item, number)
        elif isinstance(item, FitCutter):
            in_spindle = item.name
            missing |= {"z"} if loses_depth(context) else set()
        elif isinstance(item, SetHeight):
            missing |= set(AXES) if item.swings else {"z"}
        elif missing and (lacking := missing & _needs(item)):
            missing -= lacking
            yield context.finding_by(
                "zero",
                f"a move before the zero of {' and '.join(sorted(lacking))} was set"
                + (" for this cutter" if lacking == {"z"} else ""),
                number,
                "touch off first",
            )


def loses_depth(context: Context) -> bool:
    """Return whether a change of cutter loses the depth zero."""
    control = context.machine.control
    return control is None or not control.tool_length


def _fitted(context: Context, fit: FitTouching, number: int) -> Iterator[Finding]:
    """Yield the finding of something put in to touch with that is not what the job names."""
    table = context.setup.table
    laid = () if table is None else table.laid
    datums = (context.setup.datum_x, context.setup.datum_y, *laid)
    if not any(
        same_words(fit.name, datum.tool) and abs(fit.diameter - (datum.tool_diameter or 0)) <= EXACT
        for datum in datums
    ):
        named = " and ".join(f"{each.tool!r}, {each.tool_diameter:g} mm" for each in datums)
        yield context.finding_by(
            "datum",
            f"{fit.name!r}, {fit.diameter:g} mm, is put in to touch with; the job has {named}",
            number,
            "touch with what the job names, or make this anew",
        )


def _needs(item: Item) -> set[Axis]:
    """Return the axes whose zeros an item depends on."""
    if isinstance(item, Feed | Arc | Drill):
        return set(AXES)
    if isinstance(item, Rapid):
        return {axis for axis, to in zip(AXES, end_of(item), strict=True) if not isnan(to)}
    return set()


def _zero(context: Context, zero: Zero, number: int, in_spindle: str) -> Iterator[Finding]:
    """Yield the finding of a zero that differs from the job's."""
    wanted = _wanted(context, zero.axis, in_spindle)
    wrong = [*_faces(context, zero, wanted), *_doubt(context, zero), *_figure(context, zero)]
    for touch in zero.touches:
        due = next((each for each in wanted if each.face == touch.face), None)
        if due is not None:
            face = due.called if due.of else f"{touch.face} face"
            wrong += [f"{face}: {each}" for each in _touch(context, touch, due)]
        if zero.axis != "z" and not same_words(touch.tool, in_spindle):
            wrong.append(f"{touch.tool!r} touches, and {in_spindle!r} is in the spindle")
    wrong += _named_elsewhere(context, zero.why, {each.face for each in wanted})
    if wrong:
        yield context.finding_by(
            "datum",
            f"the zero of {zero.axis} is not the one that the job asks for: {'; '.join(wrong)}",
            number,
            "set it as the job has it, or make this anew",
        )


def _wanted(context: Context, axis: Axis, in_spindle: str) -> tuple[_Wanted, ...]:
    """Return the touches from which the job has the zero of an axis found."""
    datum = context.setup.datum(axis)
    if axis == "z":
        tool = in_spindle if loses_depth(context) else ""
        return (_wanted_at(context, datum, datum.faces[0], tool),)
    if datum.picked is not None:
        return _of_picked(context, axis, datum.picked)
    return tuple(_wanted_at(context, datum, face, datum.tool) for face in datum.faces)


def _of_picked(context: Context, axis: Axis, picked: Picked) -> tuple[_Wanted, ...]:
    """Return the touches by which a feature's middle is picked up."""
    setup, datum = context.setup, context.setup.datum(axis)
    if picked.indicator:
        centre = _Wanted(
            face="centre",
            called=f"centre of {picked.feature}",
            place=picked.at,
            towards=0,
            tool=datum.tool,
            radius=0.0,
            paper=0.0,
            turning=False,
            of=picked.feature,
        )
        return (centre,)
    return tuple(
        _Wanted(
            face=face,
            called=setup.called(axis, face),
            place=setup.lie.side(face).sign * picked.half,
            towards=setup.touched_going(axis, face),
            tool=datum.tool,
            radius=(datum.tool_diameter or 0.0) / 2,
            paper=datum.paper,
            turning=datum.spindle == "turning",
            of=picked.feature,
        )
        for face in datum.faces
    )


def _wanted_at(context: Context, datum: Datum, face: Face, tool: str) -> _Wanted:
    lie = context.setup.lie
    return _Wanted(
        face=face,
        called=lie.called(face),
        place=context.box.end(lie.side(face)),
        towards=lie.towards(face),
        tool=tool,
        radius=0.0 if face == lie.up else (datum.tool_diameter or 0.0) / 2,
        paper=datum.paper,
        turning=datum.spindle == "turning",
    )


def _faces(context: Context, zero: Zero, wanted: tuple[_Wanted, ...]) -> Iterator[str]:
    """Yield that other faces are touched than the datum's.

    Where a dial cannot be set its figure at the datum is known, and one touch tells the turn.
    """
    touched = sorted(touch.face for touch in zero.touches)
    due = sorted(each.face for each in wanted)
    machine = context.machine
    known = machine.manual and not machine.slide(zero.axis).resettable
    if touched != due and not (known and set(touched) <= set(due)):
        yield f"it is taken from the {' and '.join(touched)} face, not the {' and '.join(due)}"


def _doubt(context: Context, zero: Zero) -> Iterator[str]:
    """Yield that less is left open than the job says that touching leaves."""
    least = context.setup.datum(zero.axis).uncertainty
    if zero.uncertainty < least - EXACT:
        yield f"within {zero.uncertainty:.4g} mm, where touching leaves {least:.4g} mm open"


def _figure(context: Context, zero: Zero) -> Iterator[str]:
    """Yield that a dial which cannot be set is taken to show something else at the zero."""
    if not context.machine.manual or context.machine.slide(zero.axis).resettable:
        return
    known = context.setup.datum(zero.axis).dial_reads
    stated = zero.dial_reads
    if known is None or stated is None or abs(known - stated) > EXACT:
        said, has = ("no figure" if x is None else f"{x:.4f} mm" for x in (stated, known))
        yield f"its dial, which cannot be set, is taken to show {said} there, the job has {has}"


def _touch(context: Context, touch: Touch, due: _Wanted) -> Iterator[str]:
    """Yield what is different about a touch of the right face."""
    if due.towards and touch.towards != due.towards:
        yield f"come to from inside the {'metal' if due.of else 'blank'}"
    if not same_words(touch.of, due.of):
        yield f"of {touch.of or 'the blank'}, not of {due.of or 'the blank'}"
    if due.tool and not same_words(touch.tool, due.tool):
        yield f"touched with {touch.tool!r}, not {due.tool!r}"
    if (touch.rpm > 0) != due.turning:
        said, wanted = ("turning", "stopped") if touch.rpm else ("stopped", "turning")
        yield f"touched with the spindle {said}, which is to be {wanted}"
    half_count = _half_count(context)
    for what, stated, right, near in (
        ("radius", touch.radius, due.radius, EXACT),
        ("paper", touch.paper, due.paper, EXACT),
        ("at", touch.at, due.at, half_count),
    ):
        if abs(stated - right) > near:
            yield f"{what} {stated:.4f} mm, should be {right:.4f} mm"
    yield from _sum(touch, due, half_count)


def _half_count(context: Context) -> float:
    """Return by how much a place may be off as rounded by a control, mm."""
    control = context.machine.control
    if control is None:
        return EXACT
    unit = INCH if control.units == "in" else 1.0
    return float(unit / 10**control.decimals) / 2 + EXACT


def _sum(touch: Touch, due: _Wanted, half_count: float) -> Iterator[str]:
    """Yield what is wrong with the sum that gives a touch its place."""
    total = sum(term.value for term in touch.terms)
    if abs(total - touch.at) > (len(touch.terms) + 1) * half_count:
        yield f"its terms add up to {total:.4f} mm, not {touch.at:.4f} mm"
    for term in touch.terms:
        fitting = [value for word, value in due.terms() if _says(term, word)]
        if not fitting:
            yield f"a term {term.label!r}, which is none of this touch"
        elif all(abs(term.value - value) > half_count for value in fitting):
            yield f"{term.label} {term.value:.4f} mm, should be {fitting[0]:.4f} mm"


def _says(term: Term, word: str) -> bool:
    """Return whether a term is labelled by a word, or by its last words."""
    return same_words(term.label, word) or same_words(term.label, f"half of the {word}")


def _named_elsewhere(context: Context, text: str, faces: set[str]) -> Iterator[str]:
    """Yield that a reason names a face which is not touched."""
    called = context.setup.lie.called
    for face in sorted({face for face in FACES if called(face) in text} - faces):
        yield f"it says {text!r}, and the {called(face)} is not touched"
