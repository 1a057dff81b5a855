"""What was measured at a stop, and what follows from it for the cutter that cuts next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pathgen import INCH
from pathgen.check.findings import FinishedSize
from pathgen.commands.milled import of_mill
from pathgen.commands.workplace import Proof
from pathgen.input.lengths import length
from pathgen.input.units import Units, figure, spoken
from pathgen.input.where import JobError, Refusal, Where, WrongValue, nearest
from pathgen.job.areas import Pocket, Step
from pathgen.job.holes import Holes
from pathgen.job.job import Feature
from pathgen.job.slot import Slot
from pathgen.moves.actions import Measure
from pathgen.moves.plan import HeadFound, Pass, PlannedSetup
from pathgen.shop.cutters import SAME_CUTTER, Cutter

FOUND = Where("--found", 0, "")
# mm by which a finished size may be off for what a cutter does; common practice, no source
FINISHED_BAND = 0.3
MISREAD = 1.0  # mm beyond the limits: misread, or in another unit, rather than cut so
NEAR = 0.5  # mm about the band: a figure that comes so near in the other unit was read in it


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredAt:
    """A measuring, before a pass or once it is made, and what was found; mm."""

    proof: Proof  # of the whole setup
    begins_at: int  # the pass that cuts what was measured to size, from 1
    made: int  # how many passes are made when it is measured
    measure: Measure
    feature: Feature
    quantity: str  # "width", or "finished width" once the pass is made
    value: float

    @property
    def finished(self) -> bool:
        """Return whether the pass was made already, and is to be made again."""
        return self.made >= self.begins_at


def read_found(proofs: Sequence[Proof], said: str) -> MeasuredAt:
    """Return where what was found is measured.

    Args:
        proofs: of all setups, whole.
        said: "width=9.87", "stud slot: width=9.87 mm", "M1=9.87" or "finished width=9.96".

    Raises:
        JobError: it cannot be read, or does not name one measuring.
    """
    name, equals, text = (part.strip() for part in said.partition("="))
    if not (name and equals and text):
        raise JobError(FOUND, f"{said!r}", "write it as width=9.87, with a unit if it has another")
    rows = [at for proof in proofs for at in _measured(proof)]
    matching = [at for at in rows if name in _names(at)]
    if len(matching) != 1:
        raise _not_one(name, rows, matching)
    units = matching[0].proof.place.job.units
    try:
        return replace(matching[0], value=length(_number(text), units))
    except WrongValue as error:
        raise JobError(FOUND, error.wrong, error.right) from error


def measured_at(proof: Proof, begins_at: int, found: HeadFound) -> MeasuredAt:
    """Return the measuring before a pass that a head says was made, with what was found.

    Raises:
        JobError: nothing of that name is measured before that pass.
    """
    for at in _measured(proof):
        if at.begins_at == begins_at and found.quantity in _names(at):
            return replace(at, value=found.value)
    raise JobError(
        FOUND, f"{found.quantity!r} is not measured before pass {begins_at}", "make the file anew"
    )


def corrected(at: MeasuredAt) -> Cutter:
    """Return the cutter of the pass as it was found to cut.

    The measured size grows with the cutter's diameter by a factor, so the diameter is off by what
    the size is off over that factor.

    Raises:
        Refusal: the size was roughed with another cutter than the one that finishes it, or a
            cutter cannot be so far off.
    """
    finishing, roughing = plan_of(at.proof).passes[at.begins_at - 1], _before(at)
    if roughing is None or roughing.cutter.name != finishing.cutter.name:
        raise Refusal(
            FOUND,
            f"{at.quantity} of {at.feature.name} is finished with the {finishing.cutter.name}, and "
            f"roughed with {'nothing' if roughing is None else f'the {roughing.cutter.name}'}: "
            "what was found says nothing of what the next one will cut",
            "name one cutter for both in the feature's ways, or go on as it is with --begin-at",
        )
    cutter = next(c for c in at.proof.place.shop.cutters if c.name == finishing.cutter.name)
    if cutter.head is not None:
        raise Refusal(
            FOUND,
            f"{at.quantity} of {at.feature.name} is bored with the {cutter.name}, whose setting "
            "follows what was measured already",
            "turn its dial as told at the stop",
        )
    off = (at.value - at.measure.expected) / _factor(at.feature)
    if abs(off) > SAME_CUTTER * cutter.nominal:
        raise Refusal(
            FOUND,
            f"the {cutter.name} would cut {cutter.diameter + off:.3f} mm wide",
            "look which cutter is in the spindle",
        )
    return replace(cutter, diameter=cutter.diameter + off)


def _factor(feature: Feature) -> float:
    """Return by how much a size grows when the cutter cuts 1 mm wider.

    Both walls of a slot or a pocket come half nearer to it; of a step each edge loses half.

    Raises:
        Refusal: it cannot be told for such a feature.
    """
    match feature:
        case Slot() | Pocket() | Holes(finish="bored"):
            return 1.0
        case Step():
            return -len(feature.edges) / 2
        case _:
            raise Refusal(
                FOUND,
                f"how the cutter shows in a size of {feature.name} is not known",
                "put the cutter's diameter into the crib as measured",
            )


# ---------------------------------------------------------------------- which measuring


def plan_of(proof: Proof) -> PlannedSetup:
    """Return the plan of a proof that was planned."""
    assert proof.plan is not None, "the proof of a job has its plan"
    return proof.plan


def _measured(proof: Proof) -> Iterator[MeasuredAt]:
    """Yield the measurings of a plan, and those of what they lead to once it is finished.

    The value is what each expects.
    """
    for number, each in enumerate(plan_of(proof).passes, start=1):
        features = of_mill(proof.place)[1].features
        feature = next(f for f in features if f.name == each.feature)
        for item in each.items:
            if isinstance(item, Measure):
                at = MeasuredAt(
                    proof=proof,
                    begins_at=number,
                    made=number - 1,
                    measure=item,
                    feature=feature,
                    quantity=item.what.partition(" of ")[0],
                    value=item.expected,
                )
                yield at
                yield from _once_finished(at)


def _once_finished(at: MeasuredAt) -> Iterator[MeasuredAt]:
    """Yield the measuring of the same size once the pass is made."""
    size = _size(at)
    if size is None:
        return
    aimed_at = (size.least + size.most) / 2
    finished = replace(
        at.measure,
        name="",
        expected=aimed_at,
        low=aimed_at - FINISHED_BAND,
        high=aimed_at + FINISHED_BAND,
    )
    yield replace(
        at,
        made=at.begins_at,
        measure=finished,
        quantity=f"finished {at.quantity}",
        value=aimed_at,
    )


def _before(at: MeasuredAt) -> Pass | None:
    """Return the pass that made what was measured."""
    own = [each for each in plan_of(at.proof).passes[: at.made] if each.feature == at.feature.name]
    return own[-1] if own else None


def _names(at: MeasuredAt) -> tuple[str, ...]:
    """Return all that a measuring may be called, the surest last."""
    own = f"{at.feature.name}: {at.quantity}"
    return at.measure.name, at.quantity, own, f"{at.proof.place.setup.name} / {own}"


def _not_one(name: str, all_of_them: list[MeasuredAt], matching: list[MeasuredAt]) -> JobError:
    """Return the error of a name that no measuring has, or several."""
    if matching:
        names = ", ".join(repr(_names(at)[-1]) for at in matching)
        return JobError(FOUND, f"{name!r} is measured {len(matching)} times", f"name one: {names}")
    if not all_of_them:
        return JobError(
            FOUND, "this job measures nothing on the way", "leave it out, or use --begin-at"
        )
    known = [each for at in all_of_them for each in _names(at)[1:3]]
    right = nearest(name, known) or f"one of {', '.join(dict.fromkeys(known))}"
    return JobError(FOUND, f"nothing that is measured is called {name!r}", right)


def _number(text: str) -> object:
    """Return a bare number as one, so that it is taken in the job's units; else the text."""
    try:
        return float(text)
    except ValueError:
        return text


