"""Work that goes on after a stop: from a pass on, and by what was measured there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pathgen.commands.measured import (
    FOUND,
    corrected,
    judge_found,
    measured_at,
    plan_of,
    read_found,
)
from pathgen.commands.proving import Proof, Tell, Workplace, form_for, prove_text, trade_of
from pathgen.input.where import JobError, Refusal, Where, nearest
from pathgen.job.turned import TurnedJob
from pathgen.moves.actions import FitCutter, Measure, Note
from pathgen.moves.plan import HeadFound, Item, Pass, PlannedSetup, Run
from pathgen.shop.cutters import Cutter

AT = Where("--begin-at", 0, "")
OTHER_WORK = "else it is not what this was made for: make it anew by what is found now"
AGAIN = 0.02  # mm by which what was found may be found otherwise when the program asks again


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """Work that goes on at a pass: where, its plan, and what the passes before it did."""

    place: Workplace  # its crib with the cutter as it was found to cut
    plan: PlannedSetup
    done: Run


def prove_from(proofs: Sequence[Proof], pass_named: str, tell: Tell) -> Proof:
    """Return the proof of what goes on at a pass.

    Args:
        proofs: of all setups, whole.
        pass_named: its number, or "finish: stud slot", after the setup and a / where several match.
        tell: is told what is being done.

    Raises:
        JobError: no pass is called so, or more than one.
    """
    proof, begins_at = _pass_of(proofs, pass_named)
    return _prove(proof, begins_at, None, tell)


def prove_found(proofs: Sequence[Proof], said: str, tell: Tell) -> Proof:
    """Return the proof of the finishing anew, by what was measured before it.

    Args:
        proofs: of all setups, whole.
        said: as on the command line: "width=9.87", "stud slot: width=9.87 mm", "M1=9.87".
        tell: is told what is being done.

    Raises:
        InputError: nothing is measured by that name, or what was found makes no sense.
    """
    _guard_milled(proofs, said)
    at = read_found([each for each in proofs if _is_milled(each)], said)
    judge_found(at)
    found = HeadFound(quantity=f"{at.feature.name}: {at.quantity}", value=at.value)
    return _prove(at.proof, at.begins_at, found, tell)


def _is_milled(proof: Proof) -> bool:
    return not isinstance(proof.place.job, TurnedJob)


def _guard_milled(proofs: Sequence[Proof], said: str) -> None:
    """Refuse what was found of turned work: where it is measured, it is put in there.

    Raises:
        Refusal: it names a measuring of turned work, or there is no other work.
    """
    name = said.partition("=")[0].strip()
    turned = [proof for proof in proofs if not _is_milled(proof)]
    for proof in turned:
        measures = [i for each in plan_of(proof).passes for i in each.items]
        if any(isinstance(item, Measure) and item.name == name for item in measures):
            raise Refusal(
                FOUND,
                f"{name} of turned work: what follows it is set at the machine by what is found",
                "type it into the program's stop, or follow the sheet's sum with it; the file is"
                " the same",
            )
    if turned and len(turned) == len(proofs):
        raise Refusal(
            FOUND,
            "make turned work anew by a size that was found: the tool stands off by its touch, its"
            " spring and its wear together, and one size does not tell them apart",
            "before it is finished, go on with --begin-at at the pass that finishes it: what was"
            " roughed is touched, skimmed and measured, and the cuts follow that; a size that came"
            " out too thick take down by hand, by half of what is too much, and measure",
        )


def begun(proof: Proof, begins_at: int, found: HeadFound | None, tell: Tell) -> Begun:
    """Return work that goes on at a pass, what the passes before it did read back from a text.

    Args:
        proof: of the setup, planned from its beginning.
        begins_at: the pass, from 1.
        found: what was measured before it, if that is reckoned with.
        tell: is told what is being done.

    Raises:
        InputError: there is no such pass, or what was found does not belong to it.
    """
    place, whole = proof.place, plan_of(proof)
    made = begins_at - 1
    if not 1 < begins_at <= len(whole.passes):
        right = "name a later one; from the first on, leave this out"
        raise JobError(AT, f"pass {begins_at} of {len(whole.passes)}", right)
    cutter: Cutter | None = None
    if found is not None:
        at = measured_at(proof, begins_at, found)
        cutter, made = corrected(at), at.made
        place = _with_cutter(place, cutter)
    plan = _planned_alike(place, whole, begins_at)
    if found is not None:
        _guard_same(whole, plan, begins_at)
        plan = _asking_again(plan, found.value)
    head = replace(plan.head, crib=place.shop.crib.title, found=() if found is None else (found,))
    tell(f"taking the passes before {begins_at} as cut")
    done = _done(place, trade_of(place.job).stopped(whole, made), cutter)
    return Begun(place=place, plan=replace(plan, head=head), done=done)


def _with_cutter(place: Workplace, cutter: Cutter) -> Workplace:
    """Return a place whose crib has a cutter as it was found to cut."""
    crib = place.shop.crib
    cutters = tuple(cutter if each.name == cutter.name else each for each in crib.cutters)
    return replace(place, shop=replace(place.shop, crib=replace(crib, cutters=cutters)))


def _planned_alike(place: Workplace, whole: PlannedSetup, begins_at: int) -> PlannedSetup:
    """Return the plan from a pass on, with no cutters to choose but those of the whole plan.

    Else one that cuts less than was thought would give way to another of its size.
    """
    if isinstance(place.job, TurnedJob):  # its tools are as they were
        return trade_of(place.job).planned(place, begins_at)
    crib, names = place.shop.crib, {each.name for each in whole.head.cutters}
    chosen = replace(crib, cutters=tuple(c for c in crib.cutters if c.name in names))
    place = replace(place, shop=replace(place.shop, crib=chosen))
    return trade_of(place.job).planned(place, begins_at)


def _prove(proof: Proof, begins_at: int, found: HeadFound | None, tell: Tell) -> Proof:
    """Return the proof of work that goes on at a pass."""
    going = begun(proof, begins_at, found, tell)
    place = replace(going.place, part=f"from-pass-{begins_at}")
    form = form_for(place.machine)
    text = form.written(place, going.plan)
    return prove_text(place, text, f"{place.stem}{form.SUFFIX}", tell, going.plan, going.done)


def _done(place: Workplace, earlier: PlannedSetup, cutter: Cutter | None) -> Run:
    """Return what the passes before one did, the cutter cutting as it was found to.

    They were written with the cutter as it was thought to be, and are read back as it is.
    """
    form = form_for(place.machine)
    text = form.written(place, earlier)
    run = next(iter(form.read_back(place, text, "the passes before", lambda _: None)))
    if cutter is None:
        return run
    return replace(run, items=tuple(_as_found(item, cutter) for item in run.items))


def _as_found(item: Item, cutter: Cutter) -> Item:
    """Return an item, a fitting of the cutter with the diameter that it was found to cut.

    What was expected of a measuring then is past: something else was found.
    """
    if isinstance(item, Measure):
        return Note(text=f"{item.name} was measured")
    if isinstance(item, FitCutter) and item.name == cutter.name:
        return replace(item, diameter=cutter.diameter)
    return item


def _guard_same(whole: PlannedSetup, plan: PlannedSetup, begins_at: int) -> None:
    """Raise where a cutter as it was found to cut would be planned with otherwise."""
    then, now = whole.passes[begins_at - 1 :], plan.passes
    if [_sort(each) for each in then] != [_sort(each) for each in now]:
        raise JobError(
            Where("--found", 0, ""),
            "with a cutter that cuts so, the passes would be others",
            "put its diameter into the crib as measured, and make the job anew on a new blank",
        )


def _sort(each: Pass) -> tuple[str, str, str]:
    return each.purpose, each.feature, each.cutter.name


def _asking_again(plan: PlannedSetup, value: float) -> PlannedSetup:
    """Return a plan whose first measuring expects what was found: it belongs to that work alone."""
    first, *others = plan.passes
    items = tuple(
        replace(item, expected=value, low=value - AGAIN, high=value + AGAIN, advice=OTHER_WORK)
        if isinstance(item, Measure)
        else item
        for item in first.items
    )
    return replace(plan, passes=(replace(first, items=items), *others))


# ---------------------------------------------------------------------- passes by name


def _pass_of(proofs: Sequence[Proof], named: str) -> tuple[Proof, int]:
    """Return the one pass of a name, with the proof of its setup."""
    rows = list(_passes(proofs))
    found = [row for row in rows if named.strip() in row[2]]
    if len(found) == 1:
        proof, number, _ = found[0]
        return proof, number
    if found:
        names = ", ".join(repr(names[-1]) for *_, names in found)
        raise JobError(AT, f"{len(found)} passes are called {named!r}", f"name one: {names}")
    right = nearest(named, [name for *_, names in rows for name in names])
    if not right:
        right = f"one of {', '.join(dict.fromkeys(names[1] for *_, names in rows))}"
    raise JobError(AT, f"no pass is called {named!r}", right)


def _passes(proofs: Sequence[Proof]) -> Iterator[tuple[Proof, int, tuple[str, ...]]]:
    """Yield each pass with its number and all that it may be called, the surest last."""
    for proof in proofs:
        for number, each in enumerate(plan_of(proof).passes, start=1):
            said = f"{each.purpose}: {each.feature}"
            setup = proof.place.setup.name
            yield proof, number, (f"{number}", said, f"{setup} / {said}", f"{setup} / {number}")