# ---------------------------------------------------------------------- whether it makes sense


def judge_found(at: MeasuredAt) -> None:
    """Raise where the work must not go on by what was found.

    Raises:
        Refusal: it is out of the band, or there is nothing left to cut; says what is likely, and
            what now.
    """
    low, high, units = at.measure.low, at.measure.high, at.proof.place.job.units
    what = f"{at.quantity} of {at.feature.name} found {spoken(at.value, units)}"
    size = _size(at)
    if size is not None:
        _judge_wanted(at, size, what, units)
    if low <= at.value <= high:
        return
    for factor, written in ((INCH, "in"), (1 / INCH, "mm")):
        if low - NEAR <= at.value * factor <= high + NEAR:
            said = f"{figure(at.value, units)} {written}"
            raise Refusal(
                FOUND, f"{what}, which looks like {said}", f"write it with its unit: {said}"
            )
    band = f"should be {spoken(at.measure.expected, units)}, go on only from "
    band += f"{figure(low, units)} to {spoken(high, units)}"
    when = "once it is finished" if at.finished else "before it is finished"
    raise Refusal(
        FOUND,
        f"{what}; {when} it {band}",
        "measure again, clean; then look at the cutter, its runout, and whether the work has "
        "moved: find it first" + ("" if at.finished else _if_finished(at)),
    )


def _if_finished(at: MeasuredAt) -> str:
    """Return what to write where a size that was finished comes out short, if it can be."""
    size = _size(at)
    if size is None or abs(at.value - (size.least + size.most) / 2) > FINISHED_BAND:
        return ""
    return f'. Measured once it was finished: write "finished {at.quantity}=..."'


def _size(at: MeasuredAt) -> FinishedSize | None:
    """Return the size that is measured, as the whole program leaves it."""
    quantity = at.measure.what.partition(" of ")[0]
    own = (size for size in at.proof.report.sizes if size.feature == at.feature.name)
    return next((size for size in own if size.quantity == quantity), None)


def _judge_wanted(at: MeasuredAt, size: FinishedSize, what: str, units: Units) -> None:
    """Raise where the finishing can do no good any more: within the limits already, or beyond."""
    wanted, grows = size.wanted, _factor(at.feature) > 0
    span = f"{figure(wanted.low, units)} to {spoken(wanted.high, units)}"
    if wanted.low <= at.value <= wanted.high:
        raise Refusal(
            FOUND,
            f"{what}, within its limits of {span} already",
            "leave it as it is; go on with the pass after, by --begin-at",
        )
    if (at.value > wanted.high) if grows else (at.value < wanted.low):
        if not wanted.low - MISREAD < at.value < wanted.high + MISREAD:
            return
        beyond = "larger than the largest" if grows else "smaller than the smallest"
        raise Refusal(
            FOUND,
            f"{what}, {beyond} of its limits of {span}: nothing that is cut brings it back",
            "make what goes with it to suit, if the limits allow that to be changed in the job, or "
            "take a new blank; and find out what cut so",
        )
